"""Candidate blocks: every kind on every run of free cells that the rules on one block allow."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

from seasonplan.days import Span
from seasonplan.plan import Week
from seasonplan.planner import limits
from seasonplan.planner.dose import TRAINED_IN_WAVES, Doses
from seasonplan.planner.grid import Cell, Grid
from seasonplan.rules import RuleBook
from seasonplan.vocabulary import CHOSEN, Kind, Phase
from seasonplan.year import Pin

COUNTED_DAYS = 4  # a first calendar week with fewer days is not counted as a week of the block


@dataclass(frozen=True, slots=True)
class Column:
    """A block that could be chosen: `kind` from cell `first` to cell `last`, both inside."""

    kind: Kind
    first: int
    last: int
    span: Span

    @property
    def days(self) -> int:
        return self.span.length


@dataclass(frozen=True, slots=True)
class Ban:
    """A what-if: no block of `kind` on any day of `span`."""

    kind: Kind
    span: Span

    def hits(self, column: Column) -> bool:
        return column.kind is self.kind and column.span.meet(self.span) is not None


class Columns:
    """All candidates of a grid under a rule book, with the weeks inside each."""

    def __init__(self, grid: Grid, book: RuleBook, *, ban: Ban | None = None) -> None:
        self.grid = grid
        self.book = book
        self._ban = ban
        self._doses = Doses(grid.almanac, book)
        self._weeks: dict[tuple[Kind, int, int, bool, bool], Week] = {}
        self._inside: dict[tuple[Kind, int, int], tuple[Week, ...]] = {}

    @cached_property
    def all(self) -> tuple[Column, ...]:
        """Every candidate, in a fixed order."""
        return tuple(self._enumerate())

    def _enumerate(self) -> Iterator[Column]:
        pins = [pin for pin in self.grid.almanac.year.pins if not self.grid.is_past(pin.last)]
        for low, high in self.grid.segments:
            for first in range(low, high + 1):
                for last in range(first, high + 1):
                    span = self.grid.span(first, last)
                    for kind in CHOSEN:
                        column = Column(kind, first, last, span)
                        if self._open(column, pins):
                            yield column

    def _open(self, column: Column, pins: Sequence[Pin]) -> bool:
        return (
            not (self._ban and self._ban.hits(column))
            and limits.keeps_pins(column, pins)
            and limits.allowed(column, self.grid, self.book)
        )

    # --- what is inside ---------------------------------------------------------------------

    def weeks(self, column: Column) -> tuple[Week, ...]:
        """The weeks of a candidate block, one for each of its cells."""
        key = column.kind, column.first, column.last
        if key not in self._inside:
            layoff = self._after_layoff(column.first)
            self._inside[key] = tuple(
                self._week(column, cell, after_layoff=layoff)
                for cell in self.grid.cells[column.first : column.last + 1]
            )
        return self._inside[key]

    def _week(self, column: Column, cell: Cell, *, after_layoff: bool) -> Week:
        nth = self._nth(column.first, cell)
        lead_in = column.kind is Kind.PERFORMANCE and not cell.rock
        key = (column.kind, cell.index, nth, lead_in, after_layoff)
        if key not in self._weeks:
            self._weeks[key] = self._doses.week(
                column.kind, cell.span, nth=nth, lead_in=lead_in, after_layoff=after_layoff
            )
        return self._weeks[key]

    def _nth(self, first: int, cell: Cell) -> int:
        """Number of the calendar week inside the block, from 0."""
        start = self.grid.cells[first]
        begins = start.week + (self._days_left(start) < COUNTED_DAYS)
        return max(0, cell.week - begins)

    def heavy_since_light(self, column: Column) -> bool:
        """Whether whole weeks of waves stand behind the last light one."""
        if self.book.active("deload") is None or column.kind not in TRAINED_IN_WAVES:
            return False
        days: dict[int, int] = {}
        light: dict[int, bool] = {}
        for cell, week in zip(
            self.grid.cells[column.first : column.last + 1], self.weeks(column), strict=True
        ):
            days[cell.week] = days.get(cell.week, 0) + cell.span.length
            light[cell.week] = week.deload
        counted = [week for week, length in days.items() if length >= COUNTED_DAYS]
        return bool(counted) and not light[counted[-1]]

    def _days_left(self, start: Cell) -> int:
        """Days of its calendar week from the start of a cell on."""
        offset = (start.span.first.weekday() - self.grid.almanac.week_begins) % 7
        return 7 - offset

    def _after_layoff(self, first: int) -> bool:
        rule = self.book.active("build-back")
        return rule is not None and limits.is_layoff(self.grid.gap_before(first), rule)

    @cached_property
    def given_weeks(self) -> dict[int, Week]:
        """The week of every given cell."""
        return {
            cell.index: self._doses.week(
                cell.given.kind, cell.span, phase=cell.given.phase, nth=self._given_nth(cell)
            )
            for cell in self.grid.cells
            if cell.given is not None
        }

    def _given_nth(self, cell: Cell) -> int:
        assert cell.given is not None
        phase = cell.given.phase
        return (
            0 if phase in (None, Phase.OFF) else (cell.span.first - cell.given.span.first).days // 7
        )
