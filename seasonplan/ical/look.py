"""How a calendar presents itself: the colours there are. Knows nothing of its events."""

from __future__ import annotations

from enum import StrEnum


class Colour(StrEnum):
    """A CSS3 name, as RFC 7986 5.9 wants one (a number would be ignored)."""

    TEAL = "teal"
    STEELBLUE = "steelblue"
    DARKORANGE = "darkorange"
    SLATEGRAY = "slategray"

    @property
    def hex(self) -> str:
        """The same in RGB, for calendars that know no names."""
        return _HEX[self]


# CSS Color Module Level 3, section 4.3, extended colour keywords; from memory
_HEX = {
    Colour.TEAL: "#008080",
    Colour.STEELBLUE: "#4682B4",
    Colour.DARKORANGE: "#FF8C00",
    Colour.SLATEGRAY: "#708090",
}
WHOLE = "calendar"  # tells the calendar of the whole plan from calendars of its parts
