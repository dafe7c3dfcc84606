"""One year asked for its best plan: candidates, what each is worth, and the paths over them.

Worth is a sum over weeks: candidates that begin on the same day as the same thing share their first
weeks, so a row of sums serves them all. Everything is worked out when first asked for. Another
price of changes, or other rules on where blocks lie, are the same weeks with other sums and paths.
The last searches are kept for as long as the same is asked again: bounded, for the whole process.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from datetime import date
from functools import cached_property, reduce
from itertools import groupby
from typing import Any, NamedTuple

from seasonplan.body.almanac import Almanac
from seasonplan.body.little_time import is_off
from seasonplan.days import Span
from seasonplan.plan import Block
from seasonplan.planner.accepted import Accepted
from seasonplan.planner.begun import cuts_a_week
from seasonplan.planner.candidates import Candidates, Variant
from seasonplan.planner.grid import Cell, Column, Grid
from seasonplan.planner.path import Best, Graph, Prices
from seasonplan.planner.rock_day import Taken, openings
from seasonplan.planner.softs import Softs
from seasonplan.planner.values import NONE, PARTS, Amount, together
from seasonplan.planner.weeks import Weeks
from seasonplan.rules.statements import RuleBook
from seasonplan.rules.tables import composing
from seasonplan.vocabulary import Emphasis, Kind
from seasonplan.year import Pin, Year

# Rules on where blocks lie. No week asks about them, so the weeks are the same without.
PLACING = (
    "base-length", "strength-length", "performance-length", "rest-length", "order",
    "rest-before-strength", "strength-before-trip", "rock-only", "lead-in-length", "rest-every",
    "rest-after-performance", "lead-in-start", "few-changes", "base-first", "work-before-lead-in",
    "work-before-rest", "short-rest", "rest-before-rock", "rest-by-days-off",
    "power-endurance-late", "weak-first", "strength-late",
)  # fmt: skip
CUT_PRICE = composing().new_plan.cut_price  # points
MOST_KEPT = 6  # a year is searched up to a few times before no week holds too much

_kept: list[Search] = []  # the newest first


class PlacedWeek(NamedTuple):
    """A whole calendar week under a plan: its load, whether it is all at home, or off in most."""

    first: date
    load: float
    home: bool
    off: bool


class Search:
    """All that the best plan of a year hangs on, and what follows from it."""

    def __init__(
        self,
        year: Year,
        *,
        book: RuleBook,
        accepted: Accepted | None = None,
        taken: Taken | None = None,
        caps: Mapping[date, float] | None = None,
    ) -> None:
        """`caps` bound the load of weeks, by their first day."""
        self.year, self.book, self.accepted = year, book, accepted
        self.taken: Taken = taken or {}
        self.caps: Mapping[date, float] = caps or {}
        self._stands: Mapping[int, tuple[Variant, int]] = {}  # of candidates, from a search before

    @property
    def keep(self) -> float:
        """Points that a changed day costs."""
        return self.accepted.keep if self.accepted else 0.0

    # --- from one search to another -----------------------------------------------------------

    def known(self) -> Search | None:
        """The same search, or one made from one like it, where such a one is kept."""
        for one in list(_kept):
            other_rules = {mine.code for mine in self.book if mine != one.book[mine.code]}
            if other_rules.issubset(PLACING) and self._alike(one):
                same = one.under(self.book) if other_rules else one
                return same if same.keep == self.keep else same.keeping(self.accepted)
        return None

    def remember(self) -> None:
        """Keep it, all of whose worths are worked out: other threads may read it."""
        _kept[:] = [self, *(one for one in _kept if one is not self)][:MOST_KEPT]

    def _alike(self, other: Search) -> bool:
        """Whether all but rules and prices is the same."""
        mine, theirs = self.accepted, other.accepted
        return (
            (mine.same_but_price(theirs) if mine and theirs else mine is theirs)
            and self.caps == other.caps
            and self.taken == other.taken
            and self.year.model_copy(update={"rules": other.year.rules}) == other.year
        )

    def under(self, book: RuleBook) -> Search:
        """The same year and weeks under other rules of `PLACING`."""
        return self._with("grid", book=book, weeks=self.weeks.under(book))

    def bounded(self, caps: Mapping[date, float]) -> Search:
        """The same year where those weeks hold no more than that: its paths stand where its days
        on rock do, and what the candidates are worth that no such week lies in."""
        weeks = self.weeks.bounded(caps)
        if weeks.rock is not self.weeks.rock:
            return self._with("grid", caps=caps, weeks=weeks)
        pairs = zip(self.weeks.frames, weeks.frames, strict=True)
        others = [n for n, (old, new) in enumerate(pairs) if old is not new]
        stands = {
            number: self.best_variants[number] for number, one in enumerate(self.candidates.all)
            if not any(one.first <= n <= one.last for n in others)
        }  # fmt: skip
        return self._with(
            "grid", "candidates", "softs", "graph", caps=caps, weeks=weeks, _stands=stands
        )

    def keeping(self, accepted: Accepted | None) -> Search:
        """The same year where a changed day costs another price: only the sums are others."""
        serve = ("grid", "weeks", "candidates", "softs", "graph", "_rows", "_changes")
        return self._with(*serve, accepted=accepted)

    def _with(self, *serve: str, **other: Any) -> Search:
        """A search of something other, for which these parts of this one, worked out, serve too."""
        asked = ("year", "book", "accepted", "taken", "caps")
        made = Search(**{name: getattr(self, name) for name in asked})
        vars(made).update({name: getattr(self, name) for name in serve}, **other)
        return made

    # --- what follows -------------------------------------------------------------------------

    @cached_property
    def grid(self) -> Grid:
        return Grid(Almanac(self.year), accepted=self.accepted)

    @cached_property
    def weeks(self) -> Weeks:
        return Weeks(self.grid, self.book, taken=self.taken, caps=self.caps)

    @cached_property
    def candidates(self) -> Candidates:
        return Candidates(
            self.grid, self.book, rock=self.weeks.rock_that_counts, usable=self.weeks.usable,
            openings=openings(self.weeks.rock), hangs_begin=self.weeks.levels.hangs_begin,
            most_begins=self.weeks.levels.most_begins, back=self.weeks.levels.weeks_back,
        )  # fmt: skip

    @cached_property
    def softs(self) -> Softs:
        return Softs(self.candidates)

    @cached_property
    def graph(self) -> Graph:
        return Graph(self.candidates, self.softs.parts_between)

    @cached_property
    def best_variants(self) -> tuple[tuple[Variant, int], ...]:
        """The best variant of each candidate and its worth in parts of a point."""
        return tuple(
            self._stands.get(n) or max(self.variants(n), key=lambda one: one[1])
            for n in range(len(self.candidates.all))
        )

    def variants(self, number: int) -> list[tuple[Variant, int]]:
        """Every variant of a candidate with its worth in parts of a point, in a fixed order."""
        column = self.candidates.all[number]
        return [
            (variant, self.worth(column, variant)) for variant in self.candidates.variants(column)
        ]

    @cached_property
    def prices(self) -> Prices:
        return Prices(self.graph, [worth for _, worth in self.best_variants])

    def chosen(self, numbers: Iterable[int]) -> list[tuple[int, Variant]]:
        """Candidates by their numbers, each with its best variant."""
        return [(number, self.best_variants[number][0]) for number in numbers]

    # --- worth --------------------------------------------------------------------------------

    def worth(self, column: Column, variant: Variant) -> int:
        """Points of a candidate in parts: its weeks, less what it bends of soft rules and changes
        of an accepted plan."""
        total = self.amount(column, variant).points - self.softs.points(column, variant)
        if self.accepted is not None:
            total -= self.accepted.keep * self._changed(self.accepted, column, variant.emphasis)
            total += self.weeks.worth_over(column.last)
            if cuts_a_week(self.grid, self.grid.cells[column.first]):
                total -= CUT_PRICE
        return round(PARTS * total)

    def amount(self, column: Column, variant: Variant) -> Amount:
        """What its weeks hold; weeks that are over are in every year and count as nothing."""
        cells = self.grid.cells[column.first : column.last + 1]
        row = self._rows.setdefault((column.kind, variant, column.first), [NONE])
        for cell in cells[len(row) - 1 : -1]:
            row.append(together(row[-1], self._week(cell, column, variant)))
        return together(row[len(cells) - 1], self._week(cells[-1], column, variant))

    def _week(self, cell: Cell, column: Column, variant: Variant) -> Amount:
        if self.grid.is_past(cell.span.first):
            return NONE
        return self.weeks.amount(cell, self.candidates.role(column, cell, variant))

    @cached_property
    def _rows(self) -> dict[tuple[Kind, Variant, int], list[Amount]]:
        return {}

    def _changed(self, accepted: Accepted, column: Column, emphasis: Emphasis) -> float:
        """The days it changes of an accepted plan, the further ahead the less."""
        total = 0.0
        for cell in self.grid.cells[column.first : column.last + 1]:
            key = (column.kind, emphasis, cell.index)
            if key not in self._changes:
                self._changes[key] = accepted.changed(column.kind, emphasis, cell.span)
            total += self._changes[key]
        return total

    @cached_property
    def _changes(self) -> dict[tuple[Kind, Emphasis, int], float]:
        return {}

    def held(self, chosen: Iterable[tuple[int, Variant]]) -> Amount:
        """What the weeks of some candidates hold together."""
        held = (self.amount(self.candidates.all[n], variant) for n, variant in chosen)
        return reduce(together, held, NONE)

    def rock_days(self, column: Column, variant: Variant) -> Iterator[date]:
        """The days on rock of the weeks of a candidate that are not over."""
        for cell, role in self.candidates.roles(column, variant):
            if not self.grid.is_past(cell.span.first):
                items = self.weeks.week(cell, role).items
                yield from (item.day for item in items if item.role is not None)

    # --- a plan -------------------------------------------------------------------------------

    def placed(self, best: Best) -> list[PlacedWeek]:
        """Each whole calendar week under a plan; one that is over holds what was really done."""
        loads, found = self._loads(best), []
        for _, group in groupby(self.grid.cells, key=lambda cell: cell.week):
            parts = list(group)
            if sum(cell.span.length for cell in parts) == 7:
                week = Span(parts[0].span.first, parts[-1].span.after)
                done = self.weeks.done.get(week.first, 1.0)
                load = sum(loads[cell.index] for cell in parts) * done
                off = is_off(self.grid.almanac, week) or done < composing().load.lost_below
                found.append(PlacedWeek(week.first, load, all(map(self._at_home, parts)), off))
        return found

    def _loads(self, best: Best) -> dict[int, float]:
        """The load of each cell under a plan."""
        weeks, accepted = self.weeks, self.grid.accepted
        loads = {c.index: weeks.given(c).load for c in self.grid.cells if c.given}
        for number, variant in self.chosen(best.columns):
            for cell, role in self.candidates.roles(self.candidates.all[number], variant):
                loads[cell.index] = weeks.week(cell, role).load
        for cell in self.grid.cells:
            if accepted is not None and self.grid.is_past(cell.span.first):
                done = (one.load for one in accepted.sessions if one.day in cell.span)
                loads[cell.index] = sum(done)
        return loads

    def _at_home(self, cell: Cell) -> bool:
        """Whether no day of a cell is over or on a trip."""
        trip = cell.given is not None and cell.given.kind is Kind.TRIP
        short = any(self.grid.almanac.short_trip(day) for day in cell.span.days())
        return not (trip or short or self.grid.is_past(cell.span.first))

    def blocks(self, best: Best) -> tuple[Block, ...]:
        """The chosen candidates and the given things as blocks in order, without weeks."""
        pins = {(pin.kind, pin.span): pin for pin in self.year.pins}
        chosen = [self._block(number, pins) for number in best.columns]
        given = [
            Block(id="-", kind=g.kind, span=g.span, weeks=(), entry=g.entry, phase=g.phase)
            for g in self.grid.almanac.givens
        ]
        return tuple(sorted([*chosen, *given], key=lambda block: block.span))

    def _block(self, number: int, pins: Mapping[tuple[Kind, Span], Pin]) -> Block:
        column = self.candidates.all[number]
        variant = self.best_variants[number][0]
        pin = pins.get((column.kind, column.span))
        return Block(
            id="-", kind=column.kind, span=column.span, weeks=(), emphasis=variant.emphasis,
            light_first=variant.light_first, pinned=pin is not None,
            entry=pin.id if pin else None,
        )  # fmt: skip
