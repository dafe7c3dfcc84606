"""What a person did to events of ours in a calendar, and what publishing did, in words."""

from __future__ import annotations

from datetime import datetime

from seasonplan.explain.words import day_text, span_text
from seasonplan.ical.back import Moved


def moved_text(about: str, moved: Moved | None) -> str:
    """One sentence on one event that stands elsewhere; without a move it was removed."""
    if moved is None:
        return f"In your calendar {about} was removed."
    if moved.start and moved.was_start:
        return (
            f"In your calendar {about} is on {_moment(moved.start)}; "
            f"planned was {_moment(moved.was_start)}."
        )
    assert moved.span is not None and moved.was is not None
    return (
        f"In your calendar {about} is {span_text(moved.span)}; planned was {span_text(moved.was)}."
    )


def _moment(moment: datetime) -> str:
    return f"{day_text(moment.date())} at {moment:%H:%M}"
