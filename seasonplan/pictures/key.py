"""What the signs of a picture say: swatches with their words, as they are needed.

The poster sets them in columns (`foot`), pictures for screens in a flow.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from seasonplan.explain.signs import SIGNS
from seasonplan.explain.tints import ACCENT, PAPER_INK, ROCK, TINTS
from seasonplan.pictures.fonts import OTHER_TYPE, font
from seasonplan.pictures.marks import Box, Mark, Words, area
from seasonplan.pictures.motifs import CAPITALS, flag, frame, letter, motif
from seasonplan.views import YearView
from seasonplan.vocabulary import Kind

SMALL, STEP = 2.6, 4.2  # mm on A3: size of type, and from line to line
SWATCH = (9.0, 3.4)  # mm on A3

Drawn = Callable[[Box, float], Iterator[Mark]]


@dataclass(frozen=True, slots=True)
class Sign:
    """A sign as it is drawn in a box at a scale, and what it says."""

    drawn: Drawn
    text: str


def kinds(view: YearView) -> list[Sign]:
    """The kinds there are among the blocks, in the usual order."""
    used = {one.kind for one in view.blocks}
    return [of_kind(kind) for kind in Kind if kind in used]


def of_kind(kind: Kind) -> Sign:
    """The ribbon of a kind of block, with letter and pattern."""

    def drawn(box: Box, scale: float) -> Iterator[Mark]:
        yield area(box, TINTS[kind][0])
        yield from letter(kind, Box(box.x, box.y, box.height, box.height))
        for at in (3.7, 5.5, 7.3):
            third = Box(box.x + at * scale, box.y, 1.8 * scale, box.height)
            yield from motif(kind, third, scale)

    return Sign(drawn, SIGNS[kind].word)


def others(view: YearView, *, numbered: bool = True) -> list[Sign]:
    """All the other signs there are; `numbered`: flags bear the number of their goal."""
    return list(_others(view, numbered=numbered))


def _others(view: YearView, *, numbered: bool) -> Iterator[Sign]:
    if view.rock:
        yield Sign(_rock, "rock, as thick as the chance of a good day")
    if any(one.planned for goal in view.goals for one in goal.stretches):
        if numbered:
            yield Sign(_numbered_flag, "day on rock, for the goal so numbered")
        else:
            yield Sign(_flag, "day planned on rock")
    if any(one.climbing for one in view.away):
        yield Sign(_box(Kind.TRIP, dashed=False), "climbing trip")
    if any(not one.left and not one.climbing for one in view.away):
        yield Sign(_box(Kind.ABSENCE, dashed=False), "away, no training")
    if any(one.left for one in view.away):
        yield Sign(_box(Kind.ABSENCE, dashed=True), "away in part")
    if any(week.light and week.trained for week in view.weeks):
        yield Sign(_light, "light week: half as wide")


def _rock(box: Box, scale: float) -> Iterator[Mark]:
    for n, share in enumerate((0.25, 0.5, 0.75, 1.0)):
        high, wide = share * 2.4 * scale, box.width / 4
        yield area(Box(box.x + n * wide, box.bottom - high, wide, high), ROCK)


def _numbered_flag(box: Box, scale: float) -> Iterator[Mark]:
    place = Box(box.x, box.y, 1.15 * box.height, box.height)
    yield from flag(place, "1", ACCENT, least=SMALL * scale)


def _flag(box: Box, scale: float) -> Iterator[Mark]:
    yield from flag(Box(box.x, box.y, 0.7 * box.height, box.height), "", ACCENT, least=0)


def _box(kind: Kind, *, dashed: bool) -> Drawn:
    def drawn(box: Box, scale: float) -> Iterator[Mark]:
        yield from frame(
            box.within(0.3 * scale), TINTS[kind][1], scale, dashed=dashed,
            cornered=kind is Kind.TRIP,
        )  # fmt: skip

    return drawn


def _light(box: Box, scale: float) -> Iterator[Mark]:
    yield area(box.within(box.height / 4), TINTS[Kind.STRENGTH][0])


def told(sign: Sign, x: float, y: float, scale: float) -> Iterator[Mark]:
    """A sign and beside it what it says; `x`, `y` is its upper left corner."""
    box = Box(x, y, SWATCH[0] * scale, SWATCH[1] * scale)
    yield from sign.drawn(box, scale)
    base = box.middle[1] + SMALL * scale * CAPITALS / 2
    yield Words(box.right + 1.6 * scale, base, sign.text, SMALL * scale, PAPER_INK)


def flow(signs: Sequence[Sign], room: Box, scale: float) -> tuple[list[Mark], float]:
    """Signs one after another in as many lines as it takes, and where they end."""
    marks: list[Mark] = []
    x, y = room.x, room.y
    for sign in signs:
        words = SMALL * scale * OTHER_TYPE * font(bold=False).width(sign.text)
        wide = (SWATCH[0] + 1.6) * scale + words
        if x > room.x and x + wide > room.right:
            x, y = room.x, y + 1.25 * STEP * scale
        marks += told(sign, x, y, scale)
        x += wide + 3 * scale
    return marks, y + SWATCH[1] * scale
