"""The chance of a good day by day of the year, from verdicts on past days.

Days of the year lie on a circle of 365; 29 February counts with the 28th. Each chance is a mean
over the days around it in all years, weighted by a bell curve, with a few days of the whole
record's rate mixed in. Knows no weather and no place.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cached_property, lru_cache
from math import exp

from seasonplan.conditions.settings import few_years, smoothing
from seasonplan.days import Span

YEAR_DAYS = 365
_ORDINARY = date(2023, 1, 1)  # a year without 29 February


def day_of_year(day: date) -> int:
    """0 for 1 January to 364 for 31 December; 29 February is the 28th."""
    same = day.replace(year=_ORDINARY.year, day=28 if (day.month, day.day) == (2, 29) else day.day)
    return (same - _ORDINARY).days


def date_of(number: int) -> date:
    """The day of an ordinary year with that number, also for numbers off the circle."""
    return _ORDINARY + timedelta(days=number % YEAR_DAYS)


@dataclass(frozen=True)
class Climate:
    """Chances, with the days they rest on. `good` holds the verdict of every known day."""

    chance: tuple[float, ...]
    good: Mapping[date, bool]
    width_days: float

    def chance_on(self, day: date) -> float:
        """Chance of a good day, 0 to 1, whatever the year."""
        return self.chance[day_of_year(day)]

    @cached_property
    def years(self) -> float:
        """Known days as years."""
        return len(self.good) / 365.25

    @cached_property
    def counts(self) -> tuple[tuple[int, int], ...]:
        """For each day of the year: how many were good, of how many known."""
        return _counts(self.good)

    @cached_property
    def by_year(self) -> dict[int, tuple[int, int]]:
        """For each calendar year: good days, known days."""
        return by_year(self.good)

    @property
    def rate(self) -> float:
        """Good days of all known days."""
        return sum(self.good.values()) / len(self.good)

    @property
    def is_one_year(self) -> bool:
        return self.years < 1.5

    @property
    def is_short(self) -> bool:
        return self.years < few_years() - 0.5

    @property
    def has_good_days(self) -> bool:
        return any(self.good.values())


def fit(verdicts: Mapping[date, bool | None], *, width_days: float | None = None) -> Climate:
    """The climate behind verdicts; days whose verdict is None are left out.

    `width_days`, the standard deviation of the weights, is else set by the years of record.
    Raises ValueError where no day is known.
    """
    good = {day: mark for day, mark in verdicts.items() if mark is not None}
    if not good:
        raise ValueError("no day of the record can be judged")
    width = smoothing().width(len(good) / 365.25) if width_days is None else width_days
    counts = _counts(good)
    rate = sum(good.values()) / len(good)
    return Climate(_smooth(counts, width, rate), good, width)


def by_year(good: Mapping[date, bool]) -> dict[int, tuple[int, int]]:
    """Good and known days of each calendar year."""
    return _tally(good, lambda day: day.year)


def _counts(good: Mapping[date, bool]) -> tuple[tuple[int, int], ...]:
    found = _tally(good, day_of_year)
    return tuple(found.get(number, (0, 0)) for number in range(YEAR_DAYS))


def _tally(good: Mapping[date, bool], key: Callable[[date], int]) -> dict[int, tuple[int, int]]:
    found: dict[int, tuple[int, int]] = {}
    for day, mark in good.items():
        yes, known = found.get(key(day), (0, 0))
        found[key(day)] = yes + mark, known + 1
    return found


@lru_cache(maxsize=32)
def _weights(width: float) -> tuple[float, ...]:
    """Weight by distance on the circle, 0 to 182 days; 1 at no distance."""
    return tuple(exp(-0.5 * (away / width) ** 2) for away in range(YEAR_DAYS // 2 + 1))


def _smooth(counts: tuple[tuple[int, int], ...], width: float, rate: float) -> tuple[float, ...]:
    weights = _weights(width)
    circle = [weights[min(away, YEAR_DAYS - away)] for away in range(YEAR_DAYS)]
    prior = smoothing().prior_days
    chances = []
    for number in range(YEAR_DAYS):
        around = [counts[(number + away) % YEAR_DAYS] for away in range(YEAR_DAYS)]
        good = sum(weight * yes for weight, (yes, _) in zip(circle, around, strict=True))
        known = sum(weight * all_ for weight, (_, all_) in zip(circle, around, strict=True))
        chances.append((good + prior * rate) / (known + prior))
    return tuple(chances)


def weekly(climate: Climate, span: Span) -> tuple[float, ...]:
    """The mean chance of each week of seven days from the first day of `span`, to 0.01."""
    days = list(span.days())
    weeks = [days[begin : begin + 7] for begin in range(0, len(days), 7)]
    return tuple(round(mean(map(climate.chance_on, week)), 2) for week in weeks)


def mean(values: Iterable[float]) -> float:
    every = list(values)
    return sum(every) / len(every)
