"""A CSV file of records while it is read: its rows, its mapping, what was found wrong.

Knows rows, cells and stamps; not what weather they make.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from typing import TypeVar

from seasonplan.conditions.cells import Cells
from seasonplan.conditions.complaints import Complaints
from seasonplan.conditions.settings import reading
from seasonplan.conditions.table import CsvTable, Row, columns_of
from seasonplan.year.place import Records

DO_DATE = 'Correct it, or say how dates are written: date_form = "%d.%m.%Y".'
DO_YEAR = "Correct it, or remove the row: some exports write it where they know no date."
Stamp = TypeVar("Stamp", bound=date)  # a day, or an instant


@dataclass(slots=True)
class RecordSheet:
    """A file while it is read: its rows, its mapping, what was found wrong."""

    table: CsvTable
    how: Records
    places: dict[str, int]
    cells: Cells
    complaints: Complaints
    twice: int = 0

    @classmethod
    def of(cls, table: CsvTable, how: Records, complaints: Complaints) -> RecordSheet:
        columns = how.columns
        stamp = columns.day or columns.time or ()
        wanted = [*stamp, *columns.measured.values(), *how.only]
        places = columns_of(table, wanted, complaints=complaints, key="records.columns")
        complaints.settle()  # without its columns nothing more can be said of a file
        cells = Cells(
            how.units, missing=how.missing, decimal_comma=table.decimal_comma,
            complaints=complaints,
        )  # fmt: skip
        return cls(table, how, places, cells, complaints)

    def rows(self) -> Iterator[Row]:
        """The rows of the station asked for, none cut short."""
        needed = max(self.places.values()) + 1
        for line, cells in self.table.rows():
            if len(cells) < needed:
                self.complaints.add(
                    "", line, found=f"{len(cells)} cells", wanted=f"at least {needed}",
                    do="Complete or remove the row.",
                )  # fmt: skip
            elif all(cells[self.places[name]] == value for name, value in self.how.only.items()):
                yield line, cells

    def values(self, row: Row) -> dict[str, float | None]:
        line, cells = row
        return {
            measure: self.cells.number(cells[self.places[name]], measure, column=name, line=line)
            for measure, name in self.how.columns.measured.items()
        }

    def stamp(
        self, row: Row, names: Sequence[str], read: Callable[[Sequence[str], str | None], Stamp]
    ) -> Stamp | None:
        """The day or time of a row, or None where it cannot be read."""
        line, cells = row
        parts = [cells[self.places[name]] for name in names]
        wanted, do = "a date such as 2026-09-20, for hours 2026-09-20 14:00", DO_DATE
        try:
            found = read(parts, self.how.date_form)
        except (ValueError, OverflowError):  # a year of 30 digits is no ValueError
            if self.how.date_form:
                wanted = f"the form {self.how.date_form}"
        else:
            first, last = reading().years
            if first <= found.year <= last:
                return found
            wanted, do = f"a day of the years {first} to {last}", DO_YEAR
        self.complaints.add(
            ", ".join(names), line, found=repr(" ".join(parts)), wanted=wanted, do=do
        )
        return None

    def is_new(
        self, key: Stamp, seen: dict[Stamp, tuple[int, object]], row: Row, value: object
    ) -> bool:
        """Whether a day or hour comes for the first time; other values for it are a fault."""
        line = row[0]
        if key not in seen:
            seen[key] = line, value
            return True
        before, old = seen[key]
        if old == value:
            self.twice += 1
        else:
            self.second_time(str(key), line=line, first=before)
        return False

    def second_time(self, when: str, *, line: int, first: int) -> None:
        """Complain of a day or hour that comes again with other values."""
        self.complaints.add(
            "", line, found=f"{when} a second time with other values (first on line {first})",
            wanted="each day or hour once",
            do='Keep one station with only = { column = "name" }, or remove the row.',
        )  # fmt: skip
