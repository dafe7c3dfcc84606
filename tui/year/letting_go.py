"""What is asked when a held block is let go: what becomes of the rest of the year."""

from __future__ import annotations

from seasonplan.days import Span, span_text
from seasonplan.planner.held import Place
from tui.ask import Choice, Choose
from tui.year.lanes import Mark

AS_IT_STOOD, REARRANGED = "as it stood", "rearranged"


def rest_question(mark: Mark, span: Span, place: Place | None) -> Choose:
    """The rest as it stood, or rearranged to the best year with the block there."""
    from seasonplan.explain.why_told import price_text  # slow to import

    told = "the best year with it there"
    if place is not None:
        about = "" if place.span == span else "about: "
        told += f"; {about}{'costs nothing' if place.tie else price_text(place)}"
    return Choose(
        f"{mark.name}, {span_text(span)}. And the rest of the year?",
        (
            Choice(AS_IT_STOOD, "As it stood", "only this block moves; its neighbours give way"),
            Choice(REARRANGED, "Rearranged", told),
        ),
        about="It is fixed there. Esc leaves it where it was.",
    )
