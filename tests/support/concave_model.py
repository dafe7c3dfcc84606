"""The best plan by the concave worth that the planner's straight one stands for, by HiGHS.

The level of each quality on the days of each goal is a sum over the chosen weeks; its worth is
bounded by tangents. Says how much of the scale the straight line gives away.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from math import exp, log, log1p

from second_model import Key, Problem, Program, Terms

from seasonplan.body.response import Body, body_of
from seasonplan.body.worth import Aims, FormWorth
from seasonplan.planner.search import Search
from seasonplan.planner.values import PARTS
from seasonplan.rules.tables import response_table

TANGENTS = 24
HIGHEST = 0.5  # no level lies above
LEAST_ADD = 1e-7


def shortfall_loss(steps: float) -> float:
    """Worth lost by a shortfall of so many steps: convex, 0 at four steps to spare."""
    lost, low = 0.0, -4.0
    for upto, slope in response_table().shortfall:
        if steps <= low:
            break
        lost += slope * (min(steps, upto) - low)
        low = upto
    return lost


def concave(form: FormWorth, levels: Sequence[float], body: Body) -> float:
    """Points of levels by the concave worth that the straight one stands for."""
    step = log1p(response_table().step)
    total = 0.0
    for weight, asked, own, start, level in zip(
        form.weights, form.asked, body.rating, body.start, levels, strict=True
    ):
        gained = log((1 + level) / (1 + start)) / step
        total += weight * (shortfall_loss(asked - own) - shortfall_loss(asked - own - gained))
    return form.worth * total


@dataclass(frozen=True)
class Loss:
    """Points by the concave worth: of the best plan by it, and of the plan by the straight one."""

    best: float
    ours: float
    scale: float

    @property
    def share(self) -> float:
        return (self.best - self.ours) / self.scale


class _Row:
    """The level of one quality on the days of one form: what each column adds, and a constant."""

    def __init__(self, search: Search, form: FormWorth, quality: int) -> None:
        self._search = search
        self.form, self.quality = form, quality
        self.body = body_of(search.year)
        self.tau = self.body.tau[quality]
        self.first = search.grid.cells[0].span.first.toordinal()
        self.constant = sum(
            share * self.body.start[quality] * exp(-self._days(day) / self.tau)
            for day, share in form.days.items()
        )
        self._left: dict[int, float] = {}

    def _days(self, day: object) -> int:
        return day.toordinal() - self.first  # type: ignore[attr-defined, no-any-return]

    def left(self, cell: int) -> float:
        """How much of a unit drawn to in a cell is there on the days of the form."""
        if cell not in self._left:
            span = self._search.grid.cells[cell].span
            begins = span.first.toordinal() - self.first
            total = 0.0
            for day, share in self.form.days.items():
                passed = self._days(day) - begins
                if passed > 0:
                    inside = min(passed, span.length)
                    late = max(passed - span.length, 0)
                    total += share * (1 - exp(-inside / self.tau)) * exp(-late / self.tau)
            self._left[cell] = total
        return self._left[cell]

    def gain(self, level: float) -> float:
        """Points of the level by the concave worth."""
        levels = list(self.body.start)
        levels[self.quality] = level
        return concave(self.form, levels, self.body)

    def tangents(self) -> list[tuple[float, float]]:
        """Slope and height at 0 of tangents, by differences."""
        step = HIGHEST / TANGENTS
        found = []
        for n in range(TANGENTS):
            at = (n + 0.5) * step
            slope = (self.gain(at + 1e-6) - self.gain(at - 1e-6)) / 2e-6
            found.append((slope, self.gain(at) - slope * at))
        return found


class Concave:
    """The rows of a year, and what each column adds to them."""

    def __init__(self, search: Search) -> None:
        self.search = search
        self.problem = Problem(search)
        self.rows = [
            _Row(search, form, quality)
            for form in Aims(search.grid.almanac).forms
            for quality in range(6)
            if form.weights[quality]
        ]
        self.constants = [row.constant for row in self.rows]
        for cell in search.grid.cells:
            if cell.given is not None:
                self._add(self.constants, cell.index, search.weeks.given(cell).dose)

    def _add(self, to: list[float], cell: int, dose: tuple[float, ...]) -> None:
        length = self.search.grid.cells[cell].span.length
        drawn = body_of(self.search.year).drawn_to(dose, length)
        for n, row in enumerate(self.rows):
            to[n] += drawn[row.quality] * row.left(cell)

    @cached_property
    def adds(self) -> Mapping[Key, list[float]]:
        found = {}
        for number, variant in self.problem.worths:
            column = self.search.candidates.all[number]
            total = [0.0] * len(self.rows)
            for cell, role in self.search.candidates.roles(column, variant):
                week = self.search.weeks.week(cell, role)
                self._add(total, cell.index, week.dose)
            found[number, variant] = total
        return found

    def slopes(self) -> list[float]:
        body = body_of(self.search.year)
        return [row.form.a_level(body)[row.quality] for row in self.rows]

    def linear(self, key: Key) -> float:
        """Points of a column without what its levels are worth."""
        straight = sum(a * b for a, b in zip(self.slopes(), self.adds[key], strict=True))
        return self.problem.worths[key] / PARTS - straight

    def points(self, chosen: tuple[Key, ...]) -> float:
        """Points of a choice by the concave worth."""
        levels = list(self.constants)
        for key in chosen:
            levels = [a + b for a, b in zip(levels, self.adds[key], strict=True)]
        gained = sum(row.gain(level) for row, level in zip(self.rows, levels, strict=True))
        bends = (sum(self.problem.worths[k] for k in chosen) - self.problem.worth(chosen)) / PARTS
        return gained + sum(self.linear(key) for key in chosen) - bends


def concave_loss(search: Search, *, seconds: float = 120) -> Loss | None:
    """What the straight worth gives away; None where HiGHS did not come to an end."""
    concave = Concave(search)
    best = search.prices.best()
    assert best is not None
    program = Program(concave.problem, None, frozenset(), seconds)
    slopes = concave.slopes()
    changes = program.gains[len(program.takes) :]
    gains: Terms = [(take, PARTS * concave.linear(key)) for key, take in program.takes.items()]
    for n, row in enumerate(concave.rows):
        if not slopes[n]:
            continue
        gain = program.solver.addVariable(-1e9, 1e9)
        gains.append((gain, PARTS))
        level = program.solver.addVariable(0, HIGHEST * 2)
        adds: Terms = [
            (take, concave.adds[key][n]) for key, take in program.takes.items()
            if concave.adds[key][n] > LEAST_ADD
        ]  # fmt: skip
        program.solver.addConstr(program.sum([*adds, (level, -1)]) == -concave.constants[n])
        for slope, height in row.tangents():
            program.solver.addConstr(program.sum([(gain, 1), (level, -slope)]) <= height)
    program.gains = [*gains, *changes]
    program.set("mip_rel_gap", 1e-5)
    program.set("mip_abs_gap", 100.0)
    answer = program.answer()
    if answer is None:
        return None
    ours = tuple((number, search.best_variants[number][0]) for number in best.columns)
    scale = sum(form.worth for form in Aims(search.grid.almanac).forms)
    return Loss(concave.points(answer.chosen), concave.points(ours), scale)
