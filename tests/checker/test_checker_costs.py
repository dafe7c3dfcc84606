"""What bending a soft rule costs, worked by hand.

Limits are those of shared/rules.toml, where each has its source.
"""

from __future__ import annotations

from itertools import pairwise
from typing import Any

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
    span,
    trip,
)
from verdicts import amounts, soft

from seasonplan.body.response import QUALITIES
from seasonplan.checker import check
from seasonplan.checker.prices import MEASURES, costs_on
from seasonplan.checker.sheet import Sheet
from seasonplan.plan import Block, Loads, Week
from seasonplan.rules.findings import Finding
from seasonplan.rules.statements import standard_book
from seasonplan.vocabulary import CHOSEN, EMPHASES, TRAINS, Emphasis, Kind
from seasonplan.year import Before, Year

BASE, STRENGTH, PERFORMANCE, REST = Kind.BASE, Kind.STRENGTH, Kind.PERFORMANCE, Kind.REST
BOOK = standard_book()


def test_every_soft_rule_with_a_weight_has_a_price_and_points_are_weight_times_amount() -> None:
    counted = {rule.code for rule in BOOK if not rule.hard and rule.about == "blocks"}
    assert {*MEASURES} == {code for code in counted if BOOK[code].weight}
    off: dict[str, Any] = {"absences": [absence(91, 7)]}
    off |= {"climber": {"level": {"finger_strength": 1, "power": 5}}}
    off |= {"sessions": {"has": ["hangboard"]}}
    year = a_year(14, seasons=[season(56, 21)], goals=[goal(priority=1)], **off)
    blocks = (
        block(BASE, 0, 36, emphasis=Emphasis.POWER_ENDURANCE), block(REST, 36, 3),
        block(BASE, 39, 3, emphasis=Emphasis.FINGERS), block(REST, 42, 3),
        block(PERFORMANCE, 45, 3), block(REST, 48, 3),
        block(STRENGTH, 51, 21, emphasis=Emphasis.POWER),
        block(PERFORMANCE, 72, 5), block(REST, 77, 14),
        given(Kind.ABSENCE, 91, 7, entry="away"),
    )  # fmt: skip
    costs = costs_on(Sheet(year, blocks, book=BOOK))
    assert {cost.rule for cost in costs} == {*MEASURES}
    assert all(cost.points == BOOK[cost.rule].weight * cost.amount > 0 for cost in costs)
    without = costs_on(Sheet(year, blocks, book=BOOK.without("base-first")))
    assert {cost.rule for cost in without} == {*MEASURES} - {"base-first"}


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
    assert amounts(year, *blocks[:2], away, block(STRENGTH, 35, 21)).get("base-first") is None


@pytest.mark.parametrize("last", [None, *CHOSEN])
@pytest.mark.parametrize(
    ("kind", "code"), [(STRENGTH, "base-first"), (REST, "rest-by-days-off"), (BASE, None)]
)
def test_strength_and_rest_that_open_a_year_cost_where_no_training_came_before(
    kind: Kind, code: str | None, last: Kind | None
) -> None:
    year = a_year(8, before={"last_kind": last, "days_since_rest": 42})
    costs = {code: 1} if code and last in (None, REST) else {}
    found = amounts(year, block(kind, 0, 7), block(BASE, 7, 49))
    assert found == {"few-changes": 2} | costs
    assert code not in amounts(year, block(BASE, 0, 28), block(kind, 28, 28))


@pytest.mark.parametrize(("opens", "costs"), [(35, 1), (28, 1), (27, None), (21, None)])
@pytest.mark.parametrize(
    ("before", "little"),
    [(block(REST, 21, 7), 1), (block(BASE, 0, 28), 1), (block(BASE, 7, 21), None)],
    ids=["rest", "light week", "normal week"],
)
def test_a_week_of_performance_without_rock_straight_after_little_costs(
    before: Block, little: float | None, opens: int, costs: float | None
) -> None:
    """From day 28 on; the easy opening lasts until the second Saturday, or Sunday if it opens on
    one."""
    year = a_year(8, seasons=[season(opens, 56 - opens)], goals=[goal()])
    blocks = (before, block(PERFORMANCE, 28, 28))
    found = amounts(year, *blocks).get("work-before-lead-in")
    assert found == (costs if little else None)


