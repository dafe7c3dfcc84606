"""Years that are nearly as good as the best and differ most from it: farthest first.

How far two years lie apart is the number of days whose kind of block differs. Of all paths worth
enough, the one farthest from those already chosen: a path again, counted over days instead of
points. For one year to differ from, that is exact; for two it is counted in about weeks. Knows no
week and no session.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

import numpy as np

from seasonplan.plan import Block
from seasonplan.planner.path import Best
from seasonplan.planner.search import Search
from seasonplan.vocabulary import Kind

MOST_STEPS = 54  # of distance, where two years are to be kept away from at once
LOW = -(2**60)

Array = np.ndarray[Any, np.dtype[np.int64]]


@dataclass(frozen=True, slots=True)
class NearYear:
    """A year by its candidates, and the days it differs in from the plan and those found before."""

    best: Best
    days: tuple[int, ...]


def near_best(
    search: Search, best: Best, blocks: Sequence[Block], *, count: int, slack: int
) -> tuple[NearYear, ...]:
    """Up to so many years worth at most `slack` parts less than the best, farthest first.

    The first is kept away from the plan that stands, `blocks`; each further one from that and
    from the last one found.
    """
    found: list[NearYear] = []
    tables = [_table(search, {day: b.kind for b in blocks for day in b.span.days()})]
    while len(found) < count:
        path = _farthest(search, best, tables[:1] + tables[1:][-1:], slack)
        if path is None:
            break
        days = tuple(sum(table[n] for n in path.columns) for table in tables)
        if not min(days):
            break
        found.append(NearYear(path, days))
        tables.append(_table(search, _kinds(search, path)))
    return tuple(found)


def _kinds(search: Search, one: Best) -> dict[date, Kind]:
    columns = search.candidates.all
    return {day: columns[n].kind for n in one.columns for day in columns[n].span.days()}


def _table(search: Search, kinds: Mapping[date, Kind]) -> list[int]:
    """The differing days of every candidate; what is over is the same in all."""
    running: dict[Kind, list[int]] = {}
    for kind in Kind:
        total, row = 0, [0]
        for cell in search.grid.cells:
            if cell.given is None:
                total += sum(kinds.get(day, kind) is not kind for day in cell.span.days())
            row.append(total)
        running[kind] = row
    return [
        running[column.kind][column.last + 1] - running[column.kind][column.first]
        for column in search.candidates.all
    ]


def _farthest(
    search: Search, best: Best, tables: Sequence[Sequence[int]], slack: int
) -> Best | None:
    """The path worth enough whose least distance is greatest; of equals the one worth most."""
    graph, worths = search.graph, search.prices.worths
    least = best.worth - slack
    whole = sum(cell.span.length for cell in search.grid.cells if cell.given is None)
    unit = 1 if len(tables) == 1 else max(7, -(-whole // MOST_STEPS))
    steps = [[round(table[n] / unit) for table in tables] for n in range(len(worths))]
    size = tuple(whole // unit + 2 for _ in tables)
    most: dict[int, Array] = {graph.root: np.full(size, LOW)}
    most[graph.root][(0,) * len(tables)] = 0
    came: dict[int, list[int]] = {}
    for arc in search.prices.arcs_worth(least):
        start, to, number, between = graph.arcs[arc]
        came.setdefault(to, []).append(arc)
        here = most.setdefault(to, np.full(size, LOW))
        on, of = _shifted(steps[number], size)
        np.maximum(here[on], most[start][of] + (worths[number] - between), out=here[on])
    (end,) = graph.by_cell[graph.end]
    reached = [tuple(map(int, at)) for at in np.argwhere(most[end] >= least)]
    if not reached:
        return None
    at = max(reached, key=lambda at: (min(at), sum(at), int(most[end][at])))
    return _back(search, steps, (most, came), (end, at))


def _shifted(by: Sequence[int], size: Sequence[int]) -> tuple[tuple[slice, ...], tuple[slice, ...]]:
    """Where a table lies on itself moved on by some steps, and what of it does."""
    pairs = list(zip(by, size, strict=True))
    on, of = (slice(n, None) for n, _ in pairs), (slice(0, whole - n) for n, whole in pairs)
    return tuple(on), tuple(of)


def _back(
    search: Search, steps: Sequence[Sequence[int]],
    tables: tuple[dict[int, Array], dict[int, list[int]]], end: tuple[int, tuple[int, ...]],
) -> Best:  # fmt: skip
    """The path that came to an end at some distance."""
    (most, came), (node, at), graph, worths = tables, end, search.graph, search.prices.worths
    worth, columns = int(most[node][at]), []
    left = worth
    while node != graph.root:
        for arc in came[node]:
            start, _, number, between = graph.arcs[arc]
            was = tuple(a - b for a, b in zip(at, steps[number], strict=True))
            before = left - worths[number] + between
            if min(was) >= 0 and int(most[start][was]) == before:
                node, at, left = start, was, before
                columns.append(number)
                break
        else:
            raise AssertionError("a path leads back to its root")
    return Best(tuple(reversed(columns)), worth)
