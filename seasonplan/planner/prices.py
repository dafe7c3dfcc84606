"""What the best year would be with one block of the plan changed, or without a rule: exact.

The best path through each candidate is known, so each way to change a block is a comparison; only
a year without the block needs one pass more. Without a rule on blocks it is the best year over the
same weeks; rules that shape the weeks themselves, or keep from harm, are not asked. Knows no
sentence.
"""

from __future__ import annotations

import threading
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from functools import cached_property

from seasonplan.days import Span
from seasonplan.plan import Block
from seasonplan.planner.candidates import Variant
from seasonplan.planner.grid import Column
from seasonplan.planner.path import NEVER, Best, Prices
from seasonplan.planner.search import PLACING, Search
from seasonplan.planner.values import PARTS, Amount
from seasonplan.rules.statements import RuleBook
from seasonplan.vocabulary import Emphasis, Kind


class Way(StrEnum):
    """How a block could be changed."""

    EARLIER = "earlier"
    LATER = "later"
    LONGER = "longer"
    SHORTER = "shorter"
    KIND = "other kind"
    EMPHASIS = "other emphasis"
    OUT = "left out"


@dataclass(frozen=True, slots=True)
class Other:
    """The best year with one block changed, against the plan: what it has more, below 0 less.

    `kind`, `span` and `emphasis` are those of what then stands there; of a year without the block
    they are its own. `points` as in the score, `good_days` are days on rock by their chance.
    """

    way: Way
    kind: Kind
    span: Span
    emphasis: Emphasis
    points: float
    rock_days: int
    good_days: float