ELSEWHERE = goal(name="Far line", place="Isle", priority=2)  # the highest beside priority 3


@pytest.mark.parametrize(
    ("begins", "priority", "late", "lead"),
    [(26, 1, 0, 0), (27, 1, 1, 6), (33, 1, 1, 0), (40, 1, 1, 0), (33, 2, 1, 0), (33, 3, 0, 0)],
)
def test_a_dear_season_opens_on_a_week_of_lead_in(
    begins: int, priority: int, late: int, lead: int
) -> None:
    """The season begins on day 21 and, after its easy opening, is there for whole days from the
    Saturday on day 33: begun on day 26 in time, from then on too late."""
    goals = [goal(priority=priority), ELSEWHERE]
    year = a_year(12, seasons=[season(21, 42)], goals=goals)
    blocks = (
        block(BASE, 0, begins),
        block(PERFORMANCE, begins, 28),
        block(REST, begins + 28, 56 - begins),
    )
    assert amounts(year, *blocks).get("lead-in-start", 0) == late
    found = [f for f in soft(year, *blocks) if f.code == "lead-in-start"]
    assert [(f.found, f.limit, f.span) for f in found] == ([(lead, 7, span(33, 1))] * late)


def test_no_lead_in_is_asked_where_none_could_be_had_or_there_is_rock_already() -> None:
    goals = [goal(priority=1)]
    opens_year = (block(PERFORMANCE, 0, 28), block(REST, 28, 28))
    year = a_year(8, seasons=[season(0, 28)], goals=goals)
    assert "lead-in-start" not in amounts(year, *opens_year)
    opens_soon = (block(BASE, 0, 6), block(PERFORMANCE, 6, 28), block(REST, 34, 22))
    year = a_year(8, seasons=[season(6, 28)], goals=goals)
    assert "lead-in-start" not in amounts(year, *opens_soon)
    year = a_year(8, seasons=[season(21, 28)], goals=goals, absences=[absence(14, 7)])
    away = given(Kind.ABSENCE, 14, 7, entry="away")
    blocks = (block(BASE, 0, 14), away, block(PERFORMANCE, 21, 28), block(REST, 49, 7))
    assert "lead-in-start" not in amounts(year, *blocks)
    long = season(14, 28, name="Long", place="Isle")
    year = a_year(8, seasons=[long, season(28, 14)], goals=goals)
    within = (block(BASE, 0, 25), block(PERFORMANCE, 25, 21), block(REST, 46, 10))
    assert "lead-in-start" not in amounts(year, *within)


@pytest.mark.parametrize(("kind", "first", "late"), [
    (PERFORMANCE, 14, 0), (PERFORMANCE, 21, 1), (BASE, 14, 1),
])  # fmt: skip
def test_a_dear_trip_is_led_into_as_a_season_is(kind: Kind, first: int, late: int) -> None:
    """The trip begins on day 25, the way there is its first day."""
    year = a_year(8, seasons=[], goals=[goal(place="Isle")], trips=[trip(25, 10, place="Isle")])
    away = given(Kind.TRIP, 25, 10, entry="trip")
    blocks = (block(BASE, 0, first), block(kind, first, 25 - first), away, block(BASE, 35, 21))
    assert amounts(year, *blocks).get("lead-in-start", 0) == late


