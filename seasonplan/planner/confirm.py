"""The same choice once more by a solver: one Boolean a candidate, rules as constraints.

CP-SAT knows nothing of paths; that it comes to the same worth confirms a plan that is kept.
Enforces `rest-every` in windows of its own.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from itertools import pairwise, product

from ortools.sat.python import cp_model

from seasonplan.planner.candidates import Candidates
from seasonplan.planner.grid import Column, Grid
from seasonplan.planner.order import (
    Ending,
    allowed_first,
    ending,
    may_follow,
    too_soon,
)
from seasonplan.planner.path import Best
from seasonplan.planner.softs import Softs
from seasonplan.vocabulary import CHOSEN, Kind

EFFORT = 3.0  # deterministic seconds; a plan it does not confirm in time says so


def confirmed(
    candidates: Candidates, worths: Sequence[int], best: Best, *, softs: Softs
) -> bool | None:
    """Whether the solver finds the same worth; None where it did not come to an end."""
    cp, chosen = _model(candidates)
    costs = list(_between(cp, candidates, chosen, softs))
    total = cp_model.LinearExpr.weighted_sum(
        [*chosen, *(v for v, _ in costs)], [*worths, *(-each for _, each in costs)]
    )
    cp.maximize(total)
    for number, variable in enumerate(chosen):
        cp.add_hint(variable, number in best.columns)
    solver = _solver()
    status = solver.solve(cp)
    if status != cp_model.OPTIMAL:
        return None if status in (cp_model.FEASIBLE, cp_model.UNKNOWN) else False
    return round(solver.objective_value) == best.worth


def solver_possible(candidates: Candidates) -> bool:
    """Whether the solver finds any plan."""
    if candidates.lost_pins:
        return False
    cp, _ = _model(candidates)
    return _solver().solve(cp) in (cp_model.OPTIMAL, cp_model.FEASIBLE)


def _solver() -> cp_model.CpSolver:
    """One worker and a deterministic limit."""
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = 1
    solver.parameters.max_deterministic_time = EFFORT
    solver.parameters.linearization_level = 2  # the cover is nearly whole as a linear program
    solver.parameters.catch_sigint_signal = False  # its own handler ends the whole process
    return solver


def _model(candidates: Candidates) -> tuple[cp_model.CpModel, list[cp_model.IntVar]]:
    """The hard rules."""
    cp = cp_model.CpModel()
    chosen = [cp.new_bool_var("") for _ in candidates.all]
    _cover(cp, candidates, chosen)
    _follow(cp, candidates, chosen)
    _rest(cp, candidates, chosen)
    return cp, chosen


def _cover(cp: cp_model.CpModel, candidates: Candidates, chosen: Sequence[cp_model.IntVar]) -> None:
    """Each free cell lies in exactly one chosen candidate."""
    over: dict[int, list[cp_model.IntVar]] = defaultdict(list)
    for column, variable in zip(candidates.all, chosen, strict=True):
        for cell in range(column.first, column.last + 1):
            over[cell].append(variable)
    for place in candidates.grid.cells:
        if place.given is None:
            _exactly_one(cp, over[place.index])


def _exactly_one(cp: cp_model.CpModel, variables: list[cp_model.IntVar]) -> None:
    """Just one of them; of none, the model has no answer (the solver refuses an empty list)."""
    if variables:
        cp.add_exactly_one(variables)
    else:
        cp.add_bool_or([])


def _follow(
    cp: cp_model.CpModel, candidates: Candidates, chosen: Sequence[cp_model.IntVar]
) -> None:
    """What ends at a boundary allows what begins there."""
    ends: dict[int, dict[Ending, list[cp_model.IntVar]]] = defaultdict(lambda: defaultdict(list))
    begins: dict[int, dict[Kind, list[cp_model.IntVar]]] = defaultdict(lambda: defaultdict(list))
    for column, variable in zip(candidates.all, chosen, strict=True):
        ends[column.last][ending(column, candidates)].append(variable)
        begins[column.first][column.kind].append(variable)
    grid = candidates.grid
    for last, first in boundaries(grid):
        gap, past = grid.gap_before(first), grid.is_past(grid.cells[first].span.first)
        for end, here in ends[last].items():
            allowed = [
                variable
                for kind in CHOSEN
                if past or may_follow(end, gap, kind, candidates.book)
                for variable in begins[first][kind]
            ]
            cp.add(sum(here) <= sum(allowed))
    if grid.segments:
        start = grid.segments[0][0]
        _exactly_one(cp, [v for kind in allowed_first(candidates) for v in begins[start][kind]])


def _rest(cp: cp_model.CpModel, candidates: Candidates, chosen: Sequence[cp_model.IntVar]) -> None:
    """Some rest in every run of cells that is too long to hold none."""
    rests = [
        (column, variable)
        for column, variable in zip(candidates.all, chosen, strict=True)
        if column.kind is Kind.REST
    ]
    for first, last in rest_windows(candidates):
        cp.add(sum(v for column, v in rests if column.first <= last and first <= column.last) >= 1)


def _between(
    cp: cp_model.CpModel, candidates: Candidates, chosen: Sequence[cp_model.IntVar], softs: Softs
) -> Iterator[tuple[cp_model.IntVar, int]]:
    """Costs of two blocks in a row; of rest, also of how soon after the last it comes."""
    pairs = list(zip(candidates.all, chosen, strict=True))
    for (last, first), kind in product(boundaries(candidates.grid), CHOSEN):
        ends = [(v, ending(c, candidates)) for c, v in pairs if c.last == last]
        begins = [v for c, v in pairs if c.kind is kind and c.first == first]
        cases = [(False, list[cp_model.IntVar]())]
        if kind is Kind.REST:
            cases += [(True, rests) for rests in _just_rested(pairs, last, first, candidates)]
        both, parts = cp.new_bool_var(""), 0  # one rule asks about a kind, so all cost the same
        for soon, rests in cases:
            costs = [(v, softs.parts_between(e, kind, first, soon)) for v, e in ends]
            if begins and (priced := [v for v, cost in costs if cost]):
                parts = max(cost for _, cost in costs)
                cp.add(both >= sum(priced) + sum(begins) + sum(rests) - 1 - bool(rests))
        if parts:
            yield both, parts


def _just_rested(
    pairs: Sequence[tuple[Column, cp_model.IntVar]], last: int, first: int, candidates: Candidates
) -> Iterator[list[cp_model.IntVar]]:
    """What makes rest that begins with a cell come too soon, one of each list at most: nothing
    where that is certain. The `last` cell before it belongs to what it follows."""
    grid, book = candidates.grid, candidates.book
    begins = grid.cells[first].span.first
    if too_soon(begins, grid.off_until(begins), book):
        yield []
    rests = [(c, v) for c, v in pairs if c.kind is Kind.REST and c.last < last]
    for rested in sorted({c.last for c, _ in rests}):
        ended = [(c, v) for c, v in rests if c.last == rested]
        if too_soon(begins, ended[0][0].span.after, book):
            yield [v for _, v in ended]


# --- where blocks meet, and how long there may be no rest -----------------------------------------


def boundaries(grid: Grid) -> Iterator[tuple[int, int]]:
    """Where blocks may change: each free cell and the next one, with what is given between."""
    return pairwise(cell.index for cell in grid.cells if cell.given is None)


def rest_windows(candidates: Candidates) -> Iterator[tuple[int, int]]:
    """Shortest runs of cells that are too long to hold no rest at all, both ends inside.

    A run ends in a free cell: where a given thing alone is too long, rest comes right after it.
    """
    rule = candidates.book.active("rest-every")
    if rule is None:
        return
    most = 7 * rule.number
    grid = candidates.grid
    cells = grid.cells
    carried = grid.almanac.year.before.days_since_rest
    for first in range(len(cells)):
        allowed = most if first else most - carried
        for last in range(first, len(cells)):
            given = cells[last].given
            if grid.rests(cells[last]):
                break
            if grid.is_past(cells[last].span.first):
                continue
            if given is None and (cells[last].span.after - cells[first].span.first).days > allowed:
                yield first, last
                break
