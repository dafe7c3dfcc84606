"""A block forced into the best year by CP-SAT, which knows nothing of paths."""

from __future__ import annotations

from seasonplan.planner.confirm import confirmed
from seasonplan.planner.path import Best
from seasonplan.planner.search import Search

MOST = 10**12  # parts: more than any year is worth


def solver_agrees(search: Search, number: int) -> bool | None:
    """Whether the solver, made to take a candidate, comes to the worth of the best path through it.

    None where it did not come to an end.
    """
    worths, through = [worth for _, worth in search.best_variants], search.prices.through
    worths[number] += MOST
    best = Best(search.prices.through_path(number), through[number] + MOST)
    return confirmed(search.candidates, worths, best, softs=search.softs)
