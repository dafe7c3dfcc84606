"""The busy times that a VFREEBUSY lists (RFC 5545 3.6.4): what a server tells of a calendar whose
events it does not show. Knows no recurrence: there is none in such a list.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import UTC, datetime, tzinfo

from seasonplan.busy.length import space
from seasonplan.busy.limits import BusyLimits
from seasonplan.busy.lines import Lines, property_name, value
from seasonplan.busy.repeats import Skip

_MOMENT = re.compile(r"\d{8}T\d{6}Z?")
_TYPE = re.compile(r";FBTYPE=\"?([A-Za-z-]+)", re.IGNORECASE)
FREE, TENTATIVE = "FREE", "BUSY-TENTATIVE"

Period = tuple[datetime, datetime, bool]  # from, to, in UTC; whether it is tentative


def periods(lines: Lines, home: tzinfo, limits: BusyLimits) -> Iterator[Period]:
    """Every time that is not free. What has no zone, against the standard, is at `home`.

    A kind that nobody here knows counts as busy (3.2.9). Raises Skip where one cannot be read.
    """
    count = 0
    for _, text in lines.kept:
        if property_name(text) != "FREEBUSY":
            continue
        found = _TYPE.search(text.partition(":")[0])
        kind = found[1].upper() if found else "BUSY"
        for one in value(text).split(",") if kind != FREE else ():
            count += 1
            if count > limits.dates_per_event:
                raise Skip(f"it lists more than {limits.dates_per_event:,} times")
            start, end = _period(one.strip().upper(), home)
            yield start, end, kind == TENTATIVE


def _period(text: str, home: tzinfo) -> tuple[datetime, datetime]:
    first, _, last = text.partition("/")
    try:
        start = _moment(first, home)
        if last[:1] in ("P", "+"):  # a duration, which is positive (3.3.9)
            days, exact = space(last)
            return start, start + days + exact
        return start, _moment(last, home)
    except (ValueError, OverflowError):
        raise Skip(f"its FREEBUSY is {text[:40]!r}") from None


def _moment(text: str, home: tzinfo) -> datetime:
    if not _MOMENT.fullmatch(text):
        raise ValueError("no moment")
    moment = datetime.strptime(text.removesuffix("Z"), "%Y%m%dT%H%M%S")  # noqa: DTZ007  # its zone follows
    return moment.replace(tzinfo=UTC if text.endswith("Z") else home).astimezone(UTC)
