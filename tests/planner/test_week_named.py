"""Weeks hold what their block is named for, also where hangs would take the days for it."""

from __future__ import annotations

from datetime import date

import pytest

from seasonplan.body.almanac import Almanac
from seasonplan.planner.candidates import Role
from seasonplan.planner.frame import at_the_limit
from seasonplan.planner.grid import Grid
from seasonplan.planner.menus import making
from seasonplan.planner.weeks import Weeks
from seasonplan.rules.statements import book_of
from seasonplan.vocabulary import Emphasis, Kind
from seasonplan.year import Climber, Horizon, Routine, Year

FULL = (Kind.BASE, Emphasis.MOVEMENT)


def week_of(routine: dict[str, int], kind: Kind, emphasis: Emphasis) -> list[tuple[int, str]]:
    """Weekday and recipe of each session of a normal week, of who hangs lightly and often."""
    year = Year(
        horizon=Horizon(first=date(2027, 3, 1), weeks=4),
        climber=Climber(time_zone="Europe/Vienna", minutes=Routine(**routine)),
        sessions={"spread": "light, often", "has": ["hangboard", "wall", "weights", "partner"]},
        before={"weekly_load": [900]},
    )
    grid = Grid(Almanac(year))
    cell = grid.cells[1]
    weeks = Weeks(grid, book_of(year))
    items = weeks.week(cell, Role(kind, emphasis)).items
    return [(item.day.weekday(), item.recipe.id) for item in items]


@pytest.mark.parametrize(
    ("routine", "kind", "emphasis"),
    [
        ({"monday": 30, "wednesday": 60, "friday": 30, "saturday": 60}, *FULL),
        ({"monday": 30, "wednesday": 30, "thursday": 60, "friday": 30}, *FULL),
        (dict.fromkeys(("monday", "wednesday", "friday"), 30), Kind.STRENGTH, Emphasis.POWER),
    ],
)
def test_short_hangs_leave_a_day_for_what_the_block_is_named_for(
    routine: dict[str, int], kind: Kind, emphasis: Emphasis
) -> None:
    names = {name for _, name in week_of(routine, kind, emphasis)}
    assert names & making(kind, emphasis)
    assert "fingerboard-often" in names


def test_hangs_stand_on_every_day_where_days_hold_both() -> None:
    week = week_of({"wednesday": 90, "saturday": 90}, *FULL)
    hung = {day for day, name in week if name in ("fingerboard-often", "season-fingers")}
    assert len(hung) == 2
    assert {name for _, name in week} & making(*FULL)


@pytest.mark.parametrize("emphasis", [Emphasis.FINGERS, Emphasis.POWER])
def test_a_week_of_strength_holds_climbing_at_the_limit_where_hangs_leave_a_day_for_it(
    emphasis: Emphasis,
) -> None:
    """Two sessions of hangs on Monday and Friday barred the Saturday: a boulderer of power 4 tried
    nothing hard in four of nine such weeks. Common practice, no source."""
    days = {"monday": 75, "tuesday": 90, "thursday": 90, "friday": 60, "saturday": 180}
    year = Year(
        horizon=Horizon(first=date(2027, 3, 1), weeks=14),
        climber=Climber(time_zone="Europe/Vienna", minutes=Routine(**days, sunday=120)),
        before={"weekly_load": [1400] * 4, "hard_finger_sessions": 1},
    )
    grid = Grid(Almanac(year))
    weeks = Weeks(grid, book_of(year))
    for cell in grid.cells:
        week = weeks.week(cell, Role(Kind.STRENGTH, emphasis))
        assert any(i.recipe.climbs and at_the_limit(i.recipe) for i in week.items), cell.span
        assert week.hard_seconds > 0
