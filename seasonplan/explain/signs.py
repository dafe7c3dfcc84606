"""The sign, word and colour of each kind of block: never colour alone.

Red never stands against green, the pair that most colour-blind people mix up (common knowledge,
no source); the sixteen terminal colours follow whatever palette a reader has set.
"""

from __future__ import annotations

from typing import NamedTuple

from seasonplan.vocabulary import Kind


class Sign(NamedTuple):
    """`drawn` for terminals with Unicode, `typed` for the others."""

    drawn: str
    typed: str
    word: str
    colour: str | None

    def mark(self, *, unicode: bool) -> str:
        return self.drawn if unicode else self.typed


SIGNS = {
    Kind.BASE: Sign("─", "-", "base", "blue"),
    Kind.STRENGTH: Sign("≡", "=", "strength", "magenta"),
    Kind.PERFORMANCE: Sign("▲", "^", "performance", "yellow"),
    Kind.REST: Sign("·", ".", "rest", None),
    Kind.TRIP: Sign("»", ">", "trip", "cyan"),
    Kind.ABSENCE: Sign("\u00d7", "x", "absence", "bright_black"),
    Kind.INJURED: Sign("!", "!", "injured", "red"),
    Kind.RETURN: Sign("~", "~", "return", "red"),
}
HEIGHTS, TYPED_HEIGHTS = " ▁▂▃▄▅▆▇█", ".123456789"
SHADES, TYPED_SHADES = " ░▒▓█", " 1234"
