"""Adds, changes and removes entries: goals, seasons, windows, trips, absences, pins, injuries."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from seasonplan.edits import paper
from seasonplan.edits.draft import Draft, EditRefused
from seasonplan.edits.fields import natural
from seasonplan.edits.kinds import AddEntry, ChangeEntry, RemoveEntry
from seasonplan.errors import did_you_mean
from seasonplan.injury import whose_days
from seasonplan.toml_source import Loc
from seasonplan.year import Injury, Year
from seasonplan.year.ids import made, must_be_said
from seasonplan.year.model import ENTRY_FIELDS

Values = Mapping[str, Any]


def add(draft: Draft, edit: AddEntry) -> str:
    """The text with one more entry, under an id of its own."""
    if edit.section not in ENTRY_FIELDS:
        sections = list(ENTRY_FIELDS)
        raise EditRefused(f"There is no section {edit.section!r}.", known(edit.section, sections))
    values: dict[str, Any] = {
        key: natural(one, edit.section, key)
        for key, one in edit.values.items()
        if one is not None
    }  # fmt: skip
    if not values:
        raise EditRefused(f"Nothing was said of the {edit.section}.", "Say it as first=2026-05-04.")
    if isinstance(values.get("name"), str) and not values.get("id"):
        own = free_id(draft.year, made(edit.section, values["name"]))
        if must_be_said(edit.section, values["name"], own):
            values = {"name": values["name"], "id": own} | values
    return paper.add(draft.text, edit.section, values)


def change(draft: Draft, edit: ChangeEntry) -> str:
    """The text with some values of an entry changed; a value of None is taken out.

    The entry keeps its id under a new name. Goals follow a changed id.
    """
    section, index = place_of(draft.year, edit.id)
    values = dict(edit.values)
    if not values:
        raise EditRefused("Nothing was said to change.", "Say it as first=2026-05-04.")
    if "name" in values and "id" not in values:
        values["id"] = edit.id
    entry = draft.year.entry(edit.id)
    if isinstance(entry, Injury):
        values |= whose_days(entry, values)
    said = {(section, index, key): natural(one, section, key) for key, one in values.items()}
    text = paper.put_all(draft.text, {loc: one for loc, one in said.items() if one is not None})
    for loc, one in said.items():
        if one is None:
            text = set_or_drop(text, loc, None)
    new_id = values.get("id")
    if isinstance(new_id, str) and new_id != edit.id:
        text = _renamed(draft.year, text, old=edit.id, new=new_id)
    return text


def remove(draft: Draft, edit: RemoveEntry) -> str:
    """The text without an entry; goals no longer name it."""
    place = place_of(draft.year, edit.id)
    text = _renamed(draft.year, draft.text, old=edit.id, new=None)
    return paper.drop(text, place)


def place_of(year: Year, entry_id: str) -> tuple[str, int]:
    """Section and place in it of an entry; refused where there is none."""
    places = {
        entry.id: (section, index)
        for section, entries in year.entries_by_section().items()
        for index, entry in entries
    }
    if entry_id not in places:
        raise EditRefused(f"There is no entry {entry_id!r}.", known(entry_id, list(places)))
    return places[entry_id]


def set_or_drop(text: str, loc: Loc, value: Any) -> str:
    """The text with a key set, or without it for None."""
    if value is not None:
        return paper.put(text, loc, value)
    return text if paper.value_at(text, loc) is None else paper.drop(text, loc)


def free_id(year: Year, wanted: str) -> str:
    """`wanted`, or the same with the first number that no entry has."""
    taken = {
        entry.id for entries in year.entries_by_section().values() for _, entry in entries
    }  # fmt: skip
    number, found = 2, wanted
    while found in taken:
        number, found = number + 1, f"{wanted}-{number}"
    return found


def known(name: str, names: list[str]) -> str:
    """What to say of a name that is not there: the nearest one, or all."""
    every = f"There are: {', '.join(names)}." if names else "There is none yet."
    return did_you_mean(name, names, otherwise=every)


def _renamed(year: Year, text: str, *, old: str, new: str | None) -> str:
    """The text with an id exchanged in every goal that names it, or taken out."""
    for index, goal in enumerate(year.goals):
        if old in goal.served_by:
            names = [new if name == old else name for name in goal.served_by]
            left = [name for name in names if name is not None]
            text = set_or_drop(text, ("goal", index, "served_by"), left or None)
    return text
