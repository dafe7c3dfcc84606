"""What a week is worth, held against levels day by day; and what bending soft rules costs."""

from __future__ import annotations

import random
from collections.abc import Sequence
from functools import cache
from itertools import pairwise, product
from typing import Any

import pytest
from plan_maker import a_year, absence, day, goal, season, span, trip

from seasonplan.body.almanac import Almanac
from seasonplan.body.response import NOTHING, QUALITIES, Training, mornings
from seasonplan.body.worth import Aims, form_worth
from seasonplan.days import Span
from seasonplan.planner.candidates import Candidates, Variant
from seasonplan.planner.grid import Column, Grid
from seasonplan.planner.order import Ending
from seasonplan.planner.softs import Softs, leads_into
from seasonplan.planner.values import Values
from seasonplan.rules.statements import RuleBook, book_of
from seasonplan.rules.tables import composing
from seasonplan.vocabulary import CHOSEN, EMPHASES, TRAINS, Emphasis, Kind
from seasonplan.year import Season, Year

YEARS = {
    "two goals": a_year(
        12, goals=[goal(priority=1), goal(name="Isle", place="Isle", discipline="boulder")],
        seasons=[season(50, 20)], trips=[trip(28, 7, discipline="boulder")],
    ),
    "one goal": a_year(12, goals=[goal()], seasons=[season(50, 20)]),
    "no goal": a_year(6),
    "every year": a_year(
        8, goals=[goal(style="onsight")],
        seasons=[Season(name="Each", place="Karst", discipline="sport", chance=0.5, first="02-10",
                        last="02-27")],
    ),
    "later": a_year(8, goals=[goal(priority=1), goal(name="Isle", place="Isle")],
                    seasons=[season(50, 30)], trips=[trip(66, 9)]),
    "mid-week": a_year(7, climber={"first_weekday": "thursday"}, seasons=[season(30, 12)],
                       goals=[goal(priority=3)]),
}  # fmt: skip


def year_of(name: str) -> Year:
    return YEARS[name]


@cache
def values_of(name: str) -> tuple[Values, Grid, Aims]:
    almanac = Almanac(year_of(name))
    grid, aims = Grid(almanac), Aims(almanac)
    return Values(grid, aims), grid, aims


def drawn(name: str, number: int) -> list[Training]:
    """A dose and a load by lot in every cell."""
    rng = random.Random(f"{name} {number}")
    found = []
    for cell in values_of(name)[1].cells:
        dose = tuple(rng.choice((0.0, rng.uniform(0, 600))) for _ in QUALITIES)
        found.append(Training(cell.span, dose, sum(dose)))
    return found


def simulated(name: str, done: Sequence[Training]) -> float:
    """Points of all that form is worth, by levels of every morning."""
    _, _, aims = values_of(name)
    last = max(d for form in aims.forms for d in form.days)
    found = mornings(year_of(name), done, aims.body, until=last)
    return sum(form_worth(form, found, aims.body) for form in aims.forms)


# --- worth ----------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", YEARS)
def test_the_worth_of_a_year_is_a_constant_and_a_sum_over_its_weeks(name: str) -> None:
    """Levels followed morning by morning come to the same points, whatever the weeks hold."""
    values, _, aims = values_of(name)
    assert any(form.worth > 0 for form in aims.forms)
    for number in range(6):
        done = drawn(name, number)
        summed = sum(values.of(one.span, one.dose, one.load) for one in done)
        assert values.constant + summed == pytest.approx(simulated(name, done), abs=1e-9)


@pytest.mark.parametrize("name", YEARS)
def test_a_year_in_which_nothing_is_done_is_worth_the_constant(name: str) -> None:
    nothing = [Training(cell.span, NOTHING, 0.0) for cell in values_of(name)[1].cells]
    assert values_of(name)[0].constant == pytest.approx(simulated(name, nothing), abs=1e-9)
    assert values_of(name)[0].of(nothing[0].span, NOTHING, 0.0) == 0.0


