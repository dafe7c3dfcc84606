"""Paths, prices and the solver against every order of blocks of small years.

`every_year` lists the orders and lets the checker judge them, so nothing here is held against the
planner's own view of the rules.
"""

from __future__ import annotations

import random
from functools import cache
from itertools import pairwise

import pytest
from every_year import (
    YEARS,
    Row,
    allowed_rows,
    candidates_of,
    costing,
    graph_of,
    paths,
    rows,
    worth_of,
)
from plan_maker import a_year, absence, block, day, pin, span

from seasonplan.body.almanac import Almanac
from seasonplan.planner.accepted import Accepted
from seasonplan.planner.candidates import Candidates
from seasonplan.planner.confirm import confirmed, solver_possible
from seasonplan.planner.grid import Grid
from seasonplan.planner.path import NEVER, Best, Graph, Prices
from seasonplan.planner.run import is_possible
from seasonplan.planner.softs import Softs
from seasonplan.planner.values import NONE, Amount
from seasonplan.rules.statements import book_of
from seasonplan.vocabulary import Kind

POSSIBLE = [name for name in YEARS if name != "restless"]
every_year = pytest.mark.parametrize("name", YEARS)
every_possible = pytest.mark.parametrize("name", POSSIBLE)
SEEDS = range(8)


def rows_of(graph: Graph) -> list[Row]:
    return [row for row, _ in paths(graph)]


