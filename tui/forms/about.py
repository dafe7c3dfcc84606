"""What a form is about: its lines, what the file says on them now, and the edits it means.

Composes what `seasonplan.edits` offers; decides nothing and draws nothing.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from seasonplan.edits import AnEdit, Draft, EditRefused
from seasonplan.edits.entries import place_of
from seasonplan.edits.filled import (
    adding,
    by_line,
    changing,
    counted,
    lists_at,
    said_at,
    setting,
    together,
)
from seasonplan.edits.form_words import SECTIONS, SETTINGS
from seasonplan.edits.forms import Line, entry_lines, setting_lines
from seasonplan.edits.in_form import in_form
from seasonplan.errors import BadInput, Fault
from seasonplan.explain.entries import entry_title
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
        return Wrong(in_form(text, about=table if own else about.section, lines=own or about.lines))
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


def about_of(draft: Draft, key: str) -> About:
    """The form of a key: "new goal", "goal ID", "set climber.minutes", "rule CODE", "recipe ID",
    "result TEST", "log pain", "again", or "ill".

    Raises EditRefused where what it is about is not there.
    """
    how, _, name = key.partition(" ")
    if how in ("rule", "recipe"):
        from tui.forms.law import about_law

        about = about_law(draft, how, name)
    elif how == "log":
        from tui.forms.diary import log_form

        about = log_form(draft, name)
    elif how == "again":
        from tui.forms.repeated import repeated

        about = repeated(draft)
    elif how == ILL:
        from tui.forms.illness import new_illness

        about = new_illness(draft)
    elif how == "result":
        from tui.measures.entry import new_result

        about = new_result(draft, name)
    elif how == "set":
        about = part_of_settings(draft, name)
    else:
        about = new_entry(draft, name) if how == "new" else old_entry(draft, name)
    return replace(about, key=key)


def new_entry(draft: Draft, section: str) -> About:
    """A form for one more entry of a section; "goal ID" is a goal at that season or window."""
    if section == "injury":
        from tui.forms.injury import new_injury

        return new_injury(draft)
    section, _, at = section.partition(" ")
    lines = entry_lines(section)
    rock = draft.year.entry(at) if at else None
    count = len(getattr(draft.year, ENTRY_FIELDS[section]))
    return About(
        title=f"Enter {SECTIONS[section][1]}",
        section=section,
        place=(section, count),
        lines=lines,
        before=dict.fromkeys(line.key for line in lines),
        make=lambda values: adding(section, values) or [_empty(section)],
        begun={key: str(getattr(rock, key)) for key in ("place", "discipline")} if rock else {},
    )


def _empty(section: str) -> AnEdit:
    """The edit of an empty form, so that reading it says what is missing."""
    from seasonplan.edits import AddEntry

    return AddEntry(section=section, values={"note": ""})


def old_entry(draft: Draft, entry_id: str) -> About:
    """A form for an entry there is. Raises EditRefused where there is none."""
    section, index = place = place_of(draft.year, entry_id)
    if section == "injury":
        from tui.forms.injury import old_injury

        return old_injury(draft, index)
    lines = entry_lines(section, lists=lists_at(draft, place))
    before = said_at(draft, place, lines)
    return About(
        title=f"Change “{entry_title(draft.year.entry(entry_id))}”",
        section=section,
        place=place,
        lines=lines,
        before=before,
        make=lambda values: changing(entry_id, before, values),
    )


def part_of_settings(draft: Draft, part: str) -> About:
    """A form for a part of the settings, such as "climber.minutes"."""
    place = tuple(part.split("."))
    lines = setting_lines(part)
    before = said_at(draft, place, lines)
    title, more = SETTINGS[part]
    return About(
        title=f"{title}: {more}",
        section=part,
        place=place,
        lines=lines,
        before=before,
        make=lambda values: setting(part, before, values),
    )
