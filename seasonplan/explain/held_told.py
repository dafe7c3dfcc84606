"""What is said of the places of a held block: free, costs little, costs much, not possible.

Each has a sign and a word, never a colour alone. Draws nothing.
"""

from __future__ import annotations

from enum import Enum

from seasonplan.days import count_text, day_month_text
from seasonplan.planner.held import Held, Hold, Place

LITTLE = 0.02  # of what the best year brings; more is much (preference)
NOT_HERE = "not possible here under your rules and entries"


class Ease(Enum):
    """How much a place costs: its sign and its word."""

    FREE = ("○", "free")
    LITTLE = ("▂", "costs little")
    MUCH = ("▆", "costs much")
    NONE = ("\u00d7", "not possible")

    @property
    def sign(self) -> str:
        return self.value[0]

    @property
    def word(self) -> str:
        return self.value[1]


def ease(place: Place | None, scale: float) -> Ease:
    """How much a place costs; `scale` is what the best year brings."""
    if place is None:
        return Ease.NONE
    if place.tie or place.points > 0:
        return Ease.FREE
    return Ease.LITTLE if -place.points <= LITTLE * scale else Ease.MUCH


def legend() -> str:
    """The signs with their words."""
    return "  ".join(f"{one.sign} {one.word}" for one in Ease)


def figure(held: Held, place: Place | None, hold: Hold, *, exact: bool) -> str:
    """What a place costs, good days on rock first; `exact`: it is just where the hand is.

    Such as "costs 0.3 good days on rock, with form worth 0.5", or "costs nothing".
    """
    from seasonplan.explain.why_told import price_text  # slow to import

    if place is None:
        return NOT_HERE
    if place.tie:
        told, others = "costs nothing", held.ties(hold)
        if others > 1:
            told += f": {count_text(others, 'place')} are as good"
    else:
        told = price_text(place)
    if exact:
        return told
    first, last = day_month_text(place.span.first), day_month_text(place.span.last)
    return f"about {first} to {last}: {told}"
