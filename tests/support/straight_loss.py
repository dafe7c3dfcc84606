"""What straight worth loses against the concave one, between two bounds, by paths alone.

From below by the best year found: the best paths, and those through every candidate, under slopes
taken at the forms that such paths reach, averaged from round to round. From above by the same
slopes: whatever they are, the best path by them and the most that each concave worth rises over its
slope come to no less than any year. Where both meet the figure is exact.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from time import process_time
from typing import Any

import numpy as np
from concave_model import HIGHEST, Concave

from seasonplan.body.worth import Aims
from seasonplan.planner.path import Best, Prices
from seasonplan.planner.search import Search
from seasonplan.planner.values import PARTS

ROUNDS = 40
THROUGH_EVERY = 5  # rounds after which paths through every candidate are valued, too
LEVELS = np.linspace(0.0, 2 * HIGHEST, 4001)

Floats = np.ndarray[Any, np.dtype[np.float64]]


@dataclass(frozen=True)
class Way:
    """The best path under some slopes, by rows of the table of columns, and how it was found.

    `variants` is the best row of each candidate; no year is worth more than `bound`.
    """

    rows: tuple[int, ...]
    bound: float
    slopes: Floats
    prices: Prices
    variants: list[int]


class Paths:
    """The concave worth of paths through a year, and the best ones for given slopes."""

    def __init__(self, search: Search) -> None:
        self.search = search
        self.concave = Concave(search)
        self.keys = list(self.concave.adds)
        self.adds = np.array([self.concave.adds[key] for key in self.keys])
        self.alone = np.array([self.concave.linear(key) for key in self.keys])
        self.constants = np.array(self.concave.constants)
        self.own = np.array(self.concave.slopes())
        numbers = np.array([number for number, _ in self.keys])
        self.begins = np.flatnonzero(np.r_[True, numbers[1:] != numbers[:-1]])

    @cached_property
    def tables(self) -> Floats:
        """The concave worth of each row at each of `LEVELS`."""
        return np.array([[row.gain(level) for level in LEVELS] for row in self.concave.rows])

    def points(self, rows: Sequence[int]) -> float:
        """Points of a path by the concave worth."""
        return self.concave.points(tuple(self.keys[row] for row in rows))

    def levels(self, rows: Sequence[int]) -> Floats:
        """The level of each row under a path."""
        found: Floats = self.constants + self.adds[list(rows)].sum(axis=0)
        return found

    def slopes(self, levels: Floats) -> Floats:
        """The slope of each concave worth at some levels."""
        step = 1e-6
        pairs = zip(self.concave.rows, levels, strict=True)
        return np.array([(r.gain(at + step) - r.gain(at - step)) / (2 * step) for r, at in pairs])

    def best(self, slopes: Floats) -> Way:
        """The best path under slopes."""
        worths = np.rint(PARTS * (self.alone + self.adds @ slopes))
        ends = [*self.begins[1:], len(self.keys)]
        variants = [
            int(begin + np.argmax(worths[begin:end]))
            for begin, end in zip(self.begins, ends, strict=True)
        ]
        prices = Prices(self.search.graph, [int(worths[row]) for row in variants])
        best = prices.best()
        assert best is not None
        over = (self.tables - slopes[:, None] * LEVELS[None, :]).max(axis=1).sum()
        bound = float(best.worth / PARTS + slopes @ self.constants + over)
        rows = tuple(variants[n] for n in best.columns)
        return Way(rows, bound, slopes, prices, variants)

    def best_through(self, way: Way) -> tuple[int, ...]:
        """Of the best paths through every candidate under slopes the one worth most."""
        found = {number: way.prices.through_path(number) for number in way.prices.through}
        rows = [[way.variants[n] for n in path] for path in found.values()]
        added = np.array([self.adds[some].sum(axis=0) for some in rows])
        straight = np.array([way.prices.through[number] for number in found]) / PARTS
        bends = straight - added @ way.slopes
        at = (added + self.constants) / LEVELS[1]
        low = np.floor(at).astype(int)
        n = np.arange(len(self.constants))
        gained = self.tables[n, low] * (1 - at + low) + self.tables[n, low + 1] * (at - low)
        return tuple(rows[int(np.argmax(bends + gained.sum(axis=1)))])

    def kept(self, best: Best) -> tuple[int, ...]:
        """The plan as it is kept."""
        at = {key: row for row, key in enumerate(self.keys)}
        return tuple(at[n, self.search.best_variants[n][0]] for n in best.columns)


@dataclass(frozen=True)
class Between:
    """Per cent of the scale: what the plan loses at least and at most, and after `onward`."""

    least: float
    most: float
    onward: float
    worse: bool
    seconds: float


def loss_between(search: Search) -> Between:
    """What the plan of a search gives away by the concave worth."""
    began = process_time()
    paths = Paths(search)
    found = search.prices.best()
    assert found is not None
    ours = paths.kept(found)
    mine = paths.points(ours)
    again = paths.points(paths.best(paths.slopes(paths.levels(ours))).rows)
    top, bound, at = max(mine, again), float("inf"), paths.levels(ours)
    for n in range(ROUNDS):
        way = paths.best(paths.slopes(at))
        top, bound = max(top, paths.points(way.rows)), min(bound, way.bound)
        if n % THROUGH_EVERY == 0:
            top = max(top, paths.points(paths.best_through(way)))
        at = at + (paths.levels(way.rows) - at) * 2 / (n + 3)
    scale = sum(form.worth for form in Aims(search.grid.almanac).forms) / 100
    return Between(
        (top - mine) / scale, (max(bound, top) - mine) / scale, (top - max(mine, again)) / scale,
        again < mine, process_time() - began,
    )  # fmt: skip
