"""What a picture is made of, in millimetres from the top left corner. Knows no format."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import StrEnum
from functools import reduce


class Align(StrEnum):
    """Where a text stands about its point. The values are those of SVG."""

    START = "start"
    MIDDLE = "middle"
    END = "end"


@dataclass(frozen=True, slots=True)
class Shape:
    """Straight lines from point to point; closed where there is a fill.

    Without `fill` it is a line, without `stroke` an area. `dash`: lengths of dash and gap.
    `told` is shown where a pointer rests on it, in formats that can.
    """

    points: tuple[tuple[float, float], ...]
    fill: str | None = None
    stroke: str | None = None
    width: float = 0.2
    dash: tuple[float, float] | None = None
    closed: bool = True
    told: str = ""


@dataclass(frozen=True, slots=True)
class Words:
    """A line of text; `y` is its base line, `size` that of the type in millimetres."""

    x: float
    y: float
    text: str
    size: float
    colour: str
    bold: bool = False
    align: Align = Align.START

    def offset(self, width: float) -> float:
        """How far left of `x` it begins, `width` being a multiple of its size."""
        share = {Align.START: 0.0, Align.MIDDLE: 0.5, Align.END: 1.0}[self.align]
        return share * self.size * width


Mark = Shape | Words


@dataclass(frozen=True, slots=True)
class Picture:
    """One page. `told` says in words what it shows."""

    width: float
    height: float
    title: str
    told: str
    marks: tuple[Mark, ...]


@dataclass(frozen=True, slots=True)
class Box:
    """A part of the page."""

    x: float
    y: float
    width: float
    height: float

    @property
    def right(self) -> float:
        return self.x + self.width

    @property
    def bottom(self) -> float:
        return self.y + self.height

    @property
    def middle(self) -> tuple[float, float]:
        return self.x + self.width / 2, self.y + self.height / 2

    def within(self, by: float) -> Box:
        return Box(self.x + by, self.y + by, self.width - 2 * by, self.height - 2 * by)

    def with_(self, other: Box) -> Box:
        """The smallest box around both."""
        x, y = min(self.x, other.x), min(self.y, other.y)
        return Box(x, y, max(self.right, other.right) - x, max(self.bottom, other.bottom) - y)


def enclosing(boxes: Iterable[Box]) -> Box:
    """The smallest box around all."""
    return reduce(Box.with_, boxes)


def area(box: Box, fill: str) -> Shape:
    return Shape(_corners(box), fill=fill)


def outline(
    box: Box, stroke: str, *, width: float, dash: tuple[float, float] | None = None
) -> Shape:
    return Shape(_corners(box), stroke=stroke, width=width, dash=dash)


def line(
    points: Sequence[tuple[float, float]], stroke: str, *, width: float,
    dash: tuple[float, float] | None = None,
) -> Shape:  # fmt: skip
    return Shape(tuple(points), stroke=stroke, width=width, dash=dash, closed=False)


def _corners(box: Box) -> tuple[tuple[float, float], ...]:
    return ((box.x, box.y), (box.right, box.y), (box.right, box.bottom), (box.x, box.bottom))
