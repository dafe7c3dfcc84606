"""The true level behind irregular tests: a random walk in time, seen with error.

Each day adds `wander` to the variance of the level, each test has variance `chance`. Filtered
forwards, smoothed backwards (Rauch, Tung & Striebel), with nothing known before the first test.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import exp, log, pi, sqrt

from seasonplan.testing.protocols import judging
from seasonplan.testing.series import Series

MONTH_DAYS = 30
NARROWEST, WIDEST = 1e-4, 1e4  # how far the fitted wandering may lie from the usual one
GOLDEN = (sqrt(5) - 1) / 2


@dataclass(frozen=True, slots=True)
class Level:
    """The level at one time: normal, `mean` and `sd`."""

    mean: float
    sd: float


@dataclass(frozen=True, slots=True)
class Filtered:
    """Levels after each test, and the log-likelihood of all tests but the first."""

    means: tuple[float, ...]
    variances: tuple[float, ...]
    likelihood: float


def filtered(
    times: Sequence[float], values: Sequence[float], *, chance: float, wander: float
) -> Filtered:
    """The level after each test. The first test is where it begins: nothing is known before."""
    means, variances, likelihood = [values[0]], [chance], 0.0
    for n in range(1, len(values)):
        foretold = variances[-1] + wander * (times[n] - times[n - 1])
        total = foretold + chance
        surprise = values[n] - means[-1]
        likelihood -= (log(2 * pi * total) + surprise**2 / total) / 2
        gain = foretold / total
        means.append(means[-1] + gain * surprise)
        variances.append(gain * chance)
    return Filtered(tuple(means), tuple(variances), likelihood)


def smoothed(
    times: Sequence[float], values: Sequence[float], *, chance: float, wander: float
) -> tuple[Level, ...]:
    """The level at each test, all tests known."""
    passed = filtered(times, values, chance=chance, wander=wander)
    mean, variance = passed.means[-1], passed.variances[-1]
    found = [Level(mean, sqrt(variance))]
    for n in range(len(values) - 2, -1, -1):
        own = passed.variances[n]
        foretold = own + wander * (times[n + 1] - times[n])
        back = own / foretold
        mean = passed.means[n] + back * (mean - passed.means[n])
        variance = own + back**2 * (variance - foretold)
        found.append(Level(mean, sqrt(variance)))
    return tuple(reversed(found))


def fitted_wander(
    times: Sequence[float], values: Sequence[float], *, chance: float, usual: float
) -> float:
    """The daily wandering under which the tests are likeliest, near enough to the usual one.

    Golden section over its logarithm: the likelihood has one hill there.
    """

    def unlikely(power: float) -> float:
        wander = usual * exp(power)
        return -filtered(times, values, chance=chance, wander=wander).likelihood

    low, high = log(NARROWEST), log(WIDEST)
    while high - low > 1e-7:
        left, right = high - GOLDEN * (high - low), low + GOLDEN * (high - low)
        low, high = (low, right) if unlikely(left) < unlikely(right) else (left, high)
    return usual * exp((low + high) / 2)


def usual_wander(series: Series) -> float:
    """Variance that a day adds, as it is usual."""
    return judging().month_change[series.test.scale] ** 2 / MONTH_DAYS


def levels(series: Series, error: float) -> tuple[Level, ...]:
    """The level at each judged test; the wandering is the climber's own once there are enough."""
    results = series.judged
    if not results:
        return ()
    times = [float((r.day - results[0].day).days) for r in results]
    values = [series.at(r) for r in results]
    wander = usual_wander(series)
    if len(results) >= judging().refit_tests:
        wander = fitted_wander(times, values, chance=error**2, usual=wander)
    return smoothed(times, values, chance=error**2, wander=wander)


def level_now(series: Series, error: float, *, days_later: int) -> Level | None:
    """The level so many days after the last judged test; None before the first."""
    found = levels(series, error)
    if not found:
        return None
    return Level(found[-1].mean, sqrt(found[-1].sd ** 2 + usual_wander(series) * days_later))
