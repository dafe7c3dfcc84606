"""The form of time away that comes again: every second week, or each span of a list."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from seasonplan.days import Span, dates_text
from seasonplan.edits import AnEdit, Draft
from seasonplan.edits.filled import counted
from seasonplan.edits.forms import Line, Takes, entry_lines
from seasonplan.edits.repeated import Odd, entries, meant
from seasonplan.edits.said import Now
from seasonplan.errors import BadInput, Fault
from tui.forms.about import NOTHING, About

AGAIN = "again"  # the key of the form
WHAT = "time away that comes again"
MOST_TOLD = 12
ASIDE = (
    "Say the first time, how many weeks lie between, and until when: every second week is 2. Or "
    "list the spans, as school holidays are listed."
)
Values = Mapping[str, Any]


def repeated(draft: Draft) -> About:
    """A form that makes one entry for each time."""
    lines = tuple(_lines())
    return About(
        title=f"Enter {WHAT}",
        section="absence",
        place=(),
        lines=lines,
        before=dict.fromkeys(line.key for line in lines),
        make=lambda values: _edits(draft, values),
        aside=lambda values: list(_beside(draft, values)),
    )


def _lines() -> Iterator[Line]:
    known = {line.key: line for line in entry_lines("absence")}
    yield known["name"]
    for key in ("first", "last"):
        yield Line(**{**dict(known[key]), "required": False})
    yield Line(key="weeks", label="Comes again every", help="2, or second week", takes=Takes.WHOLE)
    yield Line(key="until", label="Until", help="empty: to the end of your year", takes=Takes.DAY)
    told = "13 feb to 21 feb, 27 mar to 11 apr"
    yield Line(key="days", label="Or these days", help=told, takes=Takes.TEXT)
    yield known["left"]


def _edits(draft: Draft, values: Values) -> list[AnEdit]:
    """An entry for each time. Raises BadInput with what is missing."""
    faults = [] if values["name"] else [_fault(Odd("name", NOTHING, "a value", "Fill it in."))]
    spans = _spans(draft, values)
    if isinstance(spans, Fault):
        faults.append(spans)
    if faults or isinstance(spans, Fault):
        raise BadInput(faults)
    said = {key: values[key] for key in ("name", "left") if values[key] is not None}
    return list(entries(spans, said))


def _spans(draft: Draft, values: Values) -> tuple[Span, ...] | Fault:
    """Every time that is meant, or what is wrong with how it was said."""
    now = Now(draft.today or draft.year.span.first, draft.year.climber.week_begins)
    found = meant(values, now=now, end=draft.year.span.last)
    return found if not isinstance(found, Odd) else _fault(found)


def _fault(odd: Odd) -> Fault:
    return Fault(AGAIN, counted((), odd.key), None, odd.found, odd.wanted, odd.do)


def _beside(draft: Draft, values: Values) -> Iterator[str]:
    """The times that are meant, once they can be told."""
    spans = _spans(draft, values)
    if isinstance(spans, Fault):
        yield ASIDE
        return
    told = [dates_text(span) for span in spans[:MOST_TOLD]]
    more = len(spans) - len(told)
    told += [f"and {more} more"] if more > 0 else []
    yield "1 entry:" if len(spans) == 1 else f"{len(spans)} entries:"
    yield "\n".join(told)