@cache
def drawn(name: str, seed: int, *, most: int = 1000) -> tuple[int, ...]:
    rng = random.Random(f"{name} {seed}")
    return tuple(rng.randint(-most // 4, most) for _ in candidates_of(name).all)


def worths_of(name: str, seed: int, *, most: int = 1000) -> dict[Row, int]:
    """Each allowed order with what it is worth."""
    one, worths = candidates_of(name), drawn(name, seed, most=most)
    return {row: worth_of(row, worths, one) for row in allowed_rows(name)}


# --- what paths there are -------------------------------------------------------------------------


@every_year
def test_the_paths_are_just_the_orders_that_the_checker_has_nothing_against(name: str) -> None:
    found = rows_of(graph_of(name))
    assert len(found) == len(set(found))
    assert set(found) == set(allowed_rows(name))
    assert graph_of(name).possible is bool(found)


@every_year
def test_the_solver_finds_a_plan_just_where_there_is_an_order(name: str) -> None:
    assert solver_possible(candidates_of(name)) is bool(allowed_rows(name))
    assert is_possible(YEARS[name], book=candidates_of(name).book) is bool(allowed_rows(name))


def test_where_no_week_is_light_blocks_of_waves_do_not_meet() -> None:
    """One week in four is light, and no block here is that long: between two lies something."""
    met = 0
    for name in POSSIBLE:
        year = YEARS[name]
        strict = Candidates(candidates_of(name).grid, book_of(year))
        waves, meet = (Kind.BASE, Kind.STRENGTH), set()
        for row in allowed_rows(name):
            columns = [strict.all[number] for number in row]
            if any(
                {a.kind, b.kind} <= set(waves) and b.first == a.last + 1
                for a, b in pairwise(columns)
            ):
                meet.add(row)
        assert set(rows_of(Graph(strict))) == set(allowed_rows(name)) - meet
        met += len(meet)
    assert met > 50


def test_a_pin_inside_something_given_leaves_no_path() -> None:
    lost = YEARS["trips"].with_fields(pins=(pin(Kind.BASE, 8, 4),))
    one = Candidates(Grid(Almanac(lost)), book_of(lost).without("deload"))
    assert one.lost_pins == list(lost.pins)
    assert not Graph(one).possible and not solver_possible(one)


def test_a_year_all_of_which_is_given_is_a_plan_without_blocks() -> None:
    year = a_year(4, absences=[absence(0, 28)])
    one = Candidates(Grid(Almanac(year)), book_of(year))
    graph = Graph(one)
    assert graph.possible and solver_possible(one)
    assert Prices(graph, []).best() == Best((), 0)


def known_paths(one: Candidates, known: dict[object, int]) -> set[Row]:
    """Its paths by the numbers that the same blocks have among more candidates."""
    numbers = [known[column.kind, column.span] for column in one.all]
    return {tuple(numbers[n] for n in row) for row in rows_of(Graph(one))}


def test_pins_leave_the_orders_that_keep_them() -> None:
    year = YEARS["open"]
    every = candidates_of("open")
    known: dict[object, int] = {(c.kind, c.span): n for n, c in enumerate(every.all)}
    kept = 0
    for column in every.all[::4]:
        fixed = year.with_fields(
            pins=(pin(column.kind, (column.span.first - day(0)).days, column.days),)
        )
        one = Candidates(Grid(Almanac(fixed)), every.book)
        number = known[column.kind, column.span]
        expected = {row for row in allowed_rows("open") if number in row}
        assert known_paths(one, known) == expected
        kept += bool(expected)
    assert kept >= 3


def test_what_is_over_stays_and_no_rule_asks_about_it() -> None:
    """Three weeks are over, in blocks of a year's order that no rule would let be; then any."""
    year = YEARS["open"].with_fields(seasons=())
    stood = (block(Kind.REST, 0, 7), block(Kind.STRENGTH, 7, 7), block(Kind.REST, 14, 21))
    grid = Grid(Almanac(year), accepted=Accepted(stood, day(17)))
    one = Candidates(grid, book_of(year).without("deload"))
    found = [tuple(one.all[n] for n in row) for row in rows_of(Graph(one))]
    assert len(found) >= 3
    for row in found:
        assert [(c.kind, c.span) for c in row[:2]] == [
            (Kind.REST, span(0, 7)), (Kind.STRENGTH, span(7, 7)),
        ]  # fmt: skip
        third = row[2]
        assert third.kind is Kind.REST and third.span.first == day(14)
        assert 3 <= third.days <= 9 and third.span.after > day(16)
    assert solver_possible(one)


# --- prices ---------------------------------------------------------------------------------------


@every_possible
@pytest.mark.parametrize("most", [1000, 3])
def test_the_best_path_is_the_best_of_all_orders_and_of_equals_the_first(
    name: str, most: int
) -> None:
    """With few different worths many orders are equal: the first by its candidates is taken."""
    one = candidates_of(name)
    graph, tied = costing(one), 0
    for seed in SEEDS:
        every = worths_of(name, seed, most=most)
        top = max(every.values())
        first = min(row for row, worth in every.items() if worth == top)
        tied += list(every.values()).count(top) > 1
        assert Prices(graph, drawn(name, seed, most=most)).best() == Best(first, top)
    assert tied or most > 3 or name == "away first"


@every_possible
def test_a_price_is_the_best_order_with_that_block(name: str) -> None:
    one = candidates_of(name)
    graph = costing(one)
    for seed in SEEDS:
        every, worths = worths_of(name, seed), drawn(name, seed)
        prices = Prices(graph, worths)
        lie = {number for row in every for number in row}
        assert set(prices.through) == lie
        for number, worth in prices.through.items():
            assert worth == max(w for row, w in every.items() if number in row)
            path = prices.through_path(number)
            assert number in path and every[path] == worth


@every_possible
def test_what_the_best_year_with_a_block_holds_is_the_sum_over_its_blocks(name: str) -> None:
    one = candidates_of(name)
    graph, rng = costing(one), random.Random(name)
    amounts = [Amount(rng.random(), rng.randint(0, 5), rng.random()) for _ in one.all]
    for seed in SEEDS:
        prices = Prices(graph, drawn(name, seed))
        for number, held in prices.along(amounts).items():
            path = prices.through_path(number)
            for n, part in enumerate(held):
                assert part == pytest.approx(sum(amounts[each][n] for each in path))


@every_possible
def test_barred_blocks_leave_the_best_of_the_other_orders(name: str) -> None:
    one, rng = candidates_of(name), random.Random(name)
    graph, none = costing(one), 0
    for seed in SEEDS:
        barred = frozenset(rng.sample(range(len(one.all)), len(one.all) // 4))
        left = {r: w for r, w in worths_of(name, seed).items() if not barred & set(r)}
        worths = [NEVER if n in barred else worth for n, worth in enumerate(drawn(name, seed))]
        best = Prices(graph, worths).best()
        none += not left
        assert (best.worth if best else None) == max(left.values(), default=None)
    assert none < len(SEEDS) or name in ("away first", "hurt")


@every_possible
def test_ways_worth_enough_are_those_of_orders_worth_enough(name: str) -> None:
    one = candidates_of(name)
    graph = costing(one)
    every = worths_of(name, 0)
    prices = Prices(graph, drawn(name, 0))
    for least in sorted(every.values())[:: max(1, len(every) // 7)]:
        rich = {number for row, worth in every.items() if worth >= least for number in row}
        arcs = prices.arcs_worth(least)
        assert arcs == sorted(arcs)
        assert {graph.arcs[arc][2] for arc in arcs} == rich


def test_a_year_without_an_order_has_no_best_and_no_prices() -> None:
    prices = Prices(graph_of("restless"), drawn("restless", 0))
    assert prices.best() is None and prices.through == {} and prices.along([NONE] * 99) == {}


# --- the solver -----------------------------------------------------------------------------------


@every_possible
def test_the_solver_confirms_the_worth_of_the_best_order_and_no_other(name: str) -> None:
    one = candidates_of(name)
    book = one.book.without("few-changes")
    softs = Softs(Candidates(one.grid, book))
    codes = {
        Kind.STRENGTH: "base-first", Kind.PERFORMANCE: "work-before-lead-in",
        Kind.REST: "work-before-rest",
    }  # fmt: skip
    costs = {kind: round(1_000_000 * book[code].weight) for kind, code in codes.items()}
    for seed in range(3):
        worths = [n * 1_000_000 for n in drawn(name, seed)]
        every = {row: worth_of(row, worths, one, costs=costs) for row in allowed_rows(name)}
        top = max(every, key=lambda row: every[row])
        best = Best(top, every[top])
        assert confirmed(one, worths, best, softs=softs) is True
        for off in (-1_000_000, 1_000_000):
            wrong = Best(top, best.worth + off)
            assert confirmed(one, worths, wrong, softs=softs) is False


def test_the_solver_confirms_nothing_of_a_year_without_an_order() -> None:
    one = candidates_of("restless")
    worths = [0] * len(one.all)
    assert confirmed(one, worths, Best((), 0), softs=Softs(one)) is False


def test_no_two_rows_of_one_year_are_alike() -> None:
    """The list that all is held against: each order once, all days in it."""
    for name in YEARS:
        one = candidates_of(name)
        every = list(rows(one))
        assert len(set(every)) == len(every)
        free = {c.index for c in one.grid.cells if c.given is None}
        for row in every:
            cells = [n for k in row for n in range(one.all[k].first, one.all[k].last + 1)]
            assert sorted(cells) == sorted(free)
    kinds = {candidates_of("open").all[n].kind for row in allowed_rows("open") for n in row}
    assert kinds == {kind for kind in Kind if kind.chosen}
