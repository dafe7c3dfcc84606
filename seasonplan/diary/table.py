"""CSV text to rows, each with the line it begins on. Knows nothing of what the columns mean.

Whatever a spreadsheet leaves behind is taken as it is: a byte order mark, commas, semicolons or
tabs, any line ends, rows that are shorter than the header.
"""

from __future__ import annotations

import csv
from collections.abc import Iterator
from dataclasses import dataclass
from io import StringIO

from seasonplan.errors import BadInput, Fault

BYTE_ORDER_MARK = "\ufeff"
DELIMITERS = (",", ";", "\t")


@dataclass(frozen=True, slots=True)
class Row:
    """The cells of one row, and the line of the file it begins on."""

    line: int
    cells: tuple[str, ...]

    @property
    def empty(self) -> bool:
        return not any(cell.strip() for cell in self.cells)


@dataclass(frozen=True, slots=True)
class CsvText:
    """A table as read. `header_end` is where in the text the header ends, before its line end."""

    delimiter: str
    line_end: str
    header: Row | None
    header_end: int
    rows: tuple[Row, ...]

    @property
    def names(self) -> tuple[str, ...]:
        """The headings, trimmed."""
        return () if self.header is None else tuple(cell.strip() for cell in self.header.cells)


def read_table(text: str, *, file: str) -> CsvText:
    """The table in a CSV text. Raises BadInput where a quotation mark is left open."""
    bare = text.removeprefix(BYTE_ORDER_MARK)
    lines = list(StringIO(bare, newline=""))
    delimiter = _delimiter(bare, file=file)
    rows = [row for row in _rows(bare, delimiter, file=file) if not row.empty]
    if not rows:
        return CsvText(delimiter, "\n", None, len(text), ())
    head = lines[: _last_line(bare, delimiter, rows[0], file=file)]
    ending = "".join(head)
    body = ending.rstrip("\r\n")
    return CsvText(
        delimiter,
        ending[len(body) :] or "\n",
        rows[0],
        len(text) - len(bare) + len(body),
        tuple(rows[1:]),
    )


def _delimiter(text: str, *, file: str) -> str:
    """The one that cuts the header into most cells; a comma if none does."""

    def cells(delimiter: str) -> int:
        try:
            rows = (row for row in _rows(text, delimiter, file=file) if not row.empty)
            return len(next(rows, Row(0, ())).cells)
        except BadInput:
            return 0

    return max(DELIMITERS, key=cells)


def _rows(text: str, delimiter: str, *, file: str) -> Iterator[Row]:
    reader = csv.reader(StringIO(text, newline=""), delimiter=delimiter, strict=True)
    while True:
        line = reader.line_num + 1
        try:
            cells = next(reader, None)
        except csv.Error as error:
            raise BadInput([_broken(file, line, error)]) from None
        if cells is None:
            return
        yield Row(line, tuple(cells))


def _last_line(text: str, delimiter: str, wanted: Row, *, file: str) -> int:
    """The line on which a row ends."""
    lines = (row.line for row in _rows(text, delimiter, file=file))
    after = next((line for line in lines if line > wanted.line), None)
    return after - 1 if after is not None else len(list(StringIO(text, newline="")))


def _broken(file: str, line: int, error: csv.Error) -> Fault:
    return Fault(
        file, "", line, f"a row that is not CSV ({error})",
        "cells between commas, quotation marks in pairs", "Correct the quotation marks.",
    )  # fmt: skip
