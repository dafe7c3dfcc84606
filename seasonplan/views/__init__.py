"""What faces show, as frozen values: numbers and sentences together, built once, only drawn there.

A view is a pure function of what was read. It knows no face: no colour, key, widget or size.
`--json` is its dump; its keys stay, and `schema` rises when one changes its meaning.
"""

from seasonplan.views.form import FormDay, FormThere, GoalForm, form_views
from seasonplan.views.year import (
    AwayView,
    BlockView,
    GoalDays,
    GoalView,
    RockView,
    TestDay,
    WeekPart,
    WeekView,
    YearView,
)
from seasonplan.views.year_made import year_view

__all__ = [
    "AwayView", "BlockView", "FormDay", "FormThere", "GoalDays", "GoalForm", "GoalView", "RockView",
    "TestDay", "WeekPart", "WeekView", "YearView", "form_views", "year_view",
]  # fmt: skip
