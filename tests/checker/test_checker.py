"""The verdict as a whole: what a plan is, what it claims, what it costs; and no plan stops it."""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import replace
from datetime import time, timedelta

import pytest
from plan_maker import (
    a_year,
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

from seasonplan.body.almanac import Almanac
from seasonplan.body.worth import rock_worth
from seasonplan.checker import check
from seasonplan.checker.sheet import Sheet
from seasonplan.checker.worth import score_on
from seasonplan.days import Span
from seasonplan.plan import Block, Score, Session
from seasonplan.rules.findings import COVER, GIVEN, MINUTES, PAST, PIN, PROOF, SCORE
from seasonplan.rules.statements import Rule, RuleBook, standard_book
from seasonplan.rules.tables import response_table
from seasonplan.vocabulary import Kind, Phase, RockRole
from seasonplan.year import Year

BASE, STRENGTH, PERFORMANCE, REST = Kind.BASE, Kind.STRENGTH, Kind.PERFORMANCE, Kind.REST
BOOK = standard_book()
INTEGRITY = (COVER, GIVEN, PIN, MINUTES, SCORE, PROOF, PAST)  # not the sums of sessions


def integrity(year: Year, *blocks: Block) -> list[tuple[str, Span]]:
    """What is said of what a plan is; weeks made by hand have no sessions to add up."""
    found = check(year, blocks)
    return [(f.code, f.span) for f in found if f.code in INTEGRITY]


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
        (2, {"phase": Phase.EASY}),  # a chosen block has no phase
        (4, {"phase": Phase.OFF}),
    ],
)
def test_a_given_thing_changed_is_reported(at: int, changes: dict[str, object]) -> None:
    year, blocks = away_year()
    blocks[at] = exchanged(blocks[at], **changes)
    found = integrity(year, *blocks)
    assert (GIVEN, blocks[at].span) in found
    assert {code for code, _ in found} == {GIVEN}


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


# --- what it claims -----------------------------------------------------------------------------


def on_rock(n: int, role: RockRole = RockRole.PROJECT) -> Session:
    """A day on the rock of the season on day `n`."""
    return Session(
        id=f"rock-{n}", block="performance-56", recipe="redpoint-day", day=day(n),
        start=time(10), minutes=180, rpe=7, rock="season", role=role, active_share=0.5,
    )  # fmt: skip


SESSIONS = (on_rock(61), on_rock(62, RockRole.EASY), on_rock(68), on_rock(75))


def claim() -> tuple[Year, list[Block], Score]:
    year, blocks = sound_year()
    return year, blocks, score_on(Sheet(year, blocks, book=BOOK), SESSIONS)


def lies(year: Year, blocks: Sequence[Block], claimed: Score) -> list[str]:
    found = check(year, blocks, sessions=SESSIONS, claimed=claimed)
    return [f.about for f in found if f.code == SCORE]


def test_the_worth_worked_out_is_no_lie() -> None:
    year, blocks, true = claim()
    assert lies(year, blocks, true) == []
    (one,) = true.occasions
    assert (one.rock_days, one.good_days) == (4, pytest.approx(4 * 0.5))


def test_days_on_rock_are_worth_their_chance_priority_and_role() -> None:
    """A project day sure to be good is 3 points for a goal of priority 1 (shared/response.toml)."""
    year, _ = sound_year()
    almanac = Almanac(year)
    assert rock_worth(almanac, on_rock(61)) == pytest.approx(0.5 * 3)
    easy = rock_worth(almanac, on_rock(61, RockRole.EASY))
    assert easy == pytest.approx(0.5 * 3 * response_table().easy_day)
    assert rock_worth(almanac, on_rock(40)) == 0


def test_the_points_are_worth_less_costs() -> None:
    year, blocks, true = claim()
    free = RuleBook({rule.code: Rule(**{**dict(rule), "weight": 0.0}) for rule in BOOK})
    costs = sum(cost.points for cost in true.costs)
    assert costs > 0
    assert true.points == pytest.approx(
        score_on(Sheet(year, blocks, book=free), SESSIONS).points - costs
    )


@pytest.mark.parametrize(
    ("part", "change", "about"),
    [
        ("good_days", 0.00001, "good days, line at season"),
        ("good_days", -0.00001, "good days, line at season"),
        ("form", 0.00001, "form, line at season"),
        ("form", float("nan"), "form, line at season"),
        ("easy_days", 1, "easy days, line at season"),
    ],
)
def test_an_occasion_claimed_wrongly_is_reported(part: str, change: float, about: str) -> None:
    year, blocks, true = claim()
    one = true.occasions[0]
    wrong = type(one)(**{**dict(one), part: getattr(one, part) + change})
    assert lies(year, blocks, Score(**{**dict(true), "occasions": (wrong,)})) == [about]


def test_what_a_goal_had_of_a_season_that_is_over_is_not_worked_out_again() -> None:
    year, blocks, true = claim()
    one = true.occasions[0]
    wrong = type(one)(**{**dict(one), "good_days": one.good_days + 1})
    claimed = Score(**{**dict(true), "occasions": (wrong,)})
    for today, asked in ((one.span.last, True), (one.span.after, False)):
        found = check(year, blocks, sessions=SESSIONS, claimed=claimed, today=today)
        assert any(each.about.startswith("good days") for each in found) is asked


def test_a_plan_that_did_not_say_which_days_are_easy_claims_none() -> None:
    year, blocks, true = claim()
    silent = type(true.occasions[0])(**{**dict(true.occasions[0]), "easy_days": None})
    assert lies(year, blocks, Score(**{**dict(true), "occasions": (silent,)})) == []


def test_rounding_of_sums_is_no_lie() -> None:
    year, blocks, true = claim()
    one = true.occasions[0]
    near = type(one)(**{**dict(one), "good_days": one.good_days + 5e-7, "form": one.form - 5e-7})
    claimed = Score(occasions=(near,), costs=true.costs, points=true.points + 5e-7)
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
    assert lies(year, blocks, Score(**{**dict(true), "points": true.points + 1e-5})) == ["points"]
    assert sorted(lies(year, blocks, Score(**{**dict(true), "costs": ()}))) == sorted(
        cost.rule for cost in true.costs if cost.points
    )
    unpaid = Score(**{**dict(true), "costs": ()})
    none = check(year, blocks, sessions=SESSIONS, claimed=unpaid)
    owed = {cost.rule: (0.0, cost.points) for cost in true.costs if cost.points}
    assert {f.about: (f.found, f.limit) for f in none if f.about in owed} == owed


# --- every plan gets a verdict ------------------------------------------------------------------


def test_findings_come_in_order_of_their_days_and_then_their_codes() -> None:
    year = a_year(12, pins=[pin(REST, 70, 7)])
    found = check(year, [block(STRENGTH, 40, 20), block(BASE, 0, 20), block(REST, 10, 40)])
    keys = [(f.span.first, f.code) for f in found]
    assert keys == sorted(keys)
    assert len({f.code for f in found}) >= 4


def test_the_order_in_which_blocks_are_handed_over_changes_nothing() -> None:
    year, blocks, true = claim()
    back = check(year, blocks[::-1], sessions=SESSIONS[::-1], claimed=true)
    assert back == check(year, blocks, sessions=SESSIONS, claimed=true)


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
