"""What a gain is worth to this climber: asked, never computed; and how little others' numbers say.

No regression between strength and grade is used anywhere: it would be between people.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from math import atanh, sqrt, tanh

from seasonplan.rules.tables import table
from seasonplan.testing.change import NORMAL
from seasonplan.testing.protocols import STUDIES
from seasonplan.vocabulary import FrozenModel

TEN_PER_CENT = 10.0


@dataclass(frozen=True, slots=True)
class Worth:
    """Grade steps that a gain is worth, as the climber thinks: label preference."""

    least: float
    likely: float
    most: float

    @property
    def mean(self) -> float:
        """Of the triangle between them."""
        return (self.least + self.likely + self.most) / 3


def worth_of(percent: float, ten_percent: Sequence[float]) -> Worth | None:
    """What so many per cent are worth, in proportion to what ten are said to be, if they are."""
    if not ten_percent:
        return None
    least, likely, most = sorted(percent / TEN_PER_CENT * steps for steps in ten_percent)
    return Worth(least, likely, most)


class PublishedStudy(FrozenModel):
    """How strength went with grade among so many climbers."""

    r: float
    n: int
    sources: tuple[str, ...]

    @property
    def interval(self) -> tuple[float, float]:
        """Of r, 95 %: Fisher's z."""
        reach = NORMAL.inv_cdf(0.975) / sqrt(self.n - 3)
        return tanh(atanh(self.r) - reach), tanh(atanh(self.r) + reach)

    @property
    def left(self) -> float:
        """Of the spread of grades, the share that is left among people of one strength."""
        return sqrt(1 - self.r**2)


@cache
def studies() -> tuple[PublishedStudy, ...]:
    return tuple(PublishedStudy(**row) for row in table("tests")[STUDIES])


def spread_left() -> tuple[float, float]:
    """The least and most share of the spread of grades that is left at one strength."""
    left = [study.left for study in studies()]
    return min(left), max(left)
