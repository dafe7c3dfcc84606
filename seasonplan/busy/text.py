"""One event's text made plain for the library: zones resolved, types repaired, the rest left off.

Knows no other event and no days that matter.
"""

from __future__ import annotations

import re
from datetime import UTC, datetime, tzinfo
from typing import Any

from seasonplan.busy.lines import Lines, property_name
from seasonplan.busy.repeats import Skip, repaired
from seasonplan.busy.zones import Zones

_DATES = ("DTSTART", "DTEND", "RDATE", "EXDATE", "RECURRENCE-ID")
_DAY = re.compile(r"\d{8}")
_MOMENT = re.compile(r"\d{8}T\d{6}Z?")
_PERIOD = re.compile(r"\d{8}T\d{6}Z?/[0-9A-Z+-]{2,20}")


def parsed(event: Lines, zones: Zones) -> Any:
    """The event as icalendar has it. Raises Skip where it makes no sense."""
    from icalendar import Event

    made: Any = Event.from_ical(_rewritten(event, zones))
    if made.errors:
        raise Skip(f"its {made.errors[0][0]} cannot be read")
    start, end = made["DTSTART"].dt, made.get("DTEND")
    timed = isinstance(start, datetime)
    if end is None:
        if timed and not made.get("DURATION"):
            raise Skip("it takes no time")
    elif isinstance(end.dt, datetime) is not timed:
        raise Skip("it begins with a day and ends with a time, or the other way round")
    elif end.dt < start:
        raise Skip("it ends before it begins")
    elif timed and end.dt == start:
        raise Skip("it takes no time")
    return made


def sequence(event: Lines) -> int:
    text = event.first("SEQUENCE")
    return int(text) if re.fullmatch(r"\d{1,9}", text) else 0


def _rewritten(event: Lines, zones: Zones) -> str:
    """The event with zones resolved, types repaired and everything else left off."""
    if not event.values("DTSTART"):
        raise Skip("it has no DTSTART")
    lines, zone, seen = [f"UID:line-{event.line}"], None, set()
    for number, text in event.kept:
        name = property_name(text)
        if name in seen or (name == "DURATION" and event.values("DTEND")):
            continue
        if name not in ("RDATE", "EXDATE", "RRULE"):
            seen.add(name)
        if name in _DATES:
            made, of = _dates(name, text, number, zones)
            zone = of if name == "DTSTART" else zone
            lines += made
        elif name in ("DURATION", "STATUS", "TRANSP"):
            lines.append(f"{name}:{text.partition(':')[2].strip().upper()}")
        elif name == "SEQUENCE":
            lines.append(f"SEQUENCE:{sequence(event)}")
    lines += [f"RRULE:{repaired(rule, zone=zone)}" for rule in event.values("RRULE")]
    return "\r\n".join(["BEGIN:VEVENT", *lines, "END:VEVENT", ""])


def _dates(name: str, text: str, number: int, zones: Zones) -> tuple[list[str], tzinfo | None]:
    """A date property, one line for each value; and the zone of the last, None for a day."""
    from icalendar.parser import Contentline

    try:
        _, params, values = Contentline.from_ical(text).parts()  # type: ignore[no-untyped-call]  # theirs
    except ValueError:
        raise Skip(f"its {name} cannot be read") from None
    lines: list[str] = []
    zone: tzinfo | None = None
    onward = str(params.get("RANGE", "")).upper() == "THISANDFUTURE"
    start = name + ";RANGE=THISANDFUTURE" * onward
    for one in str(values).replace(" ", "").upper().split(","):
        if _DAY.fullmatch(one):
            lines.append(f"{start};VALUE=DATE:{one}")
            continue
        kind = ";VALUE=PERIOD" if name == "RDATE" and _PERIOD.fullmatch(one) else ""
        if not kind and not _MOMENT.fullmatch(one):
            raise Skip(f"its {name} is {one[:40]!r}")
        if one.split("/")[0].endswith("Z"):
            lines.append(f"{start}{kind}:{one}")
            zone = UTC
        else:
            tzid = str(params.get("TZID", zones.home))
            lines.append(f"{start}{kind};TZID={zones.name(tzid, line=number)}:{one}")
            zone = zones.zone(tzid, line=number)
    return lines, zone
