"""The Year and its parts: what the climber wishes and what is so."""

from seasonplan.year.entries import (
    Absence,
    Dated,
    Entry,
    Goal,
    Injury,
    Outing,
    Pin,
    Rock,
    Season,
    Trip,
    Window,
)
from seasonplan.year.fixed import FixedSession
from seasonplan.year.ids import slug
from seasonplan.year.model import ENTRY_FIELDS, Before, Climber, Horizon, RuleChange, Year
from seasonplan.year.own_test import Better, OwnTest
from seasonplan.year.recipe import Need, RecipeChange
from seasonplan.year.refusal import Trouble
from seasonplan.year.routine import FreeTime, Routine
from seasonplan.year.way import rock_place, rock_way, usual_place, wall_way
from seasonplan.year.wishes import CalendarWishes, SessionWishes

__all__ = [
    "ENTRY_FIELDS",
    "Absence", "Before", "Better", "CalendarWishes", "Climber", "Dated", "Entry", "FixedSession",
    "FreeTime", "Goal", "Horizon", "Injury", "Need", "Outing", "OwnTest", "Pin", "RecipeChange",
    "Rock", "Routine", "RuleChange", "Season", "SessionWishes", "Trip", "Trouble", "Window", "Year",
    "rock_place", "rock_way", "slug", "usual_place", "wall_way",
]  # fmt: skip
