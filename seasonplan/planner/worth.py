"""What each candidate adds to good days, fitness and fatigue, as integers for the solver.

All of it is linear in the candidates, because load fades exponentially and inside a block it is
known. The one curve (state by fitness) is put in by `model` piece by piece.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import timedelta
from math import exp

from seasonplan.almanac import Opportunity
from seasonplan.plan import Week
from seasonplan.planner.columns import Column, Columns
from seasonplan.planner.grid import Cell
from seasonplan.reference import response_table
from seasonplan.response import Scale, full_week_load, quality_weights, scale_of
from seasonplan.vocabulary import Kind, Quality

Weeks = Iterable[tuple[int, Week]]  # weeks by the number of their cell

FORM = 1_000  # integer steps of relative fitness and fatigue from 0 to 1
POINTS = 10_000  # integer steps of one point of worth


@dataclass(frozen=True, slots=True)
class Effect:
    """One candidate's part in one opportunity. Fitness by quality and fatigue in 1/FORM."""

    good_days: float
    fitness: tuple[int, ...]
    fatigue: int


class Worth:
    """Effects of candidates and given days on every opportunity of the year."""

    def __init__(self, columns: Columns) -> None:
        self.columns = columns
        self.almanac = columns.grid.almanac
        self.year = self.almanac.year
        self.chances: tuple[Opportunity, ...] = self.almanac.opportunities
        self.scale: Scale = scale_of(self.year)
        self.full_week = full_week_load(self.year)
        self._kernels = [self._cell_kernels(chance) for chance in self.chances]
        self._cell_good = [
            [sum(chance.chances.get(day, 0.0) for day in cell.span.days()) for cell in self._cells]
            for chance in self.chances
        ]
        self._effects: dict[int, list[Effect]] = {}
        self._weights = [quality_weights(chance.goal, self.year) for chance in self.chances]
        self._short = [self.almanac.short_trip(cell.span.first) is not None for cell in self._cells]

    @property
    def _cells(self) -> tuple[Cell, ...]:
        return self.columns.grid.cells

    def weights(self, index: int) -> tuple[float, ...]:
        """Weight of each quality at an opportunity, in the order of Quality."""
        return tuple(self._weights[index][quality] for quality in Quality)

    def effects(self, index: int) -> list[Effect]:
        """What each candidate does for opportunity `index`, in their order."""
        if index not in self._effects:
            self._effects[index] = [self._effect(c, index) for c in self.columns.all]
        return self._effects[index]

    def _effect(self, column: Column, index: int) -> Effect:
        cells = range(column.first, column.last + 1)
        weeks = self.columns.weeks(column)
        good = sum(
            self._cell_good[index][c]
            for c in cells
            if column.kind is Kind.PERFORMANCE or self._short[c]
        )
        return Effect(good, *self._form(index, zip(cells, weeks, strict=True)))

    def constant(self, index: int) -> Effect:
        """What given days and the time before the year do for opportunity `index`."""
        given = self.columns.given_weeks
        good = sum(self._cell_good[index][c] for c in given if self._is_trip(c) or self._short[c])
        fitness, fatigue = self._raw_form(index, given.items())
        fade, fade_fatigue = self._fade_from_start(index)
        starts = self.scale.start_fitness
        fitness = [
            level + starts[q] * fade[n] / self.scale.fitness[q]
            for n, (level, q) in enumerate(zip(fitness, Quality, strict=True))
        ]
        fatigue += self.scale.start_fatigue * fade_fatigue / self.scale.fatigue
        return Effect(good, tuple(round(FORM * level) for level in fitness), round(FORM * fatigue))

    def _is_trip(self, cell: int) -> bool:
        given = self._cells[cell].given
        return given is not None and given.kind is Kind.TRIP

    def _form(self, index: int, weeks: Weeks) -> tuple[tuple[int, ...], int]:
        fitness, fatigue = self._raw_form(index, weeks)
        return tuple(round(FORM * level) for level in fitness), round(FORM * fatigue)

    def _raw_form(self, index: int, weeks: Weeks) -> tuple[list[float], float]:
        kernels, tired = self._kernels[index]
        fitness = [0.0] * len(Quality)
        fatigue = 0.0
        for cell, week in weeks:
            loads = _by_quality(week)
            for n, load in enumerate(loads):
                fitness[n] += load * kernels[n][cell]
            fatigue += sum(loads) * tired[cell]
        return fitness, fatigue

    def _cell_kernels(self, chance: Opportunity) -> tuple[list[list[float]], list[float]]:
        """Relative form at the opportunity from one unit of load spread over each cell."""
        constants = response_table()
        fitness = [
            self._mean_over_cells(chance, constants.tau_days[q], self.scale.fitness[q])
            for q in Quality
        ]
        return fitness, self._mean_over_cells(
            chance, constants.fatigue_tau_days, self.scale.fatigue
        )

    def _mean_over_cells(self, chance: Opportunity, tau: float, full: float) -> list[float]:
        """Backward recurrence: K(s) = e^(-1/tau) (w(s+1) + K(s+1)), w the day's share."""
        total, fade = chance.possible, exp(-1 / tau)
        kernel, by_day = 0.0, {}
        day = self.almanac.span.last
        ahead = 0.0
        for _ in range(self.almanac.span.length):
            kernel = fade * (ahead + kernel)
            by_day[day] = kernel
            ahead = chance.chances.get(day, 0.0) / total
            day -= timedelta(days=1)
        return [
            sum(by_day[day] for day in cell.span.days()) / cell.span.length / full
            for cell in self._cells
        ]

    def _fade_from_start(self, index: int) -> tuple[list[float], float]:
        """Mean share of the starting levels that is left at the opportunity."""
        constants, chance = response_table(), self.chances[index]
        first = self.almanac.span.first

        def left(tau: float) -> float:
            return (
                sum(
                    share * exp(-((day - first).days + 1) / tau)
                    for day, share in chance.chances.items()
                )
                / chance.possible
            )

        return [left(constants.tau_days[q]) for q in Quality], left(constants.fatigue_tau_days)


def _by_quality(week: Week) -> tuple[float, ...]:
    loads = week.loads
    return (loads.finger_strength, loads.power, loads.endurance, loads.fitness, loads.movement)
