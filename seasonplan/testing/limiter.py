"""Which quality probably holds a goal back, and which test would tell most about that.

Levels are in the rating steps of the climber, 1 to 5, each with its doubt: from tests through the
climber's own anchors, else from the rating of themselves. Draws, not formulas.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import sqrt

import numpy as np
from numpy.typing import NDArray

from seasonplan.body.response import QUALITIES, body_of
from seasonplan.body.worth import demands, shortfall_worth, weights
from seasonplan.rules.tables import response_table
from seasonplan.testing.level import Level
from seasonplan.testing.protocols import Test, judging, usual_tests
from seasonplan.testing.series import Result, Series
from seasonplan.vocabulary import Quality
from seasonplan.year import Goal, Year

Numbers = NDArray[np.float64]
SEED = 18
ASKED = 200  # results of a next test that are thought through
LEAST_LIFTED = 0.01  # share of the body that an anchor leaves at least
LOWEST, HIGHEST = 0.0, 6.0  # ratings beyond the anchors go on as between the last two, so far


@dataclass(frozen=True, slots=True)
class KnownLevel:
    """How good a quality is, in rating steps; `by` names the test, empty: the own rating.

    `rated`: whether the climber said anything about it at all.
    """

    level: Level
    by: str = ""
    rated: bool = True


@dataclass(frozen=True, slots=True)
class Limiter:
    """How often in ten thousand lives each quality has the greatest worth, as a share of 1."""

    goal: Goal
    shares: Mapping[Quality, float]

    @property
    def likeliest(self) -> Quality:
        return max(self.shares, key=lambda quality: self.shares[quality])


@dataclass(frozen=True, slots=True)
class NextTest:
    """A test, and by how much one more result of it would lower the doubt, in bits a minute."""

    test: Test
    bits: float

    @property
    def bits_a_minute(self) -> float:
        return self.bits / self.test.minutes


# --- levels -----------------------------------------------------------------------------------


def known_levels(
    year: Year, tested: Sequence[tuple[Series, Level]]
) -> dict[Quality, KnownLevel]:  # fmt: skip
    """What is known of each quality. Several tests of one count by their precision, and the
    climber's own rating beside them, where there is one.
    """
    ratings = dict(zip(QUALITIES, body_of(year).rating, strict=True))
    found: dict[Quality, KnownLevel] = {}
    for quality in QUALITIES:
        rated = quality in year.climber.level or (
            quality is Quality.POWER_ENDURANCE and Quality.ENDURANCE in year.climber.level
        )
        sd = judging().rating_sd if rated else judging().unrated_sd
        found[quality] = KnownLevel(Level(ratings[quality], sd), rated=rated)
    by_quality: dict[Quality, list[tuple[str, Level]]] = {}
    for series, level in tested:
        if series.test.quality is not None and series.test.anchors:
            rating = rating_of(series, level)
            by_quality.setdefault(series.test.quality, []).append((series.test.name, rating))
    for quality, several in by_quality.items():
        names = dict.fromkeys(name for name, _ in several)
        rated = found[quality].rated
        told = [one for _, one in several] + ([found[quality].level] if rated else [])
        found[quality] = KnownLevel(_together(told), by=" and ".join(names), rated=rated)
    return found


def rating_of(series: Series, level: Level) -> Level:
    """A level of a test in rating steps, through the climber's anchors."""
    around = np.array([level.mean - level.sd, level.mean, level.mean + level.sd])
    anchors = _anchors(series)
    low, middle, high = np.interp(around, *_lengthened(anchors))
    return Level(float(middle), max(0.05, float(high - low) / 2))


def _anchors(series: Series) -> tuple[Numbers, Numbers]:
    """Anchors on the scale of the test, from worst to best, and their ratings."""
    pairs = sorted((_placed(series, result), float(r)) for r, result in series.test.anchors.items())
    places, ratings = zip(*pairs, strict=True)
    return np.array(places), np.array(ratings)


def _placed(series: Series, result: float) -> float:
    """An anchor on the scale of the test: it is written as results are, without the body.

    Where the body is lifted along no anchor can take off more than nearly all of it.
    """
    last = series.judged[-1]
    if last.body is not None:
        result = max(result, (LEAST_LIFTED - 1) * last.body)
    return series.at(Result(last.day, (result,), last.body))


