"""Years of a few weeks, small enough to go through every order of blocks and let the checker judge.

Written apart from `seasonplan.planner.path`: an order is a row of candidates that fill the free
cells, and the checker alone says which rows break a rule.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from datetime import timedelta
from functools import cache
from itertools import pairwise

from plan_maker import a_year, absence, day, injury, season, trip

from seasonplan.body.almanac import Almanac
from seasonplan.checker import JUDGES
from seasonplan.checker.sheet import Sheet
from seasonplan.plan import Block
from seasonplan.planner.candidates import Candidates
from seasonplan.planner.grid import Column, Grid
from seasonplan.planner.order import Ending, ending
from seasonplan.planner.path import Graph
from seasonplan.rules.statements import RuleBook, book_of
from seasonplan.vocabulary import Kind
from seasonplan.year import Before, Year

Row = tuple[int, ...]  # candidates by number, in order
JUDGED = ("order", "rest-before-strength", "rest-after-performance", "build-back", "rest-every")
SHORT = {
    "base-length": {"limit": [1, 3]}, "strength-length": {"limit": [1, 2]},
    "performance-length": {"limit": [1, 2]}, "rest-length": {"limit": [3, 9]},
    "rest-after-performance": {"limit": 2}, "lead-in-length": {"limit": 10},
    "build-back": {"limit": 7}, "rest-every": {"limit": 3},
}  # fmt: skip
YEARS = {
    "open": a_year(5, seasons=[season(14, 9)], rules=SHORT),
    "tired": a_year(
        5, seasons=[season(16, 4)], rules=SHORT,
        before=Before(last_kind="performance", days_since_rest=12),
    ),
    "days off": a_year(
        6, absences=[absence(14, 7)], seasons=[season(24, 8)], rules=SHORT,
        before=Before(last_kind="strength", days_since_rest=5),
    ),
    "odd days": a_year(6, absences=[absence(9, 6)], seasons=[season(24, 9)], rules=SHORT),
    "trips": a_year(6, trips=[trip(7, 7), trip(28, 6, name="Second")], rules=SHORT),
    "hurt": a_year(6, injuries=[injury(10, easy=17, building=20, full=24)], rules=SHORT),
    "away first": a_year(
        5, absences=[absence(0, 8)], seasons=[season(20, 6)], rules=SHORT,
        before=Before(days_since_rest=30),
    ),
    "restless": a_year(
        4, rules=SHORT | {"rest-every": {"limit": 1}, "rest-length": {"limit": [8, 9]}}
    ),
}  # fmt: skip

CUTS = {"odd days": (25, 31, 38)}  # days on which cells begin as well


@cache
def candidates_of(name: str) -> Candidates:
    """The candidates of a year; whether weeks are light is not asked."""
    year = YEARS[name]
    cuts = [day(number) for number in CUTS.get(name, ())]
    return Candidates(Grid(Almanac(year), cuts=cuts), book_of(year).without("deload"))


@cache
def graph_of(name: str) -> Graph:
    return Graph(candidates_of(name))


def rows(candidates: Candidates) -> Iterator[Row]:
    """Every row of candidates that fills the free cells, whatever the rules say of it."""
    begins: dict[int, list[int]] = {}
    for number, column in enumerate(candidates.all):
        begins.setdefault(column.first, []).append(number)
    free = [cell.index for cell in candidates.grid.cells if cell.given is None]
    after = dict(pairwise([*free, None]))

    def grown(row: Row, at: int | None) -> Iterator[Row]:
        if at is None:
            yield row
            return
        for number in begins.get(at, ()):
            yield from grown((*row, number), after[candidates.all[number].last])

    yield from grown((), free[0] if free else None)


@cache
def allowed_rows(name: str) -> tuple[Row, ...]:
    """The rows in which the checker finds no rule broken."""
    one = candidates_of(name)
    return tuple(row for row in rows(one) if not broken(YEARS[name], one, row, book=one.book))


def broken(year: Year, candidates: Candidates, row: Row, *, book: RuleBook) -> set[str]:
    """Codes of the rules that the checker finds broken by a row."""
    blocks = [
        Block(id=f"given-{n}", kind=one.kind, span=one.span, weeks=(), entry=one.entry)
        for n, one in enumerate(candidates.grid.almanac.givens)
    ]
    for n, number in enumerate(row):
        column = candidates.all[number]
        blocks.append(Block(id=f"chosen-{n}", kind=column.kind, span=column.span, weeks=()))
    sheet = Sheet(year, sorted(blocks, key=lambda one: one.span), book=book)
    active = (code for code in JUDGED if book.active(code) is not None)
    return {code for code in active for _ in JUDGES[code](sheet, book[code])}


COSTS = dict.fromkeys(Kind, 3)  # parts: what a block costs that should not come next (not_next)


def worth_of(
    row: Row, worths: Sequence[int], candidates: Candidates, *, costs: Mapping[Kind, int] = COSTS
) -> int:
    """The worths of a row, less what blocks cost that should not come next."""
    columns = [candidates.all[number] for number in row]
    wrong = 0
    for n, (a, b) in enumerate(pairwise(columns)):
        soon = rested_lately(candidates, b.first, columns[:n])
        straight = b.first == a.last + 1
        if straight and not_next(candidates, ending(a, candidates), b.kind, b.first, soon):
            wrong += costs[b.kind]
    return sum(worths[number] for number in row) - wrong


def rested_lately(candidates: Candidates, first: int, before: Sequence[Column]) -> bool:
    """Whether a cell begins no more than six weeks after any day off, or into the year."""
    days, year = candidates.grid.almanac.span, candidates.grid.almanac.year
    off = {day for column in before if column.kind is Kind.REST for day in column.span.days()}
    for given in candidates.grid.almanac.givens:
        if given.kind in (Kind.ABSENCE, Kind.INJURED, Kind.RETURN):
            off |= set(given.span.days())
    off.add(days.first - timedelta(days=1 + year.before.days_since_rest))
    begins = candidates.grid.cells[first].span.first
    return any(begins - timedelta(days=n) in off for n in range(1, 7 * 6 + 1))


def not_next(candidates: Candidates, before: Ending, kind: Kind, first: int, rested: bool) -> bool:
    """Whether a block should not come next: strength after rest, performance with no rock in its
    first seven days after rest or a light week, or rest after a light week or soon after rest."""
    waved = before.kind in (Kind.BASE, Kind.STRENGTH) and not before.owes_light
    light = waved and candidates.book.active("deload") is not None
    if kind is Kind.PERFORMANCE and (light or before.kind is Kind.REST):
        begins = candidates.grid.cells[first].span.first
        week = {begins + timedelta(days=n) for n in range(7)}
        return not week & candidates.grid.almanac.rock_days
    if kind is Kind.REST:
        return light or (rested and before.kind in (Kind.BASE, Kind.STRENGTH))
    return (before.kind, kind) == (Kind.REST, Kind.STRENGTH)


def costing(candidates: Candidates) -> Graph:
    """The graph in which a block that should not come next costs so much."""

    def between(before: Ending, kind: Kind, first: int, soon: bool) -> int:
        free = not candidates.grid.gap_before(first)
        return COSTS[kind] if free and not_next(candidates, before, kind, first, soon) else 0

    return Graph(candidates, between)


def paths(graph: Graph, worths: Sequence[int] | None = None) -> Iterator[tuple[Row, int]]:
    """Every path through a graph and what it is worth, by going through all of them."""
    out: dict[int, list[tuple[int, int, int]]] = defaultdict(list)
    for start, to, number, cost in graph.arcs:
        out[start].append((to, number, (worths[number] if worths else 0) - cost))
    stack: list[tuple[int, Row, int]] = [(graph.root, (), 0)]
    while stack:
        node, row, worth = stack.pop()
        if graph.nodes[node].cell == graph.end:
            yield row, worth
        stack += [(to, (*row, number), worth + gain) for to, number, gain in out[node]]
