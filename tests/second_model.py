"""The planner's problem a second time, as a mixed-integer program on a network for HiGHS.

Written apart from `seasonplan.planner.model`: blocks are arcs of one path through the year, and
what may follow what are arcs between them, where the planner has covers and implications. It takes
the same data (candidates, effects, soft amounts, windows) and the same rounding to integers, so
both must find the very same best value, to the last integer.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from functools import cached_property
from itertools import pairwise

import highspy

from seasonplan.almanac import Almanac
from seasonplan.planner import softs
from seasonplan.planner.columns import Columns
from seasonplan.planner.grid import Grid
from seasonplan.planner.model import LOAD_STEPS
from seasonplan.planner.order import Boundary, Ending, allowed_first, boundaries, ending, may_follow
from seasonplan.planner.spacing import rest_windows
from seasonplan.planner.worth import FORM, POINTS, Worth
from seasonplan.reference import response_table
from seasonplan.rules import Rule, book_of
from seasonplan.vocabulary import CHOSEN, Kind, Quality
from seasonplan.year import Year


@dataclass(frozen=True)
class Chance:
    """One opportunity in integers: what each candidate (and the constant, last) adds to it."""

    good: list[int]
    performed: list[int]
    fitness: list[tuple[int, ...]]
    fatigue: list[int]
    slopes: list[list[tuple[int, int]]]  # by quality: (width, points a step) of each piece

    def form_points(self, chosen: Sequence[int]) -> int:
        """State on the days performed, in 1/POINTS: the lower of the two sides."""
        all_of = [*chosen, -1]
        state = sum(self.fatigue[n] for n in all_of)
        for quality, pieces in enumerate(self.slopes):
            left = sum(self.fitness[n][quality] for n in all_of)
            for width, points in pieces:
                state += points * max(0, min(width, left))
                left -= width
        return min(state, sum(self.performed[n] for n in all_of))


@dataclass(frozen=True)
class Rise:
    """One week of `load-step` in integers: load of each candidate above what is free of cost."""

    above: dict[int, int]
    known: int
    points: int

    def cost(self, chosen: Sequence[int]) -> int:
        return self.points * max(0, self.known + sum(self.above.get(n, 0) for n in chosen))


class Problem:
    """All integers of one year's problem."""

    def __init__(self, year: Year) -> None:
        self.columns = Columns(Grid(Almanac(year)), book_of(year))
        self.worth = Worth(self.columns)
        self.book = self.columns.book

    @cached_property
    def chances(self) -> list[Chance]:
        return [self._chance(index) for index in range(len(self.worth.chances))]

    def _chance(self, index: int) -> Chance:
        constants, chance = response_table(), self.worth.chances[index]
        priority = POINTS * constants.priority_worth[chance.goal.priority - 1]
        day, form = priority * constants.day_worth, priority * constants.state_worth
        factor, cap = form * chance.possible / FORM, form * constants.gain.state[-1]
        effects = self.worth.effects(index)
        given = self.worth.constant(index)
        tired = -constants.fatigue_weight
        return Chance(
            good=[round(day * e.good_days) for e in (*effects, given)],
            performed=[round(cap * e.good_days) for e in (*effects, given)],
            fitness=[e.fitness for e in (*effects, given)],
            fatigue=[
                *(round(factor * (tired * e.fatigue)) for e in effects),
                round(factor * (tired * given.fatigue)),
            ],
            slopes=[
                [
                    (round(w * FORM), round(factor * (weight * s)))
                    for w, s in constants.gain.segments
                ]
                for weight, _ in zip(self.worth.weights(index), Quality, strict=True)
            ],
        )

    @cached_property
    def alone(self) -> list[int]:
        """Points that each candidate costs by itself, a timely lead-in counted as a gain."""
        few, lead = self.book.active("few-changes"), self.book.active("lead-in-start")
        each = round(POINTS * few.weight) if few else 0
        return [
            each - self._lead_in * sum(softs.leads_into(c, day, lead) for day in self.openings)
            if lead
            else each
            for c in self.columns.all
        ]

    @cached_property
    def openings(self) -> list[date]:
        lead = self.book.active("lead-in-start")
        return softs.openings(self.columns, lead) if lead else []

    @property
    def _lead_in(self) -> int:
        lead = self.book.active("lead-in-start")
        return round(POINTS * lead.weight) if lead else 0

    @property
    def unled(self) -> int:
        """Points lost if no opening had its lead-in; `alone` gives them back."""
        return self._lead_in * len(self.openings)

    @cached_property
    def strength_after_rest(self) -> int:
        rule = self.book.active("base-first")
        return round(POINTS * rule.weight) if rule else 0

    @cached_property
    def rises(self) -> list[Rise]:
        rule = self.book.active("load-step")
        return list(self._rises(rule)) if rule and rule.weight else []

    def _rises(self, rule: Rule) -> Iterator[Rise]:
        unit, ratio = self.worth.full_week / LOAD_STEPS, rule.number / softs.LOOK_BACK_WEEKS
        loads: dict[int, dict[int, float]] = defaultdict(lambda: defaultdict(float))
        cells = self.columns.grid.cells
        for n, column in enumerate(self.columns.all):
            inside = cells[column.first : column.last + 1]
            for cell, week in zip(inside, self.columns.weeks(column), strict=True):
                loads[cell.week][n] += week.load / unit
        for index, week in self.columns.given_weeks.items():
            loads[cells[index].week][-1] += week.load / unit
        for step in softs.steps(self.columns):
            above: dict[int, float] = defaultdict(float, loads[step.week])
            above[-1] -= ratio * step.known / unit
            for before in step.before:
                for n, load in loads[before].items():
                    above[n] -= ratio * load
            known = round(above.pop(-1))
            yield Rise(
                {n: round(load) for n, load in above.items()},
                known,
                round(POINTS * rule.weight / LOAD_STEPS),
            )

    def value(self, chosen: Sequence[int]) -> int:
        """Worth of a choice of candidates in 1/POINTS, by plain integer arithmetic."""
        path = sorted(chosen, key=lambda n: self.columns.all[n].first)
        gained = sum(
            chance.form_points(path) + sum(chance.good[n] for n in (*path, -1))
            for chance in self.chances
        )
        blocks = [self.columns.all[n] for n in path]
        bent = sum(
            self.strength_after_rest
            for a, b in pairwise(blocks)
            if a.kind is Kind.REST and b.kind is Kind.STRENGTH and a.last + 1 == b.first
        )
        bent += (
            self.unled
            + sum(self.alone[n] for n in path)
            + sum(rise.cost(path) for rise in self.rises)
        )
        return gained - bent


