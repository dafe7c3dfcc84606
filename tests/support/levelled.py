"""Years with room for load to rise, and what their calendar weeks may hold."""

from __future__ import annotations

from math import log
from typing import Any

from plan_maker import a_year

from seasonplan.body.almanac import Almanac
from seasonplan.body.response import body_of
from seasonplan.planner.levels import Levels, WeekLevel
from seasonplan.rules.tables import response_table
from seasonplan.year import Before, Year

STEP = response_table().load_step
ROOMY = {"minutes": dict.fromkeys(("monday", "wednesday", "friday", "saturday"), 400)}
BEFORE = Before(weekly_load=(1000.0,) * 4, hard_finger_sessions=1.0)


def roomy(weeks: int = 12, **fields: Any) -> Year:
    """A climber with 1600 minutes a week and a load before that leaves much room to rise."""
    climber = ROOMY | fields.pop("climber", {})
    return a_year(weeks, climber=climber, before=fields.pop("before", BEFORE), **fields)


def levels_of(year: Year, **more: Any) -> tuple[list[WeekLevel], Levels]:
    """The levels of its calendar weeks, in order."""
    almanac = Almanac(year)
    made = Levels(almanac, **more)
    return [made.of(week.first) for week in almanac.weeks()], made


def steps(year: Year, **more: Any) -> list[float]:
    """The loads as steps of the table above the usual load."""
    usual = body_of(year).usual
    return [round(log(level.load / usual, STEP), 2) for level in levels_of(year, **more)[0]]
