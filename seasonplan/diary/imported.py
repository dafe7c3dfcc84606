"""Somebody else's CSV table to diary entries, with a word for every row that could not be taken.

Owns the form the climber declares: columns, units and forms of dates. Touches no disk.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any, Literal

from pydantic import Field
from pydantic_core import PydanticCustomError

from seasonplan.diary.entry import COLUMNS, REQUIRED, DiaryEntry, Did, minutes_of, number_of
from seasonplan.diary.read import bare, entry_of
from seasonplan.diary.table import CsvText, Row, read_table
from seasonplan.errors import BadInput, Fault, did_you_mean
from seasonplan.vocabulary import FrozenModel
from seasonplan.year.refusal import refuse, shown

ISO = "YYYY-MM-DD"
_TOKENS = {
    "YYYY": r"(?P<year>\d{4})", "MM": r"(?P<month>\d{1,2})", "DD": r"(?P<day>\d{1,2})",
    "hh": r"(?P<hour>\d{1,2})", "mm": r"(?P<minute>\d\d)",
}  # fmt: skip
_HOURS = re.compile(r"(\d{1,2}):(\d\d)(?::\d\d)?")


class Form(FrozenModel):
    """How a table is to be read: our column to their heading, and what no column says.

    `same` holds what is the same in all rows, such as kind = "done" or unit = "lb". A form of
    dates is made of YYYY, MM, DD and, where the time stands beside it, hh and mm.
    """

    columns: dict[str, str]
    same: dict[str, str] = Field(default_factory=dict)
    dates: str = ISO
    time_unit: Literal["min", "h"] = "min"


@dataclass(frozen=True, slots=True)
class Imported:
    """What was taken, in the order of the file; a fault for each row that was not.

    `known` counts rows that are in the diary already.
    """

    entries: tuple[DiaryEntry, ...]
    skipped: tuple[Fault, ...]
    known: int


def import_csv(text: str, form: Form, *, file: str, diary: Collection[DiaryEntry] = ()) -> Imported:
    """The entries in a table of another program; those in `diary` are not taken again.

    Raises BadInput, with every fault, where the form does not fit the table at all.
    """
    table = read_table(text, file=file)
    found = list(_misfits(form, table, file=file))
    if found:
        raise BadInput(found)
    places = {column: table.names.index(theirs) for column, theirs in form.columns.items()}
    taken: list[DiaryEntry] = []
    skipped: list[Fault] = []
    known = 0
    there = Counter(diary)
    for row in table.rows:
        entry, faults = _one(row, places, form, file=file)
        skipped += faults
        if entry is not None and there[entry]:
            there[entry] -= 1
            known += 1
        elif entry is not None:
            taken.append(entry)
    return Imported(tuple(taken), tuple(skipped), known)


def _one(
    row: Row, places: Mapping[str, int], form: Form, *, file: str
) -> tuple[DiaryEntry | None, list[Fault]]:
    """One row as an entry, or every fault in it."""
    theirs = {
        column: bare(row.cells[place].strip())
        for column, place in places.items()
        if place < len(row.cells) and row.cells[place].strip()
    }
    faults: list[Fault] = []
    cells: dict[str, Any] = {**form.same, **theirs}
    for column, cell in theirs.items():
        try:
            cells |= _ours(column, cell, form)
        except PydanticCustomError as error:
            told = error.context or {}
            faults.append(Fault(file, column, row.line, told["found"], told["wanted"], told["do"]))
    entry, more = entry_of(cells, line=row.line, file=file)
    named = {fault.key for fault in faults}
    faults += [fault for fault in more if fault.key not in named]
    return (None, faults) if faults else (entry, [])


def _ours(column: str, cell: str, form: Form) -> dict[str, Any]:
    """One of their cells in our units. Raises a refusal."""
    if column == "date":
        return _day_and_time(cell, form.dates)
    if column == "minutes":
        return {column: _minutes(cell, form.time_unit)}
    if column == "value" and "unit" not in form.columns:
        return _value_and_unit(cell, form.same)
    return {column: cell}


def _day_and_time(cell: str, dates: str) -> dict[str, Any]:
    match = _pattern(dates).fullmatch(cell)
    if match is None:
        raise refuse(
            found=shown(cell), wanted=f"a date as {dates}", do="Name the form the dates have."
        )
    held = match.groupdict()
    try:
        day = date(*(int(held[part]) for part in ("year", "month", "day")))
    except ValueError:
        raise refuse(found=shown(cell), wanted="a date that exists", do="Correct it.") from None
    if held.get("hour") is None:
        return {"date": day}
    return {"date": day, "time": f"{held['hour']}:{held.get('minute') or '00'}"}


def _pattern(dates: str) -> re.Pattern[str]:
    """A form of dates as a pattern; everything between the tokens stands for itself."""
    parts = re.split("(" + "|".join(_TOKENS) + ")", dates)
    return re.compile("".join(_TOKENS.get(part, re.escape(part)) for part in parts))


def _minutes(cell: str, unit: str) -> int:
    """Minutes from a number of `unit`, from 1:30 (hours and minutes), or from "1h30"."""
    clock = _HOURS.fullmatch(cell)
    if clock is not None:
        return minutes_of(60 * int(clock[1]) + int(clock[2]))
    return minutes_of(60 * number_of(cell) if unit == "h" and _is_number(cell) else cell)


def _is_number(cell: str) -> bool:
    try:
        number_of(cell)
    except PydanticCustomError:
        return False
    return True


def _value_and_unit(cell: str, same: Mapping[str, str]) -> dict[str, Any]:
    """A value that carries its unit, such as "157 lb"; the unit for all rows must not differ."""
    match = re.fullmatch(r"(\S+?)\s*(kg|lbs?)", cell, flags=re.IGNORECASE)
    if match is None:
        return {"value": cell}
    unit = "lb" if match[2].lower().startswith("lb") else "kg"
    if same.get("unit", unit) != unit:
        raise refuse(
            found=shown(cell),
            wanted=f"values in {same['unit']}",
            do="Leave the unit out or name it.",
        )
    return {"value": match[1], "unit": unit}


def _misfits(form: Form, table: CsvText, *, file: str) -> Iterator[Fault]:
    """Headings the table has not, columns the diary has not, and dates no form can hold."""
    line = table.header.line if table.header else None
    names = ", ".join(filter(None, table.names)) or "no headings"
    for column in (*form.columns, *form.same):
        if column not in COLUMNS:
            yield Fault(
                file, column, None, f"no such column {column!r} in a diary", ", ".join(COLUMNS),
                _near(column, COLUMNS),
            )  # fmt: skip
    for column, theirs in form.columns.items():
        if theirs not in table.names:
            yield Fault(
                file, column, line, f"no heading {theirs!r}", f"one of {names}",
                _near(theirs, table.names),
            )  # fmt: skip
    for column in REQUIRED:
        if column not in form.columns and column not in form.same:
            yield Fault(
                file, column, line, f"nothing that says the {column}", f"one of {names}",
                f"Say which heading holds the {column}"
                + (", or one kind for all rows." if column == "kind" else "."),
            )  # fmt: skip
    kind = form.same.get("kind", Did.NOTE)
    if kind not in list(Did):
        yield Fault(
            file, "kind", None, f"the kind {kind!r}", ", ".join(Did), _near(kind, list(Did))
        )
    if any(form.dates.count(token) != 1 for token in ("YYYY", "MM", "DD")):
        yield Fault(
            file, "date", None, f"dates as {form.dates!r}", "YYYY, MM and DD once each",
            "Write for example DD.MM.YYYY.",
        )  # fmt: skip


def _near(name: str, names: Collection[str]) -> str:
    return did_you_mean(name, names, otherwise="Correct the name.", quoted=True)
