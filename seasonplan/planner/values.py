"""What a week's dose and load are worth in points, wherever they stand in the year.

A level on a later day is linear in the values that the weeks before draw it to; worth is straight
in the level. So the worth of a year is a constant and a sum over weeks, worked out here once.
"""

from __future__ import annotations

from functools import cached_property
from typing import Any

import numpy as np

from seasonplan.planner.grid import Cell, Grid
from seasonplan.reference import response_table
from seasonplan.response import QUALITIES, Aims, Dose

Array = np.ndarray[Any, np.dtype[np.float64]]


class Values:
    """Points of a unit of level drawn to, and of load, by cell."""

    def __init__(self, grid: Grid, aims: Aims) -> None:
        self._grid = grid
        self._aims = aims
        self._body = aims.body
        first = grid.cells[0].span.first.toordinal()
        self._first = first
        self._begins = np.array([c.span.first.toordinal() - first for c in grid.cells], float)
        self._lengths = np.array([c.span.length for c in grid.cells], float)

    def of(self, cell: Cell, dose: Dose, load: float) -> float:
        """Points of a week with that dose (load by quality) and load (RPE x minutes) in a cell."""
        drawn = self._body.drawn_to(dose, cell.span.length)
        a_level, a_load = self._tables
        row = a_level[cell.index]
        gained = sum(x * y for x, y in zip(row, drawn, strict=True))
        return gained - a_load[cell.index] * load * 7 / cell.span.length

    @cached_property
    def constant(self) -> float:
        """Points that no week changes: what is left of the start, less what it was taken as."""
        total = 0.0
        for form in self._aims.forms:
            slopes, tired = form.a_level(self._body), form.a_load(self._body)
            for day, share in form.days.items():
                days = day.toordinal() - self._first
                for slope, start, tau in zip(slopes, self._body.start, self._body.tau, strict=True):
                    total += share * slope * start * (float(np.exp(-days / tau)) - 1)
                fade = float(np.exp(-days / response_table().fatigue_tau_days))
                total -= share * tired * self._body.usual * fade
        return total

    @cached_property
    def _tables(self) -> tuple[list[list[float]], list[float]]:
        """Points by cell: of each quality's level, and of load a week."""
        a_level = np.zeros((len(self._begins), len(QUALITIES)))
        a_load = np.zeros(len(self._begins))
        for form in self._aims.forms:
            days = np.array([day.toordinal() - self._first for day in form.days], float)
            shares = np.array(list(form.days.values()))
            for n, (slope, tau) in enumerate(
                zip(form.a_level(self._body), self._body.tau, strict=True)
            ):
                a_level[:, n] += slope * self._kernel(days, shares, tau)
            if form.tires:
                tau = response_table().fatigue_tau_days
                a_load += form.a_load(self._body) * self._kernel(days, shares, tau)
        return a_level.tolist(), a_load.tolist()

    def _kernel(self, days: Array, shares: Array, tau: float) -> Array:
        """How much of a unit drawn to in each cell is there on those days, by their shares."""
        passed = days[None, :] - self._begins[:, None]
        inside = np.clip(passed, 0, self._lengths[:, None])
        after = np.maximum(passed - self._lengths[:, None], 0)
        left: Array = (1 - np.exp(-inside / tau)) * np.exp(-after / tau)
        return left @ shares
