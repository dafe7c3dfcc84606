"""Where each day lies on a sheet: months as columns of days, or weeks as rows of days."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import groupby

from seasonplan.days import Span, week_start
from seasonplan.explain.wall import months
from seasonplan.pictures.marks import Box
from seasonplan.pictures.paper import SIDES, Rows, Size

MARGIN = 10.0  # mm that stay white on each side
WORDS_HIGH = 3.6  # mm on A3 that a line of words takes where it has one of its own
LOWEST_FLAG = 2.35  # mm on A3 that a flag with a number needs, in low rows over their edges
LONGEST_MONTH, MONTHS_OF_A_SHEET, WEEKS_OF_A_SHEET = 31, 13, 54


@dataclass(frozen=True, slots=True)
class DayCell:
    """A day: its `line` is the column or row that it lies in; `room` is there to write in."""

    box: Box
    line: int
    number: Box
    ribbon: Box
    room: Box
    down: bool

    def edge(self, share: float, scale: float) -> Box:
        """The edge along which rock is drawn, as thick as `share` says."""
        thick, box = share * thickest(scale, down=self.down), self.box
        if self.down:
            return Box(box.right - thick, box.y, thick, box.height)
        return Box(box.x, box.y, box.width, thick)


@dataclass(frozen=True)
class PaperSheet:
    """One page: paper, and where each of its days lies. `scale`: its size against A3.

    `flows`: words may run on over the days after theirs, as they have a line of their own;
    `numbered`: there is room for the number of a day and of a goal.
    """

    width: float
    height: float
    scale: float
    span: Span
    down: bool
    grid: Box
    cells: dict[date, DayCell]
    notes: dict[date, Box]  # of week rows: where to write, by the first day of the week
    flows: bool = False
    numbered: bool = True

    def runs(self, span: Span) -> Iterator[list[DayCell]]:
        """The cells of these days as far as they are on this sheet, each line for itself."""
        inside = span.meet(self.span)
        cells = [self.cells[day] for day in inside.days()] if inside else []
        for _, run in groupby(cells, key=lambda cell: cell.line):
            yield list(run)


def thickest(scale: float, *, down: bool) -> float:
    """How thick the edge of rock is where a good day is sure."""
    return (2.4 if down else 1.1) * scale


def sides(size: Size, rows: Rows) -> tuple[float, float]:
    """Width and height: months lie across the long side, weeks down it."""
    short, long = SIDES[size]
    return (long, short) if rows is Rows.MONTHS else (short, long)


def scale_of(size: Size) -> float:
    """How large type and lines are against those of A3."""
    short, long = SIDES[size]
    return min(short / SIDES[Size.A3][0], long / SIDES[Size.A3][1])


def parts(span: Span, rows: Rows, week_begins: int) -> list[Span]:
    """The days of each sheet."""
    if rows is Rows.MONTHS:
        every = list(months(span))
        most = MONTHS_OF_A_SHEET
    else:
        first = week_start(span.first, week_begins)
        starts = [first + timedelta(days=7 * n) for n in range((span.last - first).days // 7 + 1)]
        every = [Span(day, day + timedelta(days=7)) for day in starts]
        most = WEEKS_OF_A_SHEET
    sheets = -(-len(every) // most)
    each = -(-len(every) // sheets)
    lots = (every[at : at + each] for at in range(0, len(every), each))
    wholes = (Span(lot[0].first, lot[-1].after).meet(span) for lot in lots)
    return [whole for whole in wholes if whole]


def month_sheet(span: Span, size: Size, *, head: float, foot: float) -> PaperSheet:
    """Months side by side, a row for each day of the month."""
    (width, height), scale = sides(size, Rows.MONTHS), scale_of(size)
    top = MARGIN + head + 8.5 * scale
    grid = Box(MARGIN, top, width - 2 * MARGIN, height - MARGIN - foot - top)
    every = list(months(span))
    wide, high = grid.width / max(12, len(every)), grid.height / LONGEST_MONTH
    cells = {
        day: _down(Box(grid.x + wide * n, grid.y + high * (day.day - 1), wide, high), n, scale)
        for n, month in enumerate(every)
        for day in month.days()
    }
    return PaperSheet(width, height, scale, span, True, grid, cells, {})


def _down(box: Box, line: int, scale: float) -> DayCell:
    number, ribbon = 9.4 * scale, 5.2 * scale
    clear = box.width - number - ribbon - thickest(scale, down=True)
    return DayCell(
        box, line,
        Box(box.x, box.y, number, box.height),
        Box(box.x + number, box.y, ribbon, box.height),
        Box(box.x + number + ribbon, box.y, clear, box.height),
        True,
    )  # fmt: skip


def week_sheet(span: Span, size: Size, *, week_begins: int, head: float, foot: float) -> PaperSheet:
    """A row for each week, its seven days side by side, and a column to write in."""
    (width, height), scale = sides(size, Rows.WEEKS), scale_of(size)
    top, label = MARGIN + head + 6.5 * scale, 15 * scale
    grid = Box(MARGIN + label, top, width - 2 * MARGIN - label, height - MARGIN - foot - top)
    note = 0.21 * grid.width
    first = week_start(span.first, week_begins)
    count = (span.last - first).days // 7 + 1
    wide, high = (grid.width - note) / 7, grid.height / max(count, 26)
    cells: dict[date, DayCell] = {}
    notes: dict[date, Box] = {}
    for day in span.days():
        row, column = divmod((day - first).days, 7)
        box = Box(grid.x + wide * column, grid.y + high * row, wide, high)
        cells[day] = _across(box, row, scale)
        notes.setdefault(first + timedelta(days=7 * row), Box(grid.right - note, box.y, note, high))
    return PaperSheet(width, height, scale, span, False, grid, cells, notes)


def _across(box: Box, line: int, scale: float) -> DayCell:
    number, ribbon = 5.4 * scale, min(2.1 * scale, 0.4 * box.height)
    edge = thickest(scale, down=False)
    clear = box.height - ribbon - edge
    return DayCell(
        box, line,
        Box(box.x, box.y + edge, number, clear),
        Box(box.x, box.bottom - ribbon, box.width, ribbon),
        Box(box.x + number, box.y + edge, box.width - number, clear),
        False,
    )  # fmt: skip


def halves(cell: DayCell, sheet: PaperSheet) -> tuple[Box, Box]:
    """Where flags and where words stand: one over the other where words flow, else the same."""
    room = cell.room
    if not sheet.flows:
        return room, room
    high = room.height - WORDS_HIGH * sheet.scale
    return (
        Box(room.x, room.y, room.width, high),
        Box(room.x, room.y + high, room.width, room.height - high),
    )


def flag_box(cell: DayCell, sheet: PaperSheet, number: str) -> Box:
    """At the right end of the room."""
    scale, room = sheet.scale, halves(cell, sheet)[0]
    high = min(4.4 * scale, max(0.98 * room.height, LOWEST_FLAG * scale))
    wide = (0.6 + 0.55 * len(number)) * high
    if not sheet.numbered:
        high = 0.72 * room.height
        return Box(room.x + 0.1 * room.width, room.bottom - high, 0.85 * room.width, high)
    wide = min(wide, room.width - 0.8 * scale)
    right = room.right - min(1.1 * scale, (room.width - wide) / 2)
    return Box(right - wide, room.middle[1] - high / 2, wide, high)
