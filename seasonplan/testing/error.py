"""How far two days of a test differ by chance: what is usual, and the climber's own pairs.

All numbers stand on the scale of the test (per cent, or the unit itself).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from math import sqrt

from seasonplan.days import ONE_DAY, Span
from seasonplan.testing.protocols import judging
from seasonplan.testing.series import Series

NORMAL_90 = 1.6449  # standard deviations to either side that hold nine of ten


@dataclass(frozen=True, slots=True)
class Error:
    """Typical error of one day: one standard deviation. `pairs` of one's own stand behind it."""

    sd: float
    usual: float
    pairs: int

    @property
    def careful(self) -> float:
        """The error made larger by how little stands behind it, for intervals of nine in ten.

        Student's quantile over the normal one, to the first order (Abramowitz & Stegun 26.7.5,
        from memory).
        """
        degrees = judging().prior_worth + self.pairs
        return self.sd * (1 + (NORMAL_90**2 + 1) / (4 * degrees))


def error_of(series: Series, *, training: Sequence[Span] = ()) -> Error:
    """The error of a series; `training` are the blocks that change what is tested."""
    found = pairs(series, training=training)
    sd = pooled(series.test.error, found, worth=judging().prior_worth)
    return Error(sd, series.test.error, len(found))


def pooled(usual: float, differences: Sequence[float], *, worth: float) -> float:
    """The usual error, counted as `worth` pairs, and own differences between two days as one.

    s2 = (worth usual^2 + sum of d^2 / 2) / (worth + n): a scaled inverse chi-square prior on the
    variance of one day, of which a difference of two has twice as much.
    """
    own = sum(difference**2 / 2 for difference in differences)
    return sqrt((worth * usual**2 + own) / (worth + len(differences)))


def pairs(series: Series, *, training: Sequence[Span] = ()) -> list[float]:
    """Differences of two tests a few days apart, without training between; none used twice."""
    found: list[float] = []
    waiting = None
    for result in series.judged:
        if waiting is not None and _is_pair(waiting.day, result.day, training):
            found.append(series.at(result) - series.at(waiting))
            waiting = None
        else:
            waiting = result
    return found


def _is_pair(one: date, other: date, training: Sequence[Span]) -> bool:
    if (other - one).days > judging().pair_days:
        return False
    if (other - one).days < 2:
        return True
    between = Span(one + ONE_DAY, other)
    return not any(span.meet(between) for span in training)
