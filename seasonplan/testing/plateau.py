"""Whether a test stands still: the middle of all slopes, with an interval from their ranks.

Theil 1950 and Sen 1968 (J Am Stat Assoc 63:1379-1389), from memory. A plateau is said only
where the whole interval lies within what is not worth having.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import combinations
from math import sqrt
from statistics import median

from seasonplan.testing.change import CENTRAL_90
from seasonplan.testing.protocols import judging
from seasonplan.testing.series import Series

FOUR_WEEKS = 28
MOST_TESTS = 25  # more than three a week: nobody tests so often
EIGHT_OF_TEN = 1.2816  # standard errors below which an estimate lies nine times in ten


class Trend(StrEnum):
    RISING = "rising"
    FALLING = "falling"
    PLATEAU = "plateau"
    UNKNOWN = "not known yet"


@dataclass(frozen=True, slots=True)
class Slope:
    """Change in four weeks, with the ends of its 90 % interval."""

    middle: float
    low: float
    high: float


def slope_of(days: Sequence[float], values: Sequence[float]) -> Slope | None:
    """The Theil-Sen slope over four weeks; None where there are too few tests for an interval."""
    slopes = sorted(
        FOUR_WEEKS * (values[j] - values[i]) / (days[j] - days[i])
        for i, j in combinations(range(len(days)), 2)
        if days[i] != days[j]
    )
    reach = CENTRAL_90 * sqrt(_rank_variance(days, values))
    low, high = round((len(slopes) - reach) / 2) - 1, round((len(slopes) + reach) / 2)
    if low < 0 or high >= len(slopes):
        return None
    return Slope(median(slopes), slopes[low], slopes[high])


def _rank_variance(days: Sequence[float], values: Sequence[float]) -> float:
    """Variance of Kendall's sum when nothing changes, less for ties on either side."""
    n = len(days)
    tied = [count for side in (days, values) for count in Counter(side).values()]
    lost = sum(k * (k - 1) * (2 * k + 5) for k in tied)
    return (n * (n - 1) * (2 * n + 5) - lost) / 18


@dataclass(frozen=True, slots=True)
class RecentTrend:
    """What the last eight weeks say. `slope` is None before there are enough tests.

    `would_tell` tests in eight weeks would show a plateau if there is one; None: no number would.
    """

    trend: Trend
    tests: int
    slope: Slope | None
    would_tell: int | None


def standing_of(series: Series, error: float) -> RecentTrend:
    """Whether the test stands still, in the weeks up to its latest result."""
    rules, results = judging(), series.judged
    inside = [r for r in results if (results[-1].day - r.day).days < rules.plateau_days]
    worth = series.test.worth_having
    slope = None
    if len(inside) >= rules.plateau_tests:
        days = [float((r.day - inside[0].day).days) for r in inside]
        slope = slope_of(days, [series.at(r) for r in inside])
    return RecentTrend(
        trend=_trend(slope, worth), tests=len(inside), slope=slope,
        would_tell=enough_tests(error, worth),
    )  # fmt: skip


def _trend(slope: Slope | None, worth: float) -> Trend:
    if slope is None:
        return Trend.UNKNOWN
    if -worth <= slope.low and slope.high <= worth:
        return Trend.PLATEAU
    if slope.low > 0:
        return Trend.RISING
    return Trend.FALLING if slope.high < 0 else Trend.UNKNOWN


def half_width(error: float, *, tests: int, days: float) -> float:
    """Half the 90 % interval of the change in four weeks, tests spread evenly over so many days.

    Of the straight line by least squares, which ranks come near.
    """
    spread = days**2 * tests * (tests + 1) / (12 * (tests - 1))
    return FOUR_WEEKS * CENTRAL_90 * error / sqrt(spread)


def enough_tests(error: float, worth: float) -> int | None:
    """Tests in the weeks looked at that would show a standstill eight times in ten, or None.

    The interval of a test that stands still must have room to lie to either side within `worth`.
    """
    rules = judging()
    for tests in range(rules.plateau_tests, MOST_TESTS + 1):
        half = half_width(error, tests=tests, days=rules.plateau_days)
        if half * (1 + EIGHT_OF_TEN / CENTRAL_90) <= worth:
            return tests
    return None
