"""Events of ours as a calendar elsewhere has them by now: which of them a person moved.

What comes from there is untrusted: only the times of one event are looked at, by identity.
Decides nothing: what a move means for the year is for `edits`.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from enum import StrEnum
from uuid import uuid5
from zoneinfo import ZoneInfo

from seasonplan.days import ONE_DAY, Span
from seasonplan.ical.appointments import hours
from seasonplan.plan import Plan, Session
from seasonplan.vocabulary import Kind
from seasonplan.year import Absence, Trip, Window, Year

MOST_BYTES = 200_000  # of one event; ours stay far below. Preference of this project


class About(StrEnum):
    """What an event of ours shows."""

    SESSION = "session"
    BLOCK = "block"
    ENTRY = "entry"


@dataclass(frozen=True, slots=True)
class Moved:
    """A thing of the plan or year that stands elsewhere in a calendar.

    Sessions have `start` and `was_start`, by the wall clock of their zone, and `minutes` as they
    are there; whole days have `span` and `was`.
    """

    about: About
    id: str
    span: Span | None = None
    was: Span | None = None
    start: datetime | None = None
    was_start: datetime | None = None
    minutes: int | None = None


When = tuple[date, date]  # from, up to and without; dates, or moments with their zone


def moved(year: Year, plan: Plan, files: Iterable[bytes]) -> list[Moved]:
    """What stands elsewhere in these files than in the current revision, in the plan's order.

    An event that repeats, is cancelled, or cannot be read is no move.
    """
    found = {uid: when for content in files for uid, when in times(content, year.climber.time_zone)}
    return [*_sessions(year, plan, found), *_blocks(plan, found), *_entries(year, plan, found)]


def times(content: bytes, home: str) -> Iterator[tuple[str, When]]:
    """UID and time of each plain event; moments without a zone are those of `home`."""
    from icalendar import Calendar

    if len(content) > MOST_BYTES:
        return
    try:
        events = Calendar.from_ical(content).walk("VEVENT")
        if len(events) == 1:  # more are a repeating one with its exceptions
            yield from _time(events[0], ZoneInfo(home))
    except (ValueError, KeyError, AttributeError, TypeError, IndexError, RecursionError):
        return


def _time(event: object, home: ZoneInfo) -> Iterator[tuple[str, When]]:
    got = event.get  # type: ignore[attr-defined]  # icalendar's components are dicts
    odd = any(got(key) is not None for key in ("RRULE", "RDATE", "RECURRENCE-ID"))
    if odd or str(got("STATUS", "")).upper() == "CANCELLED" or got("DTSTART") is None:
        return
    start = got("DTSTART").dt
    if got("DTEND") is not None:
        end = got("DTEND").dt
    elif got("DURATION") is not None:
        end = start + got("DURATION").dt
    else:
        end = start if isinstance(start, datetime) else start + ONE_DAY
    yield str(got("UID")), (_zoned(start, home), _zoned(end, home))


def _zoned(when: date, home: ZoneInfo) -> date:
    if isinstance(when, datetime) and when.tzinfo is None:
        return when.replace(tzinfo=home)
    return when


def _sessions(year: Year, plan: Plan, found: Mapping[str, When]) -> Iterator[Moved]:
    for session in plan.current.sessions:
        when = found.get(str(uuid5(plan.calendar_key, session.id)))
        if when and isinstance(when[0], datetime) and isinstance(when[1], datetime):
            yield from _session(session, when[0], when[1], home=year.climber.time_zone)


def _session(session: Session, start: datetime, end: datetime, *, home: str) -> Iterator[Moved]:
    was, _ = hours(session, home)
    if start == was:
        return
    there = start.astimezone(was.tzinfo).replace(second=0, microsecond=0)
    minutes = (end - start) // timedelta(minutes=1)
    yield Moved(About.SESSION, session.id, start=there, was_start=was, minutes=minutes)


def _blocks(plan: Plan, found: Mapping[str, When]) -> Iterator[Moved]:
    for block in plan.current.blocks:
        span = _span(found.get(str(uuid5(plan.calendar_key, block.id))))
        if span and span != block.span and block.kind not in (Kind.TRIP, Kind.ABSENCE):
            yield Moved(About.BLOCK, block.id, span=span, was=block.span)


def _entries(year: Year, plan: Plan, found: Mapping[str, When]) -> Iterator[Moved]:
    named: list[tuple[str, Trip | Absence | Window]] = [
        *(("trip", one) for one in year.trips),
        *(("absence", one) for one in year.absences),
        *(("window", one) for one in year.windows),
    ]
    for section, entry in named:
        span = _span(found.get(str(uuid5(plan.calendar_key, f"{section}:{entry.id}"))))
        if span and span != entry.span:
            yield Moved(About.ENTRY, entry.id, span=span, was=entry.span)


def _span(when: When | None) -> Span | None:
    """Whole days; None for moments, or an end before the beginning."""
    if when is None or isinstance(when[0], datetime) or isinstance(when[1], datetime):
        return None
    return Span(when[0], when[1]) if when[0] < when[1] else None
