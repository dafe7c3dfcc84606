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
from seasonplan.planner.climbing import climbing, hard_climbing
from seasonplan.planner.grid import Grid
from seasonplan.planner.levels import Levels
from seasonplan.planner.menus import Serving, making
from seasonplan.planner.standing import TEST, Item
from seasonplan.planner.weeks import Weeks
from seasonplan.recipes import Recipe
from seasonplan.rules.statements import book_of
from seasonplan.rules.tables import composing
from seasonplan.vocabulary import Emphasis, Kind
from seasonplan.year.toml import read_year

# --- climbing -----------------------------------------------------------------------------------


@pytest.mark.parametrize("kind", [Kind.BASE, Kind.STRENGTH])
@pytest.mark.parametrize("load", [450, 600, 900, 1500])
def test_a_week_named_for_fingers_holds_climbing_beside_its_hangs(kind: Kind, load: int) -> None:
    week = week_of(EVENINGS, load, kind, Emphasis.FINGERS)
    assert any(climbing(item.recipe) for item in week) and hangs(week)


@pytest.mark.parametrize("kind", [Kind.BASE, Kind.STRENGTH])
def test_who_never_has_an_hour_climbs_all_the_same(kind: Kind) -> None:
    slots = dict.fromkeys(("tuesday", "thursday", "saturday", "sunday"), 45)
    assert any(climbing(item.recipe) for item in week_of(slots, 450, kind, Emphasis.FINGERS))


@pytest.mark.parametrize("discipline", ["sport", "boulder"])
def test_who_has_a_board_trains_power_on_it_and_elsewhere(discipline: str) -> None:
    goal = f'''
        [[goal]]
        name = "Grey Door"
        place = "Larchfold"
        discipline = "{discipline}"
        grade = "{"7a" if discipline == "sport" else "7A"}"
    '''
    has = ("hangboard", "wall", "weights")
    board, wall = (
        {item.recipe.id for item in composed(text, Kind.STRENGTH, Emphasis.POWER)}
        for text in (year_text(EVENINGS, goal, has=some) for some in ((*has, "board"), has))
    )
    assert board >= {"board-power", "limit-bouldering"}
    assert "limit-bouldering" in wall and "board-power" not in wall


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
    assert minutes_of(week, climbing) >= minutes_of(week, lambda one: one.pulls) > 0


def test_more_climbing_leaves_half_of_the_hard_seconds_of_a_base_week() -> None:
    usual = week_of(TWICE | {"sunday": 45}, 900, Kind.BASE, Emphasis.ENDURANCE, nth=4)
    few = week_of(TWICE, 900, Kind.BASE, Emphasis.ENDURANCE, nth=4)
    seconds = [sum(i.hangs * i.recipe.hang_seconds for i in one) for one in (usual, few)]
    assert seconds[1] >= 0.5 * seconds[0] > 0


@pytest.mark.parametrize(
    ("discipline", "load", "held"),
    [("sport", 2000, False), ("sport", 4200, True), ("boulder", 1500, False),
     ("boulder", 2000, True)],
)  # fmt: skip
@pytest.mark.parametrize("emphasis", [Emphasis.FINGERS, Emphasis.ENDURANCE, Emphasis.MOVEMENT])
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
    """A test apart, which takes the place of climbing in a light week."""
    for text in (NEVER_HUNG, NEVER_HUNG.replace("hard_finger_sessions = 0", "")):
        made = planned(text)[1]
        blocks = [one for one in made.blocks if one.kind in (Kind.BASE, Kind.STRENGTH)]
        for week in (week for block in blocks for week in block.weeks):
            held = [RECIPES[one.recipe] for one in made.sessions if one.day in week.span]
            hung = any(one.hard_hangs for one in held)
            tested = any(one.id == TEST for one in held)
            assert not hung or tested or any(climbing(one) for one in held)


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


def test_hard_hangs_begin_with_a_session_after_weeks_without_and_rise_by_steps() -> None:
    """56 s, and .15 of what they were each week (shared/menus.toml, injuries.toml)."""
    year, _ = planned(HURT_BACK)
    levels = Levels(Almanac(year))
    before = levels.of(HURT - timedelta(days=1)).hang_seconds + 56  # a trained week more
    seconds = [levels.of(HURT + n * timedelta(weeks=1)).hang_seconds for n in range(13)]
    before = min(before, 252)  # the most that a week asks for (shared/menus.toml)
    assert seconds[:10] == [56] * 10  # nothing rises in the phases
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


@pytest.mark.parametrize("load", [750, 800])
def test_from_50_a_week_holds_two_climbs_beside_legs_and_pressing(load: int) -> None:
    """Both came twice a week before the second climb: eleven of twenty-two weeks of a boulderer of
    58 held one."""
    year = year_text(
        {"tuesday": 60, "wednesday": 90, "friday": 45, "sunday": 180}, GREY_DOOR, weeks=12,
        has=("wall", "partner"), load=load, climber="birth_year = 1974",
    )  # fmt: skip
    for nth in (2, 4):
        items = composed(year, Kind.BASE, Emphasis.ENDURANCE, nth=nth)
        assert len({item.day for item in items if item.recipe.climbs}) >= 2
        assert {"legs-and-trunk", "antagonists"} <= {item.recipe.id for item in items}


GREY_DOOR = """
    [[goal]]
    name = "Grey Door"
    place = "Larchfold"
    discipline = "sport"
    grade = "7a"
"""


@pytest.mark.parametrize(
    ("discipline", "minutes", "spread"),
    [
        ("ice", {"monday": 120, "tuesday": 90, "wednesday": 90, "friday": 120}, "few and long"),
        ("mountain", dict.fromkeys(DAILY, 60) | {"tuesday": 150, "saturday": 45},
         "short and hard, often"),
    ],
)  # fmt: skip
def test_who_has_no_board_trains_fingers_at_the_limit_in_a_block_named_for_them(
    discipline: str, minutes: Mapping[str, int], spread: str
) -> None:
    """Strength weeks for fingers held easy climbing and hours uphill alone: limit boulders stood
    last of their courses, and the split kept days free for hangs that are none."""
    goal = f'spread = "{spread}"' + rib(discipline)
    travel = f"wall_travel_minutes = {20 * (discipline == 'mountain')}"
    said = year_text(minutes, goal, weeks=12, has=("wall", "partner"), climber=travel)
    for nth in range(1, 6):
        items = composed(said, Kind.STRENGTH, Emphasis.FINGERS, nth=nth)
        assert sum(item.recipe.id == "limit-bouldering" for item in items) == 1


def rib(discipline: str) -> str:
    grade = {"ice": "WI4", "mountain": "IV"}[discipline]
    named = {"name": "North rib", "place": "Harrow range", "discipline": discipline, "grade": grade}
    return "\n[[goal]]\n" + "\n".join(f'{key} = "{value}"' for key, value in named.items())


def test_the_lead_in_before_ice_holds_an_easy_climb() -> None:
    """After an elbow its first full week went from 225 minutes of climbing to none."""
    grid = Grid(Almanac(read_year(year_text(EVENINGS, rib("ice")), file="year.toml")))
    role = Role(Kind.PERFORMANCE, Emphasis.ENDURANCE, lead_in=True)
    week = Weeks(grid, book_of(grid.almanac.year)).week(grid.cells[4], role)
    assert any(item.recipe.climbs and not item.recipe.hard_on for item in week.items)
