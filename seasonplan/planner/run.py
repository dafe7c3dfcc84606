"""Runs the solver: the best plan of a year, or that there is none; with progress and a stop."""

from __future__ import annotations

import threading
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass
from math import inf
from time import monotonic

from ortools.sat.python import cp_model

from seasonplan.almanac import Almanac
from seasonplan.plan import Block, Occasion, Proof, RuleCost, Score
from seasonplan.planner.accepted import Accepted
from seasonplan.planner.columns import Ban, Columns
from seasonplan.planner.grid import Grid
from seasonplan.planner.model import LOAD_STEPS, Model, feasible_model, full_model
from seasonplan.planner.seed import first_plan
from seasonplan.planner.worth import FORM, POINTS
from seasonplan.reference import response_table
from seasonplan.response import occasion, quality_weights, worth
from seasonplan.rules import RuleBook
from seasonplan.vocabulary import Kind, Quality
from seasonplan.year import Year

STANDARD_EFFORT = 30.0  # deterministic seconds; about as many of wall clock on a usual core


@dataclass(frozen=True, slots=True)
class Progress:
    """How a search stands: points of the best plan so far, what is still possible, seconds.

    `bound` is infinite while nothing is known of what is possible.
    """

    points: float
    bound: float
    seconds: float

    @property
    def gap(self) -> float:
        """Share by which a better plan may exist."""
        if self.bound == inf:
            return 1.0
        return max(0.0, self.bound - self.points) / max(1.0, abs(self.bound))


@dataclass(frozen=True, slots=True)
class Found:
    """The best plan found: blocks in order with provisional ids, the worth claimed, the proof."""

    blocks: tuple[Block, ...]
    score: Score
    proof: Proof


@dataclass(frozen=True, slots=True)
class Impossible:
    """Proven: no plan obeys every hard rule and entry."""


@dataclass(frozen=True, slots=True)
class Stopped:
    """Stopped before any plan was found."""


class _Watch(cp_model.CpSolverSolutionCallback):
    def __init__(self, tell: Callable[[Progress], None]) -> None:
        super().__init__()
        self._tell = tell
        self._start = monotonic()

    def on_solution_callback(self) -> None:
        self.tell(self.objective_value, self.best_objective_bound)

    def tell(self, objective: float, bound: float) -> None:
        """Objective and bound in the solver's units."""
        self._tell(Progress(objective / POINTS, bound / POINTS, monotonic() - self._start))


def best_plan(
    year: Year,
    *,
    book: RuleBook,
    effort: float = STANDARD_EFFORT,
    gap: float = 0.0,
    ban: Ban | None = None,
    accepted: Accepted | None = None,
    on_progress: Callable[[Progress], None] | None = None,
    stop: threading.Event | None = None,
) -> Found | Impossible | Stopped:
    """The best plan of a year under a rule book.

    `effort` is in deterministic seconds, so that the same year gives the same plan; `gap` is
    the share below the best possible at which to be content. Setting `stop` ends the search
    with the best plan so far. `ban` asks what if a kind of block did not lie on some days;
    `accepted` freezes the past and prices changes of what was accepted.
    """
    model = full_model(Columns(Grid(Almanac(year), accepted=accepted), book, ban=ban))
    solver = _solver(effort, gap=gap)
    watch = _Watch(on_progress or (lambda progress: None))
    known = _begin_with_known_plan(model, watch)
    status = _solve(solver, model, stop=stop, watch=watch)
    if status == cp_model.INFEASIBLE:
        return Impossible()
    optimal = status == cp_model.OPTIMAL and gap == 0
    if status in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        bound = solver.best_objective_bound / POINTS
        solver = solver if optimal else _settled(model, solver)
    elif known is not None:  # stopped before the search came to it by itself
        bound, solver = _ceiling(model), known
    else:
        return Stopped()
    return Found(
        _blocks(model, solver),
        _claim(model, solver),
        Proof(
            optimal=optimal,
            gap=Progress(solver.objective_value / POINTS, bound, 0).gap,
            bound=bound,
        ),
    )


def is_possible(
    year: Year, *, book: RuleBook, ban: Ban | None = None, accepted: Accepted | None = None
) -> bool:
    """Whether any plan obeys every hard rule and entry."""
    model = feasible_model(Columns(Grid(Almanac(year), accepted=accepted), book, ban=ban))
    solver = _solver(STANDARD_EFFORT, gap=0)
    solver.parameters.linearization_level = 0  # no objective: the linear relaxation only costs time
    return solver.solve(model.cp) in (cp_model.OPTIMAL, cp_model.FEASIBLE)


def _solver(effort: float, *, gap: float) -> cp_model.CpSolver:
    """One worker and a deterministic limit: several free workers return different optima."""
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = 1
    solver.parameters.linearization_level = 2
    solver.parameters.max_deterministic_time = effort
    solver.parameters.relative_gap_limit = gap
    solver.parameters.log_search_progress = False
    solver.parameters.catch_sigint_signal = False  # its own handler ends the whole process
    return solver


def _begin_with_known_plan(model: Model, watch: _Watch) -> cp_model.CpSolver | None:
    """Hint every variable with the plan that a shortest path finds, and tell of it.

    The answer holds that plan; None where there is none.
    """
    assert model.worth is not None
    numbers = first_plan(model.columns, model.worth)
    if numbers is None:
        return None
    known = set(numbers)
    for number, variable in enumerate(model.chosen):
        model.cp.add_hint(variable, number in known)
    fixed = _solver(STANDARD_EFFORT, gap=0.0)
    fixed.parameters.fix_variables_to_their_hinted_value = True
    status = fixed.solve(model.cp)
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return None
    watch.tell(fixed.objective_value, inf)
    model.cp.clear_hints()  # type: ignore[no-untyped-call]  # ortools leaves it untyped
    for index in range(len(model.cp.proto.variables)):
        variable = model.cp.get_int_var_from_proto_index(index)
        model.cp.add_hint(variable, fixed.value(variable))
    return fixed


