"""Whole weeks as a coach would read them: what they hold, and what they no longer hold."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Mapping
from datetime import date, timedelta
from itertools import pairwise

import pytest
from coached import (
    ALPINE,
    DAILY,
    EIGHT_WEEKS,
    EVENINGS,
    HURT,
    HURT_BACK,
    NEVER_HUNG,
    OTHERS,
    RECIPES,
    ROCK,
    SOME,
    composed,
    hangs,
    of,
    planned,
    week_of,
    year_text,
)

from seasonplan.body.almanac import Almanac
from seasonplan.planner.candidates import Role
from seasonplan.planner.climbing import climbing, hard_climbing, pulling
from seasonplan.planner.grid import Grid
from seasonplan.planner.levels import Levels
from seasonplan.planner.menus import Serving, making
from seasonplan.planner.standing import Item
from seasonplan.planner.weeks import Weeks
from seasonplan.recipes import Recipe
from seasonplan.rules.statements import book_of
from seasonplan.rules.tables import composing
from seasonplan.vocabulary import Emphasis, Kind
from seasonplan.year import Before
from seasonplan.year.toml import read_year

# --- climbing -----------------------------------------------------------------------------------


@pytest.mark.parametrize("kind", [Kind.BASE, Kind.STRENGTH])
@pytest.mark.parametrize("load", [450, 600, 900, 1500])
def test_a_week_named_for_fingers_holds_climbing_beside_its_hangs(kind: Kind, load: int) -> None:
    week = week_of(EVENINGS, load, kind, Emphasis.FINGERS)
    assert any(climbing(item.recipe) for item in week) and hangs(week)


@pytest.mark.parametrize("born", [1960, 1971, 1992])
@pytest.mark.parametrize(("routine", "nth"), [(SOME, 1), (OTHERS, 8)])
def test_a_strength_week_holds_climbing_that_is_hard_on_the_fingers(
    routine: Mapping[str, int], nth: int, born: int
) -> None:
    """From 50 on three days lie between hard sessions: hangs alone would take them all, and not
    each day for the climbing leaves one to them."""
    week = week_of(routine, 1700, Kind.STRENGTH, Emphasis.FINGERS, born=born, nth=nth)
    assert any(hard_climbing(item.recipe) for item in week) and hangs(week)


def test_who_has_no_wall_hangs_all_the_same() -> None:
    alone = dict.fromkeys(("monday", "thursday", "saturday"), 60)
    text = year_text(alone, "", weeks=8, load=900, has=["hangboard"])
    assert hangs(composed(text, Kind.STRENGTH, Emphasis.FINGERS))


@pytest.mark.parametrize("born", [1967, 1992])
def test_half_an_hour_on_six_days_trains_power_where_the_block_is_named_for_it(born: int) -> None:
    half_hours = dict.fromkeys(DAILY, 30)
    week = week_of(half_hours, 900, Kind.STRENGTH, Emphasis.POWER, born=born)
    names = {item.recipe.id for item in week}
    assert names & making(Kind.STRENGTH, Emphasis.POWER) and hangs(week)


def minutes_of(week: tuple[Item, ...], asked: Callable[[Recipe], bool]) -> int:
    return sum(item.minutes for item in week if asked(item.recipe))


TWICE = {"tuesday": 90, "friday": 90}


@pytest.mark.parametrize("spread", ["few and long", "short and hard, often", "light, often"])
@pytest.mark.parametrize(
    ("kind", "emphasis"),
    [
        (Kind.BASE, Emphasis.FINGERS), (Kind.BASE, Emphasis.ENDURANCE),
        (Kind.BASE, Emphasis.POWER_ENDURANCE), (Kind.STRENGTH, Emphasis.FINGERS),
    ],
)  # fmt: skip
def test_who_has_two_evenings_at_a_wall_climbs_on_both(
    kind: Kind, emphasis: Emphasis, spread: str
) -> None:
    """Common practice, no source: short hangs come before it on the same evening."""
    text = year_text(TWICE, "", weeks=12, load=900)
    week = composed(text.replace("[sessions]", f'[sessions]\nspread = "{spread}"'), kind, emphasis)
    assert len({item.day for item in week if climbing(item.recipe)}) == 2 and hangs(week)


@pytest.mark.parametrize("kind", [Kind.BASE, Kind.STRENGTH])
@pytest.mark.parametrize(
    ("routine", "load"),
    [(EVENINGS, 600), (EVENINGS, 900), (OTHERS, 1500), (SOME, 1100), (TWICE, 900)],
)
def test_climbing_is_the_larger_part_of_a_week_named_for_fingers(
    routine: Mapping[str, int], load: int, kind: Kind
) -> None:
    """Common practice, no source: hangs and pulls help climbing and do not stand in its place."""
    week = week_of(routine, load, kind, Emphasis.FINGERS, nth=8)
    assert minutes_of(week, climbing) >= minutes_of(week, pulling) > 0


def test_more_climbing_leaves_half_of_the_hard_seconds_of_a_base_week() -> None:
    usual = week_of(TWICE | {"sunday": 45}, 900, Kind.BASE, Emphasis.ENDURANCE, nth=4)
    few = week_of(TWICE, 900, Kind.BASE, Emphasis.ENDURANCE, nth=4)
    seconds = [sum(i.hangs * i.recipe.hang_seconds for i in one) for one in (usual, few)]
    assert seconds[1] >= 0.5 * seconds[0] > 0


@pytest.mark.parametrize(("load", "held"), [(2000, False), (4200, True)])
@pytest.mark.parametrize("emphasis", [Emphasis.FINGERS, Emphasis.ENDURANCE, Emphasis.MOVEMENT])
@pytest.mark.parametrize("discipline", ["sport", "boulder"])
def test_who_trains_much_has_hard_moves_in_base_too(
    discipline: str, emphasis: Emphasis, load: int, held: bool
) -> None:
    week = week_of(DAILY, load, Kind.BASE, emphasis, discipline=discipline)
    assert any(item.recipe.id == "good-hold-boulders" for item in week) is held


def test_hard_hangs_do_not_begin_in_a_lead_in() -> None:
    year = read_year(NEVER_HUNG.replace("[220]", "[1200]"), file="year.toml")
    grid = Grid(Almanac(year))
    role = Role(Kind.PERFORMANCE, Emphasis.FINGERS, lead_in=True)
    weeks = Weeks(grid, book_of(year))
    assert [weeks.week(grid.cells[n], role).hard_seconds > 0 for n in (1, 2, 8)] == [
        False, False, True,
    ]  # fmt: skip


# --- how much, how often ------------------------------------------------------------------------


@pytest.mark.parametrize("emphasis", [Emphasis.FINGERS, Emphasis.POWER])
@pytest.mark.parametrize("routine", [EVENINGS, SOME, DAILY])
def test_a_light_week_of_strength_holds_no_more_hard_days(
    routine: Mapping[str, int], emphasis: Emphasis
) -> None:
    light, whole = (
        {
            item.day
            for item in week_of(routine, 2200, Kind.STRENGTH, emphasis, light=light)
            if item.recipe.hard_on and item.recipe.rpe >= 6
        }
        for light in (True, False)
    )
    assert len(light) <= len(whole)


@pytest.mark.parametrize("kind", [Kind.BASE, Kind.STRENGTH, Kind.PERFORMANCE])
@pytest.mark.parametrize("discipline", ["sport", "boulder"])
def test_no_week_holds_the_same_session_again_and_again(kind: Kind, discipline: str) -> None:
    """Common practice, no source: easy hours are no end in themselves, least of all in a season."""
    week = week_of(DAILY, 4000, kind, Emphasis.FINGERS, discipline=discipline)
    counts = Counter(item.recipe.id for item in week if not item.hangs)
    assert max(counts.values()) <= composing().same[kind] <= 3


# --- whole years --------------------------------------------------------------------------------


def test_a_lead_in_to_the_mountains_holds_an_aerobic_session_in_the_week() -> None:
    made = planned(ALPINE)[1]
    first = of(ALPINE, Kind.PERFORMANCE)[0]
    (week, *_) = [one for one in first.weeks if one.lead_in]
    inside = [one for one in made.sessions if one.day in week.span]
    assert any(one.recipe == "aerobic" and one.day.weekday() < 5 for one in inside)


def test_eight_weeks_that_open_on_a_saturday_have_a_lead_in_and_one_light_week() -> None:
    (block, *others) = of(EIGHT_WEEKS, Kind.PERFORMANCE)
    assert not others
    assert block.weeks[0].lead_in
    assert block.span.after == date(2027, 8, 2)
    assert sum(week.deload for week in block.weeks) == 1


def test_the_day_after_the_first_rock_is_free_or_easy() -> None:
    made = planned(EIGHT_WEEKS)[1]
    first = min(one.day for one in made.sessions if one.rock)
    after = [RECIPES[one.recipe] for one in made.sessions if one.day == first + timedelta(days=1)]
    assert not any(one.rpe > 2 for one in after)


def test_low_loads_hold_no_hard_hangs_without_climbing() -> None:
    for text in (NEVER_HUNG, NEVER_HUNG.replace("hard_finger_sessions = 0", "")):
        made = planned(text)[1]
        blocks = [one for one in made.blocks if one.kind in (Kind.BASE, Kind.STRENGTH)]
        for week in (week for block in blocks for week in block.weeks):
            held = [RECIPES[one.recipe] for one in made.sessions if one.day in week.span]
            hung = any(one.hard_hangs for one in held)
            assert not hung or any(climbing(one) for one in held)


def test_two_days_at_home_are_free_after_a_week_of_climbing_away() -> None:
    trip = """
        [[trip]]
        name = "Red Fallow"
        place = "Saltmere"
        discipline = "sport"
        first = 2027-04-12
        last = LAST
    """
    for last, free in ((date(2027, 4, 18), True), (date(2027, 4, 17), False)):
        text = year_text(DAILY, trip.replace("LAST", f"{last}"), weeks=12)
        home = [last + timedelta(days=n) for n in (1, 2)]
        assert (not [one for one in planned(text)[1].sessions if one.day in home]) is free


def test_a_base_week_holds_what_its_block_is_named_for() -> None:
    """Three days, each of which the hangs would take, and no wall."""
    routine = {"tuesday": 60, "thursday": 60, "sunday": 75}
    text = year_text(routine, "", weeks=12, load=1300, has=["hangboard"])
    text = text.replace("[sessions]", '[sessions]\nspread = "short and hard, often"')
    week = composed(text, Kind.BASE, Emphasis.POWER_ENDURANCE, nth=4)
    assert {item.recipe.id for item in week} & making(Kind.BASE, Emphasis.POWER_ENDURANCE)


def test_the_first_week_back_from_a_hurt_back_is_half_a_week() -> None:
    """`days_off` of shared/blocks.toml: half of a normal week after ten days off, then three
    quarters."""
    weeks = [week for block in of(HURT_BACK, Kind.RETURN) for week in block.weeks]
    trained = (*of(HURT_BACK, Kind.BASE), *of(HURT_BACK, Kind.STRENGTH))
    before = [week for block in trained for week in block.weeks if week.span.first < HURT]
    usual = max(week.aim for week in before)
    assert weeks[0].aim <= 0.55 * usual
    assert weeks[0].aim < weeks[1].aim < weeks[-1].aim


def test_hard_hangs_begin_at_half_after_weeks_without_and_rise_by_steps() -> None:
    """Half, and .15 of what they were each week (shared/injuries.toml)."""
    year, _ = planned(HURT_BACK)
    levels = Levels(Almanac(year))
    before = levels.of(HURT - timedelta(days=1)).hang_seconds + 56  # a trained week more
    seconds = [levels.of(HURT + n * timedelta(weeks=1)).hang_seconds for n in range(13)]
    before = min(before, 252)  # the most that a week asks for (shared/menus.toml)
    assert seconds[:10] == [0.5 * before] * 10  # nothing rises in the phases
    assert [b - a for a, b in pairwise(seconds[9:])] == pytest.approx([0.15 * before] * 3)


@pytest.mark.parametrize("kind", [Kind.BASE, Kind.STRENGTH])
def test_from_50_legs_and_pressing_come_twice_the_second_time_behind_the_climbing(
    kind: Kind,
) -> None:
    """Common practice, no source: what is done on a wall has its place before a second round."""
    twice = [("legs-and-trunk",), ("antagonists",)]
    goal = """
        [[goal]]
        name = "Grey Door"
        place = "Larchfold"
        discipline = "sport"
        grade = "7a"
    """
    year = read_year(year_text(SOME, goal, climber="birth_year = 1967"), file="year.toml")
    found = Serving(Almanac(year)).courses(f"{kind} fingers", year.span.first)
    at = [n for n, course in enumerate(found) if course in twice]
    assert at[:2] == [1, 2] and len(at) == 4
    between = found[3 : at[2]]
    assert sum(climbing(RECIPES[course[0]]) for course in between) >= 1


# --- hangs ----------------------------------------------------------------------------------------


def test_few_days_hold_hangs_and_climbing_on_one() -> None:
    """Who is at home from Friday on hangs and climbs on the same evening."""
    away = {"friday": 150, "saturday": 240, "sunday": 180}
    for born in (1966, 1992):
        week = week_of(away, 1500, Kind.STRENGTH, Emphasis.FINGERS, born=born, nth=4)
        hung = {item.day for item in week if item.recipe.hard_hangs}
        assert hung & {item.day for item in week if hard_climbing(item.recipe)}


def test_a_base_week_holds_climbing_above_easy_where_the_hangs_leave_it_a_day() -> None:
    week = week_of(EVENINGS, 1700, Kind.BASE, Emphasis.FINGERS, nth=4)
    assert any(hard_climbing(item.recipe) for item in week) and hangs(week)


@pytest.mark.parametrize(("kind", "most"), [(Kind.BASE, 140), (Kind.STRENGTH, 196)])
def test_the_first_weeks_of_a_block_hold_fewer_hard_seconds(kind: Kind, most: int) -> None:
    text = year_text(EVENINGS, "", weeks=20, load=1700)
    year = read_year(text, file="year.toml")
    grid, weeks = Grid(Almanac(year)), Weeks(Grid(Almanac(year)), book_of(year))
    first, second, usual = (
        weeks.week(grid.cells[12], Role(kind, Emphasis.FINGERS, begun=begun)).hard_seconds
        for begun in (0, 1, None)
    )
    assert first <= most + 5 < usual and first < second <= usual


def test_days_with_hangs_rise_by_one_a_week_where_a_block_begins() -> None:
    """For who hangs often: three days, four, five."""
    split = '[sessions]\nspread = "short and hard, often"'
    text = year_text(DAILY, "", weeks=20, load=1700).replace("[sessions]", split)
    year = read_year(text, file="year.toml")
    grid, weeks = Grid(Almanac(year)), Weeks(Grid(Almanac(year)), book_of(year))
    days = []
    for begun in (0, 1, None):
        week = weeks.week(grid.cells[12], Role(Kind.BASE, Emphasis.FINGERS, begun=begun))
        days.append(sum(bool(item.hangs) for item in week.items))
    assert days == [3, 4, 5]


def test_who_did_no_hard_hangs_begins_with_light_ones_and_with_base() -> None:
    """Common practice, no source."""
    _, made = planned(NEVER_HUNG)
    weeks = [week for block in made.blocks for week in block.weeks]
    assert [week.hard_seconds for week in weeks[:3]] == [0, 0, 0]
    first = weeks[0].span
    names = {one.recipe for one in made.sessions if one.day in first}
    assert names & {name for name, one in RECIPES.items() if climbing(one)}
    assert made.blocks[0].kind is Kind.BASE and made.blocks[0].emphasis is not Emphasis.FINGERS
    season = next(b.span.first for b in made.blocks if b.kind is Kind.PERFORMANCE)
    assert any(week.hard_seconds for week in weeks if week.span.after <= season)


def test_the_last_full_hangs_lie_about_ten_days_before_the_season() -> None:
    _, made = planned(EIGHT_WEEKS.replace(ROCK, f"{ROCK}\nlevel = {{ finger_strength = 1 }}"))
    rock = min(one.day for one in made.sessions if one.rock)
    hung = [one for one in made.sessions if RECIPES[one.recipe].hard_hangs and one.day < rock]
    (week,) = (week for block in made.blocks for week in block.weeks if week.lead_in)
    full, short = (one for one in hung if one.day in week.span)
    assert 9 <= (rock - full.day).days <= 13 and full.hangs > short.hangs


@pytest.mark.parametrize("spread", ["few and long", "short and hard, often"])
@pytest.mark.parametrize("rating", [1, 3])
def test_a_lead_in_holds_no_more_hard_seconds_than_the_weeks_before_it(
    rating: int, spread: str
) -> None:
    text = EIGHT_WEEKS.replace(ROCK, f"{ROCK}\nlevel = {{ finger_strength = {rating} }}")
    _, made = planned(text.replace("[sessions]", f'[sessions]\nspread = "{spread}"'))
    weeks = [week for block in made.blocks for week in block.weeks]
    (at,) = (n for n, week in enumerate(weeks) if week.lead_in)
    before = [week.hard_seconds for week in weeks[at - 3 : at]]
    assert 0 < weeks[at].hard_seconds < min(before)


def test_a_load_entered_low_may_rise_to_three_hours() -> None:
    """`year_least` of shared/response.toml, and no further than the free time holds."""
    low = read_year(year_text(EVENINGS, "", load=250), file="year.toml")
    assert Levels(Almanac(low)).body.top == 900
    usual = read_year(year_text(EVENINGS, "", load=1000), file="year.toml")
    assert Levels(Almanac(usual)).body.top == 1500


@pytest.mark.parametrize(
    ("loads", "top"),
    [
        ([1200, 1200, 0, 1200], 1800),
        ([1200, 600, 1200, 1200], 1575),
        ([1200, 599, 1200, 1200], 1800),
    ],
)
def test_a_holiday_before_the_year_does_not_bound_it(loads: list[int], top: float) -> None:
    """`ordinary` of shared/response.toml: half the middle of the weeks; one begins with their mean
    all the same."""
    year = read_year(year_text(EVENINGS, "", load=1200), file="year.toml")
    told = Before(weekly_load=tuple(map(float, loads)))
    body = Levels(Almanac(year.with_fields(before=told))).body
    assert (body.top, body.usual) == (top, sum(loads) / 4)


def test_few_hangs_stand_before_tries_at_the_limit() -> None:
    """Common practice, no source: at most eight, a hang of ten seconds each, then the tries."""
    away = {"friday": 150, "saturday": 240, "sunday": 180}
    for nth in range(2, 10):
        week = week_of(away, 1500, Kind.STRENGTH, Emphasis.FINGERS, born=1966, nth=nth)
        tries = {item.day for item in week if item.recipe.id == "limit-bouldering"}
        assert all(item.hangs <= 8 for item in week if item.day in tries)


@pytest.mark.parametrize("load", [400, 600, 900])
@pytest.mark.parametrize("routine", [OTHERS, {"tuesday": 90, "thursday": 60, "sunday": 90}])
def test_a_light_week_holds_climbing_too(routine: Mapping[str, int], load: float) -> None:
    for kind in (Kind.BASE, Kind.STRENGTH):
        items = week_of(routine, load, kind, Emphasis.FINGERS, light=True, nth=4)
        assert any(climbing(item.recipe) for item in items) and hangs(items)


def test_a_light_week_has_no_full_session_of_hangs() -> None:
    for kind in (Kind.BASE, Kind.STRENGTH):
        normal = week_of(EVENINGS, 1700, kind, Emphasis.FINGERS, nth=8)
        light = week_of(EVENINGS, 1700, kind, Emphasis.FINGERS, nth=8, light=True)
        assert 0 < hangs(light) <= 0.6 * hangs(normal)
        assert max(item.hangs for item in light if item.recipe.hard_hangs) <= 8


def test_who_did_no_hard_hangs_tests_nothing_and_has_no_strength_block_in_seven_weeks() -> None:
    _, made = planned(NEVER_HUNG)
    until = date(2027, 3, 1) + timedelta(weeks=7)
    assert not [one for one in made.sessions if one.recipe == "test-day" and one.day < until]
    assert not [b for b in made.blocks if b.kind is Kind.STRENGTH and b.span.first < until]


def test_a_season_is_not_broken_off_after_its_opening_weekend() -> None:
    for text in (EIGHT_WEEKS, ALPINE):
        _, made = planned(text)
        for block, after in pairwise(made.blocks):
            rock = [one for one in made.sessions if one.rock and one.day in block.span]
            if block.kind is Kind.PERFORMANCE and after.kind is Kind.REST:
                assert len({one.day.isocalendar()[:2] for one in rock}) > 1


def test_links_stand_in_the_week_before_a_season_opens_or_the_week_of_it() -> None:
    """Power endurance fades in weeks: nobody comes to the first project day without any."""
    made = planned(EIGHT_WEEKS)[1]
    first = min(one.day for one in made.sessions if one.rock)
    near = [one for one in made.sessions if 0 < (first - one.day).days <= 7 and not one.rock]
    assert any("power_endurance" in RECIPES[one.recipe].qualities for one in near)
