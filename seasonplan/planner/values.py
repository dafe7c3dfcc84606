"""What a week's dose and load are worth in points, wherever they stand in the year.

A level on a later day is linear in the values that the weeks before draw it to; worth is straight
in the level. So the worth of a year is a constant and a sum over weeks, worked out here once.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property
from operator import mul
from typing import Any, NamedTuple

import numpy as np

from seasonplan.body.response import QUALITIES, Dose
from seasonplan.body.worth import Aims
from seasonplan.days import Span
from seasonplan.planner.grid import Grid
from seasonplan.rules.tables import response_table

Array = np.ndarray[Any, np.dtype[np.float64]]

PARTS = 1_000_000  # of a point: worth is counted in whole ones, so that two methods agree exactly


class Amount(NamedTuple):
    """Points of some weeks, their days on rock, and how many of those are good by chance."""

    points: float
    rock_days: int
    good_days: float

    def less(self, other: Amount) -> Amount:
        points, good_days = self.points - other.points, self.good_days - other.good_days
        return Amount(points, self.rock_days - other.rock_days, good_days)


NONE = Amount(0.0, 0, 0.0)


def together(one: Amount, other: Amount) -> Amount:
    return Amount(one[0] + other[0], one[1] + other[1], one[2] + other[2])


class Values:
    """Points of a unit of level drawn to, and of load, by the days of a week."""

    def __init__(self, grid: Grid, aims: Aims) -> None:
        self._aims = aims
        self._body = aims.body
        self._first = grid.cells[0].span.first.toordinal()
        self._rows: dict[Span, tuple[list[float], float]] = {}
        self._know([cell.span for cell in grid.cells])

    def of(self, span: Span, dose: Dose, load: float) -> float:
        """Points of a week with that dose (load by quality) and load (RPE x minutes)."""
        if span not in self._rows:
            self._know([span])
        row, a_load = self._rows[span]
        drawn = self._body.drawn_to(dose, span.length)
        gained: float = sum(map(mul, row, drawn))
        return gained - a_load * load * 7 / span.length

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

    def _know(self, spans: Sequence[Span]) -> None:
        """Work out the rows of some weeks: points of each quality's level, and of load a week."""
        begins = np.array([span.first.toordinal() - self._first for span in spans], float)
        lengths = np.array([span.length for span in spans], float)
        a_level = np.zeros((len(spans), len(QUALITIES)))
        a_load = np.zeros(len(spans))
        fatigue = response_table().fatigue_tau_days
        for form in self._aims.forms:
            days = np.array([day.toordinal() - self._first for day in form.days], float)
            shares = np.array(list(form.days.values()))
            passed = days[None, :] - begins[:, None]
            inside = np.clip(passed, 0, lengths[:, None])
            after = np.maximum(passed - lengths[:, None], 0)
            slopes = zip(form.a_level(self._body), self._body.tau, strict=True)
            for n, (slope, tau) in enumerate(slopes):
                a_level[:, n] += slope * _left(inside, after, shares, tau)
            if form.tires:
                a_load += form.a_load(self._body) * _left(inside, after, shares, fatigue)
        for span, row, load in zip(spans, a_level.tolist(), a_load.tolist(), strict=True):
            self._rows[span] = row, load


def _left(inside: Array, after: Array, shares: Array, tau: float) -> Array:
    """How much of a unit drawn to in each week is there on those days, by their shares."""
    left: Array = (1 - np.exp(-inside / tau)) * np.exp(-after / tau)
    return left @ shares
