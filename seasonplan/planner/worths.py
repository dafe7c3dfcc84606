"""What every candidate is worth, and its days on rock: sums over weeks, added up once.

Candidates that begin on the same day as the same thing share their first weeks, so a row of sums
serves them all. Knows no path.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from functools import cached_property
from typing import NamedTuple

from seasonplan.planner.begun import cuts_a_week
from seasonplan.planner.candidates import Candidates, CellPart, Variant
from seasonplan.planner.grid import Cell, Column
from seasonplan.planner.softs import Softs
from seasonplan.planner.weeks import Weeks
from seasonplan.rules.tables import composing
from seasonplan.vocabulary import Emphasis, Kind

PARTS = 1_000_000  # of a point: worth is counted in whole ones, so that two methods agree exactly
CUT_PRICE = composing().new_plan.cut_price


class Amount(NamedTuple):
    """Points of some weeks, their days on rock, and how many of those are good by chance."""

    points: float
    rock_days: int
    good_days: float


NONE = Amount(0.0, 0, 0.0)


class Worths:
    """The worth of candidates, each by itself."""

    def __init__(self, candidates: Candidates, softs: Softs, weeks: Weeks) -> None:
        self._candidates, self._softs, self._weeks = candidates, softs, weeks
        self._grid = candidates.grid
        self._rows: dict[tuple[Kind, Variant, int], list[Amount]] = {}
        self._known: dict[object, Amount] = {}
        self._changes: dict[tuple[Kind, Emphasis, int, float], float] = {}

    def of(self, column: Column, variant: Variant, *, keep: float) -> int:
        """Points in parts: its weeks, less what it bends of soft rules and changes of a plan at
        `keep` a day."""
        total = self.amount(column, variant).points - self._softs.points(column, variant)
        if self._grid.accepted is not None:
            total -= self._change(column, variant.emphasis, keep)
            total += self._weeks.worth_over(column)
            if cuts_a_week(self._grid, self._grid.cells[column.first]):
                total -= CUT_PRICE
        return round(PARTS * total)

    def amount(self, column: Column, variant: Variant) -> Amount:
        """What its weeks hold; weeks that are over are in every year and count as nothing."""
        length = column.last - column.first
        row = self._rows.setdefault((column.kind, variant, column.first), [NONE])
        while len(row) <= length:
            row.append(_and(row[-1], self._week(column, variant, len(row) - 1, last=False)))
        return _and(row[length], self._week(column, variant, length, last=True))

    def rock_days(self, column: Column, variant: Variant) -> Iterator[date]:
        """The days on rock of its weeks that are not over."""
        for cell in self._grid.cells[column.first : column.last + 1]:
            if not self._grid.is_past(cell.span.first):
                role = self._candidates.role(column, cell, variant)
                items = self._weeks.week(cell, column, variant, role).items
                yield from (item.day for item in items if item.role is not None)

    def _week(self, column: Column, variant: Variant, nth: int, *, last: bool) -> Amount:
        """What the week of its cell of that number holds."""
        cell = self._grid.cells[column.first + nth]
        if self._grid.is_past(cell.span.first):
            return NONE
        part = self._candidates.part(column.kind, column.first, variant.light_first, nth)
        test = last and self._weeks.tests(column, cell)
        key = (cell.index, column.kind, variant.emphasis, part.light, part.lead_in, test, nth > 0)
        found = self._known.get(key)
        if found is None:
            found = self._known[key] = self._counted(column, cell, variant, part, last=last)
        return found

    def _counted(
        self, column: Column, cell: Cell, variant: Variant, part: CellPart, *, last: bool
    ) -> Amount:
        role = part.role(last=last)
        week = self._weeks.week(cell, column, variant, role)
        days = {item.day: item.rock for item in week.items if item.role is not None}
        good = sum(self._chance.get(one, 0.0) for one in days.items())
        return Amount(self._weeks.worth(cell, column, variant, role), len(days), good)

    @cached_property
    def _chance(self) -> dict[tuple[date, str | None], float]:
        """The chance of a good day at each season, window or trip that serves a goal."""
        found: dict[tuple[date, str | None], float] = {}
        for chance in self._grid.almanac.opportunities:
            for day, share in chance.chances.items():
                key = (day, chance.spell.entry.id)
                found[key] = max(found.get(key, 0.0), share)
        return found

    def _change(self, column: Column, emphasis: Emphasis, keep: float) -> float:
        """Points that the days it changes of an accepted plan cost."""
        accepted, total = self._grid.accepted, 0.0
        assert accepted is not None
        for cell in self._grid.cells[column.first : column.last + 1]:
            key = (column.kind, emphasis, cell.index, keep)
            if key not in self._changes:
                self._changes[key] = accepted.cost_of(column.kind, emphasis, cell.span, keep=keep)
            total += self._changes[key]
        return total


def _and(one: Amount, other: Amount) -> Amount:
    return Amount(one[0] + other[0], one[1] + other[1], one[2] + other[2])