def test_a_week_cut_in_two_is_worth_what_its_whole_is_at_the_same_pace() -> None:
    """Weeks that no cell is are worked out when they are asked for."""
    values, _, _ = values_of("two goals")
    whole, parts = span(7, 7), (span(7, 4), span(11, 3))
    # a dose draws towards a level by its pace, and fewer than four days are not blown up
    dose = tuple(100.0 for _ in QUALITIES)
    first = values.of(parts[0], tuple(4 / 7 * each for each in dose), 400.0 * 4 / 7)
    second = values.of(parts[1], tuple(4 / 7 * each for each in dose), 400.0 * 3 / 7)
    assert first + second == pytest.approx(values.of(whole, dose, 400.0))


def test_days_shortly_before_a_goal_are_worth_more_by_what_they_train_and_tire_more() -> None:
    values, grid, _ = values_of("one goal")
    weeks = [cell.span for cell in grid.cells if cell.span.after <= day(49)]
    fast = tuple(200.0 * (each.value == "power_endurance") for each in QUALITIES)
    gains = [values.of(week, fast, 0.0) for week in weeks]
    assert all(after > before for before, after in pairwise(gains[-3:]))
    tired = [-values.of(week, NOTHING, 1000.0) for week in weeks]
    assert all(after > before > 0 for before, after in pairwise(tired[-3:]))
    after = next(cell.span for cell in grid.cells if cell.span.first == day(77))
    assert abs(values.of(after, fast, 1000.0)) < 0.1 * gains[-1]  # the goal is over


def test_more_of_a_quality_is_worth_more_but_less_and_less() -> None:
    values, grid, _ = values_of("no goal")
    week = grid.cells[0].span
    for n, _ in enumerate(QUALITIES):
        doses = [tuple(100.0 * k * (m == n) for m in range(6)) for k in range(6)]
        gained = [values.of(week, dose, 0.0) for dose in doses]
        steps = [b - a for a, b in pairwise(gained)]
        assert all(step > 0 for step in steps) and steps == sorted(steps, reverse=True)


# --- soft rules -----------------------------------------------------------------------------------


def softs_of(year: Year, *, book: RuleBook | None = None) -> Softs:
    return Softs(Candidates(Grid(Almanac(year)), book or book_of(year)))


def cost(
    softs: Softs, kind: Kind, first: int, days: int, emphasis: Emphasis = Emphasis.NONE
) -> dict[str, float]:
    """What such a block bends, but for its being a block."""
    low, high = softs.candidates.grid.cells_of(span(first, days))
    found = softs.costs(Column(kind, low, high, span(first, days)), Variant(emphasis))
    assert found.pop("few-changes") == 1.0
    return found


def test_every_block_counts_as_a_change_and_costs_what_its_rule_says() -> None:
    softs = softs_of(a_year(8))
    book = softs.candidates.book
    for kind in CHOSEN:
        column = Column(kind, 1, 1, span(7, 7))
        assert softs.points(column, Variant(Emphasis.NONE)) == book["few-changes"].weight
    long = Column(Kind.REST, 1, 2, span(7, 14))
    by_hand = book["few-changes"].weight + 7 * book["short-rest"].weight
    assert softs.points(long, Variant(Emphasis.NONE)) == pytest.approx(by_hand)


def test_a_dear_trip_is_led_into_as_a_season_is() -> None:
    year = a_year(8, goals=[goal(priority=1, place="Isle")], trips=[trip(28, 10, place="Isle")])
    softs = softs_of(year)
    assert softs.openings == (day(28),)
    for kind in CHOSEN:
        for first in (7, 14, 21):
            led = kind is Kind.PERFORMANCE
            assert ("lead-in-start" not in cost(softs, kind, first, 28 - first)) is led
    assert "lead-in-start" not in cost(softs, Kind.BASE, 0, 21)  # ends before it


def test_each_day_of_rest_beyond_a_week_counts() -> None:
    softs = softs_of(a_year(8))
    assert [cost(softs, Kind.REST, 7, 7 * n) for n in (1, 2, 3)] == [
        {}, {"short-rest": 7.0}, {"short-rest": 14.0},
    ]  # fmt: skip
    assert cost(softs, Kind.BASE, 0, 21) == {}


