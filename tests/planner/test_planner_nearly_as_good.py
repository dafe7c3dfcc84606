"""Years nearly as good as the best, against every order of blocks of small years."""

from __future__ import annotations

import random
from itertools import pairwise
from types import SimpleNamespace
from typing import Any

import pytest
from every_year import Row, allowed_rows, candidates_of, costing, worth_of

from seasonplan.plan import Block
from seasonplan.planner.path import Prices
from seasonplan.planner.pool import near_best


def drawn(name: str, seed: int) -> tuple[int, ...]:
    """A worth of every candidate by lot."""
    rng = random.Random(f"{name} {seed}")
    return tuple(rng.randint(-250, 1000) for _ in candidates_of(name).all)


def worths_of(name: str, worths: tuple[int, ...]) -> dict[Row, int]:
    """Each allowed order with what it is worth."""
    return {row: worth_of(row, worths, candidates_of(name)) for row in allowed_rows(name)}


def search_of(name: str, worths: tuple[int, ...]) -> Any:
    """What years nearly as good ask of a search."""
    one = candidates_of(name)
    graph = costing(one)
    variants = [
        (one.variants(column)[0], worth) for column, worth in zip(one.all, worths, strict=True)
    ]
    return SimpleNamespace(
        graph=graph, candidates=one, grid=one.grid, best_variants=variants,
        prices=Prices(graph, worths),
    )  # fmt: skip


def blocks_of(name: str, row: Row) -> list[Block]:
    columns = [candidates_of(name).all[number] for number in row]
    return [Block(id=str(n), kind=c.kind, span=c.span, weeks=()) for n, c in enumerate(columns)]


def apart(name: str, one: Row, other: Row) -> int:
    """Days whose kind differs."""
    mine, theirs = (
        {d: b.kind for b in blocks_of(name, row) for d in b.span.days()} for row in (one, other)
    )
    return sum(mine[d] is not theirs[d] for d in mine)


@pytest.mark.parametrize("name", ["open", "odd days", "tired", "trips"])
@pytest.mark.parametrize("share", [0.0, 0.3, 1.0])
def test_the_first_other_year_is_the_farthest_that_is_worth_enough(name: str, share: float) -> None:
    for seed in range(4):
        every = worths_of(name, drawn(name, seed))
        search = search_of(name, drawn(name, seed))
        best = search.prices.best()
        slack = round(share * (best.worth - min(every.values())))
        rich = {row: worth for row, worth in every.items() if worth >= best.worth - slack}
        far = max(apart(name, best.columns, row) for row in rich)
        found = near_best(search, best, blocks_of(name, best.columns), count=1, slack=slack)
        if not far:
            assert found == ()
            continue
        (one,) = found
        assert one.days == (far,)
        assert rich[one.best.columns] == one.best.worth
        farthest = (row for row in rich if apart(name, best.columns, row) == far)
        assert one.best.worth == max(rich[row] for row in farthest)


@pytest.mark.parametrize("name", ["open", "days off"])
def test_a_further_year_differs_from_the_plan_and_from_the_one_before(name: str) -> None:
    """Counted in about weeks, so no other lies more than a fortnight farther from both."""
    compared = 0
    for seed in range(4):
        every = worths_of(name, drawn(name, seed))
        search = search_of(name, drawn(name, seed))
        best = search.prices.best()
        slack = best.worth - min(every.values())
        found = near_best(search, best, blocks_of(name, best.columns), count=3, slack=slack)
        assert len(found) >= 2
        stand = best.columns
        for before, one in pairwise(found):
            stands = (stand, before.best.columns)
            nearest = {row: min(apart(name, row, other) for other in stands) for row in every}
            assert min(one.days[0], one.days[-1]) == nearest[one.best.columns] > 0
            assert nearest[one.best.columns] >= max(nearest.values()) - 14
            compared += 1
        assert all(
            one.days[n] == apart(name, one.best.columns, other.best.columns)
            for k, one in enumerate(found)
            for n, other in enumerate(found[:k], 1)
        )
        assert len({one.best.columns for one in found}) == len(found)
    assert compared >= 4
