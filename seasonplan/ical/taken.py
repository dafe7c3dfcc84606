"""Busy calendars as the planner wants them: the minutes of each day that are taken.

Also what of such a file means anything, as a digest. Titles and people are never kept. Knows
no disk and no plan.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Iterable, Mapping, Sequence
from datetime import UTC, date, datetime, time, timedelta

from seasonplan.busy.words import BusySpan

Minutes = tuple[int, int]  # (from, to) after midnight, by the wall clock
Taken = Mapping[date, Sequence[Minutes]]
DAY_MINUTES = 24 * 60
BUSY_MARK = "+"  # between the digest of a year and that of its busy calendars

_FOLD = re.compile(rb"\r?\n[ \t]")
_EVENT = re.compile(rb"^BEGIN:VEVENT[ \t]*\n(.*?)^END:VEVENT[ \t]*(?:\n|\Z)", re.M | re.S | re.I)
_LISTED = re.compile(
    rb"^BEGIN:VFREEBUSY[ \t]*\n(.*?)^END:VFREEBUSY[ \t]*(?:\n|\Z)", re.M | re.S | re.I
)
_TIME = re.compile(rb"^FREEBUSY[;:].*$", re.M | re.I)
_ALARM = re.compile(rb"^BEGIN:VALARM.*?^END:VALARM[ \t]*\n", re.M | re.S | re.I)
_NAME = re.compile(rb"[^;:]*")
# What says when an event is; and what tells which event another one changes.
_WHEN = {
    b"DTSTART", b"DTEND", b"DURATION", b"RRULE", b"RDATE", b"EXDATE", b"EXRULE", b"STATUS",
    b"TRANSP",
}  # fmt: skip
_WHICH = {b"UID", b"RECURRENCE-ID"}
# Outside events: what a program writes of itself or of the calendar as a whole.
_IDLE = re.compile(
    rb"^(?:PRODID|METHOD|NAME|COLOR|REFRESH-INTERVAL|SOURCE|URL|X-(?!WR-TIMEZONE))[^;:\n]*[;:].*\n",
    re.M | re.I,
)


def taken_by_day(
    spans: Iterable[BusySpan], *, margin_minutes: int = 0, tentative_is_free: bool = False
) -> Taken:
    """The taken minutes of each day, in order and apart; tentative time too unless it `is_free`.

    Appointments at hours are taken with a margin before and after; whole days have none.
    """
    days: dict[date, list[Minutes]] = {}
    for span in spans:
        if span.tentative and tentative_is_free:
            continue
        for day, minutes in _by_day(_wider(span, margin_minutes)):
            days.setdefault(day, []).append(minutes)
    return {day: _joined(days[day]) for day in sorted(days)}


def _wider(span: BusySpan, minutes: int) -> BusySpan:
    """A span with time around it, real minutes; by the clock of its zone again."""
    if not minutes or span.all_day:
        return span
    by, zone = timedelta(minutes=minutes), span.start.tzinfo
    ends = ((span.start, -by), (span.end, by))
    start, end = ((one.astimezone(UTC) + way).astimezone(zone) for one, way in ends)
    return BusySpan(start=start, end=end, tentative=span.tentative)


def _by_day(span: BusySpan) -> Iterable[tuple[date, Minutes]]:
    """Each day of a span, from and to by the wall clock of its zone.

    Where an end lies in the hour that the clocks show again, that hour is taken whole.
    """
    first, last = span.start.replace(tzinfo=None), span.end.replace(tzinfo=None)
    if span.end.fold and not span.start.fold:
        hour = last.replace(minute=0, second=0, microsecond=0)
        first, last = min(first, hour), hour + timedelta(hours=1)
    day = first.date()
    while datetime.combine(day, time()) < last:
        midnight = datetime.combine(day, time())
        begins = max(0, int((first - midnight).total_seconds() // 60))
        ends = min(DAY_MINUTES, -int((midnight - last).total_seconds() // 60))
        if begins < ends:
            yield day, (begins, ends)
        day += timedelta(days=1)


def _joined(minutes: list[Minutes]) -> tuple[Minutes, ...]:
    out: list[Minutes] = []
    for begins, ends in sorted(minutes):
        if out and begins <= out[-1][1]:
            out[-1] = out[-1][0], max(out[-1][1], ends)
        else:
            out.append((begins, ends))
    return tuple(out)


def meaning_of(content: bytes) -> str:
    """Digest of when the events of a calendar file are: a new export of the same ones keeps it,
    in whatever order and with whatever else is said of them."""
    text = _FOLD.sub(b"", content).replace(b"\r\n", b"\n")
    events = sorted(_when(found[1]) for found in _EVENT.finditer(text))
    listed = [b"\n".join(_TIME.findall(found[1])) for found in _LISTED.finditer(text)]
    events += sorted(line.rstrip() for line in listed)
    around = _IDLE.sub(b"", _LISTED.sub(b"", _EVENT.sub(b"", text)))
    return hashlib.sha256(b"\n\n".join((around.rstrip(), *events))).hexdigest()


def _when(event: bytes) -> bytes:
    """The lines of an event that say when it is, in one order."""
    lines = [line.rstrip() for line in _ALARM.sub(b"", event).split(b"\n")]
    names = {found[0].upper() for line in lines if (found := _NAME.match(line))}
    single = not names & {b"RRULE", b"RDATE", b"RECURRENCE-ID"}
    kept = _WHEN if single else _WHEN | _WHICH
    return b"\n".join(
        sorted(line for line in lines if (name := _NAME.match(line)) and name[0].upper() in kept)
    )


def with_busy(year_digest: str, digests: Sequence[str]) -> str:
    """The digest of a year together with its busy calendars, in the order they are named."""
    if not digests:
        return year_digest
    return year_digest + BUSY_MARK + hashlib.sha256("".join(digests).encode()).hexdigest()
