"""What faces show, as frozen values: numbers and sentences together, built once, only drawn there.

A view is a pure function of what was read. It knows no face: no colour, key, widget or size.
`--json` is its dump; its keys stay, and `schema` rises when one changes its meaning.
"""

from seasonplan.views.year import (
    AwayView,
    BlockView,
    GoalDays,
    GoalView,
    RockView,
    TestDay,
    WeekView,
    YearView,
)
from seasonplan.views.year_made import year_view

__all__ = [
    "AwayView", "BlockView", "GoalDays", "GoalView", "RockView", "TestDay", "WeekView", "YearView",
    "year_view",
]  # fmt: skip
