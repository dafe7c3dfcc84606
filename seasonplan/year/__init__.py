"""The Year and its parts: what the climber wishes and what is so."""

from seasonplan.year.entries import (
    Absence,
    Entry,
    Goal,
    Injury,
    Pin,
    Rock,
    Season,
    Trip,
    Window,
    slug,
)
from seasonplan.year.model import Before, Climber, Horizon, Routine, RuleChange, Year
from seasonplan.year.refusal import Trouble

__all__ = [
    "Absence", "Before", "Climber", "Entry", "Goal", "Horizon", "Injury", "Pin", "Rock",
    "Routine", "RuleChange", "Season", "Trip", "Trouble", "Window", "Year", "slug",
]  # fmt: skip
