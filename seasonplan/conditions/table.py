"""The text of a CSV file as rows with their lines. Knows no weather.

Comma, semicolon, tab or blanks divide the cells, whichever the header has; lines that begin
with # are comments.
"""

from __future__ import annotations

import csv
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from seasonplan.conditions.complaints import Complaints
from seasonplan.errors import BadInput, Fault, did_you_mean

DO_EXPORT = "Export the records as CSV with a line of column names."


@dataclass(frozen=True, slots=True)
class Table:
    """Column names and rows; each row begins with its line in the file."""

    header: tuple[str, ...]
    rows: tuple[tuple[int, tuple[str, ...]], ...]
    decimal_comma: bool

    def column(self, name: str) -> int | None:
        """The place of a column; capitals and blanks around it do not matter."""
        names = [_plain(each) for each in self.header]
        return names.index(_plain(name)) if _plain(name) in names else None


def decoded(content: bytes, *, file: str) -> str:
    """Bytes as UTF-8 text. Raises BadInput."""
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = content[: error.start].count(b"\n") + 1
        raise BadInput(
            [Fault(file, "", line, "bytes that are not UTF-8", "UTF-8 text", "Save it as UTF-8.")]
        ) from None


def read_table(text: str, *, file: str) -> Table:
    """Header and rows of a CSV text. Raises BadInput where there is no header or no row."""
    lines = text.splitlines()
    begin = next((n for n, line in enumerate(lines) if _counts(line)), None)
    if begin is None:
        raise BadInput([Fault(file, "", None, "an empty file", "weather records", DO_EXPORT)])
    mark = _divider(lines[begin])
    try:
        rows = list(_rows(lines, begin, mark))
    except csv.Error as error:
        found = f"text that is not CSV ({error})"
        raise BadInput([Fault(file, "", None, found, "CSV", DO_EXPORT)]) from None
    (_, header), *body = rows
    if not body:
        found = "column names and no row"
        raise BadInput([Fault(file, "", begin + 1, found, "weather records", DO_EXPORT)])
    return Table(header, tuple(body), decimal_comma=mark != ",")


def columns_of(
    table: Table, wanted: Sequence[str], *, complaints: Complaints, key: str
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


def _rows(
    lines: Sequence[str], begin: int, mark: str | None
) -> Iterator[tuple[int, tuple[str, ...]]]:
    if mark is None:
        for number, line in enumerate(lines[begin:], begin + 1):
            if _counts(line):
                yield number, tuple(line.split())
        return
    reader = csv.reader(lines[begin:], delimiter=mark)
    for cells in reader:
        cells = [cell.strip() for cell in cells]
        if any(cells) and not cells[0].startswith("#"):
            yield begin + reader.line_num, tuple(cells)
