"""All that the climber's tests say on one day: each series judged, and what holds each goal back.

Nothing is judged under age or while something is hurt. Numbers only; sentences are `verdicts`'.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum

from seasonplan.days import ONE_DAY, Span
from seasonplan.diary.entry import DiaryEntry
from seasonplan.injury.young import is_young
from seasonplan.plan import Block
from seasonplan.testing.change import TestChange, change_in
from seasonplan.testing.error import Error, error_of
from seasonplan.testing.level import Level, level_now, levels
from seasonplan.testing.limiter import (
    KnownLevel,
    Limiter,
    NextTest,
    drawn,
    error_in_steps,
    known_levels,
    limiter_of,
    next_tests,
)
from seasonplan.testing.plateau import RecentTrend, standing_of
from seasonplan.testing.protocols import Test, climbers_tests, judging
from seasonplan.testing.series import Series, series_of
from seasonplan.vocabulary import Kind, Quality
from seasonplan.year import Year
from seasonplan.year.entries import OPEN_END

TRAINING = (Kind.BASE, Kind.STRENGTH)  # blocks that change what is tested


class NotJudged(StrEnum):
    """Why nothing is judged."""

    YOUNG = "young"
    HURT = "hurt"


@dataclass(frozen=True, slots=True)
class Judged:
    """A series and what it says. Where nothing may be judged all but the series is empty."""

    series: Series
    error: Error | None = None
    levels: tuple[Level, ...] = ()
    now: Level | None = None
    change: TestChange | None = None
    standing: RecentTrend | None = None
    next_day: date | None = None


@dataclass(frozen=True, slots=True)
class GoalLimits:
    """What probably holds a goal back, and tests by what they would tell about it a minute."""

    limiter: Limiter
    next_tests: tuple[NextTest, ...]


@dataclass(frozen=True, slots=True)
class Study:
    """The tests of a climber on one day."""

    day: date
    held: NotJudged | None
    tests: tuple[Test, ...]
    judged: tuple[Judged, ...]
    known: dict[Quality, KnownLevel]
    goals: tuple[GoalLimits, ...]


def study_of(
    year: Year, diary: Sequence[DiaryEntry], *, day: date, blocks: Sequence[Block] = ()
) -> Study:
    """What the tests say on a day; `blocks` of the plan tell which days trained.

    Raises BadInput where a test is like a usual one that is none.
    """
    held = held_on(year, day)
    found = series_of(year, diary, day=day)
    training = [block.span for block in blocks if block.kind in TRAINING]
    if held is not None:
        return Study(day, held, climbers_tests(year), tuple(map(Judged, found)), {}, ())
    judged = tuple(_judged(series, training, year, day) for series in found)
    known = known_levels(year, _in_force(judged))
    return Study(day, None, climbers_tests(year), judged, known, tuple(_goals(year, judged, known)))


def held_on(year: Year, day: date) -> NotJudged | None:
    """Why nothing is judged on a day; None where it is."""
    if is_young(year, day):
        return NotJudged.YOUNG
    hurt = any(day in span for injury in year.injuries for _, span in injury.phases)
    return NotJudged.HURT if hurt else None


def _judged(series: Series, training: Sequence[Span], year: Year, day: date) -> Judged:
    error = error_of(series, training=training)
    last = series.judged[-1].day if series.judged else day
    return Judged(
        series=series,
        error=error,
        levels=levels(series, error.sd),
        now=level_now(series, error.sd, days_later=(day - last).days),
        change=change_in(series, error.careful),
        standing=standing_of(series, error.sd) if series.judged else None,
        next_day=None if series.earlier else next_day(series, year, day),
    )


def next_day(series: Series, year: Year, day: date) -> date | None:
    """The first day from which a test is worth its time again: not on trips, away or hurt.

    None where an injury has no end yet.
    """
    rules, results = judging(), series.judged
    wait = rules.every_days if len(results) > 1 else rules.again_days
    last = results[-1].day if results else day
    found = max(day, last + timedelta(days=wait))
    closed = [entry.span for entry in (*year.trips, *year.absences)]
    closed += [span for injury in year.injuries for _, span in injury.phases]
    while span := next((one for one in closed if found in one), None):
        if span.last >= OPEN_END - ONE_DAY:
            return None
        found = span.last + ONE_DAY
    return found


def _in_force(judged: Sequence[Judged]) -> list[tuple[Series, Level]]:
    """What speaks through its anchors: series done as the test is written down now."""
    return [
        (one.series, one.now)
        for one in judged
        if one.now is not None and one.series.as_agreed and one.series.test.anchors
    ]


def _goals(
    year: Year, judged: Sequence[Judged], known: dict[Quality, KnownLevel]
) -> list[GoalLimits]:  # fmt: skip
    levels = drawn(known)
    tests = {
        one.series.test.id: (one.series.test, error_in_steps(one.series, one.error.sd))
        for one in judged
        if one.error is not None
        and one.series.judged
        and one.series.test.anchors
        and one.series.as_agreed
    }
    dear_first = sorted(year.goals, key=lambda goal: goal.priority)
    return [
        GoalLimits(limiter_of(goal, levels), next_tests(goal, levels, list(tests.values())))
        for goal in dear_first
    ]