# --- the mixed-integer program ----------------------------------------------------------------


@dataclass(frozen=True)
class Answer:
    """Candidates of the best path, HiGHS's bound on the value in 1/POINTS, and its seconds."""

    chosen: tuple[int, ...]
    bound: float
    seconds: float


def solve(problem: Problem, *, seconds: float = 300) -> Answer | None:
    """The best path by HiGHS, or None where there is none."""
    highspy.Highs.resetGlobalScheduler(True)  # else `threads` is refused after another HiGHS ran
    solver = highspy.Highs()
    solver.silent()
    for option, value in (
        ("mip_rel_gap", 0.0), ("mip_abs_gap", 0.4), ("time_limit", seconds), ("threads", 1),
        ("mip_feasibility_tolerance", 1e-9), ("primal_feasibility_tolerance", 1e-9),
    ):  # fmt: skip
        solver.setOptionValue(option, value)
    takes = [
        solver.addVariable(0, 1, type=highspy.HighsVarType.kInteger) for _ in problem.columns.all
    ]
    gains = [(take, -problem.alone[n]) for n, take in enumerate(takes)]
    gains += _network(solver, problem, takes)
    for first, last in rest_windows(problem.columns):
        rests = [
            take
            for column, take in zip(problem.columns.all, takes, strict=True)
            if column.kind is Kind.REST and column.first <= last and first <= column.last
        ]
        solver.addConstr(_sum(solver, [(take, 1) for take in rests]) >= 1)
    for rise in problem.rises:
        excess = solver.addVariable(0, highspy.kHighsInf)
        terms = [(takes[n], load) for n, load in rise.above.items() if load]
        solver.addConstr(_sum(solver, [*terms, (excess, -1)]) <= -rise.known)
        gains.append((excess, -rise.points))
    for chance in problem.chances:
        gains += _chance(solver, chance, takes)
    solver.maximize(_sum(solver, gains))
    if solver.getModelStatus() != highspy.HighsModelStatus.kOptimal:
        return None
    fixed = sum(chance.good[-1] for chance in problem.chances) - problem.unled
    chosen = tuple(n for n, take in enumerate(takes) if solver.val(take) > 0.5)
    return Answer(chosen, solver.getInfo().mip_dual_bound + fixed, solver.getRunTime())


