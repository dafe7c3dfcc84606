"""How a poster may be wanted: sizes of paper, what lies down it, grey."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Size(StrEnum):
    """Paper: ISO 216, and the North American sizes of ANSI/ASME Y14.1."""

    A3 = "a3"
    A4 = "a4"
    LETTER = "letter"
    TABLOID = "tabloid"


class Rows(StrEnum):
    """What lies down the sheet: the days of each month, or the weeks."""

    MONTHS = "months"
    WEEKS = "weeks"


SIDES = {
    Size.A3: (297.0, 420.0), Size.A4: (210.0, 297.0),
    Size.LETTER: (215.9, 279.4), Size.TABLOID: (279.4, 431.8),
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class PosterWish:
    """How the poster is wanted."""

    size: Size = Size.A3
    rows: Rows = Rows.MONTHS
    grey: bool = False
