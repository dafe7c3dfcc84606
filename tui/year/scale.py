"""Which days the sheet shows and in which columns they lie. Knows no widget."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum

from seasonplan.days import Span, week_start


class Zoom(StrEnum):
    """How much of the year the sheet shows."""

    YEAR = "year"
    QUARTER = "quarter"
    MONTH = "month"

    @property
    def next(self) -> Zoom:
        """The nearer one; after the nearest the whole year again."""
        every = list(Zoom)
        return every[(every.index(self) + 1) % len(every)]

    @property
    def nearer(self) -> Zoom:
        return Zoom.QUARTER if self is Zoom.YEAR else Zoom.MONTH

    @property
    def farther(self) -> Zoom:
        return Zoom.QUARTER if self is Zoom.MONTH else Zoom.YEAR


WEEKS = {Zoom.YEAR: 53, Zoom.QUARTER: 13, Zoom.MONTH: 4}
WIDEST_DAY = 4  # columns


@dataclass(frozen=True, slots=True)
class Scale:
    """Days to columns and back. Columns count from 0; a day may have part of one, or several."""

    shown: Span
    width: int

    def column(self, day: date) -> int:
        """The first column of a day; below 0 or beyond the width where it is not shown."""
        return (day - self.shown.first).days * self.width // self.shown.length

    def day(self, column: int) -> date:
        """The day in the middle of a column, kept inside what is shown."""
        column = max(0, min(column, self.width - 1))
        days = (2 * column + 1) * self.shown.length // (2 * self.width)
        return self.shown.first + timedelta(days=days)

    def columns(self, span: Span) -> tuple[int, int] | None:
        """First column and the one after the last, at least one wide; None where not shown."""
        inside = span.meet(self.shown)
        if inside is None:
            return None
        first, after = self.column(inside.first), self.column(inside.after)
        return first, max(after, first + 1)


def scale_for(whole: Span, zoom: Zoom, *, width: int, around: date, week_begins: int) -> Scale:
    """What to show of a year so that `around` lies in it, in about the first third."""
    length = min(whole.length, 7 * WEEKS[zoom])
    if zoom is Zoom.MONTH:
        cell = max(1, min(WIDEST_DAY, width // length))
        length = min(whole.length, max(7, width // cell))
        width = cell * length
    if zoom is Zoom.YEAR and whole.length <= 7 * WEEKS[zoom]:
        return Scale(whole, width)
    first = week_start(around - timedelta(days=length // 3), week_begins)
    latest = whole.after - timedelta(days=length)
    first = max(whole.first, min(first, latest))
    return Scale(Span(first, first + timedelta(days=length)), width)


def kept(scale: Scale, whole: Span, around: date, *, week_begins: int) -> Scale:
    """The scale itself while `around` is well inside it, else one moved towards that day."""
    shown, margin = scale.shown, timedelta(days=max(1, scale.shown.length // 12))
    if shown.first + margin <= around < shown.after - margin:
        return scale
    if (around < shown.first + margin and shown.first == whole.first) or (
        around >= shown.after - margin and shown.after == whole.after
    ):
        return scale
    first = week_start(around - timedelta(days=shown.length // 3), week_begins)
    first = max(whole.first, min(first, whole.after - timedelta(days=shown.length)))
    return Scale(Span(first, first + timedelta(days=shown.length)), scale.width)
