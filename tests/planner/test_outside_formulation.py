"""The planner's answer against two others: another formulation by another solver, and every plan.

The authority here is arithmetic: a flow program written apart from the planner and solved by HiGHS
must reach the same whole number, CP-SAT as well, and no plan of a small year, weighed by its dates
and sessions alone, may beat the planner's.
"""

from __future__ import annotations

import random
from collections.abc import Iterator, Sequence
from functools import cache
from pathlib import Path

import pytest
from places import TESTS
from random_years import random_year
from second_model import Problem, solve
from year_maker import small_year

from seasonplan.checker.sheet import Sheet
from seasonplan.checker.worth import score_on
from seasonplan.planner.candidates import Variant
from seasonplan.planner.confirm import confirmed, solver_possible
from seasonplan.planner.fill import fill
from seasonplan.planner.path import NEVER, Best, Prices
from seasonplan.planner.search import Search
from seasonplan.planner.values import PARTS
from seasonplan.rules.statements import book_of
from seasonplan.year import Year
from seasonplan.year.toml import read_year

FILES = sorted(
    [*(TESTS / "years").glob("*.toml"), *(TESTS.parent / "calendars_demo").glob("*/year.toml")]
)
RANDOM = (1, 6, 14, 15, 18, 23, 24, 25, 28, 36, 37, 38)  # short ones: HiGHS takes its time
PRICED = ("twelve-weeks", "autumn")


def of_file(path: Path) -> Year:
    return read_year(path.read_text(encoding="utf-8"), file=path.name)


def searching(year: Year) -> Search:
    return Search(year, book=book_of(year))


@cache
def searched(path: Path) -> Search:
    """The search of one file, worked out once."""
    return searching(of_file(path))


def named(name: str) -> Path:
    return TESTS / "years" / f"{name}.toml"


def agree(search: Search) -> Best | None:
    """The planner's best plan, after three exact methods came to the same worth."""
    best = search.prices.best() if search.graph.possible else None
    other = solve(search)
    if best is None:
        assert other is None
        assert not solver_possible(search.candidates)
        return None
    assert other is not None
    assert other.worth == best.worth
    assert other.bound < best.worth + 0.5  # proved there as well: bounds of whole numbers
    worths = [worth for _, worth in search.best_variants]
    assert confirmed(search.candidates, worths, best, softs=search.softs) is not False
    return best


# --- another formulation, other solvers -------------------------------------------------------


@pytest.mark.parametrize("path", FILES, ids=lambda path: f"{path.parent.name}/{path.stem}")
def test_three_exact_methods_reach_the_same_worth(path: Path) -> None:
    agree(searched(path))


@pytest.mark.parametrize("number", RANDOM)
def test_they_do_in_random_years_as_well(number: int) -> None:
    drawn = random_year(number)
    search = Search(drawn.year, book=book_of(drawn.year), taken=drawn.taken)
    assert agree(search) is not None


@pytest.mark.parametrize("name", PRICED)
def test_the_price_of_each_chosen_block_is_the_best_plan_with_it(name: str) -> None:
    """And of some that were not chosen: the same as the optimum with that candidate forced."""
    search = searched(named(name))
    best = search.prices.best()
    assert best is not None
    through = search.prices.through
    others = random.Random(name).sample(sorted(set(through) - set(best.columns)), 3)
    for number in (*best.columns, *others):
        forced = solve(search, forced=number)
        assert forced is not None
        assert forced.worth == through[number]
    assert all(through[number] == best.worth for number in best.columns)
    assert max(through.values()) == best.worth


def test_a_candidate_without_a_price_lies_on_no_plan() -> None:
    search = searched(named("twelve-weeks"))
    unpriced = set(range(len(search.candidates.all))) - set(search.prices.through)
    assert unpriced
    for number in sorted(unpriced)[:4]:
        assert solve(search, forced=number) is None


