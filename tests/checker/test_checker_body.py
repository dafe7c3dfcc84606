"""What weeks hold: what the judges must report and let be.

Limits are those of shared/rules.toml, where each has its source.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import pytest
from plan_maker import (
    FIRST,
    a_year,
    absence,
    block,
    exchanged,
    given,
    injury,
    season,
    span,
    trip,
)
from verdicts import codes, hard, only

from seasonplan.body.response import body_of
from seasonplan.checker import JUDGES
from seasonplan.checker.sheet import Sheet
from seasonplan.plan import Block, Loads, Week
from seasonplan.rules.findings import Finding
from seasonplan.rules.statements import book_of
from seasonplan.vocabulary import Emphasis, Kind, Phase
from seasonplan.year import Trip

BASE, STRENGTH, PERFORMANCE, REST = Kind.BASE, Kind.STRENGTH, Kind.PERFORMANCE, Kind.REST
LONG_SEASON = season(0, 200)


# --- what weeks hold ----------------------------------------------------------------------------


@pytest.mark.parametrize("kind", [BASE, STRENGTH])
def test_four_weeks_without_a_light_one_are_reported(kind: Kind) -> None:
    heavy = block(kind, 7, 28, shares=(0.9,))
    finding = only(a_year(8), block(REST, 0, 7), heavy, block(REST, 35, 7), block(BASE, 42, 14))
    assert (finding.code, finding.found, finding.span) == ("deload", 4, span(7, 28))
    three = block(kind, 7, 21, shares=(0.9,))
    assert codes(a_year(5), block(REST, 0, 7), three, block(REST, 28, 7)) == set()


@pytest.mark.parametrize(("share", "broken"), [(0.49, False), (0.5, True)])
def test_a_week_missed_in_most_is_as_good_as_a_light_one(share: float, broken: bool) -> None:
    year, blocks = a_year(8), (block(BASE, 7, 35, shares=(0.9, 0.9, 0.9, 0.9, 0.6)),)
    sheet = Sheet(year, blocks, book=book_of(year), done={span(14, 7).first: share})
    found = list(JUDGES["deload"](sheet, book_of(year)["deload"]))
    assert bool(found) == broken


def test_a_light_week_is_owed_over_the_edge_of_two_blocks_as_well() -> None:
    blocks = (block(BASE, 0, 21, shares=(0.9,)), block(STRENGTH, 21, 21, shares=(0.9,)))
    assert codes(a_year(6), *blocks) == {"deload"}
    light = block(STRENGTH, 21, 21, shares=(0.5, 0.9, 0.9))
    assert codes(a_year(6), blocks[0], light) == set()


def test_a_week_is_light_when_the_plan_marks_it_as_such() -> None:
    """Whether it holds less is told by `session-progression`."""
    heavy, rest = block(BASE, 0, 28, shares=(0.9,)), block(REST, 28, 7)
    assert codes(a_year(5), heavy, rest) == {"deload"}
    *weeks, last = heavy.weeks
    light = exchanged(heavy, weeks=(*weeks, Week(**{**dict(last), "deload": True})))
    assert codes(a_year(5), light, rest) == set()


def test_a_few_days_at_either_end_are_no_week_of_the_block() -> None:
    """Three days, three whole weeks, three days: Friday to Wednesday."""
    ragged = block(BASE, 4, 27, shares=(1.0,))
    assert codes(a_year(5), block(REST, 0, 4), ragged, block(REST, 31, 4)) == {"rest-length"}
    longer = block(BASE, 3, 28, shares=(1.0,))
    assert "deload" in codes(a_year(5), block(REST, 0, 3), longer, block(REST, 31, 4))


@pytest.mark.parametrize(("base", "broken"), [(2, True), (3, False), (4, True)])
def test_a_week_of_which_neither_of_two_blocks_has_most_is_no_week_of_a_row(
    base: int, broken: bool
) -> None:
    """Base and strength share the first week from Tuesday on; three heavy weeks follow it."""
    blocks = (
        block(REST, 0, 1), block(BASE, 1, base, shares=(0.9,)),
        block(STRENGTH, 1 + base, 27 - base, shares=(0.9,)), block(REST, 28, 7),
    )  # fmt: skip
    assert ("deload" in codes(a_year(5), *blocks)) is broken


def test_a_week_without_free_minutes_is_a_light_one() -> None:
    year = a_year(8, absences=[absence(22, 2), absence(24, 4, id="again")])
    blocks = [block(BASE, 0, 56, shares=(0.9, 0.9, 0.9, 0.0, 0.9, 0.9, 0.9, 0.6))]
    assert codes(year, *blocks) == set()


@pytest.mark.parametrize(("days", "broken"), [(6, False), (7, True)])
def test_a_week_of_seven_training_days_is_reported(days: int, broken: bool) -> None:
    full = block(REST, 28, 7, week={"training_days": days})
    found = hard(a_year(8), block(BASE, 0, 28), full, block(BASE, 35, 21))
    told = [(f.code, f.found, f.limit, f.span) for f in found]
    assert told == ([("rest-day", 7, 6, span(28, 7))] if broken else [])


def test_days_on_trips_are_no_training_days() -> None:
    year = a_year(8, trips=[trip(21, 7)])
    away = block(Kind.TRIP, 21, 7, entry="trip", week={"training_days": 7})
    assert codes(year, block(BASE, 0, 21), away, block(BASE, 28, 28)) == set()


# --- after days off -----------------------------------------------------------------------------


TOP = body_of(a_year(12)).top


def loaded(first: int, days: int, *shares: float, kind: Kind = BASE) -> Block:
    """A block whose weeks hold these shares of the most a week may ever hold, then a tenth."""
    made = block(kind, first, days)
    rest = len(made.weeks) - len(shares)
    weeks = tuple(
        Week(**{**dict(week), "loads": Loads(endurance=share * TOP)})
        for week, share in zip(made.weeks, (*shares, *[0.1] * rest), strict=True)
    )
    return exchanged(made, weeks=weeks)


def after_days_off(days: int, *then: Block, until: int = 42) -> set[str]:
    """Days off that end on the eve of day `until`, and what then comes."""
    year = a_year(12, absences=[absence(until - days, days)])
    off = given(Kind.ABSENCE, until - days, days, entry="away")
    return codes(year, block(BASE, 0, until - days), off, *then)


# Days off, and the shares of the weeks after them, as shared/blocks.toml says them.
ROWS = [(5, (0.7,)), (10, (0.5, 0.75)), (21, (0.5, 0.65, 0.8))]


def test_after_weeks_of_little_time_the_load_builds_back_inside_a_block() -> None:
    """By hand: three weeks with .3 of the time miss 14 days: half, then three quarters."""
    year = a_year(8, absences=[absence(14, 21, left=0.3)])
    before = (0.5, 0.5, 0.1, 0.1, 0.1)
    assert codes(year, loaded(0, 56, *before, 0.5, 0.75, 0.5)) == set()
    assert "build-back" in codes(year, loaded(0, 56, *before, 0.56, 0.75, 0.5))
    assert "build-back" in codes(year, loaded(0, 56, *before, 0.5, 0.84, 0.5))
    more = a_year(8, absences=[absence(14, 21, left=0.8)])
    assert "build-back" not in codes(more, loaded(0, 56, *before, 1.0, 1.0))


def test_weeks_of_little_time_are_no_weeks_of_a_row_nor_is_the_first_after_them() -> None:
    year = a_year(9, absences=[absence(14, 21, left=0.3)])
    heavy = (0.9, 0.9, 0.9, 0.9, 0.9, 0.9, 0.9, 0.9, 0.6)
    assert "deload" not in codes(year, block(BASE, 0, 63, shares=heavy))
    assert "deload" in codes(a_year(9), block(BASE, 0, 63, shares=heavy))


@pytest.mark.parametrize("off", [4, 5, 12])
def test_weeks_are_counted_anew_after_those_that_lead_back(off: int) -> None:
    """The light week is the fifth; the first one or two lead back where the days off ask for it."""
    year = a_year(12, absences=[absence(21 - off, off)])
    blocks = (
        block(BASE, 0, 21 - off), given(Kind.ABSENCE, 21 - off, off, entry="away"),
        block(BASE, 21, 35, shares=(0.9, 0.9, 0.9, 0.9, 0.6)),
    )  # fmt: skip
    assert ("deload" in codes(year, *blocks)) is (off == 4)


@pytest.mark.parametrize(("days", "shares"), ROWS)
def test_after_days_off_the_load_builds_back(days: int, shares: tuple[float, ...]) -> None:
    """A tenth above its share is let be, for sessions are no shorter than their recipes allow."""
    assert after_days_off(days, loaded(42, 42, *(1.09 * share for share in shares))) == set()
    for at in range(len(shares)):
        more = [share * (1.11 if n == at else 1) for n, share in enumerate(shares)]
        assert after_days_off(days, loaded(42, 42, *more)) == {"build-back"}
    assert after_days_off(days, loaded(42, 42, *shares, 5.0)) == set()


@pytest.mark.parametrize(("off", "broken"), [(13, set()), (14, {"build-back"})])
@pytest.mark.parametrize(("kind", "days"), [(STRENGTH, 21), (REST, 14)])
def test_neither_strength_nor_rest_follows_a_layoff(
    kind: Kind, days: int, off: int, broken: set[str]
) -> None:
    then = (block(kind, 42, days, shares=(0.25,)), block(BASE, 42 + days, 42 - days))
    assert after_days_off(off, *then) == broken


@pytest.mark.parametrize(("days", "shares"), [(3, (0.5, 0.75)), (4, (0.75,))])
def test_a_few_days_before_the_first_whole_week_go_with_it(
    days: int, shares: tuple[float, ...]
) -> None:
    """Back on a Friday the next week is the first one, back on a Thursday it is the second."""
    first = 49 - days
    for more, broken in ((1.09, set()), (1.11, {"build-back"})):
        then = loaded(first, 84 - first, 0.1, *(more * share for share in shares))
        assert after_days_off(10, then, until=first) == broken


def in_a_row(*given_blocks: Block, trips: Sequence[Trip] = ()) -> set[str]:
    """Two absences of a week each and what follows, then strength that holds little."""
    year = a_year(
        12, absences=[absence(21, 7), absence(28, 7, id="again")], trips=trips,
        injuries=[] if trips else [injury(35, easy=35, building=35, full=42)],
    )  # fmt: skip
    off = [given(Kind.ABSENCE, 21, 7, entry="away"), given(Kind.ABSENCE, 28, 7, entry="again")]
    then = loaded(42, 42, kind=STRENGTH)
    return codes(year, block(BASE, 0, 21), *off, *given_blocks, then)


def test_two_absences_in_a_row_add_up_and_a_return_to_load_does_not_hide_them() -> None:
    back = given(Kind.RETURN, 35, 7, entry="finger", phase=Phase.BUILDING)
    assert in_a_row(back) == {"build-back"}


def test_a_climbing_trip_ends_a_layoff() -> None:
    assert in_a_row(given(Kind.TRIP, 35, 7, entry="trip"), trips=[trip(35, 7)]) == {
        "rest-before-strength"
    }


def test_days_off_with_an_injury_are_a_layoff_and_a_rest() -> None:
    year = a_year(16, seasons=[LONG_SEASON], injuries=[injury(28, easy=42, building=42, full=42)])
    off = given(Kind.INJURED, 28, 14, entry="finger", phase=Phase.OFF)
    before = block(PERFORMANCE, 0, 28)
    for share, broken in ((0.5, set()), (0.6, {"build-back"})):
        rows = [loaded(42, 21, share), block(REST, 63, 7), block(STRENGTH, 70, 42)]
        assert codes(year, before, off, *rows) == broken


# --- hurt and young -----------------------------------------------------------------------------


def hurt(off: Block, easy: Block, building: Block) -> list[Finding]:
    year = a_year(8, injuries=[injury(21, easy=28, building=35, full=42)])
    return hard(year, block(BASE, 0, 21), off, easy, building, block(BASE, 42, 14))


def phases() -> tuple[Block, Block, Block]:
    return (
        given(Kind.INJURED, 21, 7, entry="finger", phase=Phase.OFF),
        given(Kind.RETURN, 28, 7, entry="finger", phase=Phase.EASY),
        given(Kind.RETURN, 35, 7, entry="finger", phase=Phase.BUILDING),
    )


def changed(old: Block, **changes: object) -> Block:
    return block(
        old.kind, (old.span.first - FIRST).days, old.span.length, entry=old.entry, phase=old.phase,
        week=changes,
    )  # fmt: skip


def test_other_training_goes_on_while_a_finger_heals() -> None:
    assert hurt(*phases()) == []


@pytest.mark.parametrize("at", [0, 1, 2])
def test_no_maximal_finger_work_in_any_phase(at: int) -> None:
    blocks = list(phases())
    blocks[at] = changed(blocks[at], max_fingers=True)
    found = hurt(*blocks)
    assert [(f.code, f.span) for f in found] == [("injury-caps", blocks[at].span)]


def test_no_maximal_finger_work_on_a_trip_during_the_return() -> None:
    year = a_year(8, injuries=[injury(21, easy=21, building=28, full=42)], trips=[trip(28, 7)])
    first, last = (
        given(Kind.RETURN, 21, 7, entry="finger", phase=Phase.EASY),
        given(Kind.RETURN, 35, 7, entry="finger", phase=Phase.BUILDING),
    )

    def away(**week: object) -> Block:
        return block(Kind.TRIP, 28, 7, entry="trip", week=week)

    def around(middle: Block) -> list[Block]:
        return [block(BASE, 0, 21), first, middle, last, block(BASE, 42, 14)]

    assert codes(year, *around(away())) == set()
    assert codes(year, *around(away(max_fingers=True))) == {"injury-caps"}


def test_a_week_that_is_hurt_for_a_few_days_is_left_to_the_judge_of_sessions() -> None:
    """Which day of it holds the maximal work only the sessions say."""
    year = a_year(8, injuries=[injury(21, easy=21, building=21, full=30)], trips=[trip(28, 7)])
    hurt_days = given(Kind.RETURN, 21, 7, entry="finger", phase=Phase.BUILDING)
    away = block(Kind.TRIP, 28, 7, entry="trip", week={"max_fingers": True})
    assert codes(year, block(BASE, 0, 21), hurt_days, away, block(BASE, 35, 21)) == set()


@pytest.mark.parametrize(("born", "broken"), [(2009, True), (2008, False), (None, False)])
def test_no_maximal_finger_loading_before_18(born: int | None, broken: bool) -> None:
    """The climber of 2009 is 17 for part of 2027; the age is that of shared/rules.toml."""
    year = a_year(8, climber={"birth_year": born})
    hard_weeks = block(STRENGTH, 28, 28, week={"max_fingers": True})
    expected = {"young-fingers"} if broken else set()
    assert codes(year, block(BASE, 0, 28), hard_weeks) == expected


@pytest.mark.parametrize(("days", "told"), [(28, True), (56, False), (63, False)])
def test_a_block_named_for_what_comes_back_after_most_of_its_days_is_reported(
    days: int, told: bool
) -> None:
    """Hard hangs come back four weeks after full."""
    year = a_year(16, injuries=[injury(0, easy=7, building=14, full=21)])
    sheet_of = {"emphasis": Emphasis.FINGERS}

    def found(**fields: Any) -> list[str]:
        one = block(BASE, 21, days, **(sheet_of | fields))
        sheet = Sheet(year, (one,), book=book_of(year))
        findings = JUDGES["injury-caps"](sheet, book_of(year)["injury-caps"])
        return [finding.about for finding in findings]

    assert found() == (["emphasis"] if told else [])
    assert found(pinned=True) == found(emphasis=Emphasis.ENDURANCE) == []
