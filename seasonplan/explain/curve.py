"""A line with its spread, as signs in lines of text: the same for every face.

Line and spread differ by sign, never by colour alone. Knows no record and no screen.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum

LINE = ("▁", "━", "▔")  # a line low, halfway and high in its cell
DOT, TYPED_DOT = ("●",), ("o",)
SPREAD, TYPED_SPREAD = "░", ":"
LEAST_SHARE = 1 / 3  # of a cell that the spread must fill to be drawn in it


class Part(Enum):
    """What a sign belongs to."""

    NOTHING = "nothing"
    SPREAD = "spread"
    LINE = "line"


Cell = tuple[str, Part]


@dataclass(frozen=True, slots=True)
class Curve:
    """For each column a value, and the low and high end of its spread."""

    line: tuple[float, ...]
    spread: tuple[tuple[float, float], ...]

    @property
    def highest(self) -> float:
        return max([*self.line, *(high for _, high in self.spread)], default=0.0)


def curve_rows(
    curve: Curve, *, rows: int, step: float, line: Sequence[str] = LINE, spread: str = SPREAD
) -> list[list[Cell]]:
    """The curve in lines from the top, each `step` high. `line` are its signs from low to high."""
    return [
        [
            _cell(value, ends, bottom=row * step, step=step, top=row == rows - 1,
                  line=line, spread=spread)
            for value, ends in zip(curve.line, curve.spread, strict=True)
        ]
        for row in reversed(range(rows))
    ]  # fmt: skip


def _cell(
    value: float, ends: tuple[float, float], *, bottom: float, step: float, top: bool,
    line: Sequence[str], spread: str,
) -> Cell:  # fmt: skip
    inside = (value - bottom) / step
    if 0 <= inside < 1 or (top and inside >= 1):
        return line[min(len(line) - 1, int(inside * len(line)))], Part.LINE
    filled = min(ends[1], bottom + step) - max(ends[0], bottom)
    if filled > 0 and filled >= LEAST_SHARE * step:
        return spread, Part.SPREAD
    return " ", Part.NOTHING
