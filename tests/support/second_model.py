"""The planner's choice a second time, as a flow through the year for HiGHS.

Written apart from `seasonplan.planner.path`: every candidate in every emphasis and with every first
light week is a column of its own, blocks are arcs of one flow through the boundaries of the year,
what may follow what are arcs between them, and rest in time is a cover over days. It takes the
same candidates and worths, so both must come to the very same whole number.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import timedelta
from functools import cached_property
from itertools import pairwise
from typing import Any

import highspy

from seasonplan.body.little_time import as_good_as_rest
from seasonplan.planner.candidates import Variant
from seasonplan.planner.grid import Cell
from seasonplan.planner.order import Ending, allowed_first, ending, may_follow
from seasonplan.planner.search import Search
from seasonplan.vocabulary import CHOSEN, Kind

NO_REST_NEEDED = (Kind.ABSENCE, Kind.INJURED, Kind.RETURN)
Terms = list[tuple[object, float]]
Key = tuple[int, Variant]


@dataclass(frozen=True)
class Answer:
    """The best flow: its columns (candidate and variant) in order, worth in parts, and the bound
    that HiGHS proved."""

    chosen: tuple[Key, ...]
    worth: int
    bound: float


class Problem:
    """All numbers of one year's problem."""

    def __init__(self, search: Search) -> None:
        self.search = search
        self.candidates = search.candidates
        self.grid = search.grid
        self.book = search.candidates.book
        self.little = as_good_as_rest(search.grid.almanac)

    @cached_property
    def worths(self) -> Mapping[Key, int]:
        """Parts of a point of every column: all emphases and light weeks, not the best alone."""
        return {
            (number, variant): worth
            for number in range(len(self.candidates.all))
            for variant, worth in self.search.variants(number)
        }

    def free(self) -> list[Cell]:
        return [cell for cell in self.grid.cells if cell.given is None]

    def worth(self, chosen: Sequence[Key]) -> int:
        """Worth of a choice by plain sums of whole numbers."""
        row = sorted(chosen, key=lambda key: self.candidates.all[key[0]].first)
        total = sum(self.worths[key] for key in row)
        for before, after in pairwise(self.candidates.all[number] for number, _ in row):
            rests = [one for one, _ in row if self.candidates.all[one].kind is Kind.REST]
            soon = any(self.soon_after(one, after.first) for one in (None, *rests))
            total -= self.search.softs.parts_between(
                ending(before, self.candidates), after.kind, after.first, soon
            )
        return total

    def soon_after(self, rest: int | None, cell: int) -> bool:
        """Whether a cell begins soon after a rest, or (None) after what is given or came before."""
        rule, first = self.book.active("work-before-rest"), self.grid.cells[cell].span.first
        if rule is None:
            return False
        if rest is not None:
            over = [self.candidates.all[rest].span.after]
        else:
            year = self.grid.almanac.year
            over = [year.span.first - timedelta(days=year.before.days_since_rest)]
            over += [cell.span.after for cell in self.grid.cells if self.rests(cell)]
        return any(timedelta(0) <= first - day < timedelta(weeks=rule.number) for day in over)

    def rests(self, cell: Cell) -> bool:
        """Whether it is given and needs no rest after it, or lies in weeks of next to no time."""
        off = cell.given is not None and cell.given.kind in NO_REST_NEEDED
        return off or any(cell.span.first in span for span in self.little)

    def unrested(self) -> Iterator[tuple[int, int]]:
        """Shortest runs of cells, first and last, that are too long to hold no rest."""
        rule = self.book.active("rest-every")
        if rule is None:
            return
        cells = self.grid.cells
        most = 7 * rule.number
        for first in range(len(cells)):
            carried = self.grid.almanac.year.before.days_since_rest if first == 0 else 0
            days = carried
            for cell in cells[first:]:
                if self.rests(cell):
                    break
                days += cell.span.length
                asked = cell.given is None and not self.grid.is_past(cell.span.first)
                if asked and days > most:
                    yield first, cell.index
                    break


def solve(
    search: Search, *, forced: int | None = None, barred: Collection[int] = (), seconds: float = 120
) -> Answer | None:
    """The best flow, None where there is none.

    `forced`: a candidate that must be in it; `barred`: those that must not.
    """
    return Program(Problem(search), forced, frozenset(barred), seconds).answer()


