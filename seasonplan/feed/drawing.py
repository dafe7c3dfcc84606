"""The year as a picture: a paper planner, one row for each month, one square for each day.

SVG without script, style sheet or anything fetched. Kinds are told apart by pattern, word and
colour, never by colour alone. Shows no injury unless that layer is asked for. Every part has a
class, so that a page may give it other colours in the dark.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from html import escape
from typing import NamedTuple

from seasonplan.days import Span, month_text
from seasonplan.explain.signs import SIGNS
from seasonplan.explain.tints import ROCK, TINTS
from seasonplan.explain.wall import months
from seasonplan.explain.words import span_text
from seasonplan.ical.layers import Layer
from seasonplan.plan import Block
from seasonplan.vocabulary import Kind
from seasonplan.year import Year


class Scale(NamedTuple):
    """How large it is drawn, in pixels; `days` are those with a number at the top."""

    name: str
    left: int
    top: int
    day: int
    row: int
    band: int  # height of a block
    days: tuple[int, ...]
    with_year: bool = False  # beside each month

    @property
    def width(self) -> int:
        return self.left + 31 * self.day + (14 if self.with_year else 5)


WIDE = Scale("wide", left=62, top=58, day=27, row=46, band=23, days=tuple(range(1, 32)),
             with_year=True)  # fmt: skip
# As it is: a phone of 360 pixels, less the margins of the page. Its text is no smaller there.
NARROW = Scale("narrow", left=36, top=54, day=9, row=38, band=20, days=(1, 5, 10, 15, 20, 25, 30))
INK, FAINT, PAPER, WEEKEND = "#33302a", "#d8d1c0", "#fbf8ef", "#f1ecdd"
# Kinds by number: a page that tells of no injury has no word for one
NUMBERS = {kind: number for number, kind in enumerate(TINTS)}
# What is ruled over the colour: a line through a square of 8
PATTERNS = {
    Kind.BASE: "M0 6H8", Kind.STRENGTH: "M0 2H8M0 6H8", Kind.PERFORMANCE: "M0 8L4 2L8 8",
    Kind.REST: "M3.5 4h1", Kind.TRIP: "M0 8L8 0", Kind.ABSENCE: "M0 0L8 8M0 8L8 0",
    Kind.INJURED: "M4 0V8", Kind.RETURN: "M4 0V4",
}  # fmt: skip
LAYER_OF = {
    Kind.REST: Layer.REST, Kind.TRIP: Layer.TRIPS, Kind.ABSENCE: Layer.ABSENCES,
    Kind.INJURED: Layer.INJURIES, Kind.RETURN: Layer.INJURIES,
}  # fmt: skip


def shown_blocks(blocks: Sequence[Block], layers: frozenset[Layer]) -> list[Block]:
    """The blocks that these layers show."""
    return [block for block in blocks if LAYER_OF.get(block.kind, Layer.BLOCKS) in layers]


def year_picture(
    year: Year, blocks: Sequence[Block], *, layers: frozenset[Layer], scale: Scale = WIDE
) -> str:
    """The year as an SVG element, good inside a page and as a file."""
    rows = list(months(year.span))
    shown = shown_blocks(blocks, layers)
    bottom = scale.top + scale.row * len(rows) + 22
    key, height = _key(shown, year, layers, bottom, scale)
    width, told = scale.width, escape(f"The year from {span_text(year.span)}, month by month.")
    return "".join(
        [
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width} {height}" '
            f'width="{width}" height="{height}" role="img" class="{scale.name}" '
            f'aria-labelledby="year-told-{scale.name}" '
            'font-family="Georgia, serif" font-size="11">',
            f'<title id="year-told-{scale.name}">{told}</title>',
            f"<defs>{''.join(_pattern(kind, scale) for kind in _kinds(shown))}</defs>",
            f'<path class="paper" fill="{PAPER}" d="M0 0H{width}V{height}H0z"/>',
            f'<text class="ink" x="{scale.left}" y="26" '
            f'font-size="{17 if scale.with_year else 14}" fill="{INK}">',
            f"{escape(span_text(year.span))}</text>",
            *_days_of_month(scale),
            *(
                part
                for at, row in enumerate(rows)
                for part in _Row(scale, row, scale.top + at * scale.row).drawn(year, shown, layers)
            ),
            *key,
            "</svg>",
        ]
    )


def _kinds(blocks: Sequence[Block]) -> list[Kind]:
    """The kinds there are among the blocks, in the usual order."""
    return [kind for kind in Kind if any(block.kind is kind for block in blocks)]


def _pattern(kind: Kind, scale: Scale) -> str:
    tint, ink = TINTS[kind]
    return (
        f'<pattern id="of-{scale.name}-{kind.value}" width="8" height="8" '
        'patternUnits="userSpaceOnUse">'
        f'<path class="fill-{NUMBERS[kind]}" fill="{tint}" d="M0 0h8v8H0z"/>'
        f'<path class="rule-{NUMBERS[kind]}" fill="none" stroke="{ink}" stroke-opacity=".6" '
        f'd="{PATTERNS[kind]}"/></pattern>'
    )


def _days_of_month(scale: Scale) -> Iterator[str]:
    for day in scale.days:
        yield _text(str(day), scale.left + (day - 0.5) * scale.day, scale.top - 8, middle=True)


class _Row(NamedTuple):
    """One month, `top` pixels below the upper edge."""

    scale: Scale
    month: Span
    top: int

    def drawn(self, year: Year, blocks: Sequence[Block], layers: frozenset[Layer]) -> Iterator[str]:
        yield from self._name()
        for word, fill in (("day", PAPER), ("weekend", WEEKEND)):
            days = [d.day for d in self.month.days() if (d.weekday() >= 5) == (word == "weekend")]
            high = self.scale.row - 6
            shape = "".join(self._box(day, 1, self.top + 2, high) for day in days)
            yield f'<path class="{word}" fill="{fill}" stroke="{FAINT}" d="{shape}"/>'
        for block in blocks:
            inside = block.span.meet(self.month)
            if inside:
                yield from self._block(inside, block)
        for span in _rock(year, layers):
            inside = span.meet(self.month)
            if inside:
                shape = self._box(inside.first.day, inside.length, self.top + 5, 5)
                yield f'<path class="rock" fill="{ROCK}" d="{shape}"/>'

    def _name(self) -> Iterator[str]:
        first, x = self.month.first, self.scale.left - 8
        if self.scale.with_year:
            yield _text(f"{month_text(first)} {first.year}", x, self.top + 26, end=True)
            return
        yield _text(month_text(first), x, self.top + 16, end=True)
        if first.day != 1 or first.month == 1:
            yield _text(str(first.year), x, self.top + 29, end=True)

    def _block(self, span: Span, block: Block) -> Iterator[str]:
        scale, y = self.scale, self.top + 13
        shape = self._box(span.first.day, span.length, y, scale.band, inset=1)
        look = f"of-{scale.name}-{block.kind.value}"
        rule = f'class="rule-{NUMBERS[block.kind]}" stroke="{TINTS[block.kind][1]}"'
        yield f'<path {rule} fill="url(#{look})" d="{shape}"/>'
        word = SIGNS[block.kind].word
        if span.length * scale.day > 7 * len(word) + 8:
            x = scale.left + (span.first.day - 1) * scale.day
            pill, width = y + (scale.band - 15) // 2, 6.4 * len(word) + 8
            shape = f"M{x + 4} {pill}h{width:g}v15h-{width:g}z"
            yield f'<path class="paper" fill="{PAPER}" fill-opacity=".85" d="{shape}"/>'
            yield _text(word, x + 8, pill + 12)

    def _box(self, day: int, days: int, y: int, height: int, *, inset: int = 0) -> str:
        x = self.scale.left + (day - 1) * self.scale.day + inset
        width = days * self.scale.day - 2 * inset
        return f"M{x} {y}h{width}v{height}h-{width}z"


def _rock(year: Year, layers: frozenset[Layer]) -> Iterator[Span]:
    """Days when rock is in condition, as far as they are shown."""
    for season in year.seasons if Layer.SEASONS in layers else ():
        yield from season.spells(year.span)
    for window in year.windows if Layer.WINDOWS in layers else ():
        yield window.span
    for trip in year.trips if Layer.TRIPS in layers else ():
        if trip.climbing:
            yield trip.span


def _key(
    blocks: Sequence[Block], year: Year, layers: frozenset[Layer], y: int, scale: Scale
) -> tuple[list[str], int]:
    """What each look means, in as many lines as it takes; and where the picture ends."""
    looks = [
        (SIGNS[kind].word, f'class="rule-{NUMBERS[kind]}" stroke="{TINTS[kind][1]}" '
         f'fill="url(#of-{scale.name}-{kind.value})"', 14)
        for kind in _kinds(blocks)
    ]  # fmt: skip
    if any(_rock(year, layers)):
        looks.append(("rock in season", f'class="rock" fill="{ROCK}"', 5))
    told, x = [], float(scale.left)
    for word, look, height in looks:
        width = 42 + 6.6 * len(word)
        if x + width - 12 > scale.width:
            x, y = float(scale.left), y + 22
        top = y - 4 - height // 2
        told.append(f'<path {look} d="M{x:g} {top}h18v{height}h-18z"/>')
        told.append(_text(word, x + 23, y))
        x += width
    return told, y + 18


def _text(text: str, x: float, y: float, *, middle: bool = False, end: bool = False) -> str:
    anchor = ' text-anchor="middle"' if middle else ' text-anchor="end"' if end else ""
    return f'<text class="ink" x="{x:g}" y="{y:g}" fill="{INK}"{anchor}>{escape(text)}</text>'