def _ceiling(model: Model) -> float:
    """Points that no plan can be above: every possible day good, in the best state there is."""
    assert model.worth is not None
    best = response_table().gain.state[-1]
    priority = {goal.id: goal.priority for goal in model.columns.grid.almanac.year.goals}
    return sum(
        worth(occasion(one, good_days=one.possible, state=best), priority=priority[one.goal.id])
        for one in model.worth.chances
    )


def _settled(model: Model, solver: cp_model.CpSolver) -> cp_model.CpSolver:
    """The same blocks solved again: where a search ended early, what they cost is still loose."""
    model.cp.clear_hints()  # type: ignore[no-untyped-call]  # ortools leaves it untyped
    for variable in model.chosen:
        model.cp.add_hint(variable, solver.boolean_value(variable))
    again = _solver(STANDARD_EFFORT, gap=0.0)
    again.parameters.fix_variables_to_their_hinted_value = True
    status = again.solve(model.cp)
    return again if status in (cp_model.OPTIMAL, cp_model.FEASIBLE) else solver


def _solve(
    solver: cp_model.CpSolver, model: Model, *, stop: threading.Event | None, watch: _Watch
) -> cp_model.CpSolverStatus:
    if stop is None:
        return solver.solve(model.cp, watch)
    ended = threading.Event()

    def heed() -> None:
        # stop_search() is lost when it comes before solve() begins, so it is repeated
        while not ended.wait(0.05):
            if stop.is_set():
                solver.stop_search()

    heeding = threading.Thread(target=heed, daemon=True)
    heeding.start()
    try:
        return solver.solve(model.cp, watch)
    finally:
        ended.set()
        heeding.join()


def _blocks(model: Model, solver: cp_model.CpSolver) -> tuple[Block, ...]:
    columns = model.columns
    pins = {(pin.kind, pin.span): pin for pin in columns.grid.almanac.year.pins}
    raw = [
        Block(
            id="-",
            kind=column.kind,
            span=column.span,
            weeks=columns.weeks(column),
            entry=pins[column.kind, column.span].id if (column.kind, column.span) in pins else None,
            pinned=(column.kind, column.span) in pins,
        )
        for column, variable in zip(columns.all, model.chosen, strict=True)
        if solver.boolean_value(variable)
    ]
    weeks = columns.given_weeks
    for given in columns.grid.almanac.givens:
        inside = tuple(weeks[cell.index] for cell in columns.grid.cells if cell.given is given)
        raw.append(
            Block(
                id="-", kind=given.kind, span=given.span, weeks=inside, entry=given.entry,
                phase=given.phase,
            )
        )  # fmt: skip
    raw.sort(key=lambda block: block.span)
    return numbered(raw)


def numbered(blocks: list[Block]) -> tuple[Block, ...]:
    """Blocks with ids made of kind and number, in order."""
    counts: Counter[Kind] = Counter()
    found = []
    for block in blocks:
        counts[block.kind] += 1
        values = {name: getattr(block, name) for name in Block.model_fields}
        found.append(Block(**{**values, "id": f"{block.kind.value}-{counts[block.kind]}"}))
    return tuple(found)


def _claim(model: Model, solver: cp_model.CpSolver) -> Score:
    """What the solver's own integers say the plan is worth; the checker works it out again."""
    assert model.worth is not None
    occasions = tuple(_occasion(model, solver, index) for index in range(len(model.worth.chances)))
    costs = []
    for code, terms in model.costs.items():
        weight = model.columns.book[code].weight
        if code == "load-step":  # its variables are loose where the search ended early
            points = weight * _load_above(model, solver) / LOAD_STEPS
        else:
            points = sum(solver.value(variable) * each for variable, each in terms) / POINTS
        costs.append(RuleCost(rule=code, amount=points / weight if weight else 0.0, points=points))
    priority = {goal.id: goal.priority for goal in model.columns.grid.almanac.year.goals}
    total = sum(worth(o, priority=priority[o.goal]) for o in occasions)
    return Score(
        occasions=occasions, costs=tuple(costs), points=total - sum(c.points for c in costs)
    )


def _load_above(model: Model, solver: cp_model.CpSolver) -> int:
    """Load above the limits of `load-step`, in 1/LOAD_STEPS of a full week."""
    return sum(
        max(0, constant + sum(load for n, load in terms if solver.boolean_value(model.chosen[n])))
        for terms, constant in model.steps
    )


def _occasion(model: Model, solver: cp_model.CpSolver, index: int) -> Occasion:
    assert model.worth is not None
    constants, found = response_table(), model.worth.constant(index)
    good, fitness, fatigue = found.good_days, list(found.fitness), found.fatigue
    for effect, variable in zip(model.worth.effects(index), model.chosen, strict=True):
        if solver.boolean_value(variable):
            good += effect.good_days
            fatigue += effect.fatigue
            fitness = [a + b for a, b in zip(fitness, effect.fitness, strict=True)]
    chance = model.worth.chances[index]
    weights = quality_weights(chance.goal, model.columns.grid.almanac.year)
    state = (
        sum(
            weights[q] * constants.gain(level / FORM)
            for q, level in zip(Quality, fitness, strict=True)
        )
        - constants.fatigue_weight * fatigue / FORM
    )
    return occasion(chance, good_days=good, state=state)
