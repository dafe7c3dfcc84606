"""Stretches of the year judged by the good days to expect in them, with their range.

The range is of a year to come: counts vary between years more than independent days would
(good days come in runs), and a short record knows the mean itself less well.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from math import exp, lgamma

from seasonplan.conditions.climate import YEAR_DAYS, Climate, date_of, day_of_year
from seasonplan.conditions.settings import spread
from seasonplan.days import Span

MOST_CLUMPED = 0.95


@dataclass(frozen=True, slots=True)
class WindowOutlook:
    """What to expect of `days` days from a day of the year on, in good days.

    `low` and `high` hold between them eight years of ten (the shares are in `shared/`). `years`
    are the past counts, each by the year it began in, of stretches known throughout.
    """

    begins: int
    days: int
    expected: float
    low: int
    high: int
    years: Mapping[int, int]

    @property
    def first(self) -> date:
        """Its first day, in an ordinary year."""
        return date_of(self.begins)

    @property
    def last(self) -> date:
        return date_of(self.begins + self.days - 1)

    @property
    def mean(self) -> float:
        """Mean chance of a good day."""
        return self.expected / self.days


def outlook(climate: Climate, begins: int, days: int) -> WindowOutlook:
    """The outlook on `days` days (1 to 365) from day `begins` of the year on."""
    chances = [climate.chance[(begins + n) % YEAR_DAYS] for n in range(days)]
    expected = sum(chances)
    counts = past_counts(climate, begins, days)
    variance = sum(p * (1 - p) for p in chances)
    variance *= _overdispersion(counts, expected, variance) * (1 + 1 / max(climate.years, 1.0))
    low, high = _range(days, expected, variance)
    return WindowOutlook(begins, days, expected, low, high, counts)


def outlook_on(climate: Climate, span: Span) -> WindowOutlook:
    """The outlook on the days of a season or window."""
    return outlook(climate, day_of_year(span.first), min(span.length, YEAR_DAYS))


def best_windows(climate: Climate, days: int, *, number: int = 3) -> tuple[WindowOutlook, ...]:
    """The stretches with most good days to expect, best first, none touching another.

    None where no day of the record was good.
    """
    if not climate.has_good_days:
        return ()
    totals = _totals(climate.chance, days)
    found: list[int] = []
    for begins in sorted(range(YEAR_DAYS), key=lambda n: (-totals[n], n)):
        if all(_apart(begins, other, days) for other in found) and len(found) < number:
            found.append(begins)
    return tuple(outlook(climate, begins, days) for begins in found)


def stretch_spread(climate: Climate) -> tuple[tuple[float, float], ...]:
    """For each day of the year, the range of the share of good days in the weeks around it."""
    days = spread().stretch_days
    around = (outlook(climate, number - days // 2, days) for number in range(YEAR_DAYS))
    return tuple((each.low / days, each.high / days) for each in around)


def past_counts(climate: Climate, begins: int, days: int) -> dict[int, int]:
    """Good days in that stretch of each past year that is known throughout."""
    counts = {}
    for year in range(min(climate.by_year) - 1, max(climate.by_year) + 1):
        start = date_of(begins).replace(year=year)
        marks = [climate.good.get(start + timedelta(days=n)) for n in range(days)]
        if None not in marks:
            counts[year] = sum(mark is True for mark in marks)
    return counts


def best_begin_by_year(climate: Climate, days: int) -> dict[int, tuple[date, int]]:
    """For each year, where its own best stretch began and how many good days it had."""
    first, last = min(climate.good), max(climate.good)
    marks = [climate.good.get(first + timedelta(days=n)) for n in range((last - first).days + 1)]
    found: dict[int, tuple[date, int]] = {}
    for begin in range(len(marks) - days + 1):
        inside = marks[begin : begin + days]
        start = first + timedelta(days=begin)
        count = sum(mark is True for mark in inside)
        if None not in inside and count > found.get(start.year, (start, -1))[1]:
            found[start.year] = start, count
    return found


def _totals(chance: tuple[float, ...], days: int) -> list[float]:
    return [sum(chance[(begins + n) % YEAR_DAYS] for n in range(days)) for begins in range(365)]


def _apart(one: int, other: int, days: int) -> bool:
    away = (one - other) % YEAR_DAYS
    return min(away, YEAR_DAYS - away) >= days


def _overdispersion(counts: Mapping[int, int], expected: float, variance: float) -> float:
    """How much more counts vary between years than independent days: the usual figure mixed
    with the record's own, by its years."""
    prior = spread()
    own = sum((count - expected) ** 2 for count in counts.values()) / variance if variance else 0
    return (prior.prior_years * prior.overdispersion + own) / (prior.prior_years + len(counts))


def _range(days: int, expected: float, variance: float) -> tuple[int, int]:
    """Quantiles of the beta-binomial count with that mean and variance."""
    p = expected / days
    if not 0 < p < 1:
        return round(expected), round(expected)
    extra = variance / (p * (1 - p) * days)
    clumped = min(MOST_CLUMPED, max(0.0, (extra - 1) / (days - 1))) if days > 1 else 0.0
    masses = _beta_binomial(days, p, clumped)
    return _quantile(masses, spread().low), _quantile(masses, spread().high)


def _beta_binomial(days: int, p: float, clumped: float) -> list[float]:
    """Probability of 0 to `days` good days that hang together by the correlation `clumped`."""
    if clumped < 1e-9:
        return [_choose(days, k) * p**k * (1 - p) ** (days - k) for k in range(days + 1)]
    scale = 1 / clumped - 1
    a, b = p * scale, (1 - p) * scale
    whole = _log_beta(a, b)
    return [_choose(days, k) * exp(_log_beta(k + a, days - k + b) - whole) for k in range(days + 1)]


def _choose(n: int, k: int) -> float:
    return exp(lgamma(n + 1) - lgamma(k + 1) - lgamma(n - k + 1))


def _log_beta(a: float, b: float) -> float:
    return lgamma(a) + lgamma(b) - lgamma(a + b)


def _quantile(masses: list[float], share: float) -> int:
    total = 0.0
    for count, mass in enumerate(masses):
        total += mass
        if total >= share:
            return count
    return len(masses) - 1


def scale_top(highest: float) -> float:
    """The upper end of a scale of chances: the next tenth above, 1 at most."""
    return min(1.0, max(1, -(-int(1000 * highest) // 100)) / 10)
