"""Events of ours as a calendar elsewhere has them by now: which of them a person moved.

What comes from there is untrusted: only the times of one event are looked at, by identity.
Decides nothing: what a move means for the year is for `edits`.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, timedelta
from enum import StrEnum
from uuid import uuid5
from zoneinfo import ZoneInfo

from seasonplan.days import ONE_DAY, Span
from seasonplan.ical.appointments import (
    HERE,
    Ways,
    by_day,
    day_hours,
    session_hours,
    way_of,
    ways_of,
)
from seasonplan.ical.carried import MOST_BYTES
from seasonplan.ical.ever import When, dated, weekly
from seasonplan.ical.happenings import first_day
from seasonplan.ical.manner import PLAIN, Manner
from seasonplan.ical.together import day_key
from seasonplan.plan import Block, Plan, Session
from seasonplan.vocabulary import BlocksAs, Kind
from seasonplan.year import Season, Year

MINUTE = timedelta(minutes=1)
LONGEST = 24 * 60  # minutes that a session may have


class About(StrEnum):
    """What an event of ours shows."""

    SESSION = "session"
    DAY = "day"  # all sessions of one, shown as one event
    BLOCK = "block"
    ENTRY = "entry"


class Odd(StrEnum):
    """What was made of an event other than a move."""

    REPEATS = "repeats"
    CANCELLED = "cancelled"
    OTHER_KIND = "other-kind"  # hours made of whole days, days of hours, or more than a day
    UNREADABLE = "unreadable"
    REMOVED = "removed"
    PART = "part"  # a part of a block or day was changed, which says nothing of the whole


@dataclass(frozen=True, slots=True)
class Moved:
    """A thing of the plan or year that stands elsewhere in a calendar.

    Sessions have `start` and `was_start`, by the wall clock of their zone, and lengths, all
    without the way; a day of sessions has them as shown. Whole days have `span` and `was`. What
    is `odd` has only the times that were planned; `yearly` is a season that comes every year, of
    which one alone was moved.
    """

    about: About
    id: str
    uid: str
    span: Span | None = None
    was: Span | None = None
    start: datetime | None = None
    was_start: datetime | None = None
    minutes: int | None = None
    was_minutes: int | None = None
    odd: Odd | None = None
    yearly: bool = False


def moved(
    year: Year, plan: Plan, files: Mapping[str, bytes], *, gone: Iterable[str] = (),
    manner: Manner = PLAIN,
) -> list[Moved]:  # fmt: skip
    """What stands elsewhere in these files (by UID) than in the current revision, or is gone.

    `manner` is how they were written.
    """
    found: dict[str, When | Odd] = dict.fromkeys(gone, Odd.REMOVED)
    found |= {uid: _state(content, year.climber.time_zone) for uid, content in files.items()}
    return [
        *_sessions(year, plan, found, manner), *_session_days(year, plan, found, manner),
        *_blocks(plan, found, manner), *_entries(year, plan, found),
    ]  # fmt: skip


def times(content: bytes, home: str) -> Iterator[tuple[str, When]]:
    """UID and time of a plain event; moments without a zone are those of `home`.

    Nothing where an event repeats, is cancelled, or cannot be read.
    """
    try:
        event = _only_event(content)
        state = _time(event, ZoneInfo(home))
    except (ValueError, KeyError, AttributeError, TypeError, IndexError, RecursionError):
        return
    if not isinstance(state, Odd):
        yield str(event.get("UID")), state  # type: ignore[attr-defined]  # icalendar's are dicts


def _state(content: bytes, home: str) -> When | Odd:
    """When the event of a file is, or why that cannot be said."""
    try:
        event = _only_event(content)
        return _time(event, ZoneInfo(home))
    except _Several:
        return Odd.REPEATS
    except (ValueError, KeyError, AttributeError, TypeError, IndexError, RecursionError):
        return Odd.UNREADABLE


class _Several(ValueError):
    """A repeating event with its exceptions."""


def _only_event(content: bytes) -> object:
    """The event of a file. Raises ValueError, or whatever icalendar makes of a bad one."""
    from icalendar import Calendar

    if len(content) > MOST_BYTES:
        raise ValueError("too large")
    events = Calendar.from_ical(content).walk("VEVENT")
    if len(events) > 1:
        raise _Several
    return events[0]


def holds(content: bytes, uid: str) -> bool:
    """Whether a file has an event of that identity, whatever became of it."""
    text = re.sub(rb"\r?\n[ \t]", b"", content[:MOST_BYTES])
    return any(line.strip() == b"UID:" + uid.encode() for line in text.splitlines())


def _time(event: object, home: ZoneInfo) -> When | Odd:
    got = event.get  # type: ignore[attr-defined]  # icalendar's components are dicts
    if any(got(key) is not None for key in ("RRULE", "RDATE", "RECURRENCE-ID")):
        return Odd.REPEATS
    if str(got("STATUS", "")).upper() == "CANCELLED":
        return Odd.CANCELLED
    if got("DTSTART") is None:
        return Odd.UNREADABLE
    start = got("DTSTART").dt
    if got("DTEND") is not None:
        end = got("DTEND").dt
    elif got("DURATION") is not None:
        end = start + got("DURATION").dt
    else:
        end = start if isinstance(start, datetime) else start + ONE_DAY
    return _zoned(start, home), _zoned(end, home)


def _zoned(when: date, home: ZoneInfo) -> date:
    if isinstance(when, datetime) and when.tzinfo is None:
        return when.replace(tzinfo=home)
    return when


States = Mapping[str, When | Odd]


def _sessions(year: Year, plan: Plan, found: States, manner: Manner) -> Iterator[Moved]:
    ways = ways_of(plan.current.sessions, year) if manner.way else {}
    for session in plan.current.sessions:
        uid = str(uuid5(plan.calendar_key, session.id))
        if uid in found:
            was, _ = session_hours(session, year)
            yield from _session(session, uid, found[uid], was=was, ways=ways.get(session.id, HERE))


def _session(
    session: Session, uid: str, state: When | Odd, *, was: datetime, ways: Ways
) -> Iterator[Moved]:
    planned = Moved(About.SESSION, session.id, uid, was_start=was, was_minutes=session.minutes)
    if isinstance(state, Odd):
        yield replace(planned, odd=state)
        return
    start, end = state
    if not (isinstance(start, datetime) and isinstance(end, datetime)):
        yield replace(planned, odd=Odd.OTHER_KIND)
        return
    minutes = (end - start) // MINUTE
    if minutes != session.minutes:  # else it was written without the way
        start, minutes = start.astimezone(UTC) + ways[0] * MINUTE, minutes - sum(ways)
    if not 1 <= minutes <= LONGEST:
        yield replace(planned, odd=Odd.OTHER_KIND)
    elif start != was or minutes != session.minutes:
        there = start.astimezone(was.tzinfo).replace(second=0, microsecond=0)
        yield replace(planned, start=there, minutes=minutes)


def _session_days(year: Year, plan: Plan, found: States, manner: Manner) -> Iterator[Moved]:
    """Days shown as one event that begin elsewhere; another length says nothing of its parts.

    A day with one session is that session, its length too.
    """
    for day, sessions in by_day(plan.current.sessions).items():
        uid = str(uuid5(plan.calendar_key, day_key(day)))
        if uid not in found:
            continue
        if len(sessions) == 1:
            way = way_of(sessions[0], year) if manner.way else 0
            was, _ = session_hours(sessions[0], year)
            yield from _session(sessions[0], uid, found[uid], was=was, ways=(way, way))
            continue
        shown, state = day_hours(sessions, year, way=manner.way), found[uid]
        was, length = shown[0], (shown[1] - shown[0]) // MINUTE
        planned = Moved(About.DAY, day.isoformat(), uid, was_start=was, was_minutes=length)
        if isinstance(state, Odd):
            yield replace(planned, odd=state)
        elif not (isinstance(state[0], datetime) and isinstance(state[1], datetime)):
            yield replace(planned, odd=Odd.OTHER_KIND)
        elif (state[1] - state[0]) // MINUTE != length:
            if state != day_hours(sessions, year, way=not manner.way):
                yield replace(planned, odd=Odd.PART)
        elif state[0] != was:
            there = state[0].astimezone(was.tzinfo).replace(second=0, microsecond=0)
            yield replace(planned, start=there, minutes=length)


def _blocks(plan: Plan, found: States, manner: Manner) -> Iterator[Moved]:
    for block in plan.current.blocks:
        if block.kind not in (Kind.TRIP, Kind.ABSENCE):
            uid = str(uuid5(plan.calendar_key, block.id))
            yield from _block(block, uid, found, whole=manner.blocks is BlocksAs.WHOLE)
            yield from _weeks(block, plan, found)


def _block(block: Block, uid: str, found: States, *, whole: bool) -> Iterator[Moved]:
    """A block that begins elsewhere; where less of it is shown its length cannot be told."""
    first = first_day(block.span)
    for one in _days(About.BLOCK, block.id, uid, block.span, found):
        if one.odd or one.span is None:
            yield one if whole else replace(one, was=first)
        elif not whole and one.span.length == 1:
            if one.span != first:
                yield replace(one, was=first)
        elif whole or one.span.length == block.span.length:  # else written whole, before
            yield one if one.span != first else replace(one, odd=Odd.PART, span=None)
        else:
            yield replace(one, was=first, span=None, odd=Odd.PART)


def _weeks(block: Block, plan: Plan, found: States) -> Iterator[Moved]:
    """Later weeks of a block that stand elsewhere, which says nothing of the block."""
    for key, day in weekly(block):
        uid = str(uuid5(plan.calendar_key, key))
        for one in _days(About.BLOCK, block.id, uid, day, found):
            yield replace(one, span=None, odd=one.odd or Odd.PART)


def _entries(year: Year, plan: Plan, found: States) -> Iterator[Moved]:
    for key, entry, span in dated(year):
        uid = str(uuid5(plan.calendar_key, key))
        yearly = isinstance(entry, Season) and not isinstance(entry.first, date)
        yield from _days(About.ENTRY, entry.id, uid, span, found, yearly=yearly)


def _days(
    about: About, name: str, uid: str, was: Span, found: States, *, yearly: bool = False
) -> Iterator[Moved]:
    """A thing over whole days that is not where it was."""
    state = found.get(uid)
    if state is None:
        return
    planned = Moved(about, name, uid, was=was, yearly=yearly)
    if isinstance(state, Odd):
        yield replace(planned, odd=state)
        return
    first, after = state
    if isinstance(first, datetime) or isinstance(after, datetime) or after <= first:
        yield replace(planned, odd=Odd.OTHER_KIND)
    elif Span(first, after) != was:
        yield replace(planned, span=Span(first, after))
