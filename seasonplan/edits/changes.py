"""What differs between two texts of a year: entries by id, everything else by key.

Speaks in places and plain values; `explain` puts them into sentences.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

from seasonplan.toml_source import NotToml, source_of
from seasonplan.year.ids import made as id_made
from seasonplan.year.ids import with_ids
from seasonplan.year.model import ENTRY_FIELDS, NAMED


class How(StrEnum):
    ADDED = "added"
    REMOVED = "removed"
    CHANGED = "changed"


@dataclass(frozen=True, slots=True)
class TextChange:
    """One entry added or removed, or one key that says something else.

    `section` is empty for settings; `about` is an entry's id, else the whole key; `name` what the
    climber called the entry, before where that changed. `was` and `now` are values of the file;
    None is nothing.
    """

    how: How
    section: str
    about: str
    key: str = ""
    was: Any = None
    now: Any = None
    name: str = ""


def changes(old: str, new: str) -> tuple[TextChange, ...]:
    """How the second text differs from the first. Texts that are no TOML say nothing."""
    before, after = _plain(old), _plain(new)
    found: list[TextChange] = []
    for section in ENTRY_FIELDS:
        found += _entries(section, _by_id(before, section), _by_id(after, section))
    found += _settings(_flat(before), _flat(after))
    return tuple(found)


def _plain(text: str) -> dict[str, Any]:
    try:
        return with_ids(source_of(text).values, NAMED)
    except (NotToml, RecursionError):
        return {}


def _by_id(values: Mapping[str, Any], section: str) -> dict[str, dict[str, Any]]:
    entries = values.get(section, [])
    return {
        entry_id(entry, section): entry
        for entry in (entries if isinstance(entries, list) else [])
        if isinstance(entry, dict)
    }


def entry_id(entry: Mapping[str, Any], section: str) -> str:
    """The id that an entry of a section has or gets."""
    made = entry.get("id") or entry.get("session")
    if made:
        return str(made)
    return id_made(section, str(entry.get("name") or f"{entry.get('recipe')} {entry.get('day')}"))


def _entries(
    section: str, before: dict[str, dict[str, Any]], after: dict[str, dict[str, Any]]
) -> Iterator[TextChange]:
    for own, entry in before.items():
        if own not in after:
            yield TextChange(How.REMOVED, section, own, was=entry, name=_name(entry))
    for own, entry in after.items():
        old = before.get(own)
        if old is None:
            yield TextChange(How.ADDED, section, own, now=entry, name=_name(entry))
            continue
        for key in dict.fromkeys((*old, *entry)):
            if key != "id" and old.get(key) != entry.get(key):
                was, now = old.get(key), entry.get(key)
                yield TextChange(How.CHANGED, section, own, key, was, now, _name(old))


def _name(entry: Mapping[str, Any]) -> str:
    return str(entry.get("name") or "")


def _flat(values: Mapping[str, Any], above: str = "") -> dict[str, Any]:
    """Settings by their whole key; entries left out."""
    found: dict[str, Any] = {}
    for key, value in values.items():
        if isinstance(value, dict):
            found |= _flat(value, f"{above}{key}.")
        elif above or key not in ENTRY_FIELDS:
            found[above + key] = value
    return found


def _settings(before: dict[str, Any], after: dict[str, Any]) -> Iterator[TextChange]:
    for key in dict.fromkeys((*before, *after)):
        was, now = before.get(key), after.get(key)
        if was != now:
            how = How.ADDED if was is None else How.REMOVED if now is None else How.CHANGED
            yield TextChange(how, "", key, "", was, now)
