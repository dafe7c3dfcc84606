"""Candidate blocks: every kind on every run of free cells that the rules on one block allow.

Enforces `deload` inside a block and `session-test`.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator, Sequence, Set
from datetime import date, timedelta
from functools import cached_property
from itertools import groupby, pairwise
from typing import NamedTuple

from seasonplan.body.little_time import is_little, long_off_until, share_left
from seasonplan.body.newcomer import is_new
from seasonplan.body.worth import fingers_limit
from seasonplan.days import Span
from seasonplan.planner import limits
from seasonplan.planner.grid import Cell, Column, Grid
from seasonplan.planner.hang_levels import bars_hard_hangs
from seasonplan.planner.held_back import HeldBack
from seasonplan.planner.menus import can_train, finger_table, hanging_hard
from seasonplan.rules.statements import RuleBook
from seasonplan.rules.tables import composing
from seasonplan.vocabulary import CHOSEN, EMPHASES, Emphasis, Kind
from seasonplan.year import Pin

TRAINED_IN_WAVES = (Kind.BASE, Kind.STRENGTH)
TEST_WEEK_DAYS = 5
HARD_ON_FINGERS = (Emphasis.FINGERS, Emphasis.POWER_ENDURANCE)
OPENING_WEEKS = 2  # in which hangs come back to what they are in such a block
COUNTED_DAYS = 4  # a first calendar week with fewer days is not counted as a week of the block
LIGHT_FIRST = (3, 4, 5)  # weeks of a season of which the first light one is chosen


class Variant(NamedTuple):
    """What a block of some kind and days may be: its emphasis and its first light week."""

    emphasis: Emphasis
    light_first: int = 0


class Role(NamedTuple):
    """What one cell is for inside a block of that kind and emphasis.

    `test`: a test is due in it. `goes_on`: it is the rest of the week that has begun, in a block
    that began before. `begun` is its number, from 0, among the first of a block that may come after
    a season, a trip or rest.
    """

    kind: Kind
    emphasis: Emphasis
    light: bool = False
    lead_in: bool = False
    test: bool = False
    goes_on: bool = False
    begun: int | None = None


class Candidates:
    """All candidates of a grid under a rule book."""

    def __init__(
        self,
        grid: Grid,
        book: RuleBook,
        *,
        rock: Sequence[date] | None = None,
        usable: Set[str] | None = None,
        openings: Set[date] = frozenset(),
        hangs_begin: date = date.min,
        most_begins: date = date.min,
        back: Set[date] = frozenset(),
    ) -> None:
        """`rock` are the chosen days on rock that count, in order: a block of performance that was
        not fixed is filled by them, and does not end with the `openings` of a season that goes on.

        `usable` are recipes that can be done at all: no block is named for what cannot be trained.
        `hangs_begin` is when hard hangs do: before it no base block is for fingers or power
        endurance. Before `most_begins` no block is for strength and nothing is tested.
        """
        self.grid = grid
        self.book = book
        self._rock = rock
        self._usable = usable
        self._held_back = HeldBack(grid.almanac, book, usable)
        self._openings = openings
        self._back = back
        self._hangs_begin, self._most_begins = hangs_begin, most_begins

    @cached_property
    def all(self) -> tuple[Column, ...]:
        """Every candidate, in a fixed order."""
        return tuple(self._enumerate())

    def _enumerate(self) -> Iterator[Column]:
        pins = [(pin, pin.span) for pin in self.pins]
        for low, high in self.grid.segments:
            for first in range(low, high + 1):
                for last in range(first, high + 1):
                    span = self.grid.span(first, last)
                    near = [pin for pin, days in pins if days.meet(span)]
                    fixed = near or self.grid.is_past(span.first)
                    if span.length > limits.LONGEST_DAYS and not fixed:
                        break
                    for kind in CHOSEN:
                        column = Column(kind, first, last, span)
                        if self._open(column, near):
                            yield column

    @cached_property
    def pins(self) -> list[Pin]:
        """The pins that are not over."""
        return [pin for pin in self.grid.almanac.year.pins if not self.grid.is_past(pin.last)]

    @cached_property
    def lost_pins(self) -> list[Pin]:
        """The pins all of whose days are taken by something given: they cannot be kept."""
        given = self.grid.almanac.is_given
        return [
            pin
            for pin in self.pins
            if not self.grid.is_past(pin.first) and all(map(given, pin.span.days()))
        ]

    def _open(self, column: Column, near: Sequence[Pin]) -> bool:
        """`near` are the pins that share days with it: it is pinned itself, or there is none."""
        return (
            all((pin.kind, pin.span) == (column.kind, column.span) for pin in near)
            and (self._fixed(column) or self._suits(column))
            and limits.allowed(column, self.grid, self.book)
        )

    def _suits(self, column: Column) -> bool:
        """Whether something that such a block is named for can be trained in it, on rock or at home
        (a rest is for nothing): of strength neither too early nor held back nor in little time."""
        emphases = self._emphases[column.kind]
        if column.kind is not Kind.STRENGTH:
            return bool(emphases) and self._has_rock(column)
        if column.span.first < self._most_begins or self._in_little_time(column):
            return False
        return bool(self._not_held_back(column, emphases))

    def _not_held_back(self, column: Column, emphases: Sequence[Emphasis]) -> tuple[Emphasis, ...]:
        """Those that what has just come back does not bar on most days."""
        mostly = self._held_back.mostly
        return tuple(one for one in emphases if not mostly(column.kind, one, column.span))

    def _fixed(self, column: Column) -> bool:
        """Whether a candidate is a pinned block, or one that has begun."""
        pinned = any((pin.kind, pin.span) == (column.kind, column.span) for pin in self.pins)
        return pinned or self.grid.is_past(column.span.first)

    def _has_rock(self, column: Column) -> bool:
        """Whether chosen days on rock, or a trip right after it, fill a performance block: none is
        far from its start, its end or the next one."""
        if column.kind is not Kind.PERFORMANCE or self._rock is None:
            return True
        low, high = (bisect_left(self._rock, d) for d in (column.span.first, column.span.after))
        days = [*self._rock[low:high]]
        if self.grid.trip_after(column.last):
            days.append(column.span.after)
        if not days or self._only_opens(days, self._rock[high : high + 1]):
            return False
        most = composing().block
        if not self._leads_in_time(column):
            return False
        between = max(((b - a).days for a, b in pairwise(days)), default=0)
        return (
            (days[0] - column.span.first).days <= most.before_rock_days
            and between <= most.between_rock_days
            and (column.span.after - days[-1]).days <= most.after_rock_days
        )

    def _leads_in_time(self, column: Column) -> bool:
        """Whether the first rock after the easy opening of a season is no farther from its start
        than a lead-in may last, or nothing else can stand before."""
        if self.book.active("lead-in-length") is None:
            return True
        low, _ = self.grid.segment(column.first)
        return column.first == low or self._near_rock(column.first)

    def _in_little_time(self, column: Column) -> bool:
        """Whether more than a third of its weeks, two at least, leave hardly any time."""
        weeks = {cell.week for cell in self.grid.cells[column.first : column.last + 1]}
        return len(weeks & self._hardly_any) > max(1, len(weeks) // 3)

    @cached_property
    def _hardly_any(self) -> frozenset[int]:
        """The calendar weeks that absences leave hardly any time."""
        almanac, least = self.grid.almanac, composing().load.lost_below
        small = {week.first for week in almanac.weeks() if share_left(almanac, week) < least}
        return frozenset(c.week for c in self.grid.cells if almanac.week_of(c.span.first) in small)

    def _only_opens(self, days: Sequence[date], then: Sequence[date]) -> bool:
        """Whether a block holds no more than the beginning of a season that goes on."""
        most = timedelta(days=composing().block.after_rock_days)
        return set(days) <= self._openings and any(day - days[-1] <= most for day in then)

    def variants(self, column: Column) -> tuple[Variant, ...]:
        """What a candidate may be; a pin, and a block that has begun, may say which."""
        said = self._said(column)
        if said is not None:
            return (said,)
        emphases = self._emphases[column.kind] or EMPHASES[column.kind]
        early = column.span.first < self._hangs_begin and not self._fixed(column)
        if column.kind is Kind.BASE and early:
            emphases = tuple(one for one in emphases if one not in HARD_ON_FINGERS) or emphases
        emphases = self._not_held_back(column, emphases) or (
            self._not_held_back(column, EMPHASES[column.kind]) or emphases
        )
        found = [Variant(emphasis) for emphasis in emphases]
        rule = self.book.active("deload")
        if column.kind is not Kind.PERFORMANCE or rule is None:
            return tuple(found)
        weeks = self._season_weeks(column)
        firsts = [n for n in LIGHT_FIRST if rule.number < weeks > n] or [0]
        return tuple(Variant(one.emphasis, first) for one in found for first in firsts)

    @cached_property
    def _emphases(self) -> dict[Kind, tuple[Emphasis, ...]]:
        """Fingers are kept up in the season of whoever they limit most, not of who is new."""
        found = {
            kind: tuple(
                one for one in every if self._usable is None or can_train(kind, one, self._usable)
            )
            for kind, every in EMPHASES.items()
        }
        season, year = found[Kind.PERFORMANCE], self.grid.almanac.year
        if is_new(year, year.span.first):
            found[Kind.PERFORMANCE] = tuple(one for one in season if one is not Emphasis.FINGERS)
        elif fingers_limit(year) and Emphasis.FINGERS in season:
            found[Kind.PERFORMANCE] = (Emphasis.FINGERS,)
        return found

    def _said(self, column: Column) -> Variant | None:
        for pin in self.pins:
            if pin.emphasis and (pin.kind, pin.span) == (column.kind, column.span):
                light = LIGHT_FIRST[0] if column.kind is Kind.PERFORMANCE else 0
                return Variant(pin.emphasis, light)
        begun = self.grid.accepted.begun(column.span.first) if self.grid.accepted else None
        if begun is not None:
            return Variant(begun.emphasis or EMPHASES[column.kind][0], begun.light_first)
        return None

    def _season_weeks(self, column: Column) -> int:
        """Calendar weeks with rock, counted from the first after the lead-in."""
        cells = self.grid.cells[column.first : column.last + 1]
        if not any(cell.whole for cell in cells):
            return 0
        return cells[-1].week - self._opens(column.first) + 1

    def _opens(self, first: int) -> int:
        """The calendar week that counts as the first of a season, after its easy opening; one with
        little but its first weekend does not."""
        cell = next(c for c in self.grid.cells[first:] if c.whole)
        rock = min(day for day in cell.span.days() if day in self.grid.almanac.rock_days)
        return cell.week + (self._days_left(rock) < COUNTED_DAYS)

    # --- weeks inside -------------------------------------------------------------------------

    def roles(self, column: Column, variant: Variant) -> Iterator[tuple[Cell, Role]]:
        """The cells of a candidate, and what each is for."""
        for cell in self.grid.cells[column.first : column.last + 1]:
            yield cell, self.role(column, cell, variant)

    def role(self, column: Column, cell: Cell, variant: Variant) -> Role:
        """What a cell is for in a candidate."""
        kind, first, nth = column.kind, column.first, self.nth(column.first, cell)
        test = cell.index == column.last and self._tests(column, cell)
        lead_in = kind is Kind.PERFORMANCE and self._before_rock(first, cell)
        never = lead_in or (kind is Kind.PERFORMANCE and self._ends(column, cell))
        light = not never and self._light(kind, first, variant.light_first, cell, nth)
        goes_on = cell is self.grid.rest_of_week and first < cell.index
        opens = nth < OPENING_WEEKS and kind in finger_table().block_seconds
        begun = nth if opens else None
        return Role(kind, variant.emphasis, light, lead_in, test, goes_on, begun)

    def _ends(self, column: Column, cell: Cell) -> bool:
        """Whether a cell is in the last week of a block after which no trip comes: after a season
        one rests, and a light week there would only give its days away."""
        last = cell.week == self.grid.cells[column.last].week
        return last and not self.grid.trip_after(column.last)

    def _tests(self, column: Column, last: Cell) -> bool:
        """Whether a test is due in the last week of a block."""
        rule = self.book.active("session-test")
        if rule is None or column.kind not in TRAINED_IN_WAVES or last.index not in self._testable:
            return False
        weeks = rule.number * (finger_table().test_base if column.kind is Kind.BASE else 1)
        return column.days >= 7 * weeks

    @cached_property
    def _testable(self) -> frozenset[int]:
        """The cells at whose end one may pull as hard as one can: some days at home, and nothing
        that barred hard hangs in the days before, nor long days off, nor a year without any."""
        almanac, cares = self.grid.almanac, self.book.active("injury-caps") is not None
        hung = self._usable is None or not self._usable.isdisjoint(hanging_hard(almanac.year))
        before = timedelta(days=finger_table().test_after_days)
        soon = timedelta(weeks=finger_table().weeks_to_most)
        back = [Span(day, day + soon) for day in long_off_until(almanac)]
        return frozenset(
            cell.index for cell in self.grid.cells
            if hung and cell.span.first >= self._most_begins
            and not any(cell.span.first in span for span in back)
            and sum(map(almanac.at_home, cell.span.days())) >= TEST_WEEK_DAYS
            and not (cares and any(
                bars_hard_hangs(almanac, day)
                for day in Span(cell.span.first - before, cell.span.first).days()
            ))
        )  # fmt: skip

    def _before_rock(self, first: int, cell: Cell) -> bool:
        """Whether no rock but the easy opening of a season has come yet in the block, and it is not
        farther ahead than a lead-in may last."""
        waits = not any(c.whole for c in self.grid.cells[first : cell.index + 1])
        return waits and self._near_rock(cell.index)

    def _near_rock(self, cell: int) -> bool:
        """Whether a cell is no farther from the next such rock than a lead-in may last."""
        ahead = self.grid.days_to_whole(self.grid.cells[cell].span.first)
        return ahead is None or ahead <= self.book["lead-in-length"].number

    def _light(self, kind: Kind, first: int, light_first: int, cell: Cell, nth: int) -> bool:
        every = self._light_every
        if not every:
            return False
        if kind in TRAINED_IN_WAVES:
            return (nth + 1) % every == 0
        if kind is not Kind.PERFORMANCE or not light_first:
            return False
        week = cell.week - self._opens(first) + 1
        return week >= light_first and (week - light_first) % every == 0

    @cached_property
    def _light_every(self) -> int:
        """Of so many weeks one is light; 0 where none is."""
        rule = self.book.active("deload")
        return int(rule.number) if rule else 0

    def nth(self, first: int, cell: Cell) -> int:
        """Number of the calendar week inside the block, from 0; anew after one missed in most, and
        after weeks in which the load comes back by steps."""
        missed = [week + 1 for week in self._weeks_of_little if week < cell.week]
        return max(0, cell.week - max(self._counted_from[first], *missed, 0))

    @cached_property
    def _counted_from(self) -> list[int]:
        """The calendar week that is counted as the first of a block, by the cell it begins in."""
        cells = self.grid.cells
        return [one.week + (self._days_left(one.span.first) < COUNTED_DAYS) for one in cells]

    def leads_back(self, day: date) -> bool:
        """Whether a day lies in a week in which the load comes back by steps."""
        almanac = self.grid.almanac
        weeks = map(almanac.week_of, self._back)
        return almanac.week_of(day) in weeks and not is_little(almanac, day)

    @cached_property
    def _weeks_of_little(self) -> set[int]:
        """The calendar weeks of which hardly anything was done, or that lead back."""
        week_of, accepted = self.grid.almanac.week_of, self.grid.accepted
        little = set(map(week_of, self._back))
        if accepted is not None and self.book.active("missed-weeks") is not None:
            least = composing().load.lost_below
            little |= {first for first, share in accepted.done.items() if share < least}
        return {cell.week for cell in self.grid.cells if week_of(cell.span.first) in little}

    def _days_left(self, day: date) -> int:
        """Days of its calendar week from a day on."""
        return 7 - (day.weekday() - self.grid.almanac.week_begins) % 7

    def heavy_since_light(self, column: Column) -> bool:
        """Whether whole weeks of waves stand behind the last light one."""
        if not self._light_every or column.kind not in TRAINED_IN_WAVES:
            return False
        back = reversed(self.grid.cells[column.first : column.last + 1])
        for nth, cells in groupby(back, key=lambda cell: self.nth(column.first, cell)):
            if sum(cell.span.length for cell in cells) >= COUNTED_DAYS:
                return (nth + 1) % self._light_every != 0
        return False
