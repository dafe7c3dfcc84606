"""The verdict as a whole: what a plan is, what it claims, what it costs; and no plan stops it."""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import replace
from datetime import timedelta

import pytest
from plan_maker import (
    FULL_WEEK,
    a_year,
    absence,
    away_year,
    block,
    day,
    exchanged,
    given,
    pin,
    sound_year,
    span,
    trip,
)

from seasonplan.checker import check, score
from seasonplan.checker.sheet import Sheet
from seasonplan.days import Span
from seasonplan.findings import COVER, GIVEN, INTEGRITY, MINUTES, PIN, SCORE
from seasonplan.plan import Block, Score
from seasonplan.rules import Rule, RuleBook, standard_book
from seasonplan.vocabulary import Kind, Phase
from seasonplan.year import Year

BASE, STRENGTH, PERFORMANCE, REST = Kind.BASE, Kind.STRENGTH, Kind.PERFORMANCE, Kind.REST
BOOK = standard_book()


def integrity(year: Year, *blocks: Block) -> list[tuple[str, Span]]:
    return [(f.code, f.span) for f in check(year, blocks) if f.code in INTEGRITY]


# --- what a plan is ---------------------------------------------------------------------------


def test_days_without_a_block_are_reported() -> None:
    year = a_year(8)
    assert integrity(year, block(BASE, 0, 28), block(STRENGTH, 30, 26)) == [(COVER, span(28, 2))]
    assert integrity(year) == [(COVER, year.span)]


def test_days_in_two_blocks_are_reported_with_both() -> None:
    blocks = (block(BASE, 0, 28), block(STRENGTH, 26, 30))
    found = [f for f in check(a_year(8), blocks) if f.code == COVER]
    assert [(f.span, f.blocks) for f in found] == [(span(26, 2), ("base-0", "strength-26"))]


def test_blocks_outside_the_year_are_reported() -> None:
    blocks = (block(BASE, -3, 31), block(STRENGTH, 28, 30))
    assert integrity(a_year(8), *blocks) == [(COVER, span(-3, 3)), (COVER, span(56, 2))]


@pytest.mark.parametrize("kept", [slice(1, None), slice(0, -1), slice(0, None, 2), slice(0, 0)])
def test_weeks_that_leave_days_of_their_block_out_are_reported(kept: slice) -> None:
    whole = block(BASE, 0, 28)
    holed = exchanged(whole, weeks=whole.weeks[kept])
    codes = {code for code, _ in integrity(a_year(8), holed, block(STRENGTH, 28, 28))}
    assert codes == {COVER}


def test_a_week_over_the_edge_of_a_calendar_week_is_reported() -> None:
    whole = block(BASE, 0, 28)
    one, two, *rest = whole.weeks
    values = dict(one) | {"span": Span(one.span.first, two.span.after)}
    long = exchanged(whole, weeks=(type(one)(**values), *rest))
    assert integrity(a_year(8), long, block(STRENGTH, 28, 28)) == [(COVER, span(0, 14))]


def test_given_things_where_the_year_says_are_fine() -> None:
    year, blocks = away_year()
    assert integrity(year, *blocks) == []


@pytest.mark.parametrize(
    ("at", "changes"),
    [
        (1, {"kind": Kind.ABSENCE}),
        (1, {"kind": BASE}),
        (3, {"entry": "elsewhere"}),
        (3, {"entry": None}),
        (5, {"phase": Phase.EASY}),
        (6, {"phase": None}),
        (7, {"kind": REST}),
    ],
)
def test_a_given_thing_changed_is_reported(at: int, changes: dict[str, object]) -> None:
    year, blocks = away_year()
    blocks[at] = exchanged(blocks[at], **changes)
    found = integrity(year, *blocks)
    assert (GIVEN, blocks[at].span) in found
    assert {code for code, _ in found} <= {GIVEN, MINUTES}


def test_a_given_thing_moved_is_reported_at_both_places() -> None:
    year = a_year(8, trips=[trip(21, 7)])
    blocks = (block(BASE, 0, 22), given(Kind.TRIP, 22, 7, entry="trip"), block(REST, 29, 27))
    assert {where for code, where in integrity(year, *blocks) if code == GIVEN} == {
        span(21, 7),
        span(22, 7),
    }


