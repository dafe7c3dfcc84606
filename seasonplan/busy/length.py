"""How long an event lasts, over every change of the clocks, as RFC 5545 has it.

3.3.6: days and weeks of a DURATION are by the calendar, hours and minutes are exact time.
3.8.5.3: what ends with a DTEND lasts as long, in exact time, each time it recurs.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import Any

NOTHING = timedelta(0)
_SPACE = re.compile(
    r"([+-]?)P(?:(\d+)W)?(?:(\d+)D)?(?:T(?:(\d+)H)?(?:(\d+)M)?(?:(\d+)S)?)?", re.IGNORECASE
)


@dataclass(frozen=True, slots=True)
class Length:
    """`days` by the calendar, then `exact` time; `by_clock` is the same as a library counts it."""

    days: timedelta
    exact: timedelta
    by_clock: timedelta

    def end(self, start: datetime, found: datetime) -> datetime:
        """When an instance ends; one with a length of its own, a period, as it was `found`."""
        if found - start != self.by_clock:
            return found
        return (start + self.days).astimezone(UTC) + self.exact


def length_of(event: Any, duration: str) -> Length:
    """The length of an event as icalendar has it; `duration` is the text of its DURATION, if any.

    Raises ValueError for a DURATION that is none.
    """
    start = event["DTSTART"].dt
    if "DTEND" in event:
        end = event["DTEND"].dt
        exact = _utc(end) - _utc(start) if isinstance(start, datetime) else NOTHING
        return Length(NOTHING, exact, end - start)
    if "DURATION" not in event:
        return Length(NOTHING, NOTHING, NOTHING)
    days, exact = space(duration)
    return Length(days, exact, days + exact)


def space(text: str) -> tuple[timedelta, timedelta]:
    """The calendar days and the exact time of a duration. Raises ValueError."""
    match = _SPACE.fullmatch(text.strip())
    if match is None:
        raise ValueError("no duration")
    weeks, days, hours, minutes, seconds = (int(one or 0) for one in match.groups()[1:])
    sign = -1 if match[1] == "-" else 1
    whole = timedelta(weeks=weeks, days=days)
    return sign * whole, sign * timedelta(hours=hours, minutes=minutes, seconds=seconds)


def _utc(moment: datetime) -> datetime:
    return moment.astimezone(UTC)
