"""Years of invented climbers, their weeks and plans, for tests that read them as a coach would."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from functools import cache
from typing import Any

from seasonplan.body.almanac import Almanac
from seasonplan.planner.candidates import Role
from seasonplan.planner.fill import Filled, fill
from seasonplan.planner.grid import Grid
from seasonplan.planner.run import Found, best_plan
from seasonplan.planner.standing import Item
from seasonplan.planner.weeks import Weeks
from seasonplan.recipes import standard_recipes
from seasonplan.rules.statements import book_of
from seasonplan.vocabulary import Emphasis, Kind
from seasonplan.year import Year
from seasonplan.year.toml import read_year

RECIPES = standard_recipes()
EVENINGS = {"monday": 60, "tuesday": 120, "wednesday": 60, "thursday": 120, "saturday": 240}
SOME = {"monday": 60, "wednesday": 75, "friday": 45, "saturday": 150, "sunday": 120}
OTHERS = {"monday": 45, "tuesday": 90, "thursday": 90, "saturday": 150, "sunday": 120}
DAILY = dict.fromkeys(("monday", "tuesday", "wednesday", "thursday", "saturday", "sunday"), 240)


def week_of(
    routine: Mapping[str, int], load: float, kind: Kind, emphasis: Emphasis, *,
    born: int = 1992, light: bool = False, discipline: str = "sport", nth: int = 1,
) -> tuple[Item, ...]:  # fmt: skip
    """The sessions of one week of a climber with such free minutes and such a load before; `nth`
    of the year, from none."""
    goal = f"""
        [[goal]]
        name = "Grey Door"
        place = "Larchfold"
        discipline = "{discipline}"
        grade = "{ {"sport": "7a", "boulder": "7A"}[discipline] }"
    """
    text = year_text(routine, goal, weeks=12, load=load, climber=f"birth_year = {born}")
    return composed(text, kind, emphasis, light=light, nth=nth)


def composed(
    text: str, kind: Kind, emphasis: Emphasis, *, light: bool = False, nth: int = 1
) -> tuple[Item, ...]:
    year = read_year(text, file="year.toml")
    grid = Grid(Almanac(year))
    cell = grid.cells[nth]
    return Weeks(grid, book_of(year)).week(cell, Role(kind, emphasis, light=light)).items


def year_text(
    routine: Mapping[str, int], entries: str, *, weeks: int = 26, load: float = 1500,
    climber: str = "", has: Sequence[str] = ("hangboard", "wall", "weights", "partner"),
) -> str:  # fmt: skip
    """A year from 1 March 2027 on; `entries` and `climber` are TOML of their own."""
    return f"""
        schema = 1
        [year]
        first = 2027-03-01
        weeks = {weeks}
        [climber]
        time_zone = "Europe/Vienna"
        minutes = {{ {", ".join(f"{day} = {minutes}" for day, minutes in routine.items())} }}
        {climber}
        [before]
        weekly_load = [{load}]
        hard_finger_sessions = 1
        [sessions]
        has = {list(has)}
        {entries}
    """


def hangs(items: tuple[Item, ...]) -> int:
    return sum(item.hangs for item in items if item.recipe.hard_hangs)


ROCK = 'rock_days = ["saturday", "sunday"]'
ALPINE = year_text(
    {"monday": 60, "tuesday": 90, "wednesday": 60, "thursday": 90, "saturday": 240},
    """
    [[goal]]
    name = "North rib"
    place = "Harrow range"
    discipline = "mountain"
    grade = "IV"
    [[season]]
    name = "Summer"
    place = "Harrow range"
    discipline = "mountain"
    first = "06-26"
    last = "08-08"
    chance = 0.5
    """,
    climber=f"{ROCK}\nrock_minutes = 480",
)


def sport_season(first: str, last: str) -> str:
    """A rope season, by month and day, and a project in it."""
    return f"""
    [[goal]]
    name = "Grey Door"
    place = "Larchfold"
    discipline = "sport"
    grade = "7a"
    [[season]]
    name = "Season"
    place = "Larchfold"
    discipline = "sport"
    first = "{first}"
    last = "{last}"
    chance = 0.5
    """


EIGHT_WEEKS = year_text(
    {"monday": 60, "tuesday": 90, "thursday": 90, "saturday": 240, "sunday": 240},
    sport_season("06-05", "08-01"),
    climber=ROCK,
)
HURT_BACK = year_text(
    {"monday": 60, "tuesday": 90, "thursday": 90, "saturday": 180, "sunday": 120},
    """
    [[injury]]
    name = "Sore back"
    part = "back"
    happened = 2027-04-12
    easy_from = 2027-04-26
    building_from = 2027-05-17
    full_from = 2027-06-14
    """,
)
HURT = date(2027, 4, 12)
NEVER_HUNG = year_text(
    {"monday": 45, "wednesday": 45, "saturday": 120},
    """
    [[goal]]
    name = "Grey Door"
    place = "Larchfold"
    discipline = "sport"
    grade = "6b"
    [[season]]
    name = "Autumn"
    place = "Larchfold"
    discipline = "sport"
    first = "08-14"
    last = "08-29"
    chance = 0.5
    """,
    load=220,
    climber=ROCK,
).replace("hard_finger_sessions = 1", "hard_finger_sessions = 0")


@cache
def planned(text: str) -> tuple[Year, Filled]:
    year = read_year(text, file="year.toml")
    found = best_plan(year, book=book_of(year), confirm=False)
    assert isinstance(found, Found)
    return year, fill(found.search.weeks, found.search.candidates, found.blocks)


def of(text: str, kind: Kind) -> list[Any]:
    return [block for block in planned(text)[1].blocks if block.kind is kind]
