"""The year as a picture: a paper planner, one row for each month, one square for each day.

SVG without script, style sheet or anything fetched. Kinds are told apart by pattern, word and
colour, never by colour alone. Shows no injury unless that layer is asked for.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from html import escape

from seasonplan.days import Span, month_text
from seasonplan.explain.signs import SIGNS
from seasonplan.explain.wall import months
from seasonplan.explain.words import span_text
from seasonplan.ical.layers import Layer
from seasonplan.plan import Block
from seasonplan.vocabulary import Kind
from seasonplan.year import Year

LEFT, TOP, DAY, ROW = 62, 58, 27, 46
WIDTH = LEFT + 31 * DAY + 14
INK, FAINT, PAPER, WEEKEND = "#33302a", "#d8d1c0", "#fbf8ef", "#f1ecdd"
# Okabe and Ito's colours for colour-blind readers (2002), by way of Wong 2011, Nat Methods 8:441;
# from memory
COLOURS = {
    Kind.BASE: "#56b4e9", Kind.STRENGTH: "#cc79a7", Kind.PERFORMANCE: "#e69f00",
    Kind.REST: "#efe9d6", Kind.TRIP: "#009e73", Kind.ABSENCE: "#b8b3a6",
    Kind.INJURED: "#d55e00", Kind.RETURN: "#d55e00",
}  # fmt: skip
# What is ruled over the colour: a line through a square of 8
PATTERNS = {
    Kind.BASE: "M0 6H8", Kind.STRENGTH: "M0 2H8M0 6H8", Kind.PERFORMANCE: "M0 8L4 2L8 8",
    Kind.REST: "M3.5 4h1", Kind.TRIP: "M0 8L8 0", Kind.ABSENCE: "M0 0L8 8M0 8L8 0",
    Kind.INJURED: "M4 0V8", Kind.RETURN: "M4 0V4",
}  # fmt: skip
ROCK = "#7a4a12"
LAYER_OF = {
    Kind.REST: Layer.REST, Kind.TRIP: Layer.TRIPS, Kind.ABSENCE: Layer.ABSENCES,
    Kind.INJURED: Layer.INJURIES, Kind.RETURN: Layer.INJURIES,
}  # fmt: skip


def shown_blocks(blocks: Sequence[Block], layers: frozenset[Layer]) -> list[Block]:
    """The blocks that these layers show."""
    return [block for block in blocks if LAYER_OF.get(block.kind, Layer.BLOCKS) in layers]


def year_picture(year: Year, blocks: Sequence[Block], *, layers: frozenset[Layer]) -> str:
    """The year as an SVG element, good inside a page and as a file."""
    rows = list(months(year.span))
    shown = shown_blocks(blocks, layers)
    height = TOP + ROW * len(rows) + 40
    told = escape(f"The year from {span_text(year.span)}, month by month.")
    return "".join(
        [
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH} {height}" '
            f'width="{WIDTH}" height="{height}" role="img" aria-labelledby="year-told" '
            'font-family="Georgia, serif" font-size="11">',
            f'<title id="year-told">{told}</title>',
            f"<defs>{''.join(_pattern(kind) for kind in _kinds(shown))}</defs>",
            f'<path fill="{PAPER}" d="M0 0H{WIDTH}V{height}H0z"/>',
            f'<text x="{LEFT}" y="26" font-size="17" fill="{INK}">',
            f"{escape(span_text(year.span))}</text>",
            *_days_of_month(),
            *(part for at, row in enumerate(rows) for part in _row(at, row, year, shown, layers)),
            *_key(shown, year, layers, height - 18),
            "</svg>",
        ]
    )


def _kinds(blocks: Sequence[Block]) -> list[Kind]:
    """The kinds there are among the blocks, in the usual order."""
    return [kind for kind in Kind if any(block.kind is kind for block in blocks)]


def _pattern(kind: Kind) -> str:
    return (
        f'<pattern id="of-{kind.value}" width="8" height="8" patternUnits="userSpaceOnUse">'
        f'<path fill="{COLOURS[kind]}" d="M0 0h8v8H0z"/>'
        f'<path fill="none" stroke="{INK}" stroke-opacity=".35" d="{PATTERNS[kind]}"/></pattern>'
    )


def _days_of_month() -> Iterator[str]:
    for day in range(1, 32):
        yield _text(str(day), LEFT + (day - 0.5) * DAY, TOP - 8, middle=True)


def _row(
    at: int, month: Span, year: Year, blocks: Sequence[Block], layers: frozenset[Layer]
) -> Iterator[str]:
    top = TOP + at * ROW
    yield _text(f"{month_text(month.first)} {month.first.year}", LEFT - 8, top + 26, end=True)
    for day in month.days():
        fill = WEEKEND if day.weekday() >= 5 else PAPER
        yield _box(day.day, 1, top + 2, ROW - 6, f'fill="{fill}" stroke="{FAINT}"')
    for block in blocks:
        inside = block.span.meet(month)
        if inside:
            yield from _band(inside, block, top)
    for span in _rock(year, layers):
        inside = span.meet(month)
        if inside:
            yield _box(inside.first.day, inside.length, top + 5, 5, f'fill="{ROCK}"')


def _band(span: Span, block: Block, top: int) -> Iterator[str]:
    yield _box(
        span.first.day, span.length, top + 13, 23, f'fill="url(#of-{block.kind.value})"', inset=1
    )
    word = SIGNS[block.kind].word
    if span.length * DAY > 7 * len(word) + 8:
        x = LEFT + (span.first.day - 1) * DAY
        width = 6.4 * len(word) + 8
        shape = f"M{x + 4} {top + 17}h{width:g}v15h-{width:g}z"
        yield f'<path fill="{PAPER}" fill-opacity=".85" d="{shape}"/>'
        yield _text(word, x + 8, top + 29)


def _rock(year: Year, layers: frozenset[Layer]) -> Iterator[Span]:
    """Days when rock is in condition, as far as they are shown."""
    for season in year.seasons if Layer.SEASONS in layers else ():
        yield from season.spells(year.span)
    for window in year.windows if Layer.WINDOWS in layers else ():
        yield window.span
    for trip in year.trips if Layer.TRIPS in layers else ():
        if trip.climbing:
            yield trip.span


def _key(blocks: Sequence[Block], year: Year, layers: frozenset[Layer], y: int) -> Iterator[str]:
    x = float(LEFT)
    for kind in _kinds(blocks):
        word = SIGNS[kind].word
        look = f'fill="url(#of-{kind.value})" stroke="{INK}" stroke-width=".5"'
        yield f'<path {look} d="M{x:g} {y - 11}h18v14h-18z"/>'
        yield _text(word, x + 23, y)
        x += 42 + 6.6 * len(word)
    if any(_rock(year, layers)):
        yield f'<path fill="{ROCK}" d="M{x:g} {y - 6}h18v5h-18z"/>'
        yield _text("rock in season", x + 23, y)


def _box(day: int, days: int, y: int, height: int, look: str, *, inset: int = 0) -> str:
    x, width = LEFT + (day - 1) * DAY + inset, days * DAY - 2 * inset
    return f'<path {look} d="M{x} {y}h{width}v{height}h-{width}z"/>'


def _text(text: str, x: float, y: float, *, middle: bool = False, end: bool = False) -> str:
    anchor = ' text-anchor="middle"' if middle else ' text-anchor="end"' if end else ""
    return f'<text x="{x:g}" y="{y:g}" fill="{INK}"{anchor}>{escape(text)}</text>'
