"""What the climber's tests give to the words of sessions: kilograms, and the day of a test.

Hangs on year and diary alone, never on today, so that calendars change with a test and not with
the date.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from seasonplan.days import day_text
from seasonplan.diary.entry import DiaryEntry, Did
from seasonplan.injury import is_young
from seasonplan.recipes import OwnMaximum, OwnTests, untested
from seasonplan.testing.maximum import HANGS, Maximum, hurt_since, maximum_kg
from seasonplan.testing.protocols import Test, climbers_tests
from seasonplan.testing.series import Result, Series, series_of
from seasonplan.testing.study import held_on
from seasonplan.vocabulary import Quality
from seasonplan.year import Year


def in_sessions(year: Year, diary: Sequence[DiaryEntry]) -> OwnTests:
    """What sessions may tell of the climber's tests. Raises BadInput for a test that is none."""
    days = [row.date for row in diary if row.kind is Did.TEST]
    last = max(days, default=year.span.first)
    if held_on(year, last) is not None:
        return untested(young=is_young(year, last))
    found = maximum_kg(year, diary, last)
    if found is not None and hurt_since(year, found.tested, year.span.last):
        found = None
    series = series_of(year, diary, day=last)
    return OwnTests(
        maximum=_own(found) if found else None, on_test_day=" ".join(_test_day(year, series))
    )


def _own(found: Maximum) -> OwnMaximum:
    return OwnMaximum(
        kg=found.kg, error_kg=found.error_kg, a_hand=found.a_hand, body_kg=found.body_kg,
        by=f"your test {found.test} of {day_text(found.tested)}",
    )  # fmt: skip


def _test_day(year: Year, series: Sequence[Series]) -> Iterator[str]:
    """The own test of the fingers, how it is done, and what came of it so far."""
    mine = [one for one in series if _of_fingers(one.test) and not one.earlier]
    written = [test for test in climbers_tests(year) if _of_fingers(test)]
    newest = max((one.results[-1].day for one in mine), default=None)
    tests = [one.test for one in mine if one.results[-1].day == newest] or written
    if not tests:
        return
    test = tests[0]
    yield f"Your test is {test.name}" + (f": {test.protocol}" if test.protocol else ".")
    shown = [one for one in mine if one.test.id == test.id]
    yield from map(last_text, shown)
    if not shown:
        yield "There is no result of it yet."


def last_text(series: Series) -> str:
    """The last result of a series, and the best one where that is another."""
    last, best = series.results[-1], best_of(series)
    told = f"Last {series.name}: {_result(series, last)} on {day_text(last.day)}"
    if best is not None and best is not last:
        told += f", best {_result(series, best)} on {day_text(best.day)}"
    return f"{told}."


def best_of(series: Series) -> Result | None:
    """The best judged day of a series; of equal ones the first. None where nothing is judged."""
    return max(series.judged, key=series.at, default=None)


def _result(series: Series, result: Result) -> str:
    unit = f" {series.unit}" if series.unit else ""
    hurt = " (hurt, not judged)" if result.hurt else ""
    return f"{result.mean:.4g}{unit}{hurt}"


def _of_fingers(test: Test) -> bool:
    return test.usual in HANGS or (not test.usual and test.quality is Quality.FINGER_STRENGTH)
