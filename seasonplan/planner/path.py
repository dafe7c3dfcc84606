"""The year as a path over candidates: the best one exactly, and the best through each of them.

A node is a free cell, what ended before it and since when there was no rest; an arc is a candidate
that the rules let come next. Worth is a sum over arcs, in whole parts of a point, so one backward
pass gives the best path and one forward pass more the price of every candidate. Knows no week.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cached_property, reduce
from typing import NamedTuple

from seasonplan.body.almanac import Given
from seasonplan.planner.candidates import Candidates
from seasonplan.planner.order import Ending, allowed_first, ending, may_follow, too_soon
from seasonplan.planner.values import Amount, together
from seasonplan.vocabulary import CHOSEN, Kind

NEVER = -(10**15)

# What two blocks in a row cost, in parts, by how the first ends, the kind of the second, its first
# cell, and whether rest there would come too soon after the last.
Between = Callable[[Ending, Kind, int, bool], int]


class Node(NamedTuple):
    """Where a path stands: a free cell (or the end), what ended last, since when no rest."""

    cell: int
    ended: Ending
    since: date


class _Way(NamedTuple):
    """A candidate as a way on: its number and kind, the day and the free cell after it, how it
    ends, and how long training may have gone on by then."""

    number: int
    kind: Kind
    after: date
    free: int
    ended: Ending
    most: timedelta


@dataclass(frozen=True, slots=True)
class Best:
    """The best path: numbers of its candidates and its worth in parts of a point."""

    columns: tuple[int, ...]
    worth: int


class Graph:
    """Every order of candidates that the hard rules allow."""

    def __init__(self, candidates: Candidates, between: Between | None = None) -> None:
        self.candidates = candidates
        self._between = between or (lambda before, kind, first, soon: 0)
        self._grow()

    def _grow(self) -> None:
        """Nodes in the order of their cells, and the arcs out of each."""
        grid = self.candidates.grid
        self.end = len(grid.cells)
        self.nodes: list[Node] = []
        self._number: dict[Node, int] = {}
        self.arcs: list[tuple[int, int, int, int]] = []  # from, to, candidate, parts between
        self.by_cell: dict[int, list[int]] = defaultdict(list)
        start = grid.segments[0][0] if grid.segments else self.end
        year = grid.almanac.year
        since = year.span.first - timedelta(days=year.before.days_since_rest)
        self.root = self._node(Node(start, Ending(year.before.last_kind), since))
        steps = self._steps()
        for cell in range(start, self.end):
            if self.by_cell.get(cell):
                self._leave(cell, steps[cell])

    def _steps(self) -> dict[int, list[_Way]]:
        """Every candidate by the cell it begins in."""
        cand, grid = self.candidates, self.candidates.grid
        frees = [self._next_free(last) for last in range(len(grid.cells))]
        rests = cand.book.active("rest-every")
        most = timedelta(days=7 * rests.number) if rests else timedelta.max
        found: dict[int, list[_Way]] = defaultdict(list)
        for number, column in enumerate(cand.all):
            held = column.kind is not Kind.REST and not grid.is_past(column.span.last)
            found[column.first].append(
                _Way(
                    number, column.kind, column.span.after, frees[column.last],
                    ending(column, cand), most if held else timedelta.max,
                )
            )  # fmt: skip
        return found

    def _leave(self, cell: int, steps: Sequence[_Way]) -> None:
        """The arcs out of every node of a cell."""
        grid = self.candidates.grid
        gap = grid.gap_before(cell)
        first, book = grid.cells[cell].span.first, self.candidates.book
        past = grid.is_past(first)
        off = grid.off_until(first)
        may: dict[tuple[Ending, bool], dict[Kind, int]] = {}
        for node in self.by_cell[cell]:
            stand = self.nodes[node]
            since = max(stand.since, off)
            key = stand.ended, too_soon(first, since, book)
            if node == self.root:  # what came before the year costs nothing
                costs = dict.fromkeys(allowed_first(self.candidates), 0)
            elif key in may:
                costs = may[key]
            else:
                costs = may[key] = self._kinds(*key, cell, gap, past=past)
            for number, kind, after, free, ended, most in steps:
                parts = costs.get(kind)
                if parts is None:
                    continue
                gone = grid.longest(since, after) if grid.eased else after - since
                if gone > most:
                    continue
                rested = after if kind is Kind.REST else since
                self.arcs.append((node, self._node(Node(free, ended, rested)), number, parts))

    def _node(self, node: Node) -> int:
        if node.cell == self.end:  # what follows the end does not matter
            node = Node(self.end, Ending(None), date.min)
        found = self._number.get(node)
        if found is None:
            found = self._number[node] = len(self.nodes)
            self.nodes.append(node)
            self.by_cell[node.cell].append(found)
        return found

    def _kinds(
        self, ended: Ending, soon: bool, cell: int, gap: Sequence[Given], *, past: bool
    ) -> dict[Kind, int]:
        """The kinds that may come next, in that cell, and what that costs."""
        return {
            kind: self._between(ended, kind, cell, soon)
            for kind in CHOSEN
            if past or may_follow(ended, gap, kind, self.candidates.book)
        }

    def _next_free(self, last: int) -> int:
        cells = self.candidates.grid.cells
        free = (cell.index for cell in cells[last + 1 :] if cell.given is None)
        return next(free, len(cells))

    @property
    def possible(self) -> bool:
        """Whether any path leads through the year, and every pin has a place."""
        return self.end in self.by_cell and not self.candidates.lost_pins


class Prices:
    """Best paths for given worths of the candidates, in parts of a point."""

    def __init__(self, graph: Graph, worths: Sequence[int]) -> None:
        """A candidate that is worth `NEVER` may not be used."""
        self._graph, self.worths = graph, worths

    @cached_property
    def _ahead(self) -> tuple[list[int], list[int]]:
        """The most that can still come from each node on, and the arc that begins it: of equals
        the first, so that of its candidate."""
        graph, worths = self._graph, self.worths
        best, onto = [NEVER] * len(graph.nodes), [-1] * len(graph.nodes)
        for node in graph.by_cell.get(graph.end, ()):
            best[node] = 0
        arcs = graph.arcs
        for arc in range(len(arcs) - 1, -1, -1):
            start, to, number, between = arcs[arc]
            value = best[to] + worths[number] - between
            if value >= best[start]:
                best[start], onto[start] = value, arc
        return best, onto

    @cached_property
    def _behind(self) -> tuple[list[int], list[int]]:
        """The most that can have come before each node, and the arc that ends it."""
        graph, worths = self._graph, self.worths
        best, into = [NEVER] * len(graph.nodes), [-1] * len(graph.nodes)
        best[graph.root] = 0
        for arc, (start, to, number, between) in enumerate(graph.arcs):
            value = best[start] + worths[number] - between
            if value > best[to]:
                best[to], into[to] = value, arc
        return best, into

    def best(self) -> Best | None:
        """The best path, the first of equals in a fixed order; None where there is none."""
        root = self._graph.root
        worth = self._ahead[0][root]
        return Best(tuple(self._on(root)), worth) if worth >= NEVER // 2 else None

    def _on(self, node: int) -> Iterator[int]:
        """The candidates of the best way on from a node, in order."""
        graph, onto = self._graph, self._ahead[1]
        while graph.nodes[node].cell != graph.end:
            _, node, number, _ = graph.arcs[onto[node]]
            yield number

    @cached_property
    def through(self) -> dict[int, int]:
        """The worth of the best path through each candidate that lies on any."""
        return {number: worth for number, (worth, _) in self._through.items()}

    @cached_property
    def _through(self) -> dict[int, tuple[int, int]]:
        """The worth of the best path through each candidate, and its arc there."""
        found: dict[int, tuple[int, int]] = {}
        for arc, value in enumerate(self._values()):
            number = self._graph.arcs[arc][2]
            if value > NEVER // 2 and (number not in found or value > found[number][0]):
                found[number] = value, arc
        return found

    def _values(self) -> Iterator[int]:
        """The worth of the best path over each arc, in order."""
        worths, before, ahead = self.worths, self._behind[0], self._ahead[0]
        for start, to, number, between in self._graph.arcs:
            yield before[start] + worths[number] - between + ahead[to]

    def arcs_worth(self, least: int) -> list[int]:
        """The arcs, in order, that some path worth at least so much uses."""
        return [arc for arc, value in enumerate(self._values()) if value >= least]

    def through_path(self, number: int) -> tuple[int, ...]:
        """The candidates of the best path through one that lies on any, in order."""
        graph, into = self._graph, self._behind[1]
        start, to, *_ = graph.arcs[self._through[number][1]]
        first: list[int] = []
        while start != graph.root:
            start, _, before, _ = graph.arcs[into[start]]
            first.append(before)
        return (*reversed(first), number, *self._on(to))

    def along(self, amounts: Sequence[Amount]) -> dict[int, Amount]:
        """What the best path through each candidate holds, by what candidates hold."""
        return {
            number: reduce(together, (amounts[each] for each in self.through_path(number)))
            for number in self.through
        }
