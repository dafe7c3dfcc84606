"""What a season keeps up at home between days on rock: common practice, no source."""

from __future__ import annotations

from functools import cache

import pytest
from coached import RECIPES, ROCK, sport_season, year_text

from seasonplan.body.almanac import Almanac
from seasonplan.planner.candidates import Role
from seasonplan.planner.fingers import KEPT
from seasonplan.planner.grid import Grid
from seasonplan.planner.kept import ComposedWeek
from seasonplan.planner.rock_day import openings
from seasonplan.planner.weeks import Weeks
from seasonplan.rules.statements import book_of
from seasonplan.vocabulary import Emphasis, Kind, RockRole
from seasonplan.year.toml import read_year

AT_HOME = {"monday": 60, "tuesday": 90, "wednesday": 60, "thursday": 90, "saturday": 240,
           "sunday": 180}  # fmt: skip
EVENINGS_30 = dict.fromkeys(("monday", "tuesday", "wednesday", "thursday", "friday", "sunday"), 30)
SEASON = sport_season("03-06", "05-30")
ONE_DAY = 'rock_days = ["saturday"]'
LINKS = ("interval-circuits", "intermittent-hangs")
NORMAL = range(2, 11)  # weeks of the season past its opening


@cache
def weeks(days: str, emphasis: Emphasis, *, light: bool = False, short: bool = False,
          born: int = 1992, season: str = SEASON) -> tuple[ComposedWeek, ...]:  # fmt: skip
    routine = EVENINGS_30 if short else AT_HOME
    text = year_text(routine, season, weeks=13, climber=f"{days}\nbirth_year = {born}")
    year = read_year(text, file="year.toml")
    grid = Grid(Almanac(year))
    made = Weeks(grid, book_of(year))
    role = Role(Kind.PERFORMANCE, emphasis, light=light)
    return tuple(made.week(grid.cells[n], role) for n in NORMAL)


def hangs(week: ComposedWeek) -> int:
    return sum(item.hangs for item in week.items if item.recipe.id == KEPT)


def links(week: ComposedWeek) -> int:
    return sum(item.recipe.id in LINKS for item in week.items)


BOTH = pytest.mark.parametrize("emphasis", [Emphasis.FINGERS, Emphasis.ENDURANCE])


@BOTH
def test_with_two_days_on_rock_what_a_block_is_not_named_for_stands_in_every_second_week(
    emphasis: Emphasis,
) -> None:
    made = weeks(ROCK, emphasis)
    kept, other = (hangs, links) if emphasis is Emphasis.FINGERS else (links, hangs)
    assert all(kept(week) for week in made)
    assert [bool(other(week)) for week in made] in (
        [n % 2 == 0 for n in range(len(made))], [n % 2 == 1 for n in range(len(made))],
    )  # fmt: skip


def test_a_week_with_links_and_two_days_on_rock_holds_half_as_many_hangs() -> None:
    made = weeks(ROCK, Emphasis.FINGERS)
    few = {hangs(week) for week in made if links(week)}
    full = {hangs(week) for week in made if not links(week)}
    assert max(few) <= max(3, min(full) // 2) < min(full)
    assert min(few) >= RECIPES[KEPT].hangs[0]


@BOTH
def test_with_one_day_on_rock_hangs_and_links_stand_in_each_week(emphasis: Emphasis) -> None:
    for short in (False, True):
        made = weeks(ONE_DAY, emphasis, short=short)
        assert sum(bool(hangs(week) and links(week)) for week in made) >= len(made) - 1


@BOTH
@pytest.mark.parametrize("days", [ROCK, ONE_DAY])
def test_no_week_of_a_season_holds_links_twice_and_a_light_one_holds_hangs_or_links(
    days: str, emphasis: Emphasis
) -> None:
    assert all(links(week) <= 1 for week in weeks(days, emphasis))
    light = weeks(days, emphasis, light=True)
    assert not any(hangs(week) and links(week) for week in light)
    assert any(map(hangs, light)) and any(map(links, light))


def test_who_is_too_young_for_hard_hangs_has_links_in_each_week() -> None:
    made = weeks(ROCK, Emphasis.FINGERS, born=2013)
    assert all(links(week) and not hangs(week) for week in made)


# --- boulders -----------------------------------------------------------------------------------

BOULDERS = SEASON.replace('discipline = "sport"', 'discipline = "boulder"').replace("7a", "7A")


def hard_moves(week: ComposedWeek) -> int:
    return sum(item.recipe.id == "limit-bouldering" for item in week.items)


def test_a_boulder_season_keeps_up_hard_moves_in_every_second_week_and_fewer_hangs_in_it() -> None:
    made = weeks(ROCK, Emphasis.FINGERS, season=BOULDERS)
    assert [hard_moves(week) for week in made] in (
        [n % 2 for n in range(len(made))], [1 - n % 2 for n in range(len(made))],
    )  # fmt: skip
    with_moves, without = ([w for w in made if bool(hard_moves(w)) is b] for b in (True, False))
    assert max(map(hangs, with_moves)) < min(map(hangs, without))


def test_with_one_day_on_rock_a_boulder_season_keeps_up_hard_moves_in_each_week() -> None:
    assert all(hard_moves(week) == 1 for week in weeks(ONE_DAY, Emphasis.FINGERS, season=BOULDERS))


def test_no_hard_moves_stand_on_the_day_before_a_project_nor_after_one() -> None:
    for days in (ROCK, ONE_DAY):
        for week in weeks(days, Emphasis.FINGERS, season=BOULDERS):
            hard = {item.day for item in week.items if item.recipe.id == "limit-bouldering"}
            project = {item.day for item in week.items if item.role is RockRole.PROJECT}
            assert project or not week.on_rock[1:]
            assert not any(abs((a - b).days) <= 1 for a in hard for b in project)


def test_the_young_keep_up_hard_moves_on_good_holds() -> None:
    made = weeks(ONE_DAY, Emphasis.FINGERS, season=BOULDERS, born=2012)
    held = [{item.recipe.id for item in week.items} for week in made]
    assert all("good-hold-boulders" in one and "limit-bouldering" not in one for one in held)


# --- the beginning ------------------------------------------------------------------------------


@pytest.mark.parametrize(("kind", "emphasis"), [
    (Kind.BASE, Emphasis.POWER_ENDURANCE), (Kind.STRENGTH, Emphasis.FINGERS),
])  # fmt: skip
def test_a_light_week_before_a_block_of_performance_takes_the_easy_beginning_of_a_season(
    kind: Kind, emphasis: Emphasis
) -> None:
    """Else the first day of the season would be a day of tries, weeks after any rock."""
    text = year_text(AT_HOME, SEASON, weeks=13, climber=ROCK)
    year = read_year(text, file="year.toml")
    grid = Grid(Almanac(year))
    made = Weeks(grid, book_of(year))
    opens = min(openings(made.rock))
    cell = next(one for one in grid.cells if opens in one.span)
    light = made.week(cell, Role(kind, emphasis, light=True))
    assert [(one.day, one.role) for one in light.on_rock] == [(opens, RockRole.EASY)]
    later = grid.cells[cell.index + 1]
    assert made.week(later, Role(kind, emphasis, light=True)).on_rock == ()
