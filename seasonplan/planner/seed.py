"""A good first plan without a solver: the best path over the candidates by a straightened worth.

State by fitness is taken as a straight line, costs that depend on loads of other weeks are left
out; what remains is a shortest path, found exactly. The solver starts from it.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from datetime import date, timedelta
from typing import NamedTuple

from seasonplan.planner import softs
from seasonplan.planner.columns import Column, Columns
from seasonplan.planner.order import Ending, allowed_first, ending, may_follow
from seasonplan.planner.spacing import LIGHT
from seasonplan.planner.worth import FORM, Worth
from seasonplan.reference import response_table
from seasonplan.vocabulary import CHOSEN, Kind

USUAL_SLOPE = 0.9  # of state by fitness, about where trained people are


class _Stand(NamedTuple):
    """Where a path stands: what ended last, and since when there was no rest."""

    ended: Ending
    since: date


class _Path(NamedTuple):
    points: float
    column: int
    before: _Path | None


def first_plan(columns: Columns, worth: Worth) -> list[int] | None:
    """Numbers of the candidates of a valid plan, or None if the path finds none."""
    if not columns.grid.segments:
        return None
    paths = _Paths(columns, worth)
    start, end = columns.grid.segments[0][0], len(columns.grid.cells)
    paths.reached[start][_opening(columns)] = None
    for cell in range(start, end):
        for stand, path in list(paths.reached.get(cell, {}).items()):
            paths.extend(cell, stand, path)
    ends = [path for path in paths.reached.get(end, {}).values() if path is not None]
    return _numbers(max(ends, key=lambda path: path.points)) if ends else None


def _opening(columns: Columns) -> _Stand:
    year = columns.grid.almanac.year
    since = year.span.first - timedelta(days=year.before.days_since_rest)
    return _Stand(Ending(year.before.last_kind), since)


class _Paths:
    """The best path to every stand at every free cell, grown candidate by candidate."""

    def __init__(self, columns: Columns, worth: Worth) -> None:
        self._columns = columns
        lead = columns.book.active("lead-in-start")
        opens = softs.openings(columns, lead) if lead else []
        self._points = [
            _points(number, columns, worth, opens=opens) for number in range(len(columns.all))
        ]
        self._endings = [ending(column, columns) for column in columns.all]
        self._by_first: dict[int, list[int]] = defaultdict(list)
        for number, column in enumerate(columns.all):
            self._by_first[column.first].append(number)
        self.reached: dict[int, dict[_Stand, _Path | None]] = defaultdict(dict)

    def extend(self, cell: int, stand: _Stand, path: _Path | None) -> None:
        """Every candidate that may come next from here."""
        columns = self._columns
        gap = columns.grid.gap_before(cell)
        past = columns.grid.is_past(columns.grid.cells[cell].span.first)
        kinds = (
            allowed_first(columns)
            if path is None
            else [k for k in CHOSEN if past or may_follow(stand.ended, gap, k, columns.book)]
        )
        since = max([stand.since, *(given.span.after for given in gap if given.kind in LIGHT)])
        for number in self._by_first[cell]:
            column = columns.all[number]
            if column.kind in kinds and not _too_long(columns, since, column):
                self._arrive(number, path, since)

    def _arrive(self, number: int, path: _Path | None, since: date) -> None:
        column = self._columns.all[number]
        rested = column.span.after if column.kind is Kind.REST else since
        stand = _Stand(self._endings[number], rested)
        points = (path.points if path else 0.0) + self._points[number]
        here = self.reached[_next_free(self._columns, column.last)]
        held = here.get(stand)
        if held is None or held.points < points:
            here[stand] = _Path(points, number, path)


def _next_free(columns: Columns, last: int) -> int:
    cells = columns.grid.cells
    following = last + 1
    while following < len(cells) and cells[following].given is not None:
        following += 1
    return following


def _too_long(columns: Columns, since: date, column: Column) -> bool:
    rule = columns.book.active("rest-every")
    if rule is None or columns.grid.is_past(column.span.last):
        return False
    until = column.span.first if column.kind is Kind.REST else column.span.after
    return (until - since).days > 7 * rule.number


def _points(number: int, columns: Columns, worth: Worth, *, opens: Sequence[date]) -> float:
    """Straightened worth of one candidate."""
    constants, column = response_table(), columns.all[number]
    total = 0.0
    for index, chance in enumerate(worth.chances):
        effect = worth.effects(index)[number]
        state = sum(
            weight * USUAL_SLOPE * fitness
            for weight, fitness in zip(worth.weights(index), effect.fitness, strict=True)
        )
        state -= constants.fatigue_weight * effect.fatigue
        total += constants.priority_worth[chance.goal.priority - 1] * (
            constants.day_worth * effect.good_days
            + constants.state_worth * (chance.possible * state / FORM + effect.good_days)
        )
    if columns.grid.accepted is not None:
        total -= columns.grid.accepted.cost_of(column.kind, column.span)
    few, lead = columns.book.active("few-changes"), columns.book.active("lead-in-start")
    if few is not None:
        total -= few.weight
    if lead is not None:
        total += lead.weight * sum(softs.leads_into(column, day, lead) for day in opens)
    return total


def _numbers(path: _Path | None) -> list[int]:
    numbers = []
    while path is not None:
        numbers.append(path.column)
        path = path.before
    return numbers[::-1]
