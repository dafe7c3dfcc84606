"""How long blocks last: what the judges must report, and what they must let be.

Limits are those of shared/rules.toml, where each has its source.
"""

from __future__ import annotations

from collections.abc import Sequence

import pytest
from plan_maker import a_year, absence, block, day, given, goal, season
from verdicts import STRONG, codes, hard, only, row

from seasonplan.checker import JUDGES
from seasonplan.days import Span
from seasonplan.plan import Block
from seasonplan.rules.statements import standard_book
from seasonplan.vocabulary import Kind
from seasonplan.year import Before

BASE, STRENGTH, PERFORMANCE, REST = Kind.BASE, Kind.STRENGTH, Kind.PERFORMANCE, Kind.REST
LONG_SEASON = season(0, 200)


def sound_row() -> list[Block]:
    return row((BASE, 28), (STRENGTH, 28), (PERFORMANCE, 21), (REST, 7))


def test_every_rule_has_a_judge_and_every_judge_a_rule() -> None:
    about_blocks = {rule.code for rule in standard_book() if rule.about == "blocks"}
    assert JUDGES.keys() == about_blocks


def test_a_sound_plan_has_no_hard_finding() -> None:
    assert hard(a_year(12, seasons=[season(56, 21)], goals=[goal()]), *sound_row()) == []


def test_a_rule_that_is_switched_off_is_not_judged() -> None:
    blocks = row((BASE, 63), (REST, 7))
    assert codes(a_year(10), *blocks) == {"base-length"}
    assert codes(a_year(10, rules={"base-length": {"on": False}}), *blocks) == set()


def test_a_changed_limit_is_the_one_judged_by() -> None:
    blocks = row((BASE, 63), (REST, 7))
    assert codes(a_year(10, rules={"base-length": {"limit": (3, 9)}}), *blocks) == set()


def test_spans_of_findings_lie_where_the_break_is() -> None:
    finding = only(a_year(8), block(BASE, 0, 21), block(REST, 21, 15), block(BASE, 36, 20))
    assert finding.span == Span(day(21), day(36))


@pytest.mark.parametrize(
    ("kinds", "code", "found", "limit"),
    [
        (((BASE, 57), (REST, 13)), "base-length", 57 / 7, 8),
        (((BASE, 20), (REST, 8), (BASE, 42)), "base-length", 20 / 7, 3),
        (((STRENGTH, 43), (REST, 6), (BASE, 21)), "strength-length", 43 / 7, 6),
        (((REST, 7), (STRENGTH, 20), (REST, 7), (BASE, 36)), "strength-length", 20 / 7, 3),
        (((PERFORMANCE, 63), (REST, 7)), "performance-length", 9, 8),
        (((PERFORMANCE, 6), (REST, 8), (BASE, 56)), "performance-length", 6 / 7, 1),
        (((REST, 15), (BASE, 55)), "rest-length", 15, 14),
        (((REST, 4), (BASE, 56), (REST, 10)), "rest-length", 4, 5),
    ],
)
def test_a_block_of_the_wrong_length_is_reported(
    kinds: Sequence[tuple[Kind, int]], code: str, found: float, limit: float
) -> None:
    finding = only(a_year(10, seasons=[LONG_SEASON]), *row(*kinds))
    assert (finding.code, finding.limit) == (code, limit)
    assert finding.found == pytest.approx(found)


@pytest.mark.parametrize(
    "kinds",
    [
        ((BASE, 56), (REST, 14)),
        ((BASE, 21), (REST, 5), (STRENGTH, 42), (REST, 2)),
        ((PERFORMANCE, 56), (REST, 14)),
        ((PERFORMANCE, 7), (REST, 14), (STRENGTH, 21), (REST, 7), (BASE, 21)),
    ],
)
def test_lengths_at_the_limits_are_fine(kinds: Sequence[tuple[Kind, int]]) -> None:
    assert codes(a_year(10, seasons=[LONG_SEASON]), *row(*kinds)) == set()


def test_a_short_block_may_go_on_over_the_end_of_the_year() -> None:
    assert codes(a_year(9), *row((BASE, 56), (STRENGTH, 7))) == set()


def test_a_short_first_block_must_go_on_with_what_came_before() -> None:
    blocks = row((STRENGTH, 7), (REST, 7), (BASE, 42))
    assert codes(a_year(8), *blocks) == {"strength-length"}
    assert codes(a_year(8, before=Before(last_kind=BASE)), *blocks) == {"strength-length"}
    assert codes(a_year(8, before=Before(last_kind=STRENGTH)), *blocks) == set()


@pytest.mark.parametrize(("kind", "fine"), [(BASE, True), (REST, True), (STRENGTH, False)])
def test_a_short_block_may_fill_a_gap_between_given_things_unless_it_is_strength(
    kind: Kind, fine: bool
) -> None:
    year = a_year(8, before=STRONG, absences=[absence(21, 5), absence(28, 5, id="again")])
    blocks = (
        block(BASE, 0, 21),
        given(Kind.ABSENCE, 21, 5, entry="away"),
        block(kind, 26, 2),
        given(Kind.ABSENCE, 28, 5, entry="again"),
        block(BASE, 33, 23),
    )
    assert codes(year, *blocks) == (set() if fine else {"strength-length"})


def test_a_short_block_with_a_given_thing_on_one_side_only_is_too_short() -> None:
    year = a_year(8, before=STRONG, absences=[absence(21, 5)])
    blocks = (
        block(BASE, 0, 21),
        given(Kind.ABSENCE, 21, 5, entry="away"),
        block(REST, 26, 2),
        block(BASE, 28, 28),
    )
    assert codes(year, *blocks) == {"rest-length"}


def test_a_short_block_from_the_first_day_to_a_given_thing_fills_its_gap() -> None:
    year = a_year(4, before=STRONG, absences=[absence(3, 5)])
    blocks = (block(BASE, 0, 3), given(Kind.ABSENCE, 3, 5, entry="away"), block(BASE, 8, 20))
    assert codes(year, *blocks) == set()


def test_the_lead_in_is_not_counted_towards_the_longest_performance_block() -> None:
    year = a_year(11, seasons=[season(7, 63)])
    lead_in = (0.5,) + 8 * (0.85,)
    assert codes(year, block(PERFORMANCE, 0, 63, shares=lead_in), block(REST, 63, 14)) == set()
    too_long = block(PERFORMANCE, 0, 70, shares=(*lead_in, 0.85))
    assert codes(year, too_long, block(REST, 70, 7)) == {"performance-length"}


def test_a_season_that_opens_on_a_weekend_may_still_fill_its_eight_weeks() -> None:
    """A begun week is no week: from its Saturday a season of eight weeks has two days more."""
    year = a_year(11, seasons=[season(12, 58)])
    whole = block(PERFORMANCE, 0, 70, shares=(0.5, 0.7) + 8 * (0.85,))
    assert codes(year, whole, block(REST, 70, 7)) == set()
