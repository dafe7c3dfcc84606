"""Time away that comes again, every so many weeks or as a list of spans: one entry for each."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from datetime import date, timedelta
from typing import Any

from seasonplan.days import Span, day_month_text
from seasonplan.edits.kinds import AddEntry
from seasonplan.edits.said import Now
from seasonplan.year.spoken import day_said

MOST = 60  # entries made at once
_TO = re.compile(r"\s+(?:to|until|till|-|–)\s+")  # noqa: RUF001  (people type it)


def every(first: Span, *, weeks: int, until: date) -> tuple[Span, ...]:
    """The span and the same every so many weeks, as long as it begins by a day."""
    found: list[Span] = []
    begins, step = first.first, timedelta(days=7 * weeks)
    while begins <= until and len(found) < MOST:
        found.append(Span(begins, begins + timedelta(days=first.length)))
        begins += step
    return tuple(found)


def listed(words: str, *, now: Now) -> tuple[Span, ...] | str:
    """The spans of a list such as "13 feb to 21 feb, 3 apr"; the first part that is none."""
    found: list[Span] = []
    for part in (part.strip() for part in re.split(r"[,;\n]", words) if part.strip()):
        span = _span(part, now)
        if span is None:
            return part
        found.append(span)
    return tuple(found[:MOST])


def _span(words: str, now: Now) -> Span | None:
    first, *rest = _TO.split(words)
    if len(rest) > 1:
        return None
    begins = day_said(first, today=now.today, week_begins=now.week_begins)
    if begins is None:
        return None
    last = day_said(rest[0] if rest else first, today=begins, last=True)
    return Span.through(begins, last) if last is not None and last >= begins else None


def entries(spans: Sequence[Span], values: Mapping[str, Any]) -> Iterator[AddEntry]:
    """An entry of time away for each span, each with an id of its own."""
    name = str(values["name"])
    for span in spans:
        said = {**values, "first": span.first, "last": span.last}
        said["name"] = f"{name}, {day_month_text(span.first)} {span.first.year}"
        yield AddEntry(section="absence", values=said)
