"""The small shapes on paper: the pattern of each kind of block, flags, the letter of a block."""

from __future__ import annotations

from collections.abc import Iterator

from seasonplan.explain.tints import TINTS
from seasonplan.pictures.fonts import font
from seasonplan.pictures.marks import Align, Box, Mark, Shape, Words, area, line, outline
from seasonplan.vocabulary import Kind

LETTERS = {
    Kind.BASE: "B", Kind.STRENGTH: "S", Kind.PERFORMANCE: "P", Kind.REST: "R",
    Kind.TRIP: "T", Kind.ABSENCE: "A", Kind.INJURED: "!", Kind.RETURN: "~",
}  # fmt: skip
CORNER = 1.7  # mm on A3
CAPITALS = 0.714  # height of capital letters against the size of the type


# Lines of each pattern about its middle, to one side of it and down
LINES: dict[Kind, tuple[tuple[tuple[float, float], ...], ...]] = {
    Kind.BASE: (((-1, 0), (1, 0)),),
    Kind.STRENGTH: (((-1, -0.75), (1, -0.75)), ((-1, 0), (1, 0)), ((-1, 0.75), (1, 0.75))),
    Kind.TRIP: (((-0.6, -0.7), (0.1, 0), (-0.6, 0.7)), ((0.2, -0.7), (0.9, 0), (0.2, 0.7))),
    Kind.ABSENCE: (((-0.7, -0.7), (0.7, 0.7)), ((-0.7, 0.7), (0.7, -0.7))),
    Kind.INJURED: (((0, -1), (0, 1)),),
    Kind.RETURN: (((0, -0.5), (0, 0.5)),),
}
AREAS: dict[Kind, tuple[tuple[float, float], ...]] = {
    Kind.PERFORMANCE: ((-1, 0.75), (0, -0.85), (1, 0.75)),
    Kind.REST: ((-0.22, -0.22), (0.22, -0.22), (0.22, 0.22), (-0.22, 0.22)),
}


def motif(kind: Kind, box: Box, scale: float) -> Iterator[Mark]:
    """The sign of a kind, once, in the middle of a box of the ribbon."""
    (x, y), ink = box.middle, TINTS[kind][1]
    reach = min(1.1 * scale, 0.42 * min(box.width, box.height))

    def about(points: tuple[tuple[float, float], ...]) -> tuple[tuple[float, float], ...]:
        return tuple((x + reach * across, y + reach * down) for across, down in points)

    for points in LINES.get(kind, ()):
        yield line(about(points), ink, width=0.22 * scale)
    if kind in AREAS:
        yield Shape(about(AREAS[kind]), fill=ink)


def letter(kind: Kind, box: Box) -> Iterator[Mark]:
    """The letter of a kind, white in a square of its ink."""
    size = min(0.85 * box.height / CAPITALS, 1.15 * box.width)
    yield area(box, TINTS[kind][1])
    yield centred(LETTERS[kind], box, size, "#ffffff", bold=True)


def flag(box: Box, number: str, colour: str, *, least: float) -> Iterator[Mark]:
    """A pennant on its pole, with the number of a goal in type of `least` mm or more, if any."""
    pole = box.x + 0.06 * box.width
    yield line(((pole, box.y), (pole, box.bottom)), colour, width=0.09 * box.height)
    cloth = Box(pole, box.y, box.width - 0.06 * box.width, 0.8 * box.height)
    notch = 0.16 * cloth.height
    yield Shape(
        (
            (cloth.x, cloth.y), (cloth.right, cloth.y),
            (cloth.right - notch, cloth.y + cloth.height / 2),
            (cloth.right, cloth.bottom), (cloth.x, cloth.bottom),
        ),
        fill=colour,
    )  # fmt: skip
    if not number:
        return
    inside = Box(cloth.x, cloth.y, cloth.width - notch, cloth.height)
    yield centred(number, inside, max(least, 0.84 * cloth.height), "#ffffff", bold=True)


def frame(
    box: Box, ink: str, scale: float, *, dashed: bool = False, cornered: bool = False
) -> Iterator[Mark]:
    """A box around days; `cornered`: its lower left corner is filled."""
    dash = (1.2 * scale, 0.8 * scale) if dashed else None
    yield outline(box, ink, width=0.5 * scale, dash=dash)
    if cornered:
        reach, left, bottom = min(CORNER * scale, 0.4 * box.height), box.x, box.bottom
        yield Shape(((left, bottom - reach), (left + reach, bottom), (left, bottom)), fill=ink)


def centred(text: str, box: Box, size: float, colour: str, *, bold: bool = False) -> Words:
    """A text in the middle of a box, as large as asked for or as fits."""
    room = 0.96 * box.width / max(font(bold=bold).width(text), 0.01)
    size = min(size, room)
    x, y = box.middle
    return Words(x, y + size * CAPITALS / 2, text, size, colour, bold, Align.MIDDLE)
