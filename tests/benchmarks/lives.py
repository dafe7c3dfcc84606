"""How often verdicts on tests are right: `python tests/benchmarks/lives.py`.

A thousand simulated climbers whose truth is known: a level that rises and falls in spells of four
weeks, tests on irregular days, one to three tries a day, an error of their own. No real data were
found to do this with. Told: how often the 90 % intervals hold the truth, how often a plateau is
said of somebody who gains, how often the words are right. Asserted: coverage between 86 and 94 %,
false plateaus below 5 %.
"""

from __future__ import annotations

import sys
from collections import Counter
from dataclasses import dataclass
from datetime import date, timedelta
from math import exp, log
from time import perf_counter

import numpy as np

from seasonplan.diary import DiaryEntry, Did
from seasonplan.testing import Judged, study_of
from seasonplan.testing.change import Called
from seasonplan.testing.plateau import Trend
from seasonplan.year import Climber, Horizon, OwnTest, Routine, Year

LIVES = 1000
FIRST = date(2027, 1, 4)
USUAL_ERROR, DEGREES = 3.0, 6  # per cent: what a finger pull is said to repeat within
TRY_ERROR = 1.0  # per cent: tries of one day among themselves
SPELL_DAYS, SPELL_SD = 28, 3.0  # per cent gained or lost in each spell
WORTH_HAVING = 2.0  # per cent in four weeks
STEADY_DAYS = 56

YEAR = Year(
    horizon=Horizon(first=FIRST, weeks=52),
    climber=Climber(time_zone="UTC", minutes=Routine(tuesday=90)),
    tests=(OwnTest(name="Pull", like="edge-pull", worth_having=WORTH_HAVING),),
)


@dataclass(frozen=True)
class Life:
    """What is true (100 x logarithm of kilograms by day), and what was written down."""

    truth: tuple[float, ...]
    diary: tuple[DiaryEntry, ...]
    judged: Judged


def own_error(rng: np.random.Generator) -> float:
    """An error of one climber: scattered about the usual one as the prior says."""
    return float(USUAL_ERROR * np.sqrt(DEGREES / rng.chisquare(DEGREES)))


def lived(
    rng: np.random.Generator, truth: np.ndarray, days: list[int], *, error: float | None = None
) -> Life:
    """Test on these days, write it down, and have it judged on the last one."""
    error = own_error(rng) if error is None else error
    rows = []
    for day in days:
        of_day = truth[day] + error * rng.standard_normal()
        for _ in range(rng.integers(1, 4)):
            kilograms = exp((of_day + TRY_ERROR * rng.standard_normal()) / 100)
            rows.append(
                DiaryEntry(
                    date=FIRST + timedelta(days=int(day)), kind=Did.TEST, what="Pull",
                    value=kilograms, unit="kg",
                )
            )  # fmt: skip
    study = study_of(YEAR, rows, day=rows[-1].date)
    return Life(tuple(map(float, truth)), tuple(rows), study.judged[0])


def wandering(rng: np.random.Generator) -> Life:
    """Twelve weeks in spells of four, tests every two to sixteen days."""
    slopes = rng.standard_normal(3) * SPELL_SD / SPELL_DAYS
    truth = 100 * log(40) + np.cumsum(np.repeat(slopes, SPELL_DAYS))
    days = [int(rng.integers(0, 4))]
    while (after := days[-1] + int(rng.integers(2, 17))) < len(truth):
        days.append(after)
    return lived(rng, truth, days)


def steady(rng: np.random.Generator, percent: float) -> Life:
    """Eight weeks of the same gain in four weeks, six to sixteen tests."""
    truth = 100 * log(40) + np.arange(STEADY_DAYS) * percent / 28
    days = sorted(rng.choice(STEADY_DAYS, int(rng.integers(6, 17)), replace=False))
    return lived(rng, truth, [int(day) for day in days])


# --- what is counted ----------------------------------------------------------------------------


def holds(interval: tuple[float, float], truth: float) -> bool:
    return interval[0] <= truth <= interval[1]


def true_change(life: Life) -> float:
    """Between the mean days of the two sides that were compared."""
    change = life.judged.change
    assert change is not None
    before, after = (
        np.mean([life.truth[(r.day - FIRST).days] for r in side])
        for side in (change.before, change.after)
    )
    return float(after - before)


def coverage(lives: list[Life]) -> dict[str, float]:
    """How often each 90 % interval holds the truth."""
    held: Counter[str] = Counter()
    seen: Counter[str] = Counter()
    for life in lives:
        one = life.judged
        if one.change is not None:
            seen["change"] += 1
            held["change"] += holds(one.change.belief.interval, true_change(life))
        for result, level in zip(one.series.judged, one.levels, strict=True):
            reach = 1.645 * level.sd
            true = life.truth[(result.day - FIRST).days]
            seen["level"] += 1
            held["level"] += holds((level.mean - reach, level.mean + reach), true)
    return {name: held[name] / seen[name] for name in seen}


def slope_coverage(lives: list[Life], percent: float) -> float:
    slopes = [life.judged.standing.slope for life in lives if life.judged.standing]
    found = [slope for slope in slopes if slope is not None]
    return sum(holds((slope.low, slope.high), percent) for slope in found) / len(found)


def plateaus(lives: list[Life]) -> float:
    said = [life.judged.standing.trend for life in lives if life.judged.standing]
    return said.count(Trend.PLATEAU) / len(lives)


def words(lives: list[Life]) -> dict[str, tuple[int, float]]:
    """For each word how often it was said, and how often the truth was a gain."""
    gains: dict[Called, list[bool]] = {word: [] for word in Called}
    for life in lives:
        if life.judged.change is not None:
            gains[life.judged.change.belief.word].append(true_change(life) > 0)
    return {word.value: (len(g), sum(g) / len(g)) for word, g in gains.items() if g}


def main(seed: int) -> int:
    """Live, count, tell; 1 where a promise is not kept."""
    began, rng, kept = perf_counter(), np.random.default_rng(seed), True
    lives = [wandering(rng) for _ in range(LIVES)]
    for name, share in coverage(lives).items():
        kept &= 0.86 <= share <= 0.94
        print(f"90 % interval of the {name}: holds the truth in {share:.1%}")
    for word, (said, gains) in words(lives).items():
        print(f"{word}: said {said} times, a true gain in {gains:.1%}")
    of_slopes = []
    for percent in (0.0, 1.0, WORTH_HAVING, 3.0):
        several = [steady(rng, percent) for _ in range(LIVES)]
        share = plateaus(several)
        kept &= share < 0.05 or percent < WORTH_HAVING
        of_slopes.append(held := slope_coverage(several, percent))
        print(
            f"gaining {percent:g} % in four weeks: a plateau said in {share:.1%}; "
            f"the slope's interval holds it in {held:.1%}"
        )
    kept &= 0.86 <= sum(of_slopes) / len(of_slopes) <= 0.94
    print(f"{'all kept' if kept else 'NOT kept'}; {perf_counter() - began:.0f} s")
    return 0 if kept else 1


if __name__ == "__main__":
    sys.exit(main(int(sys.argv[1]) if len(sys.argv) > 1 else 2027))
