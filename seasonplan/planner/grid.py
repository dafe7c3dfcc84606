"""The year cut into cells: the only place where dates become integers."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cached_property
from itertools import groupby

from seasonplan.body.almanac import Almanac, Given
from seasonplan.body.little_time import as_good_as_rest
from seasonplan.body.opening import opening_days
from seasonplan.days import Span, pieces
from seasonplan.planner.accepted import Accepted
from seasonplan.vocabulary import Kind


@dataclass(frozen=True, slots=True)
class Cell:
    """At most a calendar week, wholly inside or outside what is given or fixed.

    `rock`: some day of it has rock in condition; `whole`: other than the easy opening of a season.
    """

    index: int
    span: Span
    week: int
    given: Given | None
    rock: bool
    whole: bool


@dataclass(frozen=True, slots=True)
class Column:
    """A block that could be chosen: `kind` from cell `first` to cell `last`, both inside."""

    kind: Kind
    first: int
    last: int
    span: Span

    @property
    def days(self) -> int:
        return self.span.length


LIGHT = (Kind.ABSENCE, Kind.INJURED, Kind.RETURN)  # given things that need no rest after them


class Grid:
    """Cells in order. `segments` are the runs of free cells between given things."""

    def __init__(
        self,
        almanac: Almanac,
        *,
        accepted: Accepted | None = None,
        cuts: Iterable[date] = (),
    ) -> None:
        """`cuts` are further days on which a cell must begin."""
        self.almanac = almanac
        self.accepted = accepted
        year = almanac.span
        edges = almanac.edges() | set(accepted.edges() if accepted else ()) | set(cuts)
        start, whole = almanac.week_of(year.first), set(self.whole_days)
        self.cells = tuple(
            Cell(
                index,
                span,
                (span.first - start).days // 7,
                next((g for g in almanac.givens if span.first in g.span), None),
                not almanac.rock_days.isdisjoint(span.days()),
                not whole.isdisjoint(span.days()),
            )
            for index, span in enumerate(
                piece for week in almanac.weeks() for piece in pieces(week, edges)
            )
        )

    @cached_property
    def whole_days(self) -> tuple[date, ...]:
        """Days with rock in condition that belong to no easy opening, in order."""
        return tuple(sorted(self.almanac.rock_days - opening_days(self.almanac)))

    def days_to_whole(self, day: date) -> int | None:
        """Days from that one to the next such, 0 if it is one; None where none comes."""
        at = bisect_left(self.whole_days, day)
        return (self.whole_days[at] - day).days if at < len(self.whole_days) else None

    @cached_property
    def segments(self) -> tuple[tuple[int, int], ...]:
        """(first, last) cell of every run of free cells, both inside."""
        runs = groupby(self.cells, key=lambda cell: cell.given is None)
        groups = [list(group) for free, group in runs if free]
        return tuple((cells[0].index, cells[-1].index) for cells in groups)

    def cells_of(self, span: Span) -> tuple[int, int]:
        """First and last cell of a span that begins and ends where cells do."""
        inside = [cell.index for cell in self.cells if span.covers(cell.span)]
        return inside[0], inside[-1]

    def segment(self, cell: int) -> tuple[int, int]:
        """The run of free cells that a free cell lies in."""
        return next(run for run in self.segments if run[0] <= cell <= run[1])

    @cached_property
    def eased(self) -> tuple[Span, ...]:
        """Weeks in which there is so little time that they are as good as rest."""
        return as_good_as_rest(self.almanac)

    def rests(self, cell: Cell) -> bool:
        """Whether a cell holds days off, or is as good as rest."""
        off = cell.given is not None and cell.given.kind in LIGHT
        return off or any(cell.span.first in span for span in self.eased)

    def off_until(self, first: date) -> date:
        """When days off, a week as good as rest or rest before the year last ended by a day."""
        off = [given.span.after for given in self.almanac.givens if given.kind in LIGHT]
        off += [min(span.after, first) for span in self.eased if span.first < first]
        year = self.almanac.year
        opens = year.span.first - timedelta(days=year.before.days_since_rest)
        return max((opens, *(day for day in off if day <= first)))

    def longest(self, since: date, after: date) -> timedelta:
        """The longest time without rest between two days with none given between them."""
        found = timedelta(0)
        for span in self.eased:
            if since < span.after and span.first < after:
                found, since = max(found, span.first - since), min(span.after, after)
        return max(found, after - since)

    def is_past(self, day: date) -> bool:
        """Whether a day is over: what stood there was done and is no longer chosen."""
        return self.accepted is not None and day < self.accepted.today

    @cached_property
    def rest_of_week(self) -> Cell | None:
        """The cell that begins today, inside its calendar week."""
        today = self.accepted.today if self.accepted else None
        begins = (cell for cell in self.cells if cell.span.first == today)
        within = (one for one in begins if one.span.first.weekday() != self.almanac.week_begins)
        return next(within, None)

    def gap_before(self, first: int) -> tuple[Given, ...]:
        """The given things that lie directly before a cell, oldest first."""
        found: list[Given] = []
        index = first - 1
        while index >= 0 and (given := self.cells[index].given) is not None:
            if not found or found[-1] is not given:
                found.append(given)
            index -= 1
        return tuple(reversed(found))

    def trip_after(self, last: int) -> bool:
        """Whether a climbing trip follows a cell directly."""
        following = self.cells[last + 1].given if last + 1 < len(self.cells) else None
        return following is not None and following.kind is Kind.TRIP

    def span(self, first: int, last: int) -> Span:
        return Span(self.cells[first].span.first, self.cells[last].span.after)