class PricedYear:
    """A plan of a year, and the best years in which one of its blocks is changed."""

    def __init__(self, search: Search, blocks: Sequence[Block]) -> None:
        self._search = search
        self._blocks = [block for block in blocks if block.kind.chosen]
        self._columns = search.candidates.all

    @cached_property
    def fits(self) -> bool:
        """Whether the plan keeps the rules and entries as they are: else nothing can be priced."""
        return self._standing is not None

    def others(self, block: Block, *, today: date | None = None) -> list[Other]:
        """The best year of each way to change a block; ways that no plan allows are left out.

        What is before `today` stays.
        """
        if block.id not in self._own or not self.fits:
            return []
        best: dict[Way, tuple[int, int, Variant]] = {}
        for way, number, variant, worth in self._cases(block, *self._own[block.id]):
            if way not in best or worth > best[way][0]:
                best[way] = worth, number, variant
        found = [self._other(way, *best[way]) for way in Way if way in best]
        out = self._without(block, today)
        return [*found, out] if out else found

    def with_block(self, block: Block) -> float | None:
        """Points that the best year with that block is worth more than the plan.

        None where no plan has it; the plan must fit.
        """
        assert self._standing is not None
        number = self._numbers.get((block.kind, block.span), -1)
        through = self._search.prices.through.get(number)
        if through is None:
            return None
        worth = through + self._worth(number, self._variant(number, block))
        worth -= self._search.prices.worths[number]
        return (worth - self._standing[0]) / PARTS

    # --- every candidate ----------------------------------------------------------------------

    def ready(self) -> None:
        """Work out what the places of all blocks hang on, so that none waits for it."""
        _ = self._along, self._base

    @property
    def best_points(self) -> float:
        """What the best year brings, counted from a year in which nothing is done: against it a
        price is little or much."""
        return max(1.0, self._best.worth / PARTS)

    def stands(self, kind: Kind) -> Iterator[tuple[int, Span, float, int, float]]:
        """Each candidate of a kind: number, days, and what the best year with it has more than the
        plan in points, days on rock and good ones; than the best year where the plan is none."""
        worth, has = self._base
        for number, held in self._along.items():
            column, more = self._columns[number], held.less(has)
            if column.kind is kind:
                points = (self._search.prices.through[number] - worth) / PARTS
                yield number, column.span, points, more.rock_days, more.good_days

    def year_through(self, number: int) -> tuple[Block, ...]:
        """The blocks of the best year with a candidate, without weeks and names."""
        path = self._search.prices.through_path(number)
        return self._search.blocks(Best(path, self._search.prices.through[number]))

    def rock_days_through(self, number: int) -> frozenset[date]:
        """The days on rock of the best year with a candidate, days on trips left out."""
        search = self._search
        return frozenset(
            day for n, variant in search.chosen(search.prices.through_path(number))
            for day in search.rock_days(self._columns[n], variant)
        )  # fmt: skip

    def spans_of(self, kind: Kind) -> frozenset[Span]:
        """The days of the plan's own blocks of a kind."""
        return frozenset(block.span for block in self._blocks if block.kind is kind)

    @cached_property
    def _best(self) -> Best:
        best = self._search.prices.best()
        assert best is not None, "a year without a plan is not priced"
        return best

    @cached_property
    def _base(self) -> tuple[int, Amount]:
        """The worth of the plan and what it holds, or of the best year where that is none."""
        if self._standing is not None:
            return self._standing
        return self._best.worth, self._search.held(self._search.chosen(self._best.columns))

    @cached_property
    def _along(self) -> dict[int, Amount]:
        """What the best year through each candidate holds."""
        search = self._search
        every = search.chosen(range(len(self._columns)))
        held = [search.amount(self._columns[n], variant) for n, variant in every]
        return search.prices.along(held)

    # --- the plan -----------------------------------------------------------------------------

    @cached_property
    def _own(self) -> dict[str, tuple[int, Variant]]:
        """The candidate and variant of each chosen block of the plan that is one."""
        known = ((block, self._numbers.get((block.kind, block.span))) for block in self._blocks)
        return {b.id: (n, self._variant(n, b)) for b, n in known if n is not None}

    @cached_property
    def _numbers(self) -> dict[tuple[Kind, Span], int]:
        """Every candidate by its kind and days."""
        return {(column.kind, column.span): n for n, column in enumerate(self._columns)}

    def _variant(self, number: int, block: Block) -> Variant:
        told = Variant(block.emphasis, block.light_first)
        known = [variant for variant, _ in self._search.variants(number)]
        return told if told in known else self._search.best_variants[number][0]

    @cached_property
    def _standing(self) -> tuple[int, Amount] | None:
        """The worth of the plan in parts of a point, and what it holds; None: not allowed."""
        if any(block.id not in self._own for block in self._blocks):
            return None
        chosen = [self._own[block.id] for block in self._blocks]
        graph, worth = self._search.graph, 0
        node, out = graph.root, {(start, n): (to, cost) for start, to, n, cost in graph.arcs}
        for number, variant in chosen:
            if (node, number) not in out:
                return None
            node, between = out[node, number]
            worth += self._worth(number, variant) - between
        if graph.nodes[node].cell != graph.end:
            return None
        return worth, self._search.held(chosen)

    def _worth(self, number: int, variant: Variant) -> int:
        return self._search.worth(self._columns[number], variant)

    # --- cases --------------------------------------------------------------------------------

    def _cases(
        self, block: Block, own: int, stands: Variant
    ) -> Iterator[tuple[Way, int, Variant, int]]:
        """Every candidate in place of a block: way, candidate, variant, worth of the best year."""
        prices, best = self._search.prices, self._search.best_variants
        through = prices.through
        for number, worth in through.items():
            way = _way(block, self._columns[number])
            if way is not None:
                yield way, number, best[number][0], worth
        rest = through[own] - prices.worths[own]
        for variant, worth in self._search.variants(own):
            if variant.emphasis is not stands.emphasis:
                yield Way.EMPHASIS, own, variant, rest + worth

    def _other(self, way: Way, worth: int, number: int, variant: Variant) -> Other:
        column = self._columns[number]
        path = self._search.prices.through_path(number)
        chosen = [*self._search.chosen(n for n in path if n != number), (number, variant)]
        return self._against(way, worth, chosen, (column.kind, column.span, variant.emphasis))

    def _without(self, block: Block, today: date | None) -> Other | None:
        """The best year with no block of that kind on its days from today on."""
        first = max(block.span.first, today) if today else block.span.first
        if first >= block.span.after:
            return None
        days, worths = Span(first, block.span.after), list(self._search.prices.worths)
        for number, column in enumerate(self._columns):
            if column.kind is block.kind and column.span.meet(days):
                worths[number] = NEVER
        best = Prices(self._search.graph, worths).best()
        if best is None:
            return None
        chosen = self._search.chosen(best.columns)
        return self._against(Way.OUT, best.worth, chosen, (block.kind, block.span, block.emphasis))

    def _against(
        self, way: Way, worth: int, chosen: Sequence[tuple[int, Variant]],
        stands: tuple[Kind, Span, Emphasis],
    ) -> Other:  # fmt: skip
        """A year against the plan, by what then `stands` there."""
        assert self._standing is not None
        more = self._search.held(chosen).less(self._standing[1])
        points = (worth - self._standing[0]) / PARTS
        return Other(way, *stands, points, more.rock_days, more.good_days)


def rule_prices(
    search: Search, *, book: RuleBook, stop: threading.Event | None = None
) -> Iterator[tuple[str, Amount]]:
    """Each rule that is on and asked about, in the order of the book, with what the best year
    without it has more: never less worth, as a plan that keeps a rule is allowed without it."""
    best = search.prices.best()
    if best is None:
        return
    has = search.held(search.chosen(best.columns))
    for rule in book:
        if stop is not None and stop.is_set():
            return
        if rule.code not in PLACING or not rule.on:
            continue
        other = search.under(book.without(rule.code))
        found = other.prices.best()
        assert found is not None, "what is allowed under a rule is allowed without it"
        more = other.held(other.chosen(found.columns)).less(has)
        yield rule.code, more._replace(points=(found.worth - best.worth) / PARTS)


def _way(block: Block, column: Column) -> Way | None:
    """What a candidate would be against a block that it takes the place of."""
    both = block.span.meet(column.span)
    if both is None:
        return None
    if column.kind is not block.kind:
        return Way.KIND if 2 * both.length >= block.span.length else None
    first = (column.span.first - block.span.first).days
    after = (column.span.after - block.span.after).days
    if first == after == 0:
        return None
    if first <= 0 <= after:
        return Way.LONGER
    if after <= 0 <= first:
        return Way.SHORTER
    return Way.EARLIER if first < 0 else Way.LATER