def test_barred_candidates_leave_the_best_of_the_others() -> None:
    search = searched(named("twelve-weeks"))
    best = search.prices.best()
    assert best is not None
    worths = [worth for _, worth in search.best_variants]
    for number in best.columns:
        without = Prices(search.graph, [*worths[:number], NEVER, *worths[number + 1 :]]).best()
        other = solve(search, barred=[number])
        assert (without is None) is (other is None)
        if without is not None and other is not None:
            assert number not in without.columns
            assert without.worth == other.worth <= best.worth


PATH_RULES = (
    "order", "rest-before-strength", "strength-before-trip", "rock-only", "lead-in-length",
    "rest-every", "rest-after-performance", "base-length", "strength-length", "rest-length",
)  # fmt: skip


@pytest.mark.parametrize("code", PATH_RULES)
def test_a_year_with_one_hard_rule_less_is_worth_no_less(code: str) -> None:
    """More plans are allowed, and none is worth anything else: weeks do not hang on these."""
    year, search = of_file(named("twelve-weeks")), searched(named("twelve-weeks"))
    with_it = search.prices.best()
    without = Search(year, book=book_of(year).without(code))
    best = without.prices.best()
    assert with_it is not None and best is not None
    assert len(without.candidates.all) >= len(search.candidates.all)
    assert best.worth >= with_it.worth


# --- every plan of small years ----------------------------------------------------------------

SMALL = range(11)
MOST_PLANS = 300  # of one year: more are drawn from
LEAST_PLANS = 400


def paths(search: Search, node: int) -> Iterator[tuple[int, ...]]:
    """Every row of candidates from a node to the end, by following all arcs."""
    graph = search.graph
    if graph.nodes[node].cell == graph.end:
        yield ()
        return
    for start, to, number, _ in graph.arcs:
        if start == node:
            for rest in paths(search, to):
                yield (number, *rest)


def weighed(search: Search, row: Sequence[tuple[int, Variant]]) -> float:
    """Points of a plan from its dates and sessions alone, as the checker works them out."""
    year = search.grid.almanac.year
    blocks = [
        block
        if not block.kind.chosen
        else type(block)(
            **{**dict(block), "emphasis": variant.emphasis, "light_first": variant.light_first}
        )
        for block, variant in _with_variants(search, row)
    ]
    filled = fill(search.weeks, search.candidates, blocks)
    return score_on(Sheet(year, filled.blocks, book=book_of(year)), filled.sessions).points


def _with_variants(
    search: Search, row: Sequence[tuple[int, Variant]]
) -> Iterator[tuple[object, Variant]]:
    by_first = {search.candidates.all[number].span.first: variant for number, variant in row}
    for block in search.blocks(Best(tuple(number for number, _ in row), 0)):
        yield block, by_first.get(block.span.first, row[0][1])


def test_no_plan_of_a_small_year_beats_the_planners() -> None:
    """Each plan with variants drawn at random: weighed on dates it is worth what the planner says,
    and never more than the plan it chose."""
    tried = 0
    for number in SMALL:
        search = searching(small_year(number))
        best = search.prices.best()
        rows = list(paths(search, search.graph.root))
        assert bool(rows) is (best is not None)
        if best is None:
            continue
        rng = random.Random(number)
        problem = Problem(search)
        chosen = weighed(search, [(n, search.best_variants[n][0]) for n in best.columns])
        constant = search.weeks.values.constant
        given = chosen - best.worth / PARTS - constant  # trips and the like: the same in all plans
        for row in rng.sample(rows, min(len(rows), MOST_PLANS // 6)):
            keys = [(n, rng.choice(search.variants(n))[0]) for n in row]
            points = weighed(search, keys)
            assert points <= chosen + len(row) / PARTS
            said = problem.worth(keys) / PARTS + constant + given
            assert points == pytest.approx(said, abs=2 * (len(row) + 1) / PARTS)
            tried += 1
    assert tried >= LEAST_PLANS, f"only {tried} plans were tried"
