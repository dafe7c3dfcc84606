"""The form of an illness: days without training, and the gentle return after longer ones."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date
from typing import Any

from seasonplan import injury
from seasonplan.days import Span
from seasonplan.edits import AddEntry, AnEdit, Draft
from seasonplan.edits.filled import counted
from seasonplan.edits.forms import Line, entry_lines
from seasonplan.errors import BadInput, Fault
from seasonplan.explain import care
from seasonplan.injury import values_of
from seasonplan.year import Absence, Injury, Year
from tui.forms.about import NOTHING, About

Values = Mapping[str, Any]
LINES = ("first", "last", "name")
USUAL_NAME = "Illness"


def new_illness(draft: Draft) -> About:
    """A form for days of illness; what they become is told beside it."""
    lines = tuple(_lines())
    return About(
        title="Enter an illness",
        section="absence",
        place=(),
        lines=lines,
        before=dict.fromkeys(LINES),
        make=lambda values: _edits(draft.year, values),
        aside=lambda values: list(_beside(draft.year, values)),
    )


def _lines() -> Iterator[Line]:
    known = {line.key: line for line in entry_lines("absence")}
    helps = {"first": "yesterday, 3 feb, 2027-02-03", "last": "as far as you can tell"}
    for key in LINES:
        more = {"help": helps[key], "required": True} if key in helps else {"required": False}
        more["past"] = key == "first"
        yield Line(**{**dict(known[key]), **more, "usual": None if key in helps else USUAL_NAME})


def _edits(year: Year, values: Values) -> list[AnEdit]:
    """The entry that the days become. Raises BadInput with every fault."""
    faults = [_fault(key, values[key]) for key in ("first", "last") if not _is_day(values[key])]
    if not faults and values["last"] < values["first"]:
        text = str(values["last"])
        faults = [Fault("illness", "last", None, text, "the first day or later", "Correct it.")]
    if faults:
        raise BadInput(faults)
    entry = _entry(year, values)
    section = "absence" if isinstance(entry, Absence) else "injury"
    return [AddEntry(section=section, values=values_of(entry))]


def _entry(year: Year, values: Values) -> Absence | Injury:
    days = Span.through(values["first"], values["last"])
    return injury.illness_of(values["name"] or USUAL_NAME, days=days, year=year)


def _fault(key: str, value: Any) -> Fault:
    if value is None:
        return Fault("illness", counted((), key), None, NOTHING, "a day", "Fill it in.")
    return Fault("illness", counted((), key), None, repr(value), "a day", "Such as yesterday.")


def _is_day(value: Any) -> bool:
    return type(value) is date


def _beside(year: Year, values: Values) -> Iterator[str]:
    """What the days become, once both are said; the caution always."""
    days = [values["first"], values["last"]]
    if all(_is_day(day) for day in days) and days[0] <= days[1]:
        yield from care.illness_text(_entry(year, values))
    else:
        yield injury.words("illness")
