"""How large a picture for a screen is drawn: for a window, or for a phone held upright."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Screen:
    """Width and size of the type in millimetres, of which a screen has 96/25.4 points each.

    `scale`: the size of lines and signs against those of the poster.
    """

    name: str
    width: float
    type_mm: float
    scale: float

    @property
    def is_narrow(self) -> bool:
        return self.width < 150


WIDE = Screen("wide", 248.0, 3.2, 1.15)
# A phone of 360 points, less the margins of the page; its type is no smaller than 11 points there
NARROW = Screen("narrow", 86.7, 2.95, 1.17)
EDGE = 1.0  # mm that stay free on each side
