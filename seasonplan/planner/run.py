"""The best plan of a year: candidates valued by their weeks, and the best path over them."""

from __future__ import annotations

import threading
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from functools import cached_property
from time import monotonic

from seasonplan.body.almanac import Almanac
from seasonplan.body.response import weekly_before
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
from seasonplan.rules.tables import response_table
from seasonplan.vocabulary import Kind
from seasonplan.year import Pin, Year

MOST_SEARCHES = 8  # how often weeks that hold too much are bounded and the year searched again
MONTH_LOOK_BACK = 12  # weeks among which the best month is looked for
SLACK, CAUTION = 0.001, 0.97


@dataclass(frozen=True, slots=True)
class Progress:
    """How a search stands: points of the best plan so far, what is still possible, seconds.

    `impossible`: there is no plan, and what stands in the way is looked for.
    """

    points: float
    bound: float
    seconds: float
    impossible: bool = False

    @property
    def gap(self) -> float:
        """Share by which a better plan may exist."""
        return max(0.0, self.bound - self.points) / max(1.0, abs(self.bound))


@dataclass(frozen=True, slots=True)
class Found:
    """The best plan: blocks in order, without weeks and with provisional ids.

    `confirmed` says whether the solver came to the same worth; None: it was not asked, or did not
    come to an end.
    """

    blocks: tuple[Block, ...]
    confirmed: bool | None
    search: Search


@dataclass(frozen=True, slots=True)
class Impossible:
    """Proven: no plan obeys every hard rule and entry."""


@dataclass(frozen=True, slots=True)
class SearchStopped:
    """Stopped before any plan was found."""


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
        self.grid: Grid = weeks.grid if weeks else Grid(Almanac(year), accepted=accepted)
        self.weeks: Weeks = weeks or Weeks(self.grid, book, taken=taken, caps=self.caps)
        self.candidates = Candidates(
            self.grid, book, ban=ban, rock=self.weeks.rock_that_counts, usable=self.weeks.usable
        )
        self.softs = Softs(self.candidates)

    def under(self, book: RuleBook) -> Search:
        """The same year and weeks under other rules on blocks."""
        year = self.grid.almanac.year
        return Search(year, book=book, caps=self.caps, weeks=self.weeks)

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
        return self.worths.of(column, variant)

    @cached_property
    def prices(self) -> Prices:
        return Prices(self.graph, [worth for _, worth in self.best_variants])

    def placed(self, best: Best) -> list[tuple[date, float, bool]]:
        """Each whole calendar week with its load under a plan, and whether it is all at home."""
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
                sum(loads[cell.index] for cell in parts),
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


def too_much(search: Search, best: Best) -> dict[date, float]:
    """Bounds of whole weeks at home that hold too much against the best month before them.

    Those found before stay; nothing new: none.
    """
    limit = response_table().best_month
    weeks = search.placed(best)
    history = list(weekly_before(search.grid.almanac.year))
    loads = [*history, *(load for _, load, _ in weeks)]
    found = dict(search.caps)
    new = False
    for at, (week, load, home) in enumerate(weeks, start=len(history)):
        most = limit * best_month(loads[max(0, at - MONTH_LOOK_BACK) : at])
        if home and most and load > most * (1 + SLACK):
            share = CAUTION * most / load
            found[week] = share * search.weeks.levels.of(week).load
            loads[at] = most
            new = True
    return found if new else {}


def best_month(loads: Sequence[float]) -> float:
    """The best mean of four weeks running; 0 with fewer."""
    fours = [sum(loads[n : n + 4]) / 4 for n in range(len(loads) - 3)]
    return max(fours, default=0.0)


def best_plan(
    year: Year,
    *,
    book: RuleBook,
    ban: Ban | None = None,
    accepted: Accepted | None = None,
    taken: Taken | None = None,
    confirm: bool = True,
    on_progress: Callable[[Progress], None] | None = None,
    stop: threading.Event | None = None,
) -> Found | Impossible | SearchStopped:
    """The best plan of a year under a rule book, the same every time.

    Setting `stop` ends the search before it has a plan. `ban` asks what if a kind of block did not
    lie on some days; `accepted` freezes the past and prices changes of what was accepted; `taken`
    is busy time. With `confirm` a solver is asked as well.
    """
    began = monotonic()
    search, best = None, None
    for _ in range(MOST_SEARCHES):
        caps: dict[date, float] = {}
        if search is not None and best is not None:
            caps = too_much(search, best)
        if search is not None and not caps:
            break
        search = Search(year, book=book, ban=ban, accepted=accepted, taken=taken, caps=caps)
        if not search.graph.possible:
            return Impossible()
        if stop is not None and stop.is_set():
            return SearchStopped()
        best = search.prices.best()
        if best is None:
            return Impossible()
    assert search is not None and best is not None
    if on_progress is not None:
        points = best.worth / PARTS
        on_progress(Progress(points, points, monotonic() - began))
    return Found(search.blocks(best), _again(search, best) if confirm else None, search)


def _again(search: Search, best: Best) -> bool | None:
    """Whether the solver comes to the same worth."""
    from seasonplan.planner.confirm import confirmed  # slow to import

    worths = [worth for _, worth in search.best_variants]
    return confirmed(search.candidates, worths, best, softs=search.softs)


def is_possible(
    year: Year, *, book: RuleBook, ban: Ban | None = None, accepted: Accepted | None = None,
    rock: bool = True,
) -> bool:  # fmt: skip
    """Whether any plan obeys every hard rule and entry: no week is composed.

    Without `rock` it is not asked which days on rock are chosen: faster, and more is possible.
    """
    candidates = Candidates(Grid(Almanac(year), accepted=accepted), book, ban=ban)
    possible = Graph(candidates).possible
    if not rock or not possible:
        return possible
    return Search(year, book=book, ban=ban, accepted=accepted).graph.possible
