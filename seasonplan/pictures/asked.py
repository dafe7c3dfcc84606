"""The pictures for a screen by the word that asks for them: the year, its form, its load."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from seasonplan.pictures.marks import Picture
    from seasonplan.views import GoalForm, YearView

YEAR, FORM, LOAD = "year", "form", "load"
PICTURES = {YEAR: "The year", FORM: "Form on the way to the goals", LOAD: "Load of the weeks"}


def picture(
    what: str, view: YearView, *, forms: Callable[[], Sequence[GoalForm]]
) -> Picture | None:
    """That picture; None where the plan has nothing to draw it from."""
    from seasonplan.pictures.form import form_picture  # slow to import, as are the others
    from seasonplan.pictures.load import load_picture
    from seasonplan.pictures.strip import strip

    if what == FORM:
        curves = forms()
        return form_picture(curves, view.span) if curves else None
    if what == LOAD:
        return load_picture(view) if any(week.load for week in view.weeks) else None
    return strip(view)
