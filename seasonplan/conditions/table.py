"""The text of a CSV file as rows with their lines. Knows no weather.

Comma, semicolon, tab or blanks divide the cells, whichever the header has; lines that begin
with # are comments.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import islice

from seasonplan.conditions.complaints import Complaints
from seasonplan.errors import BadInput, Fault, did_you_mean

Row = tuple[int, tuple[str, ...]]  # its line in the file, and its cells
DO_EXPORT = "Export the records as CSV with a line of column names."


@dataclass(frozen=True, slots=True)
class CsvTable:
    """Column names, and the rows of a file, read anew from its bytes each time they are asked for.

    A long record as a list of rows would take a gigabyte.
    """

    file: str
    content: bytes
    header: tuple[str, ...]
    head_line: int
    mark: str | None  # between cells; None is a run of blanks

    @property
    def decimal_comma(self) -> bool:
        return self.mark != ","

    def rows(self) -> Iterator[Row]:
        """The rows below the header, each with its line in the file. Raises BadInput."""
        return islice(_rows(self.content, self.head_line, self.mark, file=self.file), 1, None)

    def column(self, name: str) -> int | None:
        """The place of a column; capitals and blanks around it do not matter."""
        names = [_plain(each) for each in self.header]
        return names.index(_plain(name)) if _plain(name) in names else None


def read_table(content: bytes, *, file: str) -> CsvTable:
    """The table in the bytes of a CSV file. Raises BadInput where it has no header or no row."""
    _refuse_other_text(content, file=file)
    lines = enumerate(_lines(content), 1)
    head_line, head = next(((n, line) for n, line in lines if _counts(line)), (0, ""))
    if not head:
        raise BadInput([Fault(file, "", None, "an empty file", "weather records", DO_EXPORT)])
    mark = _divider(head)
    first = list(islice(_rows(content, head_line, mark, file=file), 2))
    if len(first) < 2:
        found = "column names and no row"
        raise BadInput([Fault(file, "", head_line, found, "weather records", DO_EXPORT)])
    return CsvTable(file, content, first[0][1], head_line, mark)


def _refuse_other_text(content: bytes, *, file: str) -> None:
    try:
        content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = content[: error.start].count(b"\n") + 1
        raise BadInput(
            [Fault(file, "", line, "bytes that are not UTF-8", "UTF-8 text", "Save it as UTF-8.")]
        ) from None


def _lines(content: bytes) -> Iterator[str]:
    """The lines of a text, one at a time."""
    text = io.TextIOWrapper(io.BytesIO(content), encoding="utf-8-sig", newline=None)
    return (line.rstrip("\n") for line in text)


def columns_of(
    table: CsvTable, wanted: Sequence[str], *, complaints: Complaints, key: str
) -> dict[str, int]:
    """The places of the columns that exist; the others are complained of."""
    places: dict[str, int] = {}
    for name in wanted:
        place = table.column(name)
        if place is not None:
            places[name] = place
            continue
        complaints.add(
            key, None,
            found=f"no column {name!r}",
            wanted=f"one of {', '.join(table.header)}",
            do=did_you_mean(
                name, table.header, otherwise="Correct the name in year.toml.", quoted=True
            ),
        )  # fmt: skip
    return places


def _plain(name: str) -> str:
    return " ".join(name.split()).casefold()


def _counts(line: str) -> bool:
    return bool(line.strip()) and not line.lstrip().startswith("#")


def _divider(header: str) -> str | None:
    """The mark between cells; None is a run of blanks."""
    marks = [mark for mark in ("\t", ";", ",") if mark in header]
    return max(marks, key=header.count) if marks else None


def _rows(content: bytes, head_line: int, mark: str | None, *, file: str) -> Iterator[Row]:
    """The header and the rows below it."""
    lines = islice(_lines(content), head_line - 1, None)
    if mark is None:
        for number, line in enumerate(lines, head_line):
            if _counts(line):
                yield number, tuple(line.split())
        return
    reader = csv.reader(lines, delimiter=mark)
    try:
        for row in reader:
            cells = tuple(cell.strip() for cell in row)
            if any(cells) and not cells[0].startswith("#"):
                yield head_line - 1 + reader.line_num, cells
    except csv.Error as error:
        found = f"text that is not CSV ({error})"
        raise BadInput([Fault(file, "", None, found, "CSV", DO_EXPORT)]) from None
