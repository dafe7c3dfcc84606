"""When a calendar on a CalDAV server is busy, as an .ics file with nothing else in it.

Titles, people and places are dropped before anything is kept. Events of ours are left out: the
sessions of a plan must not keep clear of themselves.
"""

from __future__ import annotations

import re
from collections.abc import Container, Iterator
from datetime import date, timedelta
from typing import Any

from seasonplan.days import Span
from seasonplan.feed.caldav.remote import client_for, expect, own_words
from seasonplan.feed.caldav.trouble import Unreachable

MOST_BYTES = 10_000_000  # as for calendars by link
MARGIN = timedelta(days=2)  # whatever the zone, and what runs into the first day
_HEAD = '<?xml version="1.0" encoding="utf-8"?>'
_ASK = (
    f'{_HEAD}<C:calendar-query xmlns="DAV:" xmlns:C="urn:ietf:params:xml:ns:caldav"><prop>'
    '<C:calendar-data/></prop><C:filter><C:comp-filter name="VCALENDAR">'
    '<C:comp-filter name="VEVENT"><C:time-range start="{first}" end="{after}"/></C:comp-filter>'
    "</C:comp-filter></C:filter></C:calendar-query>"
)  # RFC 4791 7.8
_DATA = ".//{urn:ietf:params:xml:ns:caldav}calendar-data"
_KEPT = frozenset(
    {
        "UID", "RECURRENCE-ID", "DTSTAMP", "DTSTART", "DTEND", "DURATION", "RRULE", "RDATE",
        "EXDATE", "EXRULE", "STATUS", "TRANSP", "X-MICROSOFT-CDO-BUSYSTATUS",
    }
)  # fmt: skip
_NAME = re.compile(r"[A-Za-z0-9-]+")


def busy_file(
    url: str, *, user: str, password: str, ca: str, span: Span, without: Container[str]
) -> bytes:
    """The times of the events there that touch `span`, but those `without` (by UID).

    The same events give the same bytes. Raises Unreachable.
    """
    where, client = client_for(url, user=user, password=password, ca=ca)
    body = _ASK.format(first=_stamp(span.first - MARGIN), after=_stamp(span.after + MARGIN))
    try:
        with own_words():
            answer = client.report(where, body, 1)
        expect(answer.status, (200, 207))
        return _joined([one.text or "" for one in answer.tree.iterfind(_DATA)], without)
    finally:
        client.close()


def _stamp(day: date) -> str:
    return f"{day:%Y%m%d}T000000Z"


def _joined(texts: list[str], without: Container[str]) -> bytes:
    if sum(map(len, texts)) > MOST_BYTES:
        raise Unreachable(
            f"it is larger than {MOST_BYTES / 1e6:g} MB", "Choose a smaller calendar."
        )
    zones: dict[str, list[str]] = {}
    events: list[list[str]] = []
    for text in texts:
        for kind, lines in _parts(text):
            if kind == "VTIMEZONE":
                zones.setdefault(_value(lines, "TZID"), lines)
            elif _value(lines, "UID") not in without:
                events.append(lines)
    head = ["BEGIN:VCALENDAR", "VERSION:2.0", "PRODID:-//seasonplan//busy times//EN"]
    inside = [*(zones[name] for name in sorted(zones)), *sorted(events)]
    lines = [*head, *(line for part in inside for line in part), "END:VCALENDAR"]
    return "".join(f"{line}\r\n" for line in lines).encode()


def _parts(text: str) -> Iterator[tuple[str, list[str]]]:
    """Each zone as it is, and of each event what says when it is."""
    kind, depth, lines = "", 0, list[str]()
    for line in re.sub(r"\r?\n[ \t]", "", text).splitlines():
        name, value = _name(line), line.partition(":")[2].strip().upper()
        if not kind:
            if name == "BEGIN" and value in ("VEVENT", "VTIMEZONE"):
                kind, depth, lines = value, 0, [f"BEGIN:{value}"]
        elif name == "END" and value == kind and not depth:
            yield kind, [*lines, f"END:{kind}"]
            kind = ""
        else:
            depth += (name == "BEGIN") - (name == "END")
            inside = depth or name in ("BEGIN", "END")
            if line and (kind == "VTIMEZONE" or (not inside and name in _KEPT)):
                lines.append(line)


def _name(line: str) -> str:
    match: Any = _NAME.match(line)
    return match[0].upper() if match else ""


def _value(lines: list[str], name: str) -> str:
    return next((line.partition(":")[2].strip() for line in lines if _name(line) == name), "")
