"""Ids made from names, and how files of schema 1 made them. Knows no entry and no file.

A letter keeps its base in every language (ö is o, é is e): one rule, what a keyboard without that
letter types. Files of schema 1 lost such letters; their ids stand, so that plans and calendars that
name them hold.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from hashlib import sha256
from typing import Any
from unicodedata import combining, normalize

SPELT = str.maketrans({
    "æ": "ae", "œ": "oe", "ø": "o", "ł": "l", "đ": "d", "ð": "d", "þ": "th", "ħ": "h", "ŋ": "n",
    "ŧ": "t", "\u0131": "i",  # the i without a dot
})  # fmt: skip
SIGNS = 6  # of what tells names apart that Latin letters do not say
BEFORE = {"place": "place-"}  # by section: seasons are called after places, and have ids, too


def slug(name: str) -> str:
    """A readable id made from a name: lower case letters, digits and hyphens.

    Letters that have no Latin base stand in six signs of their own at its end.
    """
    letters = normalize("NFKD", name.casefold()).casefold()
    plain = "".join(sign for sign in letters if not combining(sign)).translate(SPELT)
    words = _hyphened(plain)
    if words and not any(sign.isalnum() and not sign.isascii() for sign in plain):
        return words
    whole = normalize("NFC", name.casefold()).encode()
    return f"{words or 'entry'}-{sha256(whole).hexdigest()[:SIGNS]}"


def made(section: str, name: str) -> str:
    """The id that an entry of a section gets from its name."""
    return BEFORE.get(section, "") + slug(name)


def must_be_said(section: str, name: str, own: str) -> bool:
    """Whether a file must say an id: every schema would not make it from the name."""
    return {made(section, name), _in_schema_1(section, name)} != {own}


def with_ids(raw: Mapping[str, Any], sections: Iterable[str]) -> dict[str, Any]:
    """The values of a year file, with the ids in them that names had in schema 1.

    So, too, where a file that does not tell its schema names them in `served_by`.
    """
    named = {one for goal in _listed(raw.get("goal")) for one in _served_by(goal)}
    old = raw.get("schema") == 1
    return {
        key: [_with_id(key, one, named, old=old) for one in value]
        if key in sections and isinstance(value, list)
        else value
        for key, value in raw.items()
    }


def _with_id(section: str, entry: Any, named: set[str], *, old: bool) -> Any:
    name = entry.get("name") if isinstance(entry, dict) else None
    if not isinstance(name, str) or entry.get("id"):
        return entry
    before = _in_schema_1(section, name)
    stands = before != made(section, name) and (old or before in named)
    return {**entry, "id": before} if stands else entry


def _served_by(goal: Any) -> list[str]:
    names = _listed(goal.get("served_by")) if isinstance(goal, dict) else []
    return [one for one in names if isinstance(one, str)]


def _listed(value: Any) -> list[Any]:
    return value if isinstance(value, list) else []


def _in_schema_1(section: str, name: str) -> str:
    return BEFORE.get(section, "") + (_hyphened(name.lower()) or "entry")


def _hyphened(text: str) -> str:
    return re.sub(r"[^a-z0-9]+", "-", text).strip("-")