class Program:
    """The mixed-integer program of one problem."""

    def __init__(
        self, problem: Problem, forced: int | None, barred: Collection[int], seconds: float
    ) -> None:
        highspy.Highs.resetGlobalScheduler(True)  # else `threads` is refused after another ran
        self.problem = problem
        self.solver = highspy.Highs()
        self.solver.silent()
        for option, value in (
            ("mip_rel_gap", 0.0), ("mip_abs_gap", 0.4), ("time_limit", seconds), ("threads", 1),
            ("mip_feasibility_tolerance", 1e-9), ("primal_feasibility_tolerance", 1e-9),
        ):  # fmt: skip
            self.set(option, value)
        binary = highspy.HighsVarType.kInteger
        self.takes = {
            key: self.solver.addVariable(0, 0 if key[0] in barred else 1, type=binary)
            for key in problem.worths
        }
        self.gains: Terms = [(take, problem.worths[key]) for key, take in self.takes.items()]
        self._flow()
        self._rest()
        if forced is not None:
            self._one(lambda number: number == forced)

    def set(self, option: str, value: float) -> None:
        self.solver.setOptionValue(option, value)

    def answer(self) -> Answer | None:
        self.solver.maximize(self.sum(self.gains))
        if self.solver.getModelStatus() != highspy.HighsModelStatus.kOptimal:
            return None
        chosen = tuple(key for key, take in self.takes.items() if self.solver.val(take) > 0.5)
        bound = self.solver.getInfo().mip_dual_bound
        return Answer(chosen, self.problem.worth(chosen), bound)

    def sum(self, terms: Terms) -> object:
        return self.solver.qsum(factor * variable for variable, factor in terms)

    def _one(self, wanted: Callable[[int], bool]) -> None:
        terms: Terms = [(take, 1) for (number, _), take in self.takes.items() if wanted(number)]
        if terms:
            self.solver.addConstr(self.sum(terms) == 1)
        else:
            never = self.solver.addVariable(0, 0)
            self.solver.addConstr(1.0 * never >= 1)

    # --- the flow -------------------------------------------------------------------------------

    def _flow(self) -> None:
        """One unit comes in at the first free cell and changes blocks at boundaries."""
        columns = self.problem.candidates.all
        self.begins: dict[tuple[int, Kind], Terms] = defaultdict(list)
        self.ends: dict[int, dict[Ending, Terms]] = defaultdict(lambda: defaultdict(list))
        for (number, _), take in self.takes.items():
            column = columns[number]
            self.begins[column.first, column.kind].append((take, 1))
            end = ending(column, self.problem.candidates)
            self.ends[column.last][end].append((take, 1))
        free = self.problem.free()
        if not free:
            return
        opening = set(allowed_first(self.problem.candidates))
        start = free[0].index
        self._one(lambda n: columns[n].first == start and columns[n].kind in opening)
        for kind in set(CHOSEN) - opening:
            for take, _ in self.begins[start, kind]:
                self.solver.addConstr(1.0 * take == 0)
        for before, after in pairwise(free):
            self._boundary(before, after)

    def _boundary(self, before: Cell, after: Cell) -> None:
        """What ends goes on as what may follow it; what begins comes from there."""
        problem = self.problem
        gap = problem.grid.gap_before(after.index)
        past = problem.grid.is_past(after.span.first)
        incoming: dict[Kind, Terms] = {kind: [] for kind in CHOSEN}
        for end, takes in self.ends[before.index].items():
            out: Terms = []
            for kind in CHOSEN:
                if past or may_follow(end, gap, kind, problem.book):
                    change = self.solver.addVariable(0, 1)
                    out.append((change, -1))
                    incoming[kind].append((change, -1))
                    assert end.kind is not None
                    soon = problem.soon_after(None, after.index)
                    cost, late = (
                        problem.search.softs.parts_between(end, kind, after.index, is_soon)
                        for is_soon in (soon, True)
                    )
                    if cost:
                        self.gains.append((change, -cost))
                    elif late:
                        self._soon(change, after, late)
            self.solver.addConstr(self.sum([*takes, *out]) == 0)
        for kind, changes in incoming.items():
            here = [*self.begins[after.index, kind], *changes]
            if here:
                self.solver.addConstr(self.sum(here) == 0)

    def _soon(self, change: Any, after: Cell, cost: int) -> None:
        """The change costs where any rest ended few weeks before it."""
        columns, bent = self.problem.candidates.all, self.solver.addVariable(0, 1)
        self.gains.append((bent, -cost))
        for (number, _), take in self.takes.items():
            column = columns[number]
            if column.kind is Kind.REST and self.problem.soon_after(number, after.index):
                self.solver.addConstr(1.0 * take + 1.0 * change - 1.0 * bent <= 1)

    def _rest(self) -> None:
        columns = self.problem.candidates.all
        for first, last in self.problem.unrested():
            rests: Terms = [
                (take, 1)
                for (number, _), take in self.takes.items()
                if columns[number].kind is Kind.REST
                and columns[number].first <= last
                and first <= columns[number].last
            ]
            if rests:
                self.solver.addConstr(self.sum(rests) >= 1)
            else:
                self._one(lambda number: False)