@pytest.mark.parametrize(("empty_weeks", "late"), [(0, 1), (1, 1), (2, 0)])
def test_no_lead_in_is_asked_that_would_be_longer_than_one_may_be(
    empty_weeks: int, late: int
) -> None:
    """A season of which the last week alone has rock: 7 days before it, at most 14 before that."""
    chance, days = [0.0] * empty_weeks + [0.5], 7 * (empty_weeks + 1)
    year = a_year(12, seasons=[season(21, days, chance=chance)], goals=[goal(priority=1)])
    blocks = (block(BASE, 0, 28), block(PERFORMANCE, 28, 28), block(REST, 56, 28))
    assert amounts(year, *blocks).get("lead-in-start", 0) == late
    free = year.with_fields(rules={"lead-in-length": {"on": False}})
    assert amounts(free, *blocks)["lead-in-start"] == 1


def test_rock_two_days_before_a_season_is_none_the_day_before() -> None:
    for last, late in ((19, 1), (20, 0)):
        early = season(14, last - 13, name="Early", place="Isle")
        year = a_year(12, seasons=[early, season(21, 42)], goals=[goal(priority=1)])
        found = amounts(year, block(BASE, 0, 14), block(PERFORMANCE, 28, 21))
        assert found.get("lead-in-start", 0) == late


def test_power_endurance_that_begins_with_the_rock_is_not_trained_for_it() -> None:
    for opens, amount in ((0, 1), (1, None)):
        year = a_year(8, seasons=[season(opens, 14)], goals=[goal(priority=2)])
        first = block(BASE, 0, 28, emphasis=Emphasis.POWER_ENDURANCE)
        assert amounts(year, first).get("power-endurance-late") == amount


def test_a_lead_in_reaches_a_trip_but_no_absence_before_the_rock() -> None:
    seasons, goals = [season(21, 14, chance=[0.0, 0.5])], [goal(priority=1)]
    away = a_year(12, seasons=seasons, goals=goals, absences=[absence(25, 5)])
    assert "lead-in-start" not in amounts(away, block(BASE, 0, 25))
    trips = a_year(12, seasons=seasons, goals=goals, trips=[trip(25, 5)])
    assert amounts(trips, block(BASE, 0, 25))["lead-in-start"] == 1


# --- what is told and not counted -----------------------------------------------------------------


def told(code: str, year: Year, *blocks: Block) -> list[Finding]:
    found = [f for f in check(year, blocks) if f.code == code]
    assert all(f.strength == "soft" for f in found)
    return found


def with_loads(*loads: float) -> Block:
    """One base block whose weeks hold these loads."""
    whole = block(BASE, 0, 7 * len(loads))
    weeks = tuple(
        Week(**{**dict(week), "loads": Loads(endurance=load)})
        for week, load in zip(whole.weeks, loads, strict=True)
    )
    return exchanged(whole, weeks=weeks)


def after(*loads: float, weeks: int = 6, **fields: Any) -> Year:
    """A year after weeks with these loads."""
    return a_year(weeks, before=Before(weekly_load=loads), **fields)


def test_a_week_far_above_the_best_month_before_it_is_told() -> None:
    """The best four weeks running held 1000 in the mean; 1.4 times that is 1400."""
    year = after(900, 1000, 1000, 1000, 1000, 500)
    for load, spans in ((1400, []), (1420, [span(0, 7)])):
        found = told("load-step", year, with_loads(load, *[500] * 5))
        assert [f.span for f in found] == spans
    assert (found[0].found, found[0].limit) == (pytest.approx(1.42), 1.4)


def test_three_weeks_are_no_month_to_compare_with() -> None:
    """Nothing is told of the first week; four times 350, the month with it, of the second."""
    found = told("load-step", after(200, 200, 200), with_loads(800, 1400, 200, 200, 200, 200))
    assert [(f.span, f.found) for f in found] == [(span(7, 7), 4)]


def test_after_next_to_nothing_an_hour_a_week_is_no_jump() -> None:
    """Who was back from a year off got 30 minutes a week: less than 300 is counted as 300."""
    year = after(0, 60, 100, 120)
    for load, count in ((420, 0), (430, 1)):
        assert len(told("load-step", year, with_loads(load, *[100] * 5))) == count


