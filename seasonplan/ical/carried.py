"""What a person added to an event of ours in a calendar, carried over when we write it anew.

Alarms, a colour, guests, attachments, whatever we do not write ourselves stays; what we do write
is ours to say. Works on lines, so that properties nobody here knows come out as they went in.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from datetime import timedelta
from unicodedata import category

from seasonplan.ical.text import folded

MOST_BYTES = 200_000  # of one event; ours stay far below. Preference of this project
MOST_DIGITS = 9  # of a number: an INTEGER of RFC 5545 3.3.8 ends at 2,147,483,647
_BREAK = re.compile(r"\r\n|\n|\r")
_NAME = re.compile(r"[A-Za-z0-9-]+")
# What we write ourselves, what would make another event of ours, and a second form of our text.
_OURS = frozenset(
    {
        "BEGIN", "END", "UID", "SUMMARY", "DTSTART", "DTEND", "DURATION", "DTSTAMP", "SEQUENCE",
        "DESCRIPTION", "GEO", "LAST-MODIFIED", "LOCATION", "RELATED-TO", "TRANSP",
        "X-MICROSOFT-CDO-BUSYSTATUS", "RRULE", "RDATE", "EXDATE", "EXRULE", "RECURRENCE-ID",
        "X-ALT-DESC",
    }
)  # fmt: skip
OUR_CATEGORIES = frozenset(
    {
        "SESSION", "BASE", "STRENGTH", "PERFORMANCE", "REST", "INJURY", "SEASON", "WINDOW", "TRIP",
        "ABSENCE",
    }
)  # fmt: skip
_SPACE = re.compile(
    r"([+-]?)P(?:(\d+)W)?(?:(\d+)D)?(?:T(?:(\d+)H)?(?:(\d+)M)?(?:(\d+)S)?)?", re.IGNORECASE
)


@dataclass(slots=True)
class _Event:
    lines: list[str] = field(default_factory=list)
    inside: list[list[str]] = field(default_factory=list)  # alarms and the like, line by line

    def has(self, name: str) -> bool:
        return any(_name(line) == name for line in self.lines)


def carried(ours: bytes, there: bytes, *, wrote: str) -> bytes:
    """Our file with what a person added to the event that is there.

    `wrote` is the trigger of the alarm that we put there, or "". Where a person took that away or
    changed it, it is not put there again. Its number is higher than that there, which their program
    may have raised (RFC 5545 3.8.7.4).
    """
    found, own = _plain(there), _plain(ours)
    if found is None or own is None:
        return ours
    own.lines = _numbered(own.lines, after=_number(found))
    alarm = next(iter(own.inside), [])
    others = [part for part in found.inside if not _is(part, wrote)]
    taken_off = bool(wrote) and len(others) == len(found.inside)
    if (taken_off and _is(alarm, wrote)) or any(_is(part, trigger(alarm)) for part in others):
        alarm = []
    return _with(ours, own, [*_added(own, found)], [alarm, *others] if alarm else others)


def alarm_in(content: bytes) -> str:
    """The trigger of the alarm in a file of ours, or ""."""
    own = _plain(content)
    return trigger(next(iter(own.inside), [])) if own else ""


def trigger(alarm: Sequence[str]) -> str:
    """When an alarm rings, as it is written; "" where it has no such line."""
    return next((_value(line) for line in alarm if _name(line) == "TRIGGER"), "")


def _is(alarm: Sequence[str], wrote: str) -> bool:
    """Whether an alarm is a message at the time that `wrote` says, however that is spelt."""
    action = next((_value(line).upper() for line in alarm if _name(line) == "ACTION"), "")
    when = _space(trigger(alarm))
    return action == "DISPLAY" and when is not None and when == _space(wrote)


def _space(text: str) -> timedelta | None:
    """A duration of RFC 5545 3.3.6; None for a moment, or what is none."""
    match = _SPACE.fullmatch(text.strip())
    if match is None or not any(match.groups()[1:]):
        return None
    weeks, days, hours, minutes, seconds = (int(one or 0) for one in match.groups()[1:])
    try:
        space = timedelta(weeks=weeks, days=days, hours=hours, minutes=minutes, seconds=seconds)
    except OverflowError:
        return None
    return -space if match[1] == "-" else space


def _number(event: _Event) -> int:
    """The number of an event; 0 where it has none that makes sense."""
    found = next((_value(line) for line in event.lines if _name(line) == "SEQUENCE"), "")
    return int(found) if found.isascii() and found.isdigit() and len(found) < MOST_DIGITS else 0


def _numbered(lines: list[str], *, after: int) -> list[str]:
    """The lines with a number after that one, if theirs is not."""
    number = max(after + 1, _number(_Event(lines)))
    return [f"SEQUENCE:{number}" if _name(line) == "SEQUENCE" else line for line in lines]


def _added(own: _Event, found: _Event) -> Iterator[str]:
    """The lines that a person, or their program, added."""
    for line in found.lines:
        name = _name(line)
        if name == "CATEGORIES":
            theirs = [
                one for one in re.split(r"(?<!\\),", _value(line))
                if one.strip() and one.strip().upper() not in OUR_CATEGORIES
            ]  # fmt: skip
            if theirs:
                yield f"CATEGORIES:{','.join(theirs)}"
        elif name == "STATUS" and _value(line).upper() == "CANCELLED":
            continue
        elif name and name not in _OURS and not own.has(name) and ";TZID=" not in line.upper():
            yield line


def _with(ours: bytes, own: _Event, added: list[str], inside: list[list[str]]) -> bytes:
    """Our file with more lines in its event, and these alarms in place of its own."""
    head, _, _ = ours.partition(b"BEGIN:VEVENT\r\n")
    lines = ["BEGIN:VEVENT", *own.lines, *added, *(line for part in inside for line in part)]
    body = b"".join(folded(line) for line in [*lines, "END:VEVENT"])
    return head + body + b"END:VCALENDAR\r\n"


def _plain(content: bytes) -> _Event | None:
    """The event of a file; None where there is none, or it is no calendar."""
    if len(content) > MOST_BYTES:
        return None
    events = [one for one in _events(content) if not one.has("RECURRENCE-ID")]
    return events[0] if len(events) == 1 else None


def _events(content: bytes) -> Iterator[_Event]:
    event, depth = None, 0
    for line in _unfolded(content):
        name, what = _name(line), _value(line).upper()
        if event is None:
            event, depth = (_Event(), 0) if (name, what) == ("BEGIN", "VEVENT") else (None, 0)
        elif not depth and (name, what) == ("END", "VEVENT"):
            yield event
            event = None
        elif name == "BEGIN":
            event.inside += [[line]] if not depth else []
            depth += 1
            if depth > 1:
                event.inside[-1].append(line)
        elif depth:
            event.inside[-1].append(line)
            depth -= name == "END"
        else:
            event.lines.append(line)


def _unfolded(content: bytes) -> Iterator[str]:
    """Content lines, undone on bytes (RFC 5545 3.1); what is no text is left out."""
    text = re.sub(rb"\r?\n[ \t]", b"", content).decode("utf-8", "replace")
    for line in _BREAK.split(text):
        if line and all(sign == "\t" or category(sign) not in ("Cc", "Cs") for sign in line):
            yield line


def _name(line: str) -> str:
    match = _NAME.match(line)
    return match[0].upper() if match else ""


def _value(line: str) -> str:
    """What stands after the first colon outside quotes."""
    quoted = False
    for at, sign in enumerate(line):
        if sign == '"':
            quoted = not quoted
        elif sign == ":" and not quoted:
            return line[at + 1 :].strip()
    return ""