def test_an_absence_that_the_year_does_not_know_is_reported() -> None:
    blocks = (block(BASE, 0, 28), given(Kind.ABSENCE, 28, 28, entry="away"))
    assert integrity(a_year(8), *blocks) == [(GIVEN, span(28, 28))]


@pytest.mark.parametrize(
    "kept", [pin(BASE, 0, 27), pin(BASE, 1, 27), pin(STRENGTH, 0, 28), pin(BASE, 0, 29)]
)
def test_a_pin_that_is_not_kept_to_the_day_is_reported(kept: object) -> None:
    year = a_year(8, pins=[kept])
    blocks = (block(BASE, 0, 28), block(STRENGTH, 28, 28))
    assert [code for code, _ in integrity(year, *blocks)] == [PIN]


def test_a_pin_that_is_kept_is_fine() -> None:
    blocks = (block(BASE, 0, 28), block(STRENGTH, 28, 28))
    assert integrity(a_year(8, pins=[pin(BASE, 0, 28)]), *blocks) == []


def test_more_minutes_than_the_days_have_are_reported() -> None:
    blocks = (block(BASE, 0, 28, shares=(0.9, 1.01, 0.9, 0.6)), block(STRENGTH, 28, 28))
    found = [f for f in check(a_year(8), blocks) if f.code == MINUTES]
    assert [(f.span, f.limit) for f in found] == [(span(7, 7), FULL_WEEK)]
    assert found[0].found == pytest.approx(1.01 * FULL_WEEK)


def test_half_days_leave_half_the_minutes() -> None:
    blocks = (block(BASE, 0, 28), block(STRENGTH, 28, 28))
    year = a_year(8, absences=[absence(0, 7, left=0.5)])
    assert integrity(year, *blocks) == [(MINUTES, span(0, 7))]


def test_a_short_climbing_trip_asks_no_minutes_of_home() -> None:
    """Thursday to Sunday away, with 640 minutes on rock; the days before are as always."""
    weeks = (*block(BASE, 0, 3).weeks, *block(BASE, 3, 4, week={"minutes": 640}).weeks)
    first = Block(id="b", kind=BASE, span=span(0, 28), weeks=weeks + block(BASE, 7, 21).weeks)
    blocks = (first, block(STRENGTH, 28, 28))
    assert integrity(a_year(8, trips=[trip(3, 4)]), *blocks) == []
    assert integrity(a_year(8), *blocks) == [(MINUTES, span(3, 4))]


@pytest.mark.parametrize(("limit", "full"), [(7, 600), (6, 540), (5, 480), (1, 150)])
def test_a_full_week_leaves_the_leanest_days_free(limit: int, full: int) -> None:
    minutes = {
        "monday": 60, "tuesday": 90, "wednesday": 60, "thursday": 60, "friday": 60,
        "saturday": 150, "sunday": 120,
    }  # fmt: skip
    year = a_year(8, climber={"minutes": minutes})
    sheet = Sheet(year, [], book=BOOK.with_limit("rest-day", limit))
    assert sheet.full_minutes(span(0, 7)) == full
    assert Sheet(year, [], book=BOOK.without("rest-day")).full_minutes(span(0, 7)) == 600


# --- what it claims -----------------------------------------------------------------------------


def claim() -> tuple[Year, list[Block], Score]:
    year, blocks = sound_year()
    return year, blocks, score(year, blocks, book=BOOK)


def lies(year: Year, blocks: Sequence[Block], claimed: Score) -> list[str]:
    return [f.about for f in check(year, blocks, claimed=claimed) if f.code == SCORE]


def test_the_worth_worked_out_is_no_lie() -> None:
    year, blocks, true = claim()
    assert lies(year, blocks, true) == []
    assert true.occasions[0].good_days == pytest.approx(15 * 0.5)  # five days a week for 3 weeks


def test_the_points_are_worth_less_costs() -> None:
    year, blocks, true = claim()
    free = RuleBook({rule.code: Rule(**{**dict(rule), "weight": 0.0}) for rule in BOOK})
    costs = sum(cost.points for cost in true.costs)
    assert costs > 0
    assert true.points == pytest.approx(score(year, blocks, book=free).points - costs)


