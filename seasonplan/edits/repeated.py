"""Time away that comes again, every so many weeks or as a list of spans: one entry for each."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from seasonplan.days import Span, day_month_text
from seasonplan.edits.draft import Draft, EditRefused, with_text
from seasonplan.edits.entries import add
from seasonplan.edits.kinds import AddEntry, RepeatAbsence
from seasonplan.edits.said import Now
from seasonplan.year.refusal import NOTHING
from seasonplan.year.spoken import day_said, no_such_day

MOST, MOST_WEEKS = 60, 52  # entries made at once; weeks between two
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
    # the last day that Python knows has none after it
    return Span.through(begins, last) if last and begins <= last < date.max else None


@dataclass(frozen=True, slots=True)
class Odd:
    """What cannot be meant: which of the things said, what was found, and what was wanted."""

    key: str
    found: str
    wanted: str
    do: str = "Correct it."


def meant(said: Mapping[str, Any], *, now: Now, end: date) -> tuple[Span, ...] | Odd:
    """Every time that is meant: those of the list of `days`, or every so many `weeks` from `first`
    to `last` on `until` a day, else until `end`."""
    if said["days"]:
        found = listed(str(said["days"]), now=now)
        if isinstance(found, str):
            do = next(filter(None, map(no_such_day, _TO.split(found))), "Correct it.")
            return Odd("days", repr(found), "days such as 13 feb to 21 feb", do)
        return found or Odd("days", repr(said["days"]), "days such as 13 feb to 21 feb")
    for key in ("first", "last", "until"):
        if said[key] is None and key != "until":
            return Odd(key, NOTHING, "a day", "Say it, or list the days.")
        if said[key] is not None and not isinstance(said[key], date):
            return Odd(key, repr(said[key]), "a day")
    first, last, weeks = said["first"], said["last"], said["weeks"]
    if last < first:
        return Odd("last", str(last), "the first day or later")
    if weeks is None:
        return Odd("weeks", NOTHING, "how many weeks lie between", "2 is every second week.")
    if not isinstance(weeks, int) or not 1 <= weeks <= MOST_WEEKS:
        return Odd("weeks", repr(weeks), f"1 to {MOST_WEEKS}")
    if (last - first).days >= 7 * weeks:
        return Odd("last", str(last), "an end before it comes again")
    if said["until"] is not None and said["until"] < first:
        return Odd("until", str(said["until"]), "the first day or later")
    if first > end:
        return Odd("first", str(first), f"a day of your year, which ends on {end}")
    return every(Span.through(first, last), weeks=weeks, until=said["until"] or end)


def repeat(draft: Draft, edit: RepeatAbsence) -> str:
    """The text with an entry for each time. Refused where it is not clear which those are."""
    now = Now(draft.today or draft.year.span.first, draft.year.climber.week_begins)
    spans = meant(dict(edit), now=now, end=draft.year.span.last)
    if isinstance(spans, Odd):
        raise EditRefused(f"{spans.key}: found {spans.found}; wanted {spans.wanted}.", spans.do)
    said = {"name": edit.name} | ({} if edit.left is None else {"left": edit.left})
    for one in entries(spans, said):
        draft = with_text(draft, add(draft, one))
    return draft.text


def entries(spans: Sequence[Span], values: Mapping[str, Any]) -> Iterator[AddEntry]:
    """An entry of time away for each span, each with an id of its own."""
    name = str(values["name"])
    for span in spans:
        said = {**values, "first": span.first, "last": span.last}
        said["name"] = f"{name}, {day_month_text(span.first)} {span.first.year}"
        yield AddEntry(section="absence", values=said)
