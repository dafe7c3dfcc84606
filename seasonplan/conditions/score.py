"""How well a chance by day of year does on years it has not seen: the Brier score.

Brier 1950: the mean of (chance - what came)², 0 best. The measure is the score of the constant
rate of the same early years.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from seasonplan.conditions.climate import Climate, by_year, fit, mean

MOSTLY = 300  # known days that make a calendar year count


@dataclass(frozen=True, slots=True)
class OutOfSample:
    """Years fitted on, years scored on, and both scores."""

    early: tuple[int, ...]
    late: tuple[int, ...]
    brier: float
    constant_brier: float

    @property
    def gain(self) -> float:
        """How much smaller the score is than the constant rate's; below 0 it is worse."""
        return 1 - self.brier / self.constant_brier if self.constant_brier else 0.0


def out_of_sample(verdicts: Mapping[date, bool | None]) -> OutOfSample | None:
    """Fitted on the early half of the years, scored on the late half; None below two years."""
    good = {day: mark for day, mark in verdicts.items() if mark is not None}
    years = [year for year, (_, known) in sorted(by_year(good).items()) if known >= MOSTLY]
    if len(years) < 2:
        return None
    half = len(years) // 2
    early, late = tuple(years[:half]), tuple(years[half:])
    climate = fit({day: mark for day, mark in good.items() if day.year in early})
    later = {day: mark for day, mark in good.items() if day.year in late}
    return OutOfSample(early, late, *brier(climate, later))


def brier(climate: Climate, later: Mapping[date, bool]) -> tuple[float, float]:
    """Scores of the climate and of its constant rate on days it has not seen."""
    rate = climate.rate
    return (
        mean((climate.chance_on(day) - mark) ** 2 for day, mark in later.items()),
        mean((rate - mark) ** 2 for mark in later.values()),
    )
