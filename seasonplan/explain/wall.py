"""What both faces draw a year from: its months, the load of its weeks, the chance of a good day.

Numbers only; knows no screen.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from itertools import groupby

from seasonplan.almanac import Almanac
from seasonplan.days import Span, calendar_weeks
from seasonplan.plan import Block
from seasonplan.year import Year


def months(span: Span) -> Iterator[Span]:
    """The days of each calendar month that lie in `span`."""
    for _, days in groupby(span.days(), key=lambda day: (day.year, day.month)):
        inside = list(days)
        yield Span.through(inside[0], inside[-1])


def week_load(week: Span, blocks: Sequence[Block]) -> float:
    """Load (RPE x minutes) of a calendar week; each block keeps its pieces of weeks."""
    return sum(
        piece.load * meet.length / piece.span.length
        for block in blocks
        for piece in block.weeks
        if (meet := piece.span.meet(week))
    )


def fullest_week(year: Year, blocks: Sequence[Block]) -> float:
    """Load of the fullest calendar week, never 0."""
    begins = year.climber.week_begins
    weeks = calendar_weeks(year.span, begins)
    return max((week_load(week, blocks) for week in weeks), default=0.0) or 1.0


def best_chance(almanac: Almanac, day: date) -> float:
    """The best chance of a good day anywhere on that day."""
    return max((spell.chance(day) for spell in almanac.spells), default=0.0)
