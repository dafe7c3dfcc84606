"""What the best year would be with one block of the plan changed: exact, from the best paths.

The best path through each candidate is known, so each way to change a block is a comparison; only
a year without the block needs one pass more. Knows no sentence.
"""

from __future__ import annotations

from collections import defaultdict
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
from seasonplan.planner.search import Search
from seasonplan.planner.values import PARTS, Amount
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
        self._worths = [worth for _, worth in search.best_variants]

    @cached_property
    def fits(self) -> bool:
        """Whether the plan keeps the rules and entries as they are: else nothing can be priced."""
        return self._standing is not None

    def others(self, block: Block, *, today: date | None = None) -> list[Other]:
        """The best year of each way to change a block; ways that no plan allows are left out.

        What is before `today` stays.
        """
        own = self._own.get(block.id)
        if own is None or self._standing is None:
            return []
        best: dict[Way, tuple[int, int, Variant]] = {}
        for way, number, variant, worth in self._cases(block, own[0]):
            if way not in best or worth > best[way][0]:
                best[way] = worth, number, variant
        found = [
            self._other(way, worth, number, variant)
            for way, (worth, number, variant) in best.items()
        ]
        out = self._without(block, today)
        order = list(Way)
        return sorted([*found, *([out] if out else [])], key=lambda one: order.index(one.way))

    def with_block(self, block: Block) -> float | None:
        """Points that the best year with that block is worth more than the plan.

        None where no plan has it; the plan must fit.
        """
        assert self._standing is not None
        number = self._numbers.get((block.kind, block.span), -1)
        through = self._search.prices.through.get(number)
        if through is None:
            return None
        worth = through - self._worths[number] + self._worth(number, self._variant(number, block))
        return (worth - self._standing[0]) / PARTS

    # --- every candidate ----------------------------------------------------------------------

    def ready(self) -> None:
        """Work out what the places of all blocks hang on, so that none waits for it."""
        _ = self._along, self._base

    @property
    def best_points(self) -> float:
        """What the best year brings, counted from a year in which nothing is done."""
        return max(1.0, self._best.worth / PARTS)

    def stands(self, kind: Kind) -> Iterator[tuple[int, Span, float, int, float]]:
        """Each candidate of a kind: number, days, and what the best year with it has more than the
        plan in points, days on rock and good ones; than the best year where the plan is none."""
        worth, has = self._base
        for number, held in self._along.items():
            column = self._columns[number]
            if column.kind is kind:
                points = (self._search.prices.through[number] - worth) / PARTS
                days, good = held.rock_days - has.rock_days, held.good_days - has.good_days
                yield number, column.span, points, days, good

    def year_through(self, number: int) -> tuple[Block, ...]:
        """The blocks of the best year with a candidate, without weeks and names."""
        path = self._search.prices.through_path(number)
        return self._search.blocks(Best(path, self._search.prices.through[number]))

    def rock_days_through(self, number: int) -> frozenset[date]:
        """The days on rock of the best year with a candidate, days on trips left out."""
        search = self._search
        return frozenset(
            day for n, variant in search.chosen(search.prices.through_path(number))
            for day in search.worths.rock_days(self._columns[n], variant)
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
        return self._best.worth, self._search.amount(self._search.chosen(self._best.columns))

    @cached_property
    def _along(self) -> dict[int, Amount]:
        """What the best year through each candidate holds."""
        search = self._search
        every = search.chosen(range(len(self._columns)))
        held = [search.worths.amount(self._columns[n], variant) for n, variant in every]
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
        order = [self._own.get(block.id) for block in self._blocks]
        if None in order:
            return None
        chosen = [one for one in order if one is not None]
        graph, worth = self._search.graph, 0
        node = graph.root
        for number, variant in chosen:
            arc = next((a for a in self._out[node] if graph.arcs[a][2] == number), None)
            if arc is None:
                return None
            worth += self._worth(number, variant) - graph.arcs[arc][3]
            node = graph.arcs[arc][1]
        if graph.nodes[node].cell != graph.end:
            return None
        return worth, self._search.amount(chosen)

    @cached_property
    def _out(self) -> dict[int, list[int]]:
        """Arcs by the node they leave."""
        found: dict[int, list[int]] = defaultdict(list)
        for arc, (start, *_) in enumerate(self._search.graph.arcs):
            found[start].append(arc)
        return found

    def _worth(self, number: int, variant: Variant) -> int:
        return self._search.worth(self._columns[number], variant)

    # --- cases --------------------------------------------------------------------------------

    def _cases(self, block: Block, own: int) -> Iterator[tuple[Way, int, Variant, int]]:
        """Every candidate in place of a block: way, candidate, variant, worth of the best year."""
        through, best = self._search.prices.through, self._search.best_variants
        for number, worth in through.items():
            way = _way(block, self._columns[number])
            if way is not None:
                yield way, number, best[number][0], worth
        if own in through:
            rest = through[own] - self._worths[own]
            for variant, worth in self._search.variants(own):
                if variant.emphasis is not self._own[block.id][1].emphasis:
                    yield Way.EMPHASIS, own, variant, rest + worth

    def _other(self, way: Way, worth: int, number: int, variant: Variant) -> Other:
        column = self._columns[number]
        path = self._search.prices.through_path(number)
        chosen = self._search.chosen(n for n in path if n != number)
        held = self._search.amount([*chosen, (number, variant)])
        return self._against(way, worth, held, column, variant.emphasis)

    def _without(self, block: Block, today: date | None) -> Other | None:
        """The best year with no block of that kind on its days from today on."""
        first = max(block.span.first, today) if today else block.span.first
        if first >= block.span.after:
            return None
        days = Span(first, block.span.after)
        barred = frozenset(
            n for n, column in enumerate(self._columns)
            if column.kind is block.kind and column.span.meet(days)
        )  # fmt: skip
        best = Prices(self._search.graph, self._worths, barred=barred).best()
        if best is None or best.worth < NEVER // 2:
            return None
        held = self._search.amount(self._search.chosen(best.columns))
        column = Column(block.kind, 0, 0, block.span)
        return self._against(Way.OUT, best.worth, held, column, block.emphasis)

    def _against(
        self, way: Way, worth: int, held: Amount, column: Column, emphasis: Emphasis
    ) -> Other:
        assert self._standing is not None
        was, stands = self._standing
        return Other(
            way, column.kind, column.span, emphasis, (worth - was) / PARTS,
            held.rock_days - stands.rock_days, held.good_days - stands.good_days,
        )  # fmt: skip


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