def test_days_of_rest_in_the_ten_days_before_what_matters_most_count() -> None:
    """The season of the first goal opens on day 28, a trip begins on day 42."""
    year = a_year(
        8, seasons=[season(28, 7), season(49, 7, name="Less", place="Isle")], trips=[trip(42, 7)],
        goals=[goal(priority=1), goal(name="Later", place="Isle", priority=2)],
    )  # fmt: skip
    softs = softs_of(year)
    assert softs.dear_starts == (day(28), day(42))
    for first in range(0, 42, 7):
        days = set(range(first, first + 7))
        near = len(days & set(range(18, 28))) + len(days & set(range(32, 42)))
        found = cost(softs, Kind.REST, first, 7)
        assert found.get("rest-before-rock", 0) == near
        assert "rest-before-rock" not in cost(softs, Kind.BASE, first, 7)


def test_rest_beside_days_off_counts_once_and_not_on_the_way_from_a_trip() -> None:
    year = a_year(
        12, absences=[absence(14, 7), absence(63, 7, name="Later")], trips=[trip(35, 7)],
        before={"last_kind": "base"},
    )  # fmt: skip
    softs = softs_of(year)
    beside = [n for n in (0, 7, 21, 28, 42, 49, 56, 70, 77)
              if "rest-by-days-off" in cost(softs, Kind.REST, n, 7)]  # fmt: skip
    assert beside == [7, 21, 56, 70]
    assert cost(softs, Kind.REST, 42, 21) == {"short-rest": 14.0}  # from a trip to days off
    assert "rest-by-days-off" not in cost(softs, Kind.BASE, 7, 7)
    edges = softs_of(a_year(8, absences=[absence(0, 7), absence(49, 7, name="Last")]))
    beside = [n for n in range(7, 49, 7) if "rest-by-days-off" in cost(edges, Kind.REST, n, 7)]
    assert beside == [7, 42]
    alone = softs_of(a_year(8, absences=[absence(49, 7)], before={"last_kind": "base"}))
    assert "rest-by-days-off" not in cost(alone, Kind.REST, 0, 7)  # the year's end lies far off
    little = softs_of(a_year(10, absences=[absence(14, 21, left=0.4)]))
    beside = [n for n in range(7, 63, 7) if "rest-by-days-off" in cost(little, Kind.REST, n, 7)]
    assert beside == [35]  # right after them


def test_power_endurance_counts_where_it_is_long_or_far_from_rock() -> None:
    """Within 21 days of a season that serves a goal, and for five weeks at most."""
    softs = softs_of(a_year(14, seasons=[season(70, 14)], goals=[goal()]))
    assert composing().block.power_endurance_weeks == 5
    assert softs.rock_starts == (day(70),)
    for first, days, bent in (
        (21, 28, 0), (14, 28, 1), (42, 28, 0), (28, 42, 1), (7, 35, 1), (0, 42, 2), (14, 35, 0),
        (77, 21, 1), (63, 14, 0), (70, 14, 1),
    ):  # fmt: skip
        found = cost(softs, Kind.BASE, first, days, Emphasis.POWER_ENDURANCE)
        assert found.get("power-endurance-late", 0) == bent, (first, days)
        other = cost(softs, Kind.BASE, first, days, Emphasis.ENDURANCE)
        assert "power-endurance-late" not in other


def test_rock_after_the_year_is_ahead_of_its_last_blocks() -> None:
    rock = {"seasons": [season(70, 14)], "goals": [goal(priority=1)]}
    softs, alone = softs_of(a_year(9, **rock)), softs_of(a_year(9, goals=[goal(priority=1)]))
    late = [("power-endurance-late", Kind.BASE, 28, 28, Emphasis.POWER_ENDURANCE),
            ("rest-before-rock", Kind.REST, 56, 7, Emphasis.NONE)]  # fmt: skip
    found = [[cost(one, *block).get(code, 0) for code, *block in late] for one in (softs, alone)]
    assert found == [[0, 3], [1, 0]]


def test_a_season_that_opens_in_a_block_is_led_into_by_a_week_of_performing_at_least() -> None:
    """The season opens on day 28, and is there for whole days from the second Saturday on."""
    year = a_year(10, seasons=[season(28, 14)], goals=[goal(priority=1)])
    softs = softs_of(year)
    assert softs.openings == (day(40),)
    rule = softs.candidates.book["lead-in-start"]
    for kind in CHOSEN:
        for first in range(0, 42, 7):
            led = kind is Kind.PERFORMANCE and first <= 28
            found = cost(softs, kind, first, 42 - first)
            assert ("lead-in-start" not in found) is led
            column = Column(kind, 0, 0, span(first, 42 - first))
            assert leads_into(column, day(40), rule) is led
    assert "lead-in-start" not in cost(softs, Kind.BASE, 0, 35)  # ends before it


