"""The instances of a file's events inside some days: what is busy, what is free, what is odd.

One bad event never spoils the rest: it is skipped and named. Knows nothing of processes.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, time, timedelta, tzinfo
from typing import Any
from zoneinfo import ZoneInfo

from seasonplan.busy.free import periods
from seasonplan.busy.length import Length, length_of
from seasonplan.busy.limits import BusyLimits, Remark
from seasonplan.busy.lines import CutFile, FileRefused, Lines, cut
from seasonplan.busy.repeats import Skip, guard
from seasonplan.busy.steps import Steps, TooMuch
from seasonplan.busy.text import parsed, sequence
from seasonplan.busy.zones import Zones
from seasonplan.days import Span

_DAY = re.compile(r"\d{8}")
_SLACK = timedelta(days=2)
SOURCE = "X-LINE"  # tells which event an instance is of


@dataclass(frozen=True, slots=True)
class Taken:
    """One instance that takes time, in UTC."""

    start: datetime
    end: datetime
    all_day: bool
    tentative: bool


@dataclass(slots=True)
class Expanded:
    taken: list[Taken] = field(default_factory=list)
    read: int = 0
    skipped: list[Remark] = field(default_factory=list)
    notes: list[Remark] = field(default_factory=list)


def expand(
    content: bytes,
    *,
    span: Span,
    time_zone: str,
    limits: BusyLimits,
    begins: Callable[[int], None] = lambda line: None,
) -> Expanded:
    """All instances that meet `span`. Calls `begins` with the line of each event it starts on."""
    file = cut(content, limits)
    zones = Zones(file.zones, home=time_zone, calendar=file.calendar_zone, limits=limits)
    found, steps = Expanded(notes=file.notes), Steps(limits)
    with steps.counted():
        for lines, read in _work(file, span, zones, limits, found):
            begins(lines.line)
            steps.begin()
            _try(lines, read, found, limits)
    found.notes += zones.notes
    found.skipped.sort(key=lambda remark: remark.line or 0)
    return found


Read = Callable[[], list[Taken]]


def _work(
    file: CutFile, span: Span, zones: Zones, limits: BusyLimits, found: Expanded
) -> Iterator[tuple[Lines, Read]]:
    """Each series and each list of busy times, and how its times are had."""
    for group in _groups(file.events, found):
        yield group[0], lambda group=group: _instances(group, span, zones, limits, found)  # type: ignore[misc]
    for lines in file.free_busy:
        yield lines, lambda lines=lines: _listed(lines, span, zones, limits)  # type: ignore[misc]


def _try(lines: Lines, read: Read, found: Expanded, limits: BusyLimits) -> None:
    """Read one of them, and note what is bad about it. Raises Refused for the file as a whole."""
    try:
        found.taken += read()
        found.read += 1
    except Skip as skip:
        found.skipped.append(_remark(str(skip), lines))
    except FileRefused:
        raise
    except TooMuch:
        raise FileRefused(
            lines.line, found=f"a calendar that takes more than {limits.steps:,} steps to work out",
            wanted="events whose dates can be worked out",
            do="Remove the event on this line, or export fewer events.",
        ) from None  # fmt: skip
    except Exception as error:  # whatever hostile text makes the libraries raise
        reason = f"it cannot be read ({type(error).__name__}: {str(error)[:80]})"
        found.skipped.append(_remark(reason, lines))
    if len(found.taken) > limits.instances:
        raise FileRefused(
            lines.line, found=f"more than {limits.instances:,} busy times",
            wanted=f"at most {limits.instances:,}",
            do="Export only the calendar that matters, or fewer months.",
        )  # fmt: skip


def _remark(reason: str, event: Lines) -> Remark:
    return Remark(reason=reason, uid=event.first("UID")[:200], line=event.line)


# --- which events belong together ----------------------------------------------------------


def _groups(events: list[Lines], found: Expanded) -> Iterator[list[Lines]]:
    """Each series: its event first, then the changes to single instances of it."""
    by_uid: dict[str, list[Lines]] = {}
    for event in events:
        if event.broken:
            found.skipped.append(_remark(event.broken, event))
        else:
            by_uid.setdefault(event.first("UID") or f"\n{event.line}", []).append(event)
    for group in by_uid.values():
        changes = [event for event in group if event.values("RECURRENCE-ID")]
        mains = [event for event in group if not event.values("RECURRENCE-ID")]
        newest = max((sequence(event) for event in mains), default=0)
        mains = [event for event in mains if sequence(event) == newest]
        if len(mains) > 1:
            reason = f"{len(mains)} events share one UID: each is read as its own"
            found.notes.append(_remark(reason, mains[0]))
        yield [*mains[:1], *changes]
        yield from ([event] for event in mains[1:])


# --- one series ----------------------------------------------------------------------------


def _instances(
    group: list[Lines], span: Span, zones: Zones, limits: BusyLimits, found: Expanded
) -> list[Taken]:
    if _surely_outside(group, span):
        return []
    home = ZoneInfo(zones.home)
    opens, closes = _midnight(span.first, home), _midnight(span.after, home)
    taken, free = [], 0
    lengths: dict[str, Length] = {}
    for event in _occurrences(group, span, zones, limits, found, lengths):
        start, end = event["DTSTART"].dt, event["DTEND"].dt
        all_day = not isinstance(start, datetime)
        if all_day:
            end = _midnight(max(end, start + timedelta(days=1)), home)
            start = _midnight(start, home)
        else:
            end = lengths[str(event[SOURCE])].end(start, end)
        start, end = max(_utc(start, home), opens), min(_utc(end, home), closes)
        if start >= end or str(event.get("STATUS", "")).upper() == "CANCELLED":
            continue
        if str(event.get("TRANSP", "")).upper() == "TRANSPARENT":
            free += not all_day
            continue
        tentative = str(event.get("STATUS", "")).upper() == "TENTATIVE"
        taken.append(Taken(start, end, all_day, tentative))
    if free:
        found.skipped.append(_remark("it is marked free", group[0]))
    return taken


def _listed(lines: Lines, span: Span, zones: Zones, limits: BusyLimits) -> list[Taken]:
    """The busy times that a VFREEBUSY lists, as far as they meet the span."""
    if lines.broken:
        raise Skip(lines.broken)
    home = ZoneInfo(zones.home)
    opens, closes = _midnight(span.first, home), _midnight(span.after, home)
    taken = []
    for start, end, tentative in periods(lines, home, limits):
        start, end = max(start, opens), min(end, closes)
        if start < end:
            taken.append(Taken(start, end, all_day=False, tentative=tentative))
    return taken


def _surely_outside(group: list[Lines], span: Span) -> bool:
    """Whether a single event plainly lies outside: spares reading most of an old calendar."""
    if len(group) > 1 or any(group[0].values(name) for name in ("RRULE", "RDATE", "DURATION")):
        return False
    start, end = group[0].first("DTSTART")[:8], group[0].first("DTEND")[:8]
    if not _DAY.fullmatch(start) or (end and not _DAY.fullmatch(end)):
        return False
    first, after = f"{span.first - _SLACK:%Y%m%d}", f"{span.after + _SLACK:%Y%m%d}"
    return after < start <= (end or start) or start <= (end or start) < first


def _occurrences(
    group: list[Lines],
    span: Span,
    zones: Zones,
    limits: BusyLimits,
    found: Expanded,
    lengths: dict[str, Length],
) -> list[Any]:
    """Every instance; `lengths` gets how long those of each event last."""
    from icalendar import Calendar
    from recurring_ical_events import CalendarQuery  # type: ignore[import-untyped]  # theirs

    calendar = Calendar()
    for event in group:
        try:
            guard(event, limits)
            made = _named(parsed(event, zones), group[0])
            made[SOURCE] = str(event.line)
            lengths[str(event.line)] = length_of(made, event.first("DURATION"))
            calendar.add_component(made)
        except Skip as skip:
            if not event.values("RECURRENCE-ID"):
                raise
            found.skipped.append(_remark(f"a change to one date: {skip}", event))
    home = ZoneInfo(zones.home)
    instances: list[Any] = CalendarQuery(calendar).between(
        _midnight(span.first - _SLACK, home), _midnight(span.after + _SLACK, home)
    )
    if len(instances) > limits.instances_per_event:
        raise Skip(f"it happens {len(instances):,} times in these days")
    return instances


def _named(event: Any, main: Lines) -> Any:
    event["UID"] = f"line-{main.line}"
    return event


def _midnight(day: date, zone: tzinfo) -> datetime:
    return datetime.combine(day, time(), zone).astimezone(UTC)


def _utc(moment: datetime, home: tzinfo) -> datetime:
    return (moment if moment.tzinfo else moment.replace(tzinfo=home)).astimezone(UTC)
