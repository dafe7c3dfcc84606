"""What bending a soft rule costs, worked by hand.

Limits are those of shared/rules.toml, where each has its source.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

import pytest
from plan_maker import (
    a_year,
    absence,
    away_year,
    block,
    exchanged,
    given,
    goal,
    season,
    sound_year,
    span,
    trip,
)

from seasonplan.checker import check, soft_costs
from seasonplan.findings import Finding
from seasonplan.plan import Block, Loads
from seasonplan.response import full_week_load
from seasonplan.rules import book_of, standard_book
from seasonplan.vocabulary import Kind
from seasonplan.year import Before, Year

BASE, STRENGTH, PERFORMANCE, REST = Kind.BASE, Kind.STRENGTH, Kind.PERFORMANCE, Kind.REST
BOOK = standard_book()


def amounts(year: Year, *blocks: Block) -> dict[str, float]:
    return {cost.rule: cost.amount for cost in soft_costs(year, blocks, book=book_of(year))}


def soft(year: Year, *blocks: Block) -> list[Finding]:
    return [f for f in check(year, blocks) if f.strength == "soft"]


def test_every_soft_rule_has_a_price_and_points_are_weight_times_amount() -> None:
    year, blocks = sound_year()
    costs = soft_costs(year, blocks, book=BOOK)
    assert {cost.rule for cost in costs} == {
        rule.code for rule in BOOK if not rule.hard and rule.about == "blocks"
    }
    assert all(cost.points == BOOK[cost.rule].weight * cost.amount for cost in costs)
    assert "base-first" not in {
        c.rule for c in soft_costs(year, blocks, book=BOOK.without("base-first"))
    }


def test_each_chosen_block_has_a_price_but_is_no_finding() -> None:
    year, blocks = away_year()
    assert amounts(year, *blocks)["few-changes"] == 3
    assert "few-changes" not in {f.code for f in check(year, blocks)}


def test_strength_straight_after_rest_costs_and_days_between_free_it() -> None:
    plain = a_year(8)
    blocks = (block(BASE, 0, 21), block(REST, 21, 7), block(STRENGTH, 28, 28))
    assert amounts(plain, *blocks)["base-first"] == 1
    assert [f.blocks for f in soft(plain, *blocks) if f.code == "base-first"] == [
        ("rest-21", "strength-28")
    ]
    year = a_year(8, absences=[absence(28, 7)])
    away = given(Kind.ABSENCE, 28, 7, entry="away")
    assert amounts(year, *blocks[:2], away, block(STRENGTH, 35, 21))["base-first"] == 0


@pytest.mark.parametrize(
    ("begins", "priority", "late", "lead"),
    [(14, 1, 0, 0), (15, 1, 1, 6), (21, 1, 1, 0), (28, 1, 1, 0), (21, 2, 0, 0)],
)
def test_a_dear_season_opens_on_a_week_of_lead_in(
    begins: int, priority: int, late: int, lead: int
) -> None:
    """The season begins on day 21: begun on day 14 in time, from then on too late."""
    year = a_year(12, seasons=[season(21, 42)], goals=[goal(priority=priority)])
    blocks = (
        block(BASE, 0, begins),
        block(PERFORMANCE, begins, 28),
        block(REST, begins + 28, 56 - begins),
    )
    assert amounts(year, *blocks)["lead-in-start"] == late
    found = [f for f in soft(year, *blocks) if f.code == "lead-in-start"]
    assert [(f.found, f.limit, f.span) for f in found] == ([(lead, 7, span(21, 1))] * late)


def test_no_lead_in_is_asked_where_none_could_be_had_or_there_is_rock_already() -> None:
    goals = [goal(priority=1)]
    opens_year = (block(PERFORMANCE, 0, 28), block(REST, 28, 28))
    year = a_year(8, seasons=[season(0, 28)], goals=goals)
    assert amounts(year, *opens_year)["lead-in-start"] == 0
    opens_soon = (block(BASE, 0, 6), block(PERFORMANCE, 6, 28), block(REST, 34, 22))
    year = a_year(8, seasons=[season(6, 28)], goals=goals)
    assert amounts(year, *opens_soon)["lead-in-start"] == 0
    year = a_year(8, seasons=[season(21, 28)], goals=goals, absences=[absence(14, 7)])
    away = given(Kind.ABSENCE, 14, 7, entry="away")
    blocks = (block(BASE, 0, 14), away, block(PERFORMANCE, 21, 28), block(REST, 49, 7))
    assert amounts(year, *blocks)["lead-in-start"] == 0
    long = season(14, 28, name="Long", place="Isle")
    year = a_year(8, seasons=[long, season(28, 14)], goals=goals)
    within = (block(BASE, 0, 25), block(PERFORMANCE, 25, 21), block(REST, 46, 10))
    assert amounts(year, *within)["lead-in-start"] == 0


def steady(loads: Sequence[float], **fields: object) -> tuple[Year, Block]:
    """One block whose weeks have these loads, in shares of a full base week."""
    full = full_week_load(a_year(8))
    whole = block(BASE, 0, 7 * len(loads))
    weeks = [
        type(week)(**{**dict(week), "loads": Loads(endurance=share * full)})
        for week, share in zip(whole.weeks, loads, strict=True)
    ]
    before = Before(weekly_load=tuple(full * share for share in (9.0, 0.5, 0.5, 0.5, 0.5)))
    return a_year(len(loads), before=before, **fields), exchanged(whole, weeks=tuple(weeks))


def test_a_jump_in_load_costs_what_lies_above_the_limit() -> None:
    """Worked by hand: 1.3 x 0.5 = 0.65; the mean before the second week is 0.625."""
    year, only = steady((1.0, 0.5, 0.5, 0.5, 0.5, 0.5))
    assert amounts(year, only)["load-step"] == pytest.approx(1.0 - 0.65)
    found = soft(year, only)
    assert [(f.code, f.span, f.limit) for f in found] == [("load-step", span(0, 7), 1.3)]
    assert found[0].found == pytest.approx(2.0)
    year, only = steady((0.65, 0.5, 0.5, 0.5, 0.5, 0.65))
    assert amounts(year, only)["load-step"] == pytest.approx(0)
    year, only = steady((0.5, 1.0, 0.5, 0.5, 0.5, 0.5))
    assert amounts(year, only)["load-step"] == pytest.approx(0.35)


def test_a_week_with_a_short_trip_is_no_jump_but_counts_in_the_mean() -> None:
    loads = (1.0, 0.8, 0.5, 0.5, 0.5, 0.5)
    year, only = steady(loads, trips=[trip(3, 3)])
    assert amounts(year, only)["load-step"] == pytest.approx(0)  # 0.8 < 1.3 x 0.625
    year, only = steady(loads, trips=[trip(10, 3)])
    assert amounts(year, only)["load-step"] == pytest.approx(0.35)


def test_a_short_first_week_is_no_measure() -> None:
    full = full_week_load(a_year(8))
    climber = {"first_weekday": "thursday"}
    before = Before(weekly_load=(0.5 * full,) * 4)
    year = a_year(8, climber=climber, before=before)
    heavy = block(BASE, 0, 56, week={"loads": Loads(endurance=0.0)})
    cuts = [0, *range(3, 56, 7), 56]
    shape = heavy.weeks[0]
    weeks = tuple(
        type(shape)(
            **{**dict(shape), "span": span(a, b - a), "loads": Loads(endurance=share * full)}
        )
        for (a, b), share in zip(pairwise(cuts), (9.0, 0.7, *[0.5] * 7), strict=True)
    )
    only = exchanged(heavy, weeks=weeks)
    assert amounts(year, only)["load-step"] == pytest.approx(0.05)