@pytest.mark.parametrize(
    ("opens", "fields"),
    [(True, {}), (False, {"goals": [goal(), goal(name="More", priority=1, place="Isle")]}),
     (True, {"absences": [absence(12, 7)]}), (False, {"absences": [absence(20, 7)]}),
     (False, {"absences": [absence(27, 6)]}), (False, {"seasons": [season(5, 2)]}),
     (False, {"seasons": [season(33, 2), season(25, 8, name="Other", place="Isle")]}),
     (False, {"trips": [trip(27, 6)]})],
)  # fmt: skip
def test_a_lead_in_is_asked_for_where_one_is_possible(opens: bool, fields: dict[str, Any]) -> None:
    """The season opens on day 33 and is too short to open easily; at its earliest it does on day
    5, which is before a lead-in of a week."""
    values = {"seasons": [season(33, 2)], "goals": [goal()]} | fields
    if values["seasons"][0].first == day(5):
        assert softs_of(a_year(10, **values)).openings == ()
        return
    assert (day(33) in softs_of(a_year(10, **values)).openings) is opens


def test_no_lead_in_is_asked_for_that_cannot_last_until_there_is_rock() -> None:
    """Of a season that has good days in its last week alone."""
    for dry, opens in ((1, True), (2, False)):
        chances = [0.0] * dry + [0.5]
        days = 7 * len(chances)
        year = a_year(10, seasons=[season(28, days, chance=chances)], goals=[goal()])
        assert bool(softs_of(year).openings) is opens
    off = book_of(year).without("lead-in-length")
    assert softs_of(year, book=off).openings == (day(28),)


def test_strength_after_rest_and_lead_in_or_rest_after_little_cost_and_nothing_else_in_a_row() -> (
    None
):
    """Absent in the third week, rock in the last three, of which the first opens easily."""
    year = a_year(8, absences=[absence(14, 7)], seasons=[season(35, 21)], goals=[goal()])
    softs = softs_of(year)
    heavy = [Ending(kind, owes_light=True) for kind in (Kind.BASE, Kind.STRENGTH)]
    ends = [*map(Ending, (None, *CHOSEN)), *heavy]
    for before, kind, week, soon in product(ends, CHOSEN, (1, 3, 4, 5, 6), (False, True)):
        little = before.kind in (Kind.REST, Kind.BASE, Kind.STRENGTH) and before not in heavy
        code = None
        if week != 3 and kind is Kind.STRENGTH and before.kind is Kind.REST:
            code = "base-first"
        if week in (1, 4, 5) and kind is Kind.PERFORMANCE and little:
            code = "work-before-lead-in"
        trained = before.kind in (Kind.BASE, Kind.STRENGTH)
        if week != 3 and kind is Kind.REST and trained and (little or soon):
            code = "work-before-rest"
        rule = softs.between(before, kind, week, soon)
        cost = 1_000_000 * softs.candidates.book[code].weight if code else 0
        assert (rule and rule.code) == code
        assert softs.parts_between(before, kind, week, soon) == cost


@pytest.mark.parametrize("last", [None, *CHOSEN])
@pytest.mark.parametrize("carried", [41, 42])
def test_rest_that_opens_a_year_costs_out_of_few_weeks_of_training(
    carried: int, last: Kind | None
) -> None:
    softs = softs_of(a_year(8, before={"last_kind": last, "days_since_rest": carried}))
    costs = carried < 42 and last in (Kind.BASE, Kind.STRENGTH)
    for first in (0, 7):
        assert ("work-before-rest" in cost(softs, Kind.REST, first, 7)) is (costs and not first)


@pytest.mark.parametrize("last", [None, *CHOSEN])
def test_strength_and_rest_that_open_a_year_cost_where_no_training_came_before(
    last: Kind | None,
) -> None:
    softs = softs_of(a_year(8, before={"last_kind": last, "days_since_rest": 42}))
    codes = {Kind.STRENGTH: "base-first", Kind.REST: "rest-by-days-off"}
    for kind, first in product(CHOSEN, (0, 7)):
        costs = first == 0 and last in (None, Kind.REST) and kind in codes
        assert set(cost(softs, kind, first, 7)) == ({codes[kind]} if costs else set())