Terms = list[tuple[highspy.highs_linear_expression, float]]


def _sum(solver: highspy.Highs, terms: Terms) -> highspy.highs_linear_expression:
    return solver.qsum(factor * variable for variable, factor in terms)


def _network(solver: highspy.Highs, problem: Problem, takes: Sequence[object]) -> Terms:
    """One path: candidates are arcs, and so is every permitted change at a boundary."""
    columns = problem.columns
    begins: dict[tuple[int, Kind], list[object]] = defaultdict(list)
    ends: dict[int, dict[Ending, list[object]]] = defaultdict(lambda: defaultdict(list))
    for column, take in zip(columns.all, takes, strict=True):
        begins[column.first, column.kind].append(take)
        ends[column.last][ending(column, columns)].append(take)
    if columns.grid.segments:
        start = columns.grid.segments[0][0]
        may_open = allowed_first(columns)
        opening = [(take, 1) for kind in may_open for take in begins[start, kind]]
        solver.addConstr(_sum(solver, opening) == 1)
        for kind in set(CHOSEN) - set(may_open):
            for take in begins[start, kind]:
                solver.addConstr(1.0 * take == 0)
    gains: Terms = []
    for boundary in boundaries(columns):
        gains += _changes(solver, problem, boundary, ends[boundary.last], begins)
    return gains


def _changes(
    solver: highspy.Highs,
    problem: Problem,
    boundary: Boundary,
    ends: dict[Ending, list[object]],
    begins: dict[tuple[int, Kind], list[object]],
) -> Terms:
    """What comes in by each ending goes out by the kinds that may follow it."""
    incoming: dict[Kind, Terms] = {kind: [] for kind in CHOSEN}
    costs: Terms = []
    for end, takes in ends.items():
        out: Terms = []
        for kind in CHOSEN:
            if may_follow(end, boundary.gap, kind, problem.book):
                change = solver.addVariable(0, 1)
                out.append((change, -1))
                incoming[kind].append((change, -1))
                if (end.kind, kind) == (Kind.REST, Kind.STRENGTH) and not boundary.gap:
                    costs.append((change, -problem.strength_after_rest))
        solver.addConstr(_sum(solver, [*((take, 1) for take in takes), *out]) == 0)
    for kind, changes in incoming.items():
        here: Terms = [(take, 1) for take in begins[boundary.first, kind]]
        if here or changes:
            solver.addConstr(_sum(solver, [*here, *changes]) == 0)
    return costs


def _chance(solver: highspy.Highs, chance: Chance, takes: Sequence[object]) -> Terms:
    """Good days, and the lower of state and days performed."""
    form = solver.addVariable(-highspy.kHighsInf, highspy.kHighsInf)
    state: Terms = [(take, chance.fatigue[n]) for n, take in enumerate(takes) if chance.fatigue[n]]
    for quality, pieces in enumerate(chance.slopes):
        fit: Terms = [
            (take, chance.fitness[n][quality])
            for n, take in enumerate(takes)
            if chance.fitness[n][quality]
        ]
        for width, points in pieces:
            piece = solver.addVariable(0, width)
            state.append((piece, points))
            fit.append((piece, -1))
        spare = solver.addVariable(0, highspy.kHighsInf)
        solver.addConstr(_sum(solver, [*fit, (spare, -1)]) == -chance.fitness[-1][quality])
    solver.addConstr(_sum(solver, [*state, (form, -1)]) >= -chance.fatigue[-1])
    performed = [(take, chance.performed[n]) for n, take in enumerate(takes) if chance.performed[n]]
    solver.addConstr(_sum(solver, [*performed, (form, -1)]) >= -chance.performed[-1])
    good = [(take, chance.good[n]) for n, take in enumerate(takes) if chance.good[n]]
    return [*good, (form, 1)]
