"""What a person did to events of ours in a calendar, and what publishing did, in words."""

from __future__ import annotations

from datetime import datetime

from seasonplan.explain.words import day_text, span_text
from seasonplan.ical.back import Moved, Odd

_ODD = {
    Odd.REPEATS: "repeats, which a plan cannot follow",
    Odd.CANCELLED: "is cancelled; removing it there is what skips it",
    Odd.OTHER_KIND: "has hours for days, days for hours, or an end that cannot be",
    Odd.UNREADABLE: "cannot be read any more",
    Odd.REMOVED: "was removed",
    Odd.PART: "was changed in part, which says nothing of the whole: it can be put back",
}
YEARLY = " Its season comes every year: change that in the year, or put this one back."


def moved_text(title: str, moved: Moved) -> str:
    """One sentence on one event that is not as planned."""
    if moved.odd is not None:
        text = f"In your calendar {title} {_ODD[moved.odd]}; planned was {_planned(moved)}."
    elif moved.start is not None:
        there = _hours(moved.start, moved.minutes, told=moved.minutes != moved.was_minutes)
        text = f"In your calendar {title} is on {there}; planned was {_planned(moved)}."
    else:
        assert moved.span is not None
        text = (
            f"In your calendar {title} is {span_text(moved.span)}; planned was {_planned(moved)}."
        )
    return text + (YEARLY if moved.yearly else "")


def _planned(moved: Moved) -> str:
    if moved.was_start is not None:
        told = moved.minutes is not None and moved.minutes != moved.was_minutes
        return _hours(moved.was_start, moved.was_minutes, told=told)
    assert moved.was is not None
    return span_text(moved.was)


def _hours(start: datetime, minutes: int | None, *, told: bool) -> str:
    length = f" for {minutes} min" if told else ""
    return f"{day_text(start.date())} at {start:%H:%M}{length}"
