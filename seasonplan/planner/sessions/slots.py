"""Free times of a day, less what busy calendars take. Minutes of the day, local."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from seasonplan.almanac import Almanac
from seasonplan.days import Span
from seasonplan.reference import usual_hours

SHORTEST_MINUTES = 10
Taken = Mapping[date, Sequence[tuple[int, int]]]  # busy (from, to) in minutes after midnight


@dataclass(frozen=True, slots=True)
class Slot:
    """A free time on one day. `offset` is the day's number since the span began."""

    day: date
    offset: int
    start: int
    end: int

    @property
    def minutes(self) -> int:
        return self.end - self.start

    @property
    def absolute(self) -> int:
        """Start in minutes since the span's first midnight."""
        return self.offset * 24 * 60 + self.start

    @property
    def light(self) -> bool:
        """Whether it lies in the usual hours of daylight."""
        usual = usual_hours()
        return usual["daylight_begins"] * 60 <= self.start < usual["daylight_ends"] * 60


def slots(almanac: Almanac, span: Span, taken: Taken) -> list[Slot]:
    """The free times of a span in order."""
    return [
        Slot(day, offset, start, end)
        for offset, day in enumerate(span.days())
        for free in almanac.windows(day)
        for start, end in _less(free, taken.get(day, ()))
        if end - start >= SHORTEST_MINUTES
    ]


def _less(free: tuple[int, int], busy: Sequence[tuple[int, int]]) -> list[tuple[int, int]]:
    """What is left of a free time."""
    left, start = [], free[0]
    for begins, ends in sorted(busy):
        if begins < free[1] and ends > start:
            left.append((start, begins))
            start = max(start, ends)
    return [*left, (start, free[1])]
