"""A filled form: the edits it means, several of them as one change, and whose fault is whose line.

Values stand by the keys of their lines ("first", "demands.power", "good.0.rain_below"); None is
nothing said.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from typing import Any

from seasonplan.edits import paper
from seasonplan.edits.apply import DIARIES, TEXTS, apply
from seasonplan.edits.draft import Draft, EditRefused, with_text
from seasonplan.edits.entries import place_of, set_or_drop
from seasonplan.edits.forms import Line
from seasonplan.edits.harm import kept_clear
from seasonplan.edits.kinds import (
    AddEntry,
    AnEdit,
    ChangeEntry,
    ChangeRecipe,
    ChangeRule,
    ChangeSetting,
)
from seasonplan.edits.past import refuse_pinned_past
from seasonplan.errors import BadInput, Fault
from seasonplan.rules.statements import standard_book
from seasonplan.toml_source import value_at

Values = Mapping[str, Any]

_NAMED = re.compile(r"`(\w+)`")


def together(draft: Draft, edits: Sequence[AnEdit]) -> Draft:
    """The draft with several edits done as one: only what they make together must make sense.

    They may be of the year and of the diary. Keys of ChangeEntry may lead inside a table here.
    Raises as `apply` does.
    """
    if len(edits) == 1 and not leads_inside(edits[0]):
        return apply(draft, edits[0])
    text, marked = draft.text, draft
    for edit in edits:
        if type(edit) in DIARIES:
            marked = DIARIES[type(edit)](marked, edit)
        else:
            text = _text(replace(draft, text=text), edit)
    after = with_text(marked, text)
    refuse_pinned_past(draft, after)
    return kept_clear(draft, after)


def leads_inside(edit: AnEdit) -> bool:
    """Whether a key of the edit leads inside a table, which only `together` can do."""
    return isinstance(edit, ChangeEntry) and any("." in key for key in edit.values)


def _text(draft: Draft, edit: AnEdit) -> str:
    if not isinstance(edit, ChangeEntry):
        return TEXTS[type(edit)](draft, edit)
    inside = {key: one for key, one in edit.values.items() if "." in key}
    plain = {key: one for key, one in edit.values.items() if "." not in key}
    text, place = draft.text, place_of(draft.year, edit.id)
    for key, value in inside.items():
        text = _within(text, place, _loc(key), value)
    if not plain:
        return text
    change = TEXTS[ChangeEntry]
    return change(replace(draft, text=text), ChangeEntry(id=edit.id, values=plain))


def _within(text: str, place: tuple[str, int], loc: tuple[str | int, ...], value: Any) -> str:
    """The text with a key inside a table of an entry set; the whole table where it must be."""
    try:
        return set_or_drop(text, (*place, *loc), value)
    except EditRefused:
        top = paper.value_at(text, (*place, loc[0]))
        whole = {} if top is None else {loc[0]: top}
        if value is None:
            paper.del_at(whole, loc)
        else:
            paper.set_at(whole, loc, value)
        return paper.put(text, (*place, loc[0]), whole[loc[0]])


def _loc(key: str) -> tuple[str | int, ...]:
    return tuple(int(part) if part.isdigit() else part for part in key.split("."))


# --- what stands in the file ------------------------------------------------------------------


def said_at(draft: Draft, place: tuple[str | int, ...], lines: Iterable[Line]) -> dict[str, Any]:
    """What the file says on each line of a form; None where it says nothing."""
    whole = paper.value_at(draft.text, place)
    return {line.key: value_at(whole, _loc(line.key)) for line in lines}


def lists_at(draft: Draft, place: tuple[str | int, ...]) -> dict[str, int]:
    """How many there are of each list of tables inside an entry, as {"good": 2}."""
    found = paper.value_at(draft.text, place)
    return {
        key: len(one)
        for key, one in (found.items() if isinstance(found, dict) else ())
        if isinstance(one, list) and one and isinstance(one[0], dict)
    }


# --- edits ------------------------------------------------------------------------------------


def adding(section: str, values: Values) -> list[AnEdit]:
    """The edit that enters what a form says; none where it says nothing."""
    said = nested(values)
    return [AddEntry(section=section, values=said)] if said else []


def changing(entry_id: str, before: Values, after: Values) -> list[AnEdit]:
    """The edit of the lines that say something else; a table that is new or gone goes whole."""
    changed = _changed(before, after)
    wanted: dict[str, Any] = {}
    for key, value in changed.items():
        top = key.partition(".")[0]
        if top == key:
            wanted[key] = value
        elif _whole(top, before, after):
            wanted[top] = nested(_under(top, after)).get(top)
        else:
            wanted[key] = value
    return [ChangeEntry(id=entry_id, values=wanted)] if wanted else []


def setting(part: str, before: Values, after: Values) -> list[AnEdit]:
    """The edits of the settings that say something else."""
    return [
        ChangeSetting(path=f"{part}.{key}", value=value)
        for key, value in _changed(before, after).items()
    ]


def rule(draft: Draft, code: str, before: Values, after: Values) -> list[AnEdit]:
    """The edit of what is changed of a rule; what is no longer said has its default.

    Raises BadInput where reading the file would.
    """
    usual = standard_book()[code]
    changed = {
        key: getattr(usual, key) if value is None else value
        for key, value in _changed(before, after).items()
    }
    text = draft.text
    for key, value in changed.items():
        text = set_or_drop(text, ("rules", code, key), value)
    with_text(draft, text)
    return [ChangeRule.model_validate({"code": code, **changed})] if changed else []


def recipe(recipe_id: str, before: Values, after: Values) -> list[AnEdit]:
    """The edit of what is changed of a recipe; its tables go whole, as the file has them."""
    tops = dict.fromkeys(key.partition(".")[0] for key in _changed(before, after))
    values = {top: nested(_under(top, after)).get(top) for top in tops}
    return [ChangeRecipe(id=recipe_id, values=values)] if values else []


def _changed(before: Values, after: Values) -> dict[str, Any]:
    return {key: value for key, value in after.items() if value != before.get(key)}


def _under(top: str, values: Values) -> dict[str, Any]:
    return {key: one for key, one in values.items() if key.partition(".")[0] == top}


def _whole(top: str, before: Values, after: Values) -> bool:
    """Whether a table is new, or any part of a list of them is empty before or after."""
    for values in (_under(top, before), _under(top, after)):
        parts: dict[str, bool] = {}
        for key, value in values.items():
            second = key.split(".")[1]
            part = second if second.isdigit() else ""
            parts[part] = parts.get(part, False) or value is not None
        if not all(parts.values()):
            return True
    return False


def nested(values: Values) -> dict[str, Any]:
    """Values by their keys as tables inside tables; without what nothing is said of."""
    found: dict[str, Any] = {}
    for key, value in values.items():
        if value is None:
            continue
        paper.set_at(found, tuple(key.split(".")), value)
    return {key: _lists(one) for key, one in found.items()}


def _lists(value: Any) -> Any:
    """Tables that are numbered as lists."""
    if not isinstance(value, dict):
        return value
    inner = {key: _lists(one) for key, one in value.items()}
    return list(inner.values()) if inner and all(key.isdigit() for key in inner) else inner


# --- faults -----------------------------------------------------------------------------------


def by_line(error: BadInput, place: Sequence[str | int], lines: Iterable[Line]) -> dict[str, Fault]:
    """The first fault of each line by its key; under "" the first that belongs to no line.

    `place` is where the form's entry stands, counted from 0.
    """
    head = counted(place)
    keys = {counted(place, line.key): line.key for line in lines}
    found: dict[str, Fault] = {}
    for fault in error.faults:
        here = f"{fault.key}.".startswith(f"{head}." if head else "")
        key = (_line_of(fault.key, keys) or _line_named(fault, keys)) if here else ""
        found.setdefault(key, fault)
    return found


def _line_of(key: str, keys: Mapping[str, str]) -> str:
    """The line of a fault: its own, that above it, or the first below."""
    while key:
        if key in keys:
            return keys[key]
        below = [line for at, line in keys.items() if at.startswith(f"{key}.")]
        if below and key.count("."):
            return below[0] if len({line.partition(".")[0] for line in below}) == 1 else ""
        key = key.rpartition(".")[0]
    return ""


def _line_named(fault: Fault, keys: Mapping[str, str]) -> str:
    """The line that a fault of a whole table says to change, if it says one."""
    named = [keys.get(f"{fault.key}.{name}") for name in _NAMED.findall(fault.do)]
    return named[0] or "" if len(named) == 1 else ""


def counted(place: Sequence[str | int], key: str = "") -> str:
    """A place, and a line there, as faults name it: counted from 1."""
    whole = (*place, *(_loc(key) if key else ()))
    return ".".join(str(part + 1) if isinstance(part, int) else part for part in whole)
