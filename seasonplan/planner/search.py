"""One year asked for its best plan: candidates, what each is worth, and the paths over them.

Everything is worked out when first asked for. Another price of changes, or other rules on where
blocks lie, are the same weeks with other sums and paths.
"""

from __future__ import annotations

from collections.abc import Mapping
from copy import copy
from datetime import date
from functools import cached_property

from seasonplan.body.almanac import Almanac
from seasonplan.days import Span
from seasonplan.plan import Block
from seasonplan.planner.accepted import Accepted
from seasonplan.planner.candidates import Ban, Candidates, Variant
from seasonplan.planner.grid import Cell, Column, Grid
from seasonplan.planner.path import PARTS, Best, Graph, Prices
from seasonplan.planner.rock_day import Taken
from seasonplan.planner.softs import Softs
from seasonplan.planner.weeks import Weeks
from seasonplan.planner.worths import Worths
from seasonplan.rules.statements import RuleBook
from seasonplan.vocabulary import Kind
from seasonplan.year import Pin, Year

# Rules on where blocks lie. No week asks about them, so the weeks are the same without.
PLACING = (
    "base-length", "strength-length", "performance-length", "rest-length", "order",
    "rest-before-strength", "strength-before-trip", "rock-only", "lead-in-length", "rest-every",
    "rest-after-performance", "lead-in-start", "few-changes", "base-first", "short-rest",
    "rest-before-rock", "rest-by-days-off", "power-endurance-late", "weak-first",
)  # fmt: skip


class Search:
    """Everything the best plan of a year hangs on, worked out when first asked for."""

    def __init__(
        self,
        year: Year,
        *,
        book: RuleBook,
        ban: Ban | None = None,
        accepted: Accepted | None = None,
        taken: Taken | None = None,
        caps: Mapping[date, float] | None = None,
        weeks: Weeks | None = None,
    ) -> None:
        """`caps` bound weeks, by first day; `weeks` are those of a search of the same year."""
        self.caps = dict(caps or {})
        self.ban = ban
        self.keep = accepted.keep if accepted else 0.0
        self.grid: Grid = weeks.grid if weeks else Grid(Almanac(year), accepted=accepted)
        self.weeks: Weeks = weeks or Weeks(self.grid, book, taken=taken, caps=self.caps)
        self.candidates = Candidates(
            self.grid, book, ban=ban, rock=self.weeks.rock_that_counts, usable=self.weeks.usable,
            hangs_begin=self.weeks.levels.hangs_begin,
        )  # fmt: skip
        self.softs = Softs(self.candidates)

    def under(self, book: RuleBook) -> Search:
        """The same year and weeks under other rules of `PLACING`."""
        year, weeks = self.grid.almanac.year, self.weeks.under(book)
        other = Search(year, book=book, ban=self.ban, caps=self.caps, weeks=weeks)
        other.keep = self.keep
        return other

    def bounded(self, caps: Mapping[date, float]) -> Search:
        """The same year where those weeks hold no more than that: its paths stand where its days
        on rock do."""
        weeks = self.weeks.bounded(caps)
        if weeks.rock is not self.weeks.rock:
            year, book = self.grid.almanac.year, self.candidates.book
            other = Search(year, book=book, ban=self.ban, caps=caps, weeks=weeks)
            other.keep = self.keep
            return other
        _ = self.graph
        other = copy(self)
        other.caps, other.weeks = dict(caps), weeks
        for name in ("worths", "best_variants", "prices"):
            other.__dict__.pop(name, None)
        return other

    def keeping(self, keep: float) -> Search:
        """The same year where a changed day costs so many points: only the sums are others."""
        _ = self.graph, self.worths  # these serve both
        other = copy(self)
        other.keep = keep
        for name in ("best_variants", "prices"):
            other.__dict__.pop(name, None)
        return other

    @cached_property
    def graph(self) -> Graph:
        return Graph(
            self.candidates,
            lambda before, kind, gap: round(PARTS * self.softs.between(before, kind, gap=gap)),
        )

    @cached_property
    def best_variants(self) -> tuple[tuple[Variant, int], ...]:
        """The best variant of each candidate and its worth in parts of a point."""
        return tuple(
            max(self.variants(n), key=lambda one: one[1]) for n in range(len(self.candidates.all))
        )

    def variants(self, number: int) -> list[tuple[Variant, int]]:
        """Every variant of a candidate with its worth in parts of a point, in a fixed order."""
        column = self.candidates.all[number]
        return [
            (variant, self.worth(column, variant)) for variant in self.candidates.variants(column)
        ]

    @cached_property
    def worths(self) -> Worths:
        """What candidates are worth, and their days on rock."""
        return Worths(self.candidates, self.softs, self.weeks)

    def worth(self, column: Column, variant: Variant) -> int:
        """Points of a candidate, in parts."""
        return self.worths.of(column, variant, keep=self.keep)

    @cached_property
    def prices(self) -> Prices:
        return Prices(self.graph, [worth for _, worth in self.best_variants])

    def placed(self, best: Best) -> list[tuple[date, float, bool]]:
        """Each whole calendar week with its load under a plan, and whether it is all at home.

        A week that is over holds what was really done of it.
        """
        cells = self.grid.cells
        loads = [self.weeks.given(c).load if c.given else 0.0 for c in cells]
        for number in best.columns:
            column, (variant, _) = self.candidates.all[number], self.best_variants[number]
            for cell in cells[column.first : column.last + 1]:
                role = self.candidates.role(column, cell, variant)
                loads[cell.index] = self.weeks.week(cell, column, variant, role).load
        accepted = self.grid.accepted
        for cell in cells:
            if accepted is not None and self.grid.is_past(cell.span.first):
                done = (one.load for one in accepted.sessions if one.day in cell.span)
                loads[cell.index] = sum(done)
        found: dict[int, list[Cell]] = {}
        for cell in cells:
            found.setdefault(cell.week, []).append(cell)
        almanac = self.grid.almanac
        return [
            (
                parts[0].span.first,
                sum(loads[cell.index] for cell in parts)
                * self.weeks.done.get(parts[0].span.first, 1.0),
                all(
                    (c.given is None or c.given.kind is not Kind.TRIP)
                    and not any(almanac.short_trip(day) for day in c.span.days())
                    and not self.grid.is_past(c.span.first)
                    for c in parts
                ),
            )
            for parts in found.values()
            if sum(cell.span.length for cell in parts) == 7
        ]

    def blocks(self, best: Best) -> tuple[Block, ...]:
        """The chosen candidates and the given things as blocks in order, without weeks."""
        pins = {(pin.kind, pin.span): pin for pin in self.grid.almanac.year.pins}
        raw = [self._block(number, pins) for number in best.columns]
        for given in self.grid.almanac.givens:
            raw.append(
                Block(
                    id="-", kind=given.kind, span=given.span, weeks=(), entry=given.entry,
                    phase=given.phase,
                )
            )  # fmt: skip
        return tuple(sorted(raw, key=lambda block: block.span))

    def _block(self, number: int, pins: Mapping[tuple[Kind, Span], Pin]) -> Block:
        column = self.candidates.all[number]
        variant = self.best_variants[number][0]
        pin = pins.get((column.kind, column.span))
        return Block(
            id="-", kind=column.kind, span=column.span, weeks=(), emphasis=variant.emphasis,
            light_first=variant.light_first, pinned=pin is not None,
            entry=pin.id if pin else None,
        )  # fmt: skip
