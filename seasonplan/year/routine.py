"""The time a usual week has: minutes, or hours of the day, for each weekday."""

from __future__ import annotations

import re
from itertools import pairwise
from typing import Annotated, Any, Self

from pydantic import BeforeValidator, model_serializer, model_validator

from seasonplan.days import WEEKDAYS
from seasonplan.vocabulary import FrozenModel
from seasonplan.year.refusal import refuse, shown

DAY_MINUTES = 24 * 60
_LENGTH = re.compile(
    r"(?:(\d+(?:[.,]\d+)?)\s*h(?:ours?|rs?)?)?\s*(?:(\d+)\s*(?:m|min|mins|minutes?)?)?"
)
_HOURS = re.compile(r"(\d{1,2})(?::(\d\d))?\s*[-\u2013]\s*(\d{1,2})(?::(\d\d))?")


class FreeTime(FrozenModel):
    """Free time of one weekday. `hours` are (from, to) in minutes after midnight, in order.

    Without hours only the amount is known.
    """

    minutes: int = 0
    hours: tuple[tuple[int, int], ...] = ()

    @model_serializer
    def _plain(self) -> int | list[str]:
        if not self.hours:
            return self.minutes
        return [f"{clock_text(start)}-{clock_text(end)}" for start, end in self.hours]


def clock_text(minute: int) -> str:
    """A minute of the day as HH:MM."""
    return f"{minute // 60:02}:{minute % 60:02}"


def _free_time(value: Any) -> Any:
    """Free time from minutes, "1h30", "18:00-19:30", or a list of such hours."""
    if isinstance(value, FreeTime):
        return value
    if isinstance(value, (list, tuple)):
        return _from_hours([_one_range(part) for part in value])
    if isinstance(value, str) and (":" in value or _HOURS.fullmatch(value.strip())):
        return _from_hours([_one_range(value)])
    return FreeTime(minutes=_minutes(value))


def _from_hours(ranges: list[tuple[int, int]]) -> FreeTime:
    ranges.sort()
    for (_, end), (start, _) in pairwise(ranges):
        if start < end:
            raise refuse(
                found=f"hours that overlap at {clock_text(start)}",
                wanted="hours apart from each other",
                do="Join or correct them.",
            )
    return FreeTime(minutes=sum(end - start for start, end in ranges), hours=tuple(ranges))


def _one_range(value: Any) -> tuple[int, int]:
    match = _HOURS.fullmatch(value.strip()) if isinstance(value, str) else None
    if match is not None:
        hours, minutes = (int(match[1]), int(match[3])), (int(match[2] or 0), int(match[4] or 0))
        start, end = (60 * h + m for h, m in zip(hours, minutes, strict=True))
        if start < end <= DAY_MINUTES and max(minutes) < 60:
            return start, end
    raise refuse(
        found=shown(value),
        wanted="hours of one day, from and to",
        do='Write `"18:00-19:30"` (or several such hours), or `"1h30"` for an amount.',
    )


def _minutes(value: Any) -> int:
    """Minutes from a number of minutes, or from text such as "1h30" or "45 min"."""
    if isinstance(value, int) and not isinstance(value, bool) and 0 <= value <= DAY_MINUTES:
        return value
    minutes = minutes_said(value) if isinstance(value, str) else None
    if minutes is not None and minutes <= DAY_MINUTES:
        return minutes
    raise refuse(
        found=shown(value),
        wanted="minutes from 0 to 1440, or hours of the day",
        do='Write 90, `"1h30"`, `"45 min"` or `"18:00-19:30"`.',
    )


def minutes_said(words: str) -> int | None:
    """The minutes that are meant by "90", "1h30", "2 hours" or "45 min"; None for other words."""
    match = _LENGTH.fullmatch(words.strip().lower())
    if match is None or not (match[1] or match[2]):
        return None
    return round(60 * float((match[1] or "0").replace(",", "."))) + int(match[2] or 0)


Free = Annotated[FreeTime, BeforeValidator(_free_time)]


class Routine(FrozenModel):
    """Time free for training on each weekday of a usual week."""

    monday: Free = FreeTime()
    tuesday: Free = FreeTime()
    wednesday: Free = FreeTime()
    thursday: Free = FreeTime()
    friday: Free = FreeTime()
    saturday: Free = FreeTime()
    sunday: Free = FreeTime()

    def free(self, weekday: int) -> FreeTime:
        """Free time on a weekday counted from Monday = 0."""
        found: FreeTime = getattr(self, WEEKDAYS[weekday])
        return found

    def on(self, weekday: int) -> int:
        """Minutes on a weekday counted from Monday = 0."""
        return self.free(weekday).minutes

    @property
    def week(self) -> int:
        return sum(self.on(weekday) for weekday in range(7))

    @model_validator(mode="after")
    def _some_time(self) -> Self:
        if self.week == 0:
            raise refuse(
                found="no minutes on any weekday",
                wanted="some time to train",
                do="Add for example `tuesday = 90`.",
            )
        return self