@pytest.mark.parametrize(
    ("part", "change", "about"),
    [
        ("good_days", 0.03, "good days, line at season"),
        ("good_days", -0.03, "good days, line at season"),
        ("state", 0.011, "state, line at season"),
        ("state", float("nan"), "state, line at season"),
    ],
)
def test_an_occasion_claimed_wrongly_is_reported(part: str, change: float, about: str) -> None:
    year, blocks, true = claim()
    one = true.occasions[0]
    wrong = type(one)(**{**dict(one), part: getattr(one, part) + change})
    assert lies(year, blocks, Score(**{**dict(true), "occasions": (wrong,)})) == [about]


def test_rounding_of_the_solver_is_no_lie() -> None:
    year, blocks, true = claim()
    one = true.occasions[0]
    near = type(one)(
        **{**dict(one), "good_days": one.good_days + 0.019, "state": one.state - 0.009}
    )
    claimed = Score(occasions=(near,), costs=true.costs, points=true.points * 1.004)
    assert lies(year, blocks, claimed) == []


def test_an_occasion_left_out_or_made_up_is_reported() -> None:
    year, blocks, true = claim()
    none = Score(**{**dict(true), "occasions": ()})
    assert lies(year, blocks, none) == ["good days, line at season"]
    other = type(true.occasions[0])(**{**dict(true.occasions[0]), "entry": "dream"})
    more = Score(**{**dict(true), "occasions": (*true.occasions, other)})
    assert lies(year, blocks, more) == ["good days, line at dream"]


def test_points_and_costs_claimed_wrongly_are_reported() -> None:
    year, blocks, true = claim()
    assert lies(year, blocks, Score(**{**dict(true), "points": true.points + 1})) == ["points"]
    assert sorted(lies(year, blocks, Score(**{**dict(true), "costs": ()}))) == sorted(
        cost.rule for cost in true.costs if cost.points > 0.03
    )


# --- every plan gets a verdict ------------------------------------------------------------------


def test_findings_come_in_order_of_their_days_and_then_their_codes() -> None:
    year = a_year(12, pins=[pin(REST, 70, 7)])
    found = check(year, [block(STRENGTH, 40, 20), block(BASE, 0, 20), block(REST, 10, 40)])
    keys = [(f.span.first, f.code) for f in found]
    assert keys == sorted(keys)
    assert len({f.code for f in found}) >= 4


def test_the_order_in_which_blocks_are_handed_over_changes_nothing() -> None:
    year, blocks, true = claim()
    assert check(year, blocks[::-1], claimed=true) == check(year, blocks, claimed=true)


def spoiled(blocks: Sequence[Block], rng: random.Random) -> list[Block]:
    """Blocks with some lost, doubled, moved, stretched, emptied or turned to another kind."""
    out: list[Block] = []
    for old in blocks:
        spoil = rng.randrange(8)
        if spoil == 0:
            continue
        if spoil == 1:
            out.append(old)
        moved = old.span.shifted(rng.randint(-40, 40)) if spoil == 2 else old.span
        if spoil == 3:
            moved = replace(moved, after=moved.after + timedelta(days=rng.randint(1, 60)))
        out.append(
            exchanged(
                old,
                span=moved,
                weeks=() if spoil == 4 else old.weeks[:: rng.choice((1, 2, -1))],
                kind=rng.choice(list(Kind)) if spoil == 5 else old.kind,
            )
        )
    rng.shuffle(out)
    return out


def test_no_plan_however_spoiled_stops_the_checker() -> None:
    year, blocks = away_year()
    _, others, true = claim()
    judged = 0
    for number in range(60):
        rng = random.Random(number)
        plan = spoiled([*blocks, *others], rng)
        assert check(year, plan, claimed=true)
        judged += 1
    assert check(year, [])
    assert judged == 60


def test_a_plan_is_never_clean_once_a_day_is_moved() -> None:
    """Every block edge of a clean plan shifted by a day breaks what a plan is."""
    year, blocks, _ = claim()
    for at in range(len(blocks)):
        moved = [
            exchanged(each, span=each.span.shifted(1)) if n == at else each
            for n, each in enumerate(blocks)
        ]
        assert COVER in {code for code, _ in integrity(year, *moved)}
    assert day(0) == year.span.first