def test_a_best_month_counts_for_twelve_weeks() -> None:
    """Each week of the year shifts it out by one: the ninth has the first old week no more."""
    year = after(*[1000] * 4, weeks=12)
    low = [500.0] * 8
    assert told("load-step", year, with_loads(*low, 1400, 500, 500, 500)) == []
    found = told("load-step", year, with_loads(*low, 500, 1400, 500, 500))
    assert [f.span for f in found] == [span(63, 7)]


def test_a_week_of_which_one_day_is_too_much_is_no_jump_that_anybody_could_avoid() -> None:
    """The user saw after empty weeks: 9.3 times the best month, for one test of 45 minutes.

    The best month counts as 300 a week, so 420 may be: half of 840 could be left out, half of 864
    not.
    """
    year = after(100, 0, 0, 0)
    for load, days, count in ((900, 1, 0), (840, 1, 0), (840, 2, 1), (864, 2, 0), (864, 3, 1)):
        one = with_loads(0, 0, 0, load, 0, 0)
        weeks = [Week(**{**dict(week), "training_days": days}) for week in one.weeks]
        assert len(told("load-step", year, exchanged(one, weeks=tuple(weeks)))) == count


def test_what_a_week_is_told_over_costs_nothing() -> None:
    year, jump = after(500, 500, 500, 500), with_loads(3000, *[500] * 5)
    assert told("load-step", year, jump)
    assert "load-step" not in amounts(year, jump)


def test_a_week_with_a_short_trip_is_no_jump_but_counts_in_the_best_month() -> None:
    loads, before = (3000, 500, 500, 500, 1500, 500), (1000,) * 4
    year = after(*before, trips=[trip(3, 3)])
    assert told("load-step", year, with_loads(*loads)) == []
    lower = after(*before, trips=[trip(3, 3)])
    assert told("load-step", lower, with_loads(500, *loads[1:])) != []


def test_parts_of_weeks_are_no_measure() -> None:
    climber = {"first_weekday": "thursday"}
    year = after(500, 500, 500, 500, climber=climber)
    shape = with_loads(*[500] * 6)
    cuts = [0, *range(3, 42, 7), 42]
    weeks = tuple(
        Week(**{**dict(shape.weeks[0]), "span": span(a, b - a), "loads": Loads(endurance=load)})
        for (a, b), load in zip(pairwise(cuts), (3000, *[500] * 5, 3000), strict=True)
    )
    assert told("load-step", year, exchanged(shape, weeks=weeks)) == []


# --- prices of power endurance -------------------------------------------------------------------


@pytest.mark.parametrize(
    ("days", "opens", "amount"), [(35, 56, None), (35, 57, 1), (36, 56, 1), (36, 58, 2)]
)
def test_power_endurance_far_from_rock_or_long_costs(
    days: int, opens: int, amount: int | None
) -> None:
    """At most 21 days from its end to the season, and five weeks long."""
    year = a_year(14, seasons=[season(opens, 14)], goals=[goal(priority=2)])
    first = block(BASE, 0, days, emphasis=Emphasis.POWER_ENDURANCE)
    rest = (block(REST, days, 7), block(BASE, days + 7, 91 - days))
    assert amounts(year, first, *rest).get("power-endurance-late") == amount
    found = [f for f in soft(year, first, *rest) if f.code == "power-endurance-late"]
    assert [(f.found, f.span) for f in found] == ([(opens - days, span(0, days))] if amount else [])
    plain = exchanged(first, emphasis=Emphasis.ENDURANCE)
    assert "power-endurance-late" not in amounts(year, plain, *rest)


def test_rock_after_the_year_is_ahead_of_its_last_blocks() -> None:
    rest, late = block(REST, 56, 7), block(BASE, 28, 28, emphasis=Emphasis.POWER_ENDURANCE)
    for rock, costs in (([season(70, 14)], (None, 3)), ([], (1, None))):
        found = amounts(a_year(9, seasons=rock, goals=[goal(priority=1)]), late, rest)
        assert (found.get("power-endurance-late"), found.get("rest-before-rock")) == costs


