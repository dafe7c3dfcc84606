"""What both faces draw a year from: its months, and the load of its weeks.

Numbers only; knows no screen.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby

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
