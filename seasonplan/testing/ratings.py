"""What the tests make of the climber's ratings of themselves: what the planner reads of tests.

Hangs on the tests alone, never on today or on a plan: the same year and diary give the same.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from seasonplan.diary.entry import DiaryEntry, Did
from seasonplan.injury.young import is_young
from seasonplan.testing.error import error_of
from seasonplan.testing.level import Level, levels
from seasonplan.testing.limiter import known_levels
from seasonplan.testing.maximum import hurt_since
from seasonplan.testing.series import Series, series_of
from seasonplan.vocabulary import Quality
from seasonplan.year import Year

TO_TENTHS = 1  # decimals: a smaller change of a level is no news


@dataclass(frozen=True, slots=True)
class Rated:
    """How good a quality is in rating steps, own rating and tests together; `by` names them."""

    rating: float
    by: str


def ratings_by_tests(year: Year, diary: Sequence[DiaryEntry]) -> Mapping[Quality, Rated]:
    """Ratings of the qualities of which a test speaks; none of the rest.

    Nothing for the young. A test from before an injury says nothing of what came after it.
    Raises BadInput where a test is like a usual one that is none.
    """
    days = [row.date for row in diary if row.kind is Did.TEST]
    if not days or is_young(year, max(days)):
        return {}
    last = max(days)
    tested = [
        (series, _level(series))
        for series in series_of(year, diary, day=last)
        if series.judged and series.as_agreed and series.test.anchors
        and not hurt_since(year, series.judged[-1].day, max(last, year.span.last))
    ]  # fmt: skip
    return {
        quality: Rated(round(known.level.mean, TO_TENTHS), known.by)
        for quality, known in known_levels(year, tested).items()
        if known.by
    }


def _level(series: Series) -> Level:
    """As of its last test: doubt that grows with every day would make a new plan every day."""
    return levels(series, error_of(series).sd)[-1]
