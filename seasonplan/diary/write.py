"""A new row at the end of a diary; every byte that is there stays. Touches no disk."""

from __future__ import annotations

import re
from collections.abc import Iterable
from decimal import Decimal

from seasonplan.diary.entry import COLUMNS, NUMBER_COLUMNS, TEXT_COLUMNS, DiaryEntry
from seasonplan.diary.read import cells_of, parse, places_of
from seasonplan.diary.table import CsvText, read_table
from seasonplan.vocabulary import Side

# What a spreadsheet takes for a formula (OWASP, "CSV Injection"; from memory), guarded or not.
_FORMULA = re.compile(r"'*[=+\-@\t\r]")
_COMMA_NUMBER = re.compile(r"-?\d+,\d+")
FILE = "diary.csv"


def append(text: str, entry: DiaryEntry) -> str:
    """`text` with one more row at its end, written as its other rows are.

    An empty text gets a header. A column that the entry needs and the header lacks is added at
    the header's end, the only change to what is there. Raises BadInput for a text that `parse`
    refuses, so that nothing is written into a broken file.
    """
    return append_all(text, [entry])


def append_all(text: str, entries: Iterable[DiaryEntry]) -> str:
    """`text` with more rows at its end, as `append` adds one."""
    parse(text, file=FILE)
    if read_table(text, file=FILE).header is None:
        text += ",".join(COLUMNS) + "\n"
    rows = [written(entry) for entry in entries]
    known = places_of(read_table(text, file=FILE))
    text = _with_columns(text, [c for c in COLUMNS if c not in known and any(c in r for r in rows)])
    table = read_table(text, file=FILE)
    commas = _writes_commas(table)
    lines = [_line(_placed(cells, table, commas=commas), table) for cells in rows]
    return "".join([_closed(text, table.line_end) if lines else text, *lines])


def _placed(cells: dict[str, str], table: CsvText, *, commas: bool) -> list[str]:
    """A row of the table with each cell under its heading."""
    places = places_of(table)
    row = [""] * len(table.names)
    for name, cell in cells.items():
        row[places[name]] = _with_comma(cell) if commas and name in NUMBER_COLUMNS else cell
    return row


def _with_comma(number: str) -> str:
    """A number with a comma; three decimals get a zero, or they would read as thousands."""
    whole, _, decimals = number.partition(".")
    return f"{whole},{decimals}0" if len(decimals) == 3 else number.replace(".", ",")


def written(entry: DiaryEntry) -> dict[str, str]:
    """The filled cells of an entry, by column; texts guarded against being run as formulas."""
    cells = {}
    for name in COLUMNS:
        value = getattr(entry, name)
        if value in (None, "") or value is Side.NONE:
            continue
        cells[name] = f"{value:%H:%M}" if name == "time" else _plain(value)
        if name in TEXT_COLUMNS:
            cells[name] = guarded(cells[name])
    return cells


def guarded(cell: str) -> str:
    """A text cell that no spreadsheet runs: an apostrophe before what looks like a formula."""
    return f"'{cell}" if _FORMULA.match(cell) else cell


def _plain(value: object) -> str:
    """A value as `parse` reads it; numbers without an exponent and without a needless ".0"."""
    if not isinstance(value, float):
        return str(value)
    return f"{Decimal(repr(value)):f}".removesuffix(".0")


def _with_columns(text: str, names: list[str]) -> str:
    if not names:
        return text
    table = read_table(text, file=FILE)
    more = "".join(table.delimiter + name for name in names)
    return text[: table.header_end] + more + text[table.header_end :]


def _writes_commas(table: CsvText) -> bool:
    """Whether the numbers of the file have commas before their decimals."""
    if table.delimiter == ",":
        return False
    places = places_of(table)
    cells = (cells_of(row, places) for row in table.rows)
    return any(
        _COMMA_NUMBER.fullmatch(row.get(name, "")) for row in cells for name in NUMBER_COLUMNS
    )


def _closed(text: str, line_end: str) -> str:
    return text if text.endswith(("\n", "\r")) else text + line_end


def _line(row: list[str], table: CsvText) -> str:
    return table.delimiter.join(_quoted(cell, table.delimiter) for cell in row) + table.line_end


def _quoted(cell: str, delimiter: str) -> str:
    """A cell in quotation marks where it needs them; csv.writer forgets a lone carriage return."""
    if not any(sign in cell for sign in (delimiter, '"', "\r", "\n")):
        return cell
    doubled = cell.replace('"', '""')
    return f'"{doubled}"'
