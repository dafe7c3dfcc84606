"""A year of chances as a line with its spread, in signs. Knows no record and no place."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby, pairwise

from seasonplan.cli.screen import Screen
from seasonplan.conditions.climate import YEAR_DAYS, date_of
from seasonplan.days import MONTHS

MARGIN = 6
WIDEST = 73  # columns, of five days each


def draw_curve(
    screen: Screen, chance: Sequence[float], spread: Sequence[tuple[float, float]]
) -> None:
    """The chance of each day of the year; the band holds eight years of ten."""
    columns = min(WIDEST, screen.width - MARGIN)
    edges = [YEAR_DAYS * n // columns for n in range(columns + 1)]
    parts = [range(first, after) for first, after in pairwise(edges)]
    line = [_mean([chance[n] for n in part]) for part in parts]
    band = [tuple(_mean([spread[n][end] for n in part]) for end in (0, 1)) for part in parts]
    highest = max([*line, *(high for _, high in band)])
    step = 0.05 if highest <= 0.4 else 0.1
    rows = max(1, -(-int(1000 * highest) // round(1000 * step)))
    dot, shade = ("●", "░") if screen.unicode else ("o", ":")
    for row in reversed(range(rows)):
        low, high = row * step, (row + 1) * step
        signs = (
            (dot, "blue") if low <= p < high or (row == rows - 1 and p >= high)
            else (shade, None) if bottom < high and ceiling > low else (" ", None)
            for p, (bottom, ceiling) in zip(line, band, strict=True)
        )  # fmt: skip
        text = "".join(
            screen.paint("".join(sign for sign, _ in run), colour)
            for colour, run in groupby(signs, key=lambda sign: sign[1])
        )
        screen.draw(f"{100 * low:>3.0f} % {text}")
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
