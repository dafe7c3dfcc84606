"""Text of a `year.toml` to a Year, with every fault by file, key and line. Touches no disk."""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import suppress
from typing import Any, TypeVar, get_args, get_origin

from pydantic import BaseModel, TypeAdapter, ValidationError

from seasonplan.errors import BadInput, Fault, did_you_mean
from seasonplan.toml_source import BOM, Loc, NotToml, source_of
from seasonplan.year.ids import made, with_ids
from seasonplan.year.model import NAMED, SCHEMA, Horizon, RuleChange, Year
from seasonplan.year.nesting import DEEPEST, too_deep
from seasonplan.year.recipe import RecipeChange
from seasonplan.year.refusal import NOTHING, Trouble, shown
from seasonplan.year.sense import troubles, unserved
from seasonplan.year.spoken import no_such_day
from seasonplan.year.told import told, wanted

_DAY = re.compile(r"\s*(?P<key>[\w.-]+)\s*=\s*(?P<day>\d{4}-\d{2}-\d{2})\s*(?:#.*)?$")
TABLE = (
    "Write {table} on a line of its own, and its keys below; `seasonplan guide entries` names them."
)
OPEN_QUOTES = ("Illegal character '\\n'", "Unterminated string")  # as tomllib says it
MISSPELT = "Did you mean {!r}?"  # as `did_you_mean` says it of a key
ONE_OF_TWO = "Remove one of the two."
MEANT = {  # what a number means, where a limit alone does not say it
    "left": "Write the share of your time that stays: 0.3 is three tenths.",
    "priority": "Write 1 (matters most), 2 or 3 (least).",
    "weekly_load": "Write one number for each week, oldest first, as `[1200, 1400]`.",
    "aspect": "Write degrees: 0 is north, 90 east, 180 south, 270 west.",
    "birth_year": "Write all four digits, as 1990.",
}

Change = TypeVar("Change", RuleChange, RecipeChange)


def read_year(text: str, *, file: str) -> Year:
    """The Year that `text` describes. Raises BadInput with every fault in it."""
    line = too_deep(text.removeprefix(BOM))
    if line is not None:
        raise BadInput([_too_deep(line, file=file)])
    try:
        raw = source_of(text).values
    except NotToml as error:
        days = list(_no_days(text, file=file))
        here = [one for one in days if one.line == error.line]
        raise BadInput(days if here else [_no_toml(error, text, file=file)]) from None
    year = _year_of(raw)
    if isinstance(year, list):
        raise BadInput(faults(year, text, file=file))
    return year


def _too_deep(line: int, *, file: str) -> Fault:
    return Fault(
        file, "", line, f"values or parts of a key more than {DEEPEST} deep",
        "tables and lists as `seasonplan guide entries` shows them",
        "Correct the line; a bracket may be missing.",
    )  # fmt: skip


def _no_toml(error: NotToml, text: str, *, file: str) -> Fault:
    twice = source_of(text).twice
    once = error.why.startswith("Cannot ")  # what may stand once stands there already
    if twice and once:
        loc, at = twice
        many = len(loc) == 1 and loc[0] in _entry_sections()
        do = f"Write [[{loc[0]}]] in two pairs of brackets above each." if many else ONE_OF_TWO
        return Fault(
            file, _dotted(loc), at, f"{loc[-1]} a second time", "each key once", do
        )  # fmt: skip
    why = "" if once else f" ({error})"
    found, toml = f"a line that is not TOML{why}", "TOML: key = value, text in quotes"
    do = "Close the quotes." if error.why in OPEN_QUOTES else "Correct the line."
    return Fault(file, "", error.line, found, toml, do)


def _no_days(text: str, *, file: str) -> Iterator[Fault]:
    """The days in a text that no calendar has: TOML itself refuses the first of them."""
    for number, line in enumerate(text.splitlines(), start=1):
        match = _DAY.match(line)
        why = no_such_day(match["day"]) if match else ""
        if match and why:
            yield Fault(file, match["key"], number, match["day"], "a day of the calendar", why)


def faults(found: list[Trouble], text: str, *, file: str) -> list[Fault]:
    """Troubles of the model as faults of a file, each with its line."""
    source = source_of(text if found else "")  # a text that lies too deep is never looked at
    return [
        Fault(file, _dotted(t.loc), source.line(t.loc), t.found, t.wanted, t.do)
        for t in dict.fromkeys(found)
    ]


def _dotted(loc: Loc) -> str:
    return ".".join(str(part + 1) if isinstance(part, int) else part for part in loc)


def _year_of(raw: dict[str, Any]) -> Year | list[Trouble]:
    """The year of plain values, or all that is wrong with them."""
    version = raw.get("schema", SCHEMA)
    if isinstance(version, int) and version > SCHEMA:
        return [
            Trouble(
                ("schema",), f"schema {version}", f"schema {SCHEMA} or older",
                "This file was written by a newer seasonplan: update the program.",
            )
        ]  # fmt: skip
    raw = stepped_up(raw)
    try:
        return Year.model_validate(raw)
    except ValidationError as error:
        return _troubles(raw, _each_once([_told(one, raw) for one in error.errors() if one["loc"]]))


def _each_once(found: list[Trouble]) -> list[Trouble]:
    """Without what is lacking only because its key is misspelt, which is told of that key."""
    meant = {(t.loc[:-1], t.do) for t in found}
    return [
        t for t in found
        if t.found != NOTHING or (t.loc[:-1], MISSPELT.format(str(t.loc[-1]))) not in meant
    ]  # fmt: skip


def stepped_up(raw: dict[str, Any]) -> dict[str, Any]:
    """The values of an older schema as they are written now: its ids are said."""
    old = type(raw.get("schema")) is int and raw["schema"] < SCHEMA
    return with_ids(raw, NAMED) | ({"schema": SCHEMA} if old and raw["schema"] > 0 else {})