@pytest.mark.parametrize(
    ("fingers", "power", "emphasis", "amount"),
    [
        (1, 5, Emphasis.POWER, 1), (1, 5, Emphasis.FINGERS, None), (5, 1, Emphasis.FINGERS, 1),
        (5, 1, Emphasis.POWER, None), (1, 1, Emphasis.POWER, None), (5, 5, Emphasis.POWER, None),
    ],
)  # fmt: skip
def test_strength_for_what_is_not_lacking_costs_where_the_other_is(
    fingers: int, power: int, emphasis: Emphasis, amount: int | None
) -> None:
    """A goal that asks 4 of both."""
    level = {"finger_strength": fingers, "power": power}
    year = a_year(8, goals=[goal(demands=dict.fromkeys(level, 4))], climber={"level": level})
    blocks = (block(BASE, 0, 28), block(STRENGTH, 28, 28, emphasis=emphasis))
    assert amounts(year, *blocks).get("weak-first") == amount
    assert not [f for f in soft(year, *blocks) if f.code == "weak-first"]  # a price alone


@pytest.mark.parametrize("emphasis", EMPHASES[BASE])
@pytest.mark.parametrize("lacks", [{"endurance"}, {"fitness", "movement"}, {"power"}, set()])
def test_base_for_what_is_not_lacking_costs_where_another_is(
    lacks: set[str], emphasis: Emphasis
) -> None:
    """A goal that asks 4 of all; power no base block trains, power endurance is not asked."""
    asks = dict.fromkeys(map(str, QUALITIES), 4)
    level = asks | dict.fromkeys(lacks, 2)
    year = a_year(8, goals=[goal(demands=asks)], climber={"level": level})
    costs = bool(lacks - {"power"}) and str(TRAINS[emphasis]) not in lacks
    costs &= emphasis is not Emphasis.POWER_ENDURANCE
    assert ("weak-first" in amounts(year, block(BASE, 0, 56, emphasis=emphasis))) is costs


@pytest.mark.parametrize(
    ("born", "has", "amount"),
    [(1990, ["hangboard", "wall"], 1), (2015, ["hangboard", "wall"], None), (1990, [], None)],
)
def test_what_cannot_be_trained_is_not_asked_for(
    born: int, has: list[str], amount: int | None
) -> None:
    """Fingers lack; who is too young for them, or has nothing to hang from, may train power."""
    level = {"finger_strength": 1, "power": 5}
    asks = {"finger_strength": 4, "power": 4}
    year = a_year(
        8, goals=[goal(demands=asks)], climber={"level": level, "birth_year": born},
        sessions={"has": has},
    )  # fmt: skip
    blocks = (block(BASE, 0, 28), block(STRENGTH, 28, 28, emphasis=Emphasis.POWER))
    assert amounts(year, *blocks).get("weak-first") == amount


@pytest.mark.parametrize(
    ("fingers", "emphasis", "ends", "amount"),
    [
        (1, Emphasis.FINGERS, 56, 1), (1, Emphasis.FINGERS, 21, 1), (1, Emphasis.FINGERS, 20, None),
        (1, Emphasis.ENDURANCE, 56, None), (5, Emphasis.FINGERS, 56, None),
    ],
)  # fmt: skip
def test_base_for_fingers_that_lack_right_before_the_dear_rock_costs(
    fingers: int, emphasis: Emphasis, ends: int, amount: int | None
) -> None:
    """The rock of a goal that asks 4 opens on day 56; strength could stand there."""
    level = {"finger_strength": fingers, "power": 3}
    year = a_year(
        12, goals=[goal(demands={"finger_strength": 4})], climber={"level": level},
        seasons=[season(56, 28)],
    )  # fmt: skip
    assert amounts(year, block(BASE, 0, ends, emphasis=emphasis)).get("strength-late") == amount
