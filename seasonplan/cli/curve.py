"""A year of chances as a line with its spread, on the screen. Knows no record and no place."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby, pairwise

from seasonplan.cli.screen import Screen
from seasonplan.conditions.climate import YEAR_DAYS, date_of
from seasonplan.days import MONTHS
from seasonplan.explain.curve import DOT, SPREAD, TYPED_DOT, TYPED_SPREAD, Curve, Part, curve_rows

MARGIN = 6
WIDEST = 73  # columns, of five days each


def curve_legend(screen: Screen) -> str:
    """What the signs of the curve mean."""
    (dot,), shade = (DOT, SPREAD) if screen.unicode else (TYPED_DOT, TYPED_SPREAD)
    return f"{dot} chance of a good day   {shade} the weeks around it in eight years of ten"


def draw_curve(
    screen: Screen, chance: Sequence[float], spread: Sequence[tuple[float, float]]
) -> None:
    """The chance of each day of the year; the spread holds eight years of ten."""
    columns = min(WIDEST, screen.width - MARGIN)
    edges = [YEAR_DAYS * n // columns for n in range(columns + 1)]
    parts = [range(first, after) for first, after in pairwise(edges)]
    curve = Curve(
        tuple(_mean([chance[n] for n in part]) for part in parts),
        tuple(
            (_mean([spread[n][0] for n in part]), _mean([spread[n][1] for n in part]))
            for part in parts
        ),
    )
    step = 0.05 if curve.highest <= 0.4 else 0.1
    rows = max(1, -(-int(1000 * curve.highest) // round(1000 * step)))
    line, shade = (DOT, SPREAD) if screen.unicode else (TYPED_DOT, TYPED_SPREAD)
    drawn = curve_rows(curve, rows=rows, step=step, line=line, spread=shade)
    for number, cells in enumerate(drawn):
        text = "".join(
            screen.paint("".join(sign for sign, _ in run), "blue" if part is Part.LINE else None)
            for part, run in groupby(cells, key=lambda cell: cell[1])
        )
        screen.draw(f"{100 * step * (rows - 1 - number):>3.0f} % {text}")
    screen.draw(" " * MARGIN + "".join(_months(parts)))


def month_ranges() -> Iterator[tuple[str, int, int]]:
    """Name, first day of the year and length of each month."""
    for month, days in groupby(range(YEAR_DAYS), key=lambda n: date_of(n).month):
        inside = list(days)
        yield MONTHS[month - 1].capitalize(), inside[0], len(inside)


def _months(parts: Sequence[range]) -> Iterator[str]:
    """The name of each month under its first column."""
    starts = {first: name[:3] for name, first, _ in month_ranges()}
    wanted = ""
    for part in parts:
        wanted += next((starts[n] for n in part if n in starts), "")
        yield wanted[:1] or " "
        wanted = wanted[1:]


def _mean(values: Sequence[float]) -> float:
    return sum(values) / len(values)
