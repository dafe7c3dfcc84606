"""What every candidate is worth, and its days on rock: sums over weeks, added up once.

Candidates that begin on the same day as the same thing share their first weeks, so a row of sums
serves them all. Knows no path.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from seasonplan.planner.begun import cuts_a_week
from seasonplan.planner.candidates import Candidates, Variant
from seasonplan.planner.grid import Cell, Column
from seasonplan.planner.softs import Softs
from seasonplan.planner.values import NONE, PARTS, Amount, together
from seasonplan.planner.weeks import Weeks
from seasonplan.rules.tables import composing
from seasonplan.vocabulary import Emphasis, Kind

CUT_PRICE = composing().new_plan.cut_price


class Worths:
    """The worth of candidates, each by itself."""

    def __init__(self, candidates: Candidates, softs: Softs, weeks: Weeks) -> None:
        self._candidates, self._softs, self._weeks = candidates, softs, weeks
        self._grid = candidates.grid
        self._rows: dict[tuple[Kind, Variant, int], list[Amount]] = {}
        self._changes: dict[tuple[Kind, Emphasis, int], float] = {}

    def of(self, column: Column, variant: Variant, *, keep: float) -> int:
        """Points in parts: its weeks, less what it bends of soft rules and changes of a plan at
        `keep` a day."""
        total = self.amount(column, variant).points - self._softs.points(column, variant)
        if self._grid.accepted is not None:
            total -= keep * self._changed(column, variant.emphasis)
            total += self._weeks.worth_over(column.last)
            if cuts_a_week(self._grid, self._grid.cells[column.first]):
                total -= CUT_PRICE
        return round(PARTS * total)

    def amount(self, column: Column, variant: Variant) -> Amount:
        """What its weeks hold; weeks that are over are in every year and count as nothing."""
        cells = self._grid.cells[column.first : column.last + 1]
        row = self._rows.setdefault((column.kind, variant, column.first), [NONE])
        for cell in cells[len(row) - 1 : -1]:
            row.append(together(row[-1], self._week(cell, column, variant)))
        return together(row[len(cells) - 1], self._week(cells[-1], column, variant))

    def _week(self, cell: Cell, column: Column, variant: Variant) -> Amount:
        if self._grid.is_past(cell.span.first):
            return NONE
        return self._weeks.amount(cell, self._candidates.role(column, cell, variant))

    def rock_days(self, column: Column, variant: Variant) -> Iterator[date]:
        """The days on rock of its weeks that are not over."""
        for cell, role in self._candidates.roles(column, variant):
            if not self._grid.is_past(cell.span.first):
                items = self._weeks.week(cell, role).items
                yield from (item.day for item in items if item.role is not None)

    def _changed(self, column: Column, emphasis: Emphasis) -> float:
        """The days it changes of an accepted plan, the further ahead the less."""
        accepted, total = self._grid.accepted, 0.0
        assert accepted is not None
        for cell in self._grid.cells[column.first : column.last + 1]:
            key = (column.kind, emphasis, cell.index)
            if key not in self._changes:
                self._changes[key] = accepted.changed(column.kind, emphasis, cell.span)
            total += self._changes[key]
        return total
