"""The plan laid out on the year's calendar, and the questions a reader with a pencil would ask.

Owns lookups by date. Must not know any rule; must not fail on a plan that overlaps, has holes, or
leaves the year.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date
from functools import cached_property
from itertools import groupby

from seasonplan.body.almanac import almanac_of
from seasonplan.body.little_time import share_left
from seasonplan.body.opening import opening_days
from seasonplan.days import Span, calendar_weeks
from seasonplan.diary import as_days_off
from seasonplan.plan import Block, Week
from seasonplan.rules.statements import RuleBook
from seasonplan.rules.tables import after_days_off, composing, days_off_table
from seasonplan.vocabulary import Kind
from seasonplan.year import Year

DAYS_OFF = (Kind.ABSENCE, Kind.INJURED)
MOST_OF_A_WEEK = 4  # days of a calendar week that make it a week of the block
LITTLE_TIME = composing().load.cut_below  # less than this share of the usual minutes
MOST_LITTLE = composing().load.cut_weeks  # so many weeks of it count


class Sheet:
    """Blocks of a plan in order of their first day, beside what the year says of each day."""

    def __init__(
        self, year: Year, blocks: Sequence[Block], *, book: RuleBook,
        done: Mapping[date, float] | None = None,
    ) -> None:  # fmt: skip
        """`done` is the share of its planned load to which a week was done, by its first day, where
        it was missed in part."""
        self.year = year
        self.done = done or {}
        self.book = book
        self.almanac = almanac_of(year)
        self.blocks = tuple(sorted(blocks, key=lambda block: (block.span, block.kind, block.id)))

    def of(self, *kinds: Kind) -> Iterator[Block]:
        """Blocks of these kinds, in order."""
        return (block for block in self.blocks if block.kind in kinds)

    # --- neighbours ----------------------------------------------------------------------

    def looking_back(self, index: int) -> tuple[list[Block], Block | None]:
        """Given blocks before block number `index`, nearest first, and the chosen one they hide."""
        return _up_to_chosen(reversed(self.blocks[:index]))

    def looking_ahead(self, index: int) -> tuple[list[Block], Block | None]:
        """Given blocks after block number `index`, nearest first, and the chosen one beyond."""
        return _up_to_chosen(self.blocks[index + 1 :])

    def directly_before(self, block: Block) -> Block | None:
        """The block that ends on the evening before."""
        return next((b for b in self.blocks if b.span.after == block.span.first), None)

    def directly_after(self, block: Block) -> Block | None:
        """The block that begins on the morning after."""
        return next((b for b in self.blocks if b.span.first == block.span.after), None)

    def opens_year(self, block: Block) -> bool:
        return block.span.first <= self.year.span.first

    def ends_year(self, block: Block) -> bool:
        return block.span.after >= self.year.span.after

    @cached_property
    def whole_days(self) -> frozenset[date]:
        """Days with rock in condition that belong to no easy opening of a season."""
        return self.almanac.rock_days - opening_days(self.almanac)

    # --- weeks ---------------------------------------------------------------------------

    def calendar_weeks(self, span: Span) -> list[Span]:
        return calendar_weeks(span, self.almanac.week_begins)

    def at_home(self, block: Block, within: Span) -> list[Week]:
        """Weeks of a block that begin in `within` and hold no day of a short climbing trip."""
        return [
            week for week in block.weeks if week.span.first in within and self.is_home(week.span)
        ]

    def is_home(self, span: Span) -> bool:
        """Whether no day of `span` lies in a climbing trip too short to be a block."""
        return not any(self.almanac.short_trip(day) for day in span.days())

    @cached_property
    def after_little_time(self) -> dict[date, int]:
        """The first day after weeks in a row that leave half of the usual time or less, and the
        days off that they count as."""
        found: dict[date, int] = {}
        missed = 0.0
        for week in self.almanac.weeks():
            left = share_left(self.almanac, week)
            if left < LITTLE_TIME:
                missed = min(missed, (MOST_LITTLE - 1) * 7 * (1 - left)) + 7 * (1 - left)
            elif missed:
                found[week.first], missed = int(missed), 0.0
        return found

    @cached_property
    def weeks_back(self) -> frozenset[date]:
        """The first days of calendar weeks in which load comes back by steps, and of the weeks of
        little time before them."""
        if self.book.active("build-back") is None:
            return frozenset()
        weeks, to_come = self.almanac.weeks(), 0
        found = {week.first for week in weeks if share_left(self.almanac, week) < LITTLE_TIME}
        for week in weeks:
            begins = next((day for day in week.days() if day in self._off_until), None)
            to_come = to_come if begins is None else self._off_until[begins]
            if to_come:
                found.add(week.first)
                to_come -= begins is None or (week.after - begins).days >= MOST_OF_A_WEEK
        return frozenset(map(self.almanac.week_of, found))

    @cached_property
    def _off_until(self) -> dict[date, int]:
        """When training begins again, and in how many weeks the load comes back."""
        kinds, off = self.almanac.given_kinds, dict[date, int]()
        for span in runs(day for day, kind in kinds.items() if kind in DAYS_OFF):
            off[span.after] = span.length
        off |= self.after_little_time | as_days_off(self.done)
        for trip in self.year.trips:
            if trip.climbing and trip.span.length >= composing().load.long_trip_days:
                least = days_off_table()[0].days
                off[trip.span.after] = max(least, trip.span.length // 2)
        rows = {day: after_days_off(days) for day, days in off.items()}
        gone = (*DAYS_OFF, Kind.TRIP)
        return {d: len(r.shares) for d, r in rows.items() if r and kinds.get(d) not in gone}

    @cached_property
    def load_on(self) -> dict[date, float]:
        """RPE x minutes of each day, a week's load spread evenly over its days."""
        loads: dict[date, float] = {}
        for block in self.blocks:
            for week in block.weeks:
                for day in week.span.days():
                    loads[day] = loads.get(day, 0.0) + week.load / week.span.length
        return loads

    def load(self, span: Span) -> float:
        return sum(self.load_on.get(day, 0.0) for day in span.days())

    # --- time ----------------------------------------------------------------------------

    def free_minutes(self, span: Span) -> float:
        """Minutes that the climber has at home on these days."""
        return sum(self.almanac.minutes(day) for day in span.days())


def runs(days: Iterable[date]) -> Iterator[Span]:
    """Consecutive days as spans, in order."""
    ordered = sorted(set(days))
    for _, group in groupby(enumerate(ordered), key=lambda item: item[1].toordinal() - item[0]):
        row = [day for _, day in group]
        yield Span.through(row[0], row[-1])


def _up_to_chosen(blocks: Iterable[Block]) -> tuple[list[Block], Block | None]:
    given: list[Block] = []
    for block in blocks:
        if block.kind.chosen:
            return given, block
        given.append(block)
    return given, None
