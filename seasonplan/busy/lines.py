"""The bytes of a calendar file cut into events and zones, each with its line number.

Only what says *when* is kept: titles, people, places and alarms are dropped before anything
reads them. Knows no iCalendar library and expands nothing.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field

from seasonplan.busy.limits import BusyLimits, Remark

_BREAK = re.compile(rb"\r\n|\n|\r")
_NAME = re.compile(rb"[A-Za-z0-9-]+")
_OF_EVENT = frozenset(
    b"UID DTSTART DTEND DURATION RRULE EXRULE RDATE EXDATE"
    b" RECURRENCE-ID SEQUENCE STATUS TRANSP FREEBUSY".split()
)
_TIMED = (b"VEVENT", b"VFREEBUSY")
_OF_ZONE = frozenset(b"BEGIN END TZID DTSTART TZOFFSETFROM TZOFFSETTO RRULE RDATE".split())


class FileRefused(Exception):
    """The file as a whole cannot be used."""

    def __init__(self, line: int | None, *, found: str, wanted: str, do: str) -> None:
        self.line, self.found, self.wanted, self.do = line, found, wanted, do
        super().__init__(f"line {line}: found {found}; wanted {wanted}. {do}")


@dataclass(slots=True)
class Lines:
    """One VEVENT, VFREEBUSY or VTIMEZONE: the lines kept of it, unfolded, and what is wrong."""

    line: int
    kind: str = "VEVENT"
    kept: list[tuple[int, str]] = field(default_factory=list)
    broken: str = ""

    def values(self, name: str) -> list[str]:
        """The raw values of a property, its parameters left off."""
        return [value(text) for _, text in self.kept if property_name(text) == name]

    def first(self, name: str) -> str:
        return next(iter(self.values(name)), "")


@dataclass(slots=True)
class CutFile:
    events: list[Lines] = field(default_factory=list)
    free_busy: list[Lines] = field(default_factory=list)
    zones: list[Lines] = field(default_factory=list)
    calendar_zone: str = ""
    notes: list[Remark] = field(default_factory=list)


def property_name(text: str) -> str:
    return re.split(r"[:;]", text, maxsplit=1)[0].upper()


def value(text: str) -> str:
    """What stands after the first colon outside quotes."""
    quoted = False
    for position, letter in enumerate(text):
        if letter == '"':
            quoted = not quoted
        elif letter == ":" and not quoted:
            return text[position + 1 :].strip()
    return ""


def unfolded(content: bytes) -> Iterator[tuple[int, bytes]]:
    """Every content line with the number of its first line. Undone on bytes, RFC 5545 3.1."""
    number, parts = 0, [b""]
    for at, raw in enumerate(_BREAK.split(content.removeprefix(b"\xef\xbb\xbf")), start=1):
        if raw[:1] in (b" ", b"\t"):
            parts.append(raw[1:])
            continue
        if parts[0]:
            yield number, b"".join(parts)
        number, parts = at, [raw]
    if parts[0]:
        yield number, b"".join(parts)


def cut(content: bytes, limits: BusyLimits) -> CutFile:
    """The file in pieces. Raises Refused where the file as a whole is no calendar."""
    cutter = _Cutter(limits)
    for number, line in unfolded(content):
        cutter.take(number, line)
    cutter.end()
    return cutter.file


class _Cutter:
    def __init__(self, limits: BusyLimits) -> None:
        self.limits = limits
        self.file = CutFile()
        self.open: list[bytes] = []
        self.event: Lines | None = None
        self.zone: Lines | None = None
        self.last_line = 0

    def take(self, number: int, line: bytes) -> None:
        self.last_line = number
        match = _NAME.match(line)
        name = match[0].upper() if match else b""
        if name == b"BEGIN":
            self._begin(number, line[6:].strip().upper())
        elif name == b"END":
            self._end(line[4:].strip().upper())
        elif self.open:
            self._property(number, name, line)
        if self.zone is not None and name in _OF_ZONE:
            self.zone.kept.append((number, line.decode("utf-8", "replace")))
            if len(self.zone.kept) > self.limits.lines_per_event:
                self.zone.broken = "too many lines"
                self.zone.kept.clear()
        if name == b"END" and b"VTIMEZONE" not in self.open:
            self.zone = None

    def _begin(self, number: int, what: bytes) -> None:
        if what in _TIMED and self.event is not None:
            self._unfinished()
        self.open.append(what)
        if len(self.open) > self.limits.depth:
            raise FileRefused(
                number, found=f"parts nested {len(self.open)} deep",
                wanted=f"at most {self.limits.depth}",
                do="Export the calendar again from the program it came from.",
            )  # fmt: skip
        if what in _TIMED:
            self.event = Lines(number, what.decode())
            (self.file.events if what == b"VEVENT" else self.file.free_busy).append(self.event)
            if len(self.file.events) + len(self.file.free_busy) > self.limits.events:
                raise FileRefused(
                    number, found=f"more than {self.limits.events:,} events",
                    wanted=f"at most {self.limits.events:,}",
                    do="Export fewer years, or only the calendar that matters.",
                )  # fmt: skip
        elif what == b"VTIMEZONE":
            self.zone = Lines(number)
            self.file.zones.append(self.zone)

    def _end(self, what: bytes) -> None:
        if what not in self.open:
            return
        while self.open:
            closed = self.open[-1]
            if closed in _TIMED:
                if what != closed:
                    self._unfinished()
                    continue
                self.event = None
            self.open.pop()
            if closed == what:
                return

    def _unfinished(self) -> None:
        """The event that is open has no end; nothing in it can be trusted."""
        assert self.event is not None
        self.event.broken = f"it has no END:{self.event.kind}"
        self.event = None
        while self.open and self.open.pop() not in _TIMED:
            pass

    def _property(self, number: int, name: bytes, line: bytes) -> None:
        top = self.open[-1]
        if top == b"VCALENDAR":
            self._calendar_property(number, name, line)
        elif top in _TIMED and self.event is not None and name in _OF_EVENT:
            if len(line) > self.limits.line_bytes:
                self.event.broken = f"line {number} is {len(line):,} bytes long"
            elif len(self.event.kept) >= self.limits.lines_per_event:
                self.event.broken = f"it has more than {self.limits.lines_per_event:,} lines"
            else:
                self.event.kept.append((number, line.decode("utf-8", "replace")))

    def _calendar_property(self, number: int, name: bytes, line: bytes) -> None:
        text = value(line[:1000].decode("utf-8", "replace"))
        if name == b"X-WR-TIMEZONE":
            self.file.calendar_zone = self.file.calendar_zone or text
        elif name == b"CALSCALE" and text.upper() != "GREGORIAN":
            raise FileRefused(
                number, found=f"a calendar counted as {text!r}", wanted="GREGORIAN",
                do="Export the calendar with ordinary dates.",
            )  # fmt: skip

    def end(self) -> None:
        if self.event is not None:
            self._unfinished()
        if self.open:
            self.file.notes.append(
                Remark(reason="the file ends early: it may be cut off", line=self.last_line)
            )
