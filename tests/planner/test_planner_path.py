"""The best path over candidates: prices, held and barred blocks, ties, and what paths may be."""

from __future__ import annotations

import random
import threading
from functools import cache

import pytest
from places import TESTS
from random_years import random_year

from seasonplan.checker import check
from seasonplan.identity import all_ids, carried
from seasonplan.planner.fill import fill
from seasonplan.planner.path import NEVER, Best, Graph, Prices
from seasonplan.planner.run import Search, SearchStopped, best_plan
from seasonplan.rules.statements import book_of
from seasonplan.year import Year
from seasonplan.year.toml import read_year

YEARS = TESTS / "years"
SHORT = (1, 6, 15, 18, 23, 24)  # random years of 30 to 39 weeks


def year_of(name: str) -> Year:
    return read_year((YEARS / f"{name}.toml").read_text(encoding="utf-8"), file=name)


@cache
def searched(name: str) -> Search:
    year = year_of(name)
    return Search(year, book=book_of(year))


def test_the_worth_of_a_path_is_that_of_its_blocks_less_what_neighbours_cost() -> None:
    search = searched("autumn")
    best = search.prices.best()
    assert best is not None
    worths = [worth for _, worth in search.best_variants]
    arcs = {(number, start): (to, cost) for start, to, number, cost in search.graph.arcs}
    node, total = search.graph.root, 0
    for number in best.columns:
        node, cost = arcs[number, node]
        total += worths[number] - cost
    assert search.graph.nodes[node].cell == search.graph.end
    assert total == best.worth


@pytest.mark.parametrize("name", ["autumn", "twelve-weeks", "cleft-in-winter"])
def test_a_held_block_leaves_the_worth_that_its_price_says(name: str) -> None:
    """Held: every candidate that shares a cell with it is barred."""
    search = searched(name)
    columns, worths = search.candidates.all, [worth for _, worth in search.best_variants]
    through = search.prices.through
    for number in random.Random(name).sample(sorted(through), 12):
        held = columns[number]
        left = [
            NEVER if n != number and one.first <= held.last and held.first <= one.last else worth
            for (n, one), worth in zip(enumerate(columns), worths, strict=True)
        ]
        best = Prices(search.graph, left).best()
        assert best is not None
        assert number in best.columns
        assert best.worth == through[number]


def test_no_price_is_above_the_best_and_those_of_the_plan_are_equal_to_it() -> None:
    search = searched("autumn")
    best = search.prices.best()
    assert best is not None
    prices = search.prices.through
    assert max(prices.values()) == best.worth
    assert {prices[number] for number in best.columns} == {best.worth}


def test_of_equal_plans_the_first_in_order_is_taken_every_time() -> None:
    search = searched("twelve-weeks")
    nothing = [0] * len(search.candidates.all)
    graph = Graph(search.candidates)
    first = Prices(graph, nothing).best()
    again = Prices(Graph(search.candidates), nothing).best()
    assert first is not None
    assert first == again
    nothing[first.columns[0]] = NEVER
    without = Prices(graph, nothing).best()
    assert without is not None
    assert without.worth == first.worth == 0
    assert without.columns > first.columns


def test_a_search_that_is_stopped_gives_no_plan() -> None:
    stop = threading.Event()
    stop.set()
    year = year_of("twelve-weeks")
    assert isinstance(best_plan(year, book=book_of(year), stop=stop), SearchStopped)


def random_path(search: Search, rng: random.Random) -> Best | None:
    """Any path through the year, by random worths."""
    worths = [rng.randint(0, 1000) for _ in search.candidates.all]
    return Prices(search.graph, worths).best()


def test_the_checker_has_nothing_against_any_path() -> None:
    """Not of the best plan alone: whatever the graph allows obeys every hard rule on blocks."""
    judged = 0
    for number in SHORT:
        drawn = random_year(number)
        search = Search(drawn.year, book=book_of(drawn.year), taken=drawn.taken)
        rng = random.Random(number)
        for _ in range(8):
            path = random_path(search, rng)
            if path is None:
                continue
            named = carried(search.blocks(path), old=(), used=all_ids(None))
            filled = fill(search.weeks, search.candidates, named)
            found = check(drawn.year, filled.blocks, sessions=filled.sessions)
            broken = [one for one in found if one.strength == "hard"]
            assert not broken, (number, broken)
            judged += 1
    assert judged >= 40
