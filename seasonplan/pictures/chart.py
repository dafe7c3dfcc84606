"""A chart over days, in millimetres: a frame with its grid, a line in a band, dots.

Knows no data; `chance` and `series` draw on it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import cos, pi, sin

from seasonplan.explain.tints import PAPER_INK, TINTS
from seasonplan.pictures.marks import Align, Box, Mark, Picture, Shape, Words, line
from seasonplan.vocabulary import Kind

WIDE, HIGH = 212.0, 95.0
PLOT = Box(16, 15, 190, 68)
PALE = "#d8d2c4"
BAND, INK = TINTS[Kind.BASE]
TYPE = 3.4  # mm
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
    head = (
        Words(PLOT.x, 6, title, 1.25 * TYPE, PAPER_INK, bold=True),
        Words(PLOT.x, 11.2, said, TYPE, PAPER_INK),
    )
    return Picture(WIDE, HIGH, title, told, (*head, *under, *_grid(up, along), *over))


def _grid(up: Sequence[Tick], along: Sequence[Tick]) -> Iterator[Mark]:
    for tick in up:
        x, y = place((0, tick.at))
        yield line(((x, y), (PLOT.right, y)), PALE, width=0.25)
        yield Words(x - 2, y + 0.36 * TYPE, tick.text, TYPE, PAPER_INK, align=Align.END)
    for tick in along:
        x, y = place((tick.at, 0))
        yield line(((x, PLOT.y), (x, y + 1.4)), PALE, width=0.25)
        at = place((tick.at + tick.beside, 0))[0]
        yield Words(at, y + 7.5, tick.text, TYPE, PAPER_INK, align=Align.MIDDLE)


def place(point: Point) -> tuple[float, float]:
    """Where a point lies on the paper."""
    return PLOT.x + PLOT.width * point[0], PLOT.bottom - PLOT.height * point[1]


def band(lows: Sequence[Point], highs: Sequence[Point]) -> Shape:
    return Shape(tuple(map(place, (*highs, *reversed(lows)))), fill=BAND)


def curve(points: Sequence[Point]) -> Shape:
    return line(tuple(map(place, points)), INK, width=0.65)


def dot(point: Point, *, hollow: bool, told: str) -> Shape:
    x, y = place(point)
    round_ = ((x + sin(n * pi / 8), y - cos(n * pi / 8)) for n in range(16))
    fill = "#ffffff" if hollow else PAPER_INK
    return Shape(tuple(round_), fill=fill, stroke=PAPER_INK, width=0.25, told=told)
