"""What a form is about: its lines, what the file says on them now, and the edits it means.

Composes what `seasonplan.edits` offers; decides nothing and draws nothing.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from seasonplan.edits import AnEdit, Draft, EditRefused
from seasonplan.edits.filled import (
    by_line,
    counted,
    together,
)
from seasonplan.edits.form_words import SETTINGS
from seasonplan.edits.forms import Line
from seasonplan.edits.in_form import in_form
from seasonplan.errors import BadInput, Fault
from seasonplan.year import Year
from seasonplan.year.model import ENTRY_FIELDS
from seasonplan.year.refusal import NOTHING as NOTHING
from tui.spoken import spoken

Values = Mapping[str, Any]
At = tuple[str | int, ...]
Place = At | Callable[[Values], At]  # a new recipe stands where its name says
ILL = "ill"  # the key of the form of an illness


@dataclass(frozen=True, slots=True)
class Wrong:
    """A fault of a line, or of the whole under "". `missing` where nothing is said yet."""

    text: str
    missing: bool = False


def _silent(_: Values) -> Sequence[str]:
    return ()


@dataclass(frozen=True, slots=True)
class About:
    """`make` turns what is said on the lines into edits; `aside` are words to show beside them.

    `section` is the sort of entry or the part of the settings; `place` where it stands. `key` is
    what `about_of` makes the same form of again.
    """

    title: str
    section: str
    place: Place
    lines: tuple[Line, ...]
    before: Values
    make: Callable[[Values], list[AnEdit]]
    aside: Callable[[Values], Sequence[str]] = _silent
    key: str = ""
    begun: Mapping[str, str] = field(default_factory=dict)  # words that stand there at first


def judged(about: About, values: Values, draft: Draft) -> dict[str, Wrong]:
    """What is wrong with what is said, by line, as reading the file would find it."""
    try:
        edits = about.make(values)
        if edits:
            together(draft, edits)
    except BadInput as error:
        place = about.place(values) if callable(about.place) else about.place
        found = by_line(error, place, about.lines)
        head = counted(place)
        return {key: _wrong(fault, key, about, _elsewhere(fault, head, draft.year))
                for key, fault in found.items()}  # fmt: skip
    except EditRefused as no:
        return {"": Wrong(spoken(str(no)))}
    return {}


def _wrong(fault: Fault, key: str, about: About, elsewhere: str) -> Wrong:
    """A fault in a form's words; `elsewhere` names what else than the form it is in."""
    line = next((line for line in about.lines if line.key == key), None)
    if fault.found == NOTHING and line is not None:
        told = f": {line.help}" if line.help else ""
        return Wrong(f"“{line.label}” is needed{told}.", missing=True)
    text = f"found {fault.found}; wanted {fault.wanted}. {fault.do}"
    if key or not elsewhere:
        table = fault.key.partition(".")[0]
        own = [one for one in about.lines if one.key.startswith(f"{table}.")]
        lines = (*about.lines, *own)  # of lines that are called alike those of the table count
        return Wrong(in_form(text, about=table if own else about.section, lines=lines))
    return Wrong(f"{elsewhere}: {in_form(text, about=fault.key.partition('.')[0], lines=())}")


def _elsewhere(fault: Fault, head: str, year: Year) -> str:
    """Which other entry or part of the settings a fault is in; nothing where it is in the form."""
    if f"{fault.key}.".startswith(f"{head}." if head else ""):
        return ""
    section, _, rest = fault.key.partition(".")
    index = rest.partition(".")[0]
    if section not in ENTRY_FIELDS or not index.isdigit():
        return SETTINGS.get(section, ("Elsewhere", ""))[0]
    entries = getattr(year, ENTRY_FIELDS[section])
    return f"“{entries[int(index) - 1].name}”" if int(index) <= len(entries) else ""