def _troubles(raw: dict[str, Any], found: list[Trouble]) -> list[Trouble]:
    """What the model found, and what else is wrong in the entries that it could read."""
    good: dict[str, Any] = {}
    spoiled = {t.loc[:2] for t in found}
    for section, field in _entry_sections().items():
        entries = raw.get(section, [])
        if isinstance(entries, list):
            good[section] = [
                (index, field.validate_python(entry))
                for index, entry in enumerate(entries)
                if (section, index) not in spoiled and (section,) not in spoiled
            ]
    horizon_read = "year" in raw and ("year",) not in {loc[:1] for loc in spoiled}
    span = Horizon.model_validate(raw["year"]).span if horizon_read else None
    unread = _unread(raw, spoiled)
    return [
        *found,
        *troubles(good, span, unread=unread),
        *_unserved(raw, spoiled, good, unread=unread),
    ]


def _unserved(
    raw: dict[str, Any], spoiled: set[Loc], good: dict[str, Any], *, unread: frozenset[str]
) -> Iterator[Trouble]:
    """Unknown names in goals that have another fault, too."""
    for section, index, *_ in (loc for loc in spoiled if len(loc) == 2):
        goal = raw["goal"][index] if section == "goal" and isinstance(index, int) else None
        names = goal.get("served_by") if isinstance(goal, dict) else None
        if isinstance(names, list) and all(isinstance(name, str) for name in names):
            yield from unserved(int(index), names, good, unread=unread)


def changes_in(text: str) -> tuple[dict[str, RuleChange], dict[str, RecipeChange]]:
    """The changes of rules and recipes in a text that can be read, whatever else is wrong in it."""
    try:
        raw = {} if too_deep(text) else source_of(text).values
    except NotToml:
        return {}, {}
    return _readable(raw, "rules", RuleChange), _readable(raw, "recipes", RecipeChange)


def _readable(raw: dict[str, Any], section: str, model: type[Change]) -> dict[str, Change]:
    found = {}
    entries = raw.get(section)
    for name, value in entries.items() if isinstance(entries, dict) else ():
        with suppress(ValidationError):
            found[name] = model.model_validate(value)
    return found


def _entry_sections() -> dict[str, TypeAdapter[Any]]:
    sections = {}
    for field in Year.model_fields.values():
        kinds = get_args(field.annotation)
        if field.alias and kinds and isinstance(kinds[0], type) and issubclass(kinds[0], BaseModel):
            sections[field.alias] = TypeAdapter(kinds[0])
    return sections


def _unread(raw: dict[str, Any], spoiled: set[Loc]) -> frozenset[str]:
    """Ids of entries that could not be read, so that naming them is no second fault."""
    ids = set()
    for loc in spoiled:
        if len(loc) == 2 and isinstance(loc[1], int):
            entry = raw[str(loc[0])][loc[1]]
            if isinstance(entry, dict):
                ids |= {str(entry.get("id")), made(str(loc[0]), str(entry.get("name", "")))}
    return frozenset(ids)


def _told(error: Any, raw: dict[str, Any]) -> Trouble:
    """A pydantic error in our words: found, wanted, do."""
    loc: Loc = tuple(part for part in error["loc"] if not _is_branch(part, error, raw))
    if error["type"] == "refused":
        return Trouble(loc, *told(error))
    if error["type"] == "missing":
        if _fields_at(loc):
            table = f"[{'.'.join(map(str, loc))}]"
            return Trouble(loc, NOTHING, f"the table `{table}`", TABLE.format(table=table))
        return Trouble(loc, NOTHING, f"a value for `{loc[-1]}`", "Fill it in.")
    if error["type"] == "extra_forbidden":
        keys = _fields_at(loc[:-1])
        do = did_you_mean(str(loc[-1]), keys, otherwise="Remove the line.", quoted=True)
        wanted_keys = ", ".join(keys) or "known keys only"
        return Trouble(loc, f"the unknown key {loc[-1]!r}", wanted_keys, do)
    return Trouble(loc, shown(error.get("input")), wanted(error), _what_to_do(error, loc))


def _what_to_do(error: Any, loc: Loc) -> str:
    if error["type"] == "tuple_type" and isinstance(error.get("input"), dict):
        return f"Write [[{loc[-1]}]] in two pairs of brackets."
    if error["type"] == "model_type" and len(loc) == 1:
        return f"Write [{loc[0]}] on a line of its own, and its keys below."
    if loc[-2:-1] == ("weekly_load",):  # one of its numbers
        return "Write effort x minutes: 3 h at an effort of 5 are 900."
    return MEANT.get(str(loc[-1]), "Correct the value.")


def _is_branch(part: str | int, error: Any, raw: dict[str, Any]) -> bool:
    """Whether a part of pydantic's place names a branch of a union, not a key of the file."""
    if isinstance(part, int):
        return False
    return part in ("float", "[key]") or part.startswith(("tuple[", "dict[", "function-"))


def _fields_at(loc: Loc) -> list[str]:
    model: Any = Year
    own_key = False  # in a table whose keys are not ours but the climber's, such as rule codes
    for part in loc:
        if isinstance(part, int) or own_key:
            own_key = False
            continue
        field = next(
            (f for name, f in model.model_fields.items() if (f.alias or name) == part), None
        )
        if field is None:
            return []
        kinds = (field.annotation, *get_args(field.annotation))
        own_key = get_origin(field.annotation) is dict
        model = next((k for k in kinds if isinstance(k, type) and issubclass(k, BaseModel)), None)
        if model is None:
            return []
    return [field.alias or name for name, field in model.model_fields.items()]
