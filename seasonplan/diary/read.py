"""The text of `diary.csv` to entries, with every fault by line and column. Touches no disk.

The header is the schema: columns are found by their names, in any order and any case; columns we
do not know are left alone. What an older seasonplan wrote has fewer columns and reads the same;
a column that was renamed is named in `RENAMED`.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from difflib import get_close_matches
from typing import Any

from pydantic import ValidationError

from seasonplan.diary.entry import COLUMNS, REQUIRED, TEXT_COLUMNS, DiaryEntry, Did, lacking
from seasonplan.diary.table import CsvText, Row, read_table
from seasonplan.errors import BadInput, Fault
from seasonplan.year.refusal import shown
from seasonplan.year.told import wanted

RENAMED: dict[str, str] = {}  # older name of a column to the one of today; none so far
# A cell that a spreadsheet would run as a formula is written with an apostrophe before it.
_GUARDED = re.compile(r"'+[=+\-@\t\r]")


def parse(text: str, *, file: str) -> tuple[DiaryEntry, ...]:
    """The entries of a diary, in the order of the file. Raises BadInput with every fault."""
    table = read_table(text, file=file)
    if table.header is None:
        return ()
    found = list(_header_faults(table, file=file))
    if found:
        raise BadInput(found)
    places = places_of(table)
    entries = []
    for row in table.rows:
        entry, faults = entry_of(cells_of(row, places), line=row.line, file=file)
        found += [*faults, *_homeless(row, table, file=file)]
        if entry is not None:
            entries.append(entry)
    if found:
        raise BadInput(found)
    return tuple(entries)


def places_of(table: CsvText) -> dict[str, int]:
    """Where in a row each of our columns stands."""
    names = [RENAMED.get(name.lower(), name.lower()) for name in table.names]
    return {name: names.index(name) for name in COLUMNS if name in names}


def cells_of(row: Row, places: Mapping[str, int]) -> dict[str, str]:
    """The cells of a row that hold something, by column."""
    cells = {
        name: row.cells[place].strip() for name, place in places.items() if place < len(row.cells)
    }
    return {
        name: bare(cell) if name in TEXT_COLUMNS else cell for name, cell in cells.items() if cell
    }


def bare(cell: str) -> str:
    """A text cell without the apostrophe that guards it."""
    return cell[1:] if _GUARDED.match(cell) else cell


def entry_of(
    cells: Mapping[str, Any], *, line: int, file: str
) -> tuple[DiaryEntry | None, list[Fault]]:
    """The entry that the filled cells of one row make, or every fault of the row."""
    faults: dict[str, Fault] = {}
    try:
        return DiaryEntry(**cells), []
    except ValidationError as error:
        for one in error.errors():
            column = str(one["loc"][0] if one["loc"] else one["ctx"]["column"])
            faults[column] = _told(one, column, line=line, file=file)
    for column in _lacking(cells):
        # the model names the first of these only, and none beside faults in single cells
        faults[column] = Fault(
            file, column, line, "nothing", f"a value for a {cells['kind']} row", "Fill the cell."
        )
    return None, list(faults.values())


def _lacking(cells: Mapping[str, Any]) -> list[str]:
    kind = str(cells.get("kind", "")).strip().lower()
    return lacking(Did(kind), cells) if kind in list(Did) else []


def _told(error: Any, column: str, *, line: int, file: str) -> Fault:
    if error["type"] == "refused":
        context = error["ctx"]
        return Fault(file, column, line, context["found"], context["wanted"], context["do"])
    if error["type"] == "missing":
        return Fault(file, column, line, "nothing", f"a {column}", "Fill the cell.")
    return Fault(file, column, line, shown(error["input"]), wanted(error), "Correct the cell.")


def _header_faults(table: CsvText, *, file: str) -> Iterator[Fault]:
    assert table.header is not None
    names = [RENAMED.get(name.lower(), name.lower()) for name in table.names]
    for name in COLUMNS:
        if names.count(name) > 1:
            yield Fault(
                file, name, table.header.line, f"{names.count(name)} columns of that name", "one",
                "Rename or remove the others.",
            )  # fmt: skip
    for name in REQUIRED:
        if name not in names:
            near = get_close_matches(name, [other for other in names if other not in COLUMNS], 1)
            yield Fault(
                file, name, table.header.line, "no such column", f"a column {name}",
                f"Rename {near[0]!r} to {name}." if near else
                "The first row holds the names of the columns; add it.",
            )  # fmt: skip


def _homeless(row: Row, table: CsvText, *, file: str) -> Iterator[Fault]:
    """Cells beyond the last heading: most often a comma in a note without quotation marks."""
    beyond = [cell for cell in row.cells[len(table.names) :] if cell.strip()]
    if beyond:
        yield Fault(
            file, "", row.line, f"{len(row.cells)} cells", f"at most {len(table.names)}",
            'Put a text that holds the separator in quotation marks: "so, like this".',
        )  # fmt: skip
