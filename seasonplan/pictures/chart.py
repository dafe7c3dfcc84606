"""A chart over days, in millimetres: plots with their grid, a line in a band, dots, months.

Knows no data; `chance`, `series`, `form` and `load` draw on it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import pairwise
from math import ceil, cos, floor, log10, pi, sin

from seasonplan.days import Span, month_text
from seasonplan.explain.tints import PAPER_INK, QUIET, RULE, TINTS, WEEK_RULE
from seasonplan.explain.wall import months
from seasonplan.pictures.fonts import OTHER_TYPE, broken, fitting, font
from seasonplan.pictures.marks import Align, Box, Mark, Picture, Shape, Words, line
from seasonplan.vocabulary import Kind

WIDE, HIGH = 212.0, 95.0
PLOT = Box(16, 15, 190, 68)
BAND, INK = TINTS[Kind.BASE]
TYPE = 3.4  # mm
BELOW = 1.7  # mm that marks may stand under the plot, over the words of the days
Point = tuple[float, float]  # along the days and up the values, each a share from 0 to 1


@dataclass(frozen=True, slots=True)
class Tick:
    """A line of the grid at a share of the way, and its word; `beside`: how much later that is."""

    at: float
    text: str
    beside: float = 0.0


def chart(
    marks: Sequence[Mark], *, title: str, said: str, told: str, up: Sequence[Tick],
    along: Sequence[Tick],
) -> Picture:  # fmt: skip
    """Marks in their frame, `said` under the title; `told` are the words for who cannot see."""
    under = [mark for mark in marks if isinstance(mark, Shape) and mark.fill == BAND]
    over = [mark for mark in marks if mark not in under]
    large = 1.25 * TYPE
    head = (
        Words(PLOT.x, 6, fitting(title, PLOT.width, large, bold=True), large, PAPER_INK, bold=True),
        Words(PLOT.x, 11.2, said, TYPE, PAPER_INK),
    )
    return Picture(WIDE, HIGH, title, told, (*head, *under, *grid(up, along, below=BELOW), *over))


def heading(title: str, said: str, room: Box, size: float) -> tuple[list[Mark], float]:
    """Title and what is drawn, broken into lines, and where they end."""
    large, wide = 1.25 * size, room.width / OTHER_TYPE
    lines = [(text, large, True) for text in broken(title, wide, large, bold=True)]
    lines += [(text, size, False) for text in broken(said, wide, size)]
    marks: list[Mark] = []
    base = room.y + 0.4 * size
    for text, high, bold in lines:
        base += 1.32 * high
        marks.append(Words(room.x, base, text, high, PAPER_INK, bold))
    return marks, base


def grid(
    up: Sequence[Tick], along: Sequence[Tick], plot: Box = PLOT, *, size: float = TYPE,
    below: float = 0.0,
) -> Iterator[Mark]:  # fmt: skip
    """Lines and their words; those along the days stand `below` the plot, as many as there is room
    for."""
    for tick in up:
        x, y = place((0, tick.at), plot)
        yield line(((x, y), (plot.right, y)), RULE, width=0.25)
        yield Words(x - 2, y + 0.36 * size, tick.text, size, PAPER_INK, align=Align.END)
    shown = apart(along, plot, size)
    for n, tick in enumerate(along):
        x, y = place((tick.at, 0), plot)
        yield line(((x, plot.y), (x, y + 1.4)), RULE, width=0.25)
        if n in shown:
            at = place((tick.at + tick.beside, 0), plot)[0]
            base = y + below + 1.4 + 1.3 * size
            yield Words(at, base, tick.text, size, PAPER_INK, align=Align.MIDDLE)


def apart(ticks: Sequence[Tick], plot: Box, size: float) -> set[int]:
    """The numbers of those whose words neither touch nor stand out: all, every second, third ..."""
    ends = []
    for tick in ticks:
        half = size * OTHER_TYPE * font(bold=False).width(tick.text) / 2
        at = place((tick.at + tick.beside, 0), plot)[0]
        ends.append((at - half, at + half))
    inside = [n for n, (left, right) in enumerate(ends) if _in_reach(left, right, plot, size)]

    def fits(step: int) -> bool:
        return all(
            ends[n][1] + 0.4 * size <= ends[later][0] for n, later in pairwise(inside[::step])
        )

    step = next((step for step in (1, 2, 3, 4, 6, 12) if fits(step)), len(ticks) or 1)
    return set(inside[::step])


def _in_reach(left: float, right: float, plot: Box, size: float) -> bool:
    """Whether words stand under their plot, or but a little beside it."""
    return plot.x - size <= left and right <= plot.right + 0.3 * size


def calendar(span: Span, plot: Box, *, size: float, below: float = 0.0) -> Iterator[Mark]:
    """The months under a plot, and under them the years; `calendar_height` is how high they are."""
    every = [month.first for month in months(span)]
    ticks = [
        Tick(along(month.first, span), month_text(month.first), month.length / 2 / span.length)
        for month in months(span)
    ]
    yield from grid((), ticks, plot, size=size, below=below)
    begins = [day for day in every if day == span.first or day.month == 1]
    base, ends = plot.bottom + below + calendar_height(size) - 0.3 * size, plot.right
    for day in reversed(begins):
        x = place((along(day, span), 0), plot)[0]
        wide = size * OTHER_TYPE * font(bold=False).width(f"{day.year}")
        if x + wide <= ends:
            yield Words(x, base, f"{day.year}", size, QUIET)
            ends = x - size


def calendar_height(size: float) -> float:
    return 1.4 + 2.9 * size


def along(day: date, span: Span) -> float:
    """Where the beginning of a day lies."""
    return (day - span.first).days / span.length


def rounded(reach: float, parts: int = 5) -> float:
    """A round distance of grid lines, some `parts` in all."""
    if reach <= 0:
        return 1.0
    rough = reach / parts
    power = 10.0 ** floor(log10(rough))
    return next(power * nice for nice in (1, 2, 5, 10) if power * nice >= rough)


def steps(low: float, high: float, parts: int = 5) -> list[float]:
    """Round values from below `low` to above `high`."""
    step = rounded(high - low, parts)
    first, last = floor(low / step), ceil(high / step)
    return [n * step for n in range(first, max(last, first + 1) + 1)]


def place(point: Point, plot: Box = PLOT) -> tuple[float, float]:
    """Where a point lies on the paper."""
    return plot.x + plot.width * point[0], plot.bottom - plot.height * point[1]


def band(lows: Sequence[Point], highs: Sequence[Point], plot: Box = PLOT) -> Shape:
    return Shape(tuple(place(one, plot) for one in (*highs, *reversed(lows))), fill=BAND)


def curve(points: Sequence[Point], plot: Box = PLOT) -> Shape:
    return line(tuple(place(one, plot) for one in points), INK, width=0.65)


def level(at: float, plot: Box) -> Shape:
    """A line across that stands out from the grid."""
    return line((place((0, at), plot), place((1, at), plot)), WEEK_RULE, width=0.4)


def dot(point: Point, *, hollow: bool, told: str) -> Shape:
    x, y = place(point)
    round_ = ((x + sin(n * pi / 8), y - cos(n * pi / 8)) for n in range(16))
    fill = "#ffffff" if hollow else PAPER_INK
    return Shape(tuple(round_), fill=fill, stroke=PAPER_INK, width=0.25, told=told)