def _lengthened(anchors: tuple[Numbers, Numbers]) -> tuple[Numbers, Numbers]:
    """The first and last stretch go on, down to the lowest and up to the highest rating."""
    places, ratings = anchors
    slopes = (places[1:] - places[:-1]) / (ratings[1:] - ratings[:-1])
    below = places[0] - slopes[0] * (ratings[0] - LOWEST)
    above = places[-1] + slopes[-1] * (HIGHEST - ratings[-1])
    return (
        np.array([below, *places, above]),
        np.array([LOWEST, *ratings, HIGHEST]),
    )  # fmt: skip


def _together(several: Sequence[Level]) -> Level:
    precision = [1 / one.sd**2 for one in several]
    mean = sum(p * one.mean for p, one in zip(precision, several, strict=True)) / sum(precision)
    return Level(mean, 1 / sqrt(sum(precision)))


# --- draws ------------------------------------------------------------------------------------


def drawn(known: Mapping[Quality, KnownLevel], *, draws: int | None = None) -> Numbers:
    """Levels of all qualities, a row for each draw; the same numbers every time."""
    rng = np.random.default_rng(SEED)
    means = np.array([known[quality].level.mean for quality in QUALITIES])
    sds = np.array([known[quality].level.sd for quality in QUALITIES])
    rows = judging().draws if draws is None else draws
    return means + sds * rng.standard_normal((rows, len(QUALITIES)))


def greatest(levels: Numbers, asked: Sequence[float], shares: Sequence[float]) -> NDArray[np.intp]:
    """For each row of levels the quality whose next step is worth most; among equals the one that
    is furthest behind.
    """
    behind = np.asarray(asked) - levels
    worth = _worth(behind) * np.asarray(shares)
    best = worth >= worth.max(axis=1, keepdims=True) - 1e-12
    found: NDArray[np.intp] = np.where(best, behind, -np.inf).argmax(axis=1)
    return found


def _worth(behind: Numbers) -> Numbers:
    """`shortfall_worth` of many at once: it is a staircase."""
    edges = [upto for upto, _ in response_table().shortfall]
    slopes = np.array([shortfall_worth(edge) for edge in edges])
    return slopes[np.minimum(np.searchsorted(edges, behind), len(edges) - 1)]


def limiter_of(goal: Goal, levels: Numbers) -> Limiter:
    """How often each quality holds the goal back."""
    first = greatest(levels, demands(goal), weights(goal))
    counts = np.bincount(first, minlength=len(QUALITIES)) / len(levels)
    return Limiter(goal, dict(zip(QUALITIES, map(float, counts), strict=True)))


# --- the next test ----------------------------------------------------------------------------


def next_tests(
    goal: Goal, levels: Numbers, tests: Sequence[tuple[Test, float]]
) -> tuple[NextTest, ...]:
    """Tests by what one more result would tell a minute. `tests` come with their error in steps."""
    first = greatest(levels, demands(goal), weights(goal))
    found = [
        NextTest(test, told_by(levels[:, QUALITIES.index(test.quality)], first, error=error))
        for test, error in tests
        if test.quality is not None
    ]
    return tuple(sorted(found, key=lambda one: (-one.bits_a_minute, one.test.id)))


def told_by(level: Numbers, first: NDArray[np.intp], *, error: float) -> float:
    """Bits of doubt about what comes first that a result with that error is expected to remove."""
    rng = np.random.default_rng(SEED + 1)
    truths = rng.choice(level, ASKED) + error * rng.standard_normal(ASKED)
    likely = np.exp(-(((level[None, :] - truths[:, None]) / error) ** 2) / 2)
    likely /= likely.sum(axis=1, keepdims=True)
    held = np.zeros((len(level), len(QUALITIES)))
    held[np.arange(len(level)), first] = 1.0
    now = _bits(held.mean(axis=0)[None, :])[0]
    return float(max(0.0, now - _bits(likely @ held).mean()))


def _bits(shares: Numbers) -> Numbers:
    safe = np.where(shares > 0, shares, 1.0)
    entropy: Numbers = -(shares * np.log2(safe)).sum(axis=1)
    return entropy


def error_in_steps(series: Series, error: float) -> float:
    """The error of a test in rating steps, over all its anchors."""
    places, ratings = _anchors(series)
    return float(error * (ratings[-1] - ratings[0]) / (places[-1] - places[0]))


def usual_tests_for(quality: Quality) -> tuple[Test, ...]:
    """The usual tests of a quality, the shortest first."""
    found = [test for test in usual_tests().values() if test.quality is quality]
    return tuple(sorted(found, key=lambda test: (test.minutes, test.id)))