def test_two_blocks_in_a_row_cost_nothing_where_the_rule_is_off() -> None:
    year = a_year(8, seasons=[season(35, 21)], goals=[goal()])
    rest, light = Ending(Kind.REST), Ending(Kind.BASE)
    pairs = {
        (rest, Kind.STRENGTH): "base-first", (light, Kind.PERFORMANCE): "work-before-lead-in",
        (light, Kind.REST): "work-before-rest",
    }  # fmt: skip
    for (before, kind), code in pairs.items():
        assert softs_of(year).between(before, kind, 1, False) is not None
        off = softs_of(year, book=book_of(year).without(code))
        assert off.between(before, kind, 1, True) is None
    waves = softs_of(year, book=book_of(year).without("deload"))
    assert waves.between(light, Kind.PERFORMANCE, 1, False) is None
    assert waves.between(rest, Kind.PERFORMANCE, 1, False) is not None


def test_a_soft_rule_that_is_off_costs_nothing() -> None:
    year = a_year(8, seasons=[season(28, 14)], goals=[goal(priority=1)])
    softs = softs_of(year)
    column = Column(Kind.REST, 0, 5, span(0, 42))
    bent = set(softs.costs(column, Variant(Emphasis.NONE)))
    assert bent == {
        "few-changes", "lead-in-start", "short-rest", "rest-before-rock", "rest-by-days-off",
    }  # fmt: skip
    for code in bent:
        loose = softs_of(year, book=softs.candidates.book.without(code))
        assert set(loose.costs(column, Variant(Emphasis.NONE))) == bent - {code}
    assert isinstance(column.span, Span)


@pytest.mark.parametrize(("fingers", "power"), [(1, 5), (5, 1), (1, 1), (5, 5)])
def test_strength_for_what_is_not_lacking_costs_where_the_other_is(
    fingers: int, power: int
) -> None:
    asks, level = {"finger_strength": 4, "power": 4}, {"finger_strength": fingers, "power": power}
    year = a_year(
        10, goals=[goal(demands=asks)], climber={"level": level},
        sessions={"has": ["hangboard", "wall"]},
    )  # fmt: skip
    softs = softs_of(year)
    for emphasis, own, other in (
        (Emphasis.FINGERS, fingers, power), (Emphasis.POWER, power, fingers)
    ):  # fmt: skip
        found = cost(softs, Kind.STRENGTH, 0, 28, emphasis)
        assert found.get("weak-first", 0) == (own >= 4 > other)


@pytest.mark.parametrize(("ends", "costs"), [(14, False), (21, True), (56, True), (63, False)])
def test_base_for_fingers_costs_shortly_before_the_dear_rock(ends: int, costs: bool) -> None:
    """It opens on day 56; what ends within it is no longer before it."""
    level = {"finger_strength": 1, "power": 3}
    dear = {"goals": [goal(demands={"finger_strength": 4})], "seasons": [season(56, 28)]}
    year = a_year(12, **dear, climber={"level": level})
    softs = softs_of(year)
    assert ("strength-late" in cost(softs, Kind.BASE, 0, ends, Emphasis.FINGERS)) is costs
    assert "strength-late" not in cost(softs, Kind.BASE, 0, ends, Emphasis.ENDURANCE)


@pytest.mark.parametrize("lacks", [{"endurance"}, {"fitness", "movement"}, {"power"}, set()])
def test_base_for_what_is_not_lacking_costs_where_another_is(lacks: set[str]) -> None:
    """Power no base block trains; power endurance is asked when rock is near."""
    asks = dict.fromkeys(map(str, QUALITIES), 4)
    level = {one: 2 if one in lacks else 4 for one in asks}
    year = a_year(
        10, goals=[goal(demands=asks)], climber={"level": level},
        sessions={"has": ["hangboard", "wall"]},
    )  # fmt: skip
    softs, some = softs_of(year), bool(lacks - {"power"})
    for one in {*EMPHASES[Kind.BASE]} - {Emphasis.POWER_ENDURANCE}:
        costs = some and str(TRAINS[one]) not in lacks
        assert ("weak-first" in cost(softs, Kind.BASE, 0, 28, one)) is costs
    assert "weak-first" not in cost(softs, Kind.BASE, 0, 28, Emphasis.POWER_ENDURANCE)
