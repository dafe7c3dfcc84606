"""Whether a change is more than chance: what can be told apart, and what to believe of a change.

Plain numbers on the scale of a test; knows no diary.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from math import ceil, sqrt
from statistics import NormalDist, fmean

from seasonplan.testing.protocols import judging
from seasonplan.testing.series import Result, Series

NORMAL = NormalDist()
CENTRAL_90 = NORMAL.inv_cdf(0.95)
MOST_TRIES = 999  # more are not told


def least_change(error: float, *, tries: float = 1, sure: float = 0.95) -> float:
    """The least change told apart from chance, `tries` on separate days on each side.

    Two-sided: z sqrt(2 error^2 / tries).
    """
    return NORMAL.inv_cdf((1 + sure) / 2) * error * sqrt(2 / tries)


def tries_needed(error: float, change: float, *, sure: float = 0.95) -> int:
    """Tries on separate days needed on each side to tell a change of that size apart."""
    exact = 2 * (NORMAL.inv_cdf((1 + sure) / 2) * error / change) ** 2
    return min(MOST_TRIES, max(1, ceil(exact)))


class Called(StrEnum):
    """What to call a change."""

    REAL_GAIN = "real gain"
    PROBABLE_GAIN = "probably a gain"
    UNKNOWN = "cannot be told apart from chance"
    PROBABLE_LOSS = "probably a loss"
    REAL_LOSS = "real loss"


@dataclass(frozen=True, slots=True)
class Belief:
    """What to believe of a true change: normal, `mean` and `sd`."""

    mean: float
    sd: float

    @property
    def interval(self) -> tuple[float, float]:
        """Holds the true change nine times in ten."""
        return self.mean - CENTRAL_90 * self.sd, self.mean + CENTRAL_90 * self.sd

    def above(self, least: float) -> float:
        """Chance that the true change is more than `least`."""
        return 1 - NormalDist(self.mean, self.sd).cdf(least)

    @property
    def word(self) -> Called:
        chance, rules = self.above(0.0), judging()
        if chance > rules.real:
            return Called.REAL_GAIN
        if chance >= rules.probable:
            return Called.PROBABLE_GAIN
        if chance < 1 - rules.real:
            return Called.REAL_LOSS
        return Called.PROBABLE_LOSS if chance <= 1 - rules.probable else Called.UNKNOWN


def believed(
    seen: float, *, error: float, usual: float, usual_sd: float,
    before: float = 1, after: float = 1,
) -> Belief:  # fmt: skip
    """A change as seen, drawn towards the change that is usual. Normal prior, normal error."""
    chance = error**2 * (1 / before + 1 / after)
    weight = usual_sd**2 / (usual_sd**2 + chance)
    return Belief(weight * seen + (1 - weight) * usual, sqrt(weight * chance))


@dataclass(frozen=True, slots=True)
class TestChange:
    """The two sides of a change and what to believe of it."""

    before: tuple[Result, ...]
    after: tuple[Result, ...]
    seen: float
    belief: Belief


def change_in(series: Series, error: float) -> TestChange | None:
    """The change of the last months, up to the latest test; None while there are not two sides.

    It is counted from the first test of the last `change_days`, else from the last one before.
    """
    rules, results = judging(), series.judged
    ago = [(results[-1].day - r.day).days for r in results]
    far = [n for n, days in enumerate(ago) if days >= rules.apart_days]
    if not far:
        return None
    begin = next((n for n in far if ago[n] <= rules.change_days), far[-1])
    results = results[begin:]
    first, last = results[0].day, results[-1].day
    before = [r for r in results if (r.day - first).days <= rules.side_days][: rules.side_tests]
    after = [
        r for r in results
        if (last - r.day).days <= rules.side_days and (r.day - before[-1].day).days > 0
    ][-rules.side_tests :]  # fmt: skip
    seen = fmean(map(series.at, after)) - fmean(map(series.at, before))
    belief = believed(
        seen, error=error, usual=0.0, usual_sd=rules.prior_change[series.test.scale],
        before=len(before), after=len(after),
    )  # fmt: skip
    return TestChange(tuple(before), tuple(after), seen, belief)
