"""What in a record can hardly be weather of its place: told as doubts, never as faults.

A value may be odd and true, so nothing is left out for it. Codes, numbers and lines; `explain`
makes the sentences.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum
from functools import cached_property

from seasonplan.conditions.records import DayRecord, Record
from seasonplan.conditions.settings import doubting


class Doubt(StrEnum):
    CROSSED = "highest below lowest"
    DRY = "drier than a desert"
    HOT = "too warm so far from the equator"
    TURNED = "seasons the wrong way round"


@dataclass(frozen=True, slots=True)
class Doubtful:
    """One thing to look at: lines of the file, how many rows or years, and what was found there.

    `found` of DRY: the year and its rain in mm; of HOT: the mean and the most in °C; of TURNED:
    the means of June to August and of December to February.
    """

    doubt: Doubt
    lines: tuple[int, ...]
    number: int = 1
    found: tuple[float, ...] = ()


def doubts(record: Record, *, latitude: float) -> tuple[Doubtful, ...]:
    """Everything that is hard to believe of a record of a place there."""
    months = _Months(tuple(record.days.values()))
    return (
        *_crossed(record),
        *_dry(record),
        *_hot(months, abs(latitude)),
        *_turned(months, latitude),
    )


def _crossed(record: Record) -> Iterator[Doubtful]:
    lines = record.oddities.crossed
    if lines:
        yield Doubtful(Doubt.CROSSED, lines[: doubting().most_lines], len(lines))


def _dry(record: Record) -> Iterator[Doubtful]:
    """The driest year that is known well enough, and how many are as dry."""
    rain: dict[int, list[DayRecord]] = {}
    for day in record.days.values():
        if day.mean.rain is not None:
            rain.setdefault(day.day.year, []).append(day)
    sums = {
        year: sum(day.mean.rain or 0.0 for day in days)
        for year, days in rain.items()
        if len(days) >= doubting().year_days
    }
    dry = [year for year, millimetres in sums.items() if millimetres < doubting().desert_rain]
    if dry:
        year = min(dry, key=sums.__getitem__)
        lines = rain[year][0].line, rain[year][-1].line
        yield Doubtful(Doubt.DRY, lines, len(dry), (year, sums[year]))


class _Months:
    """The mean temperature of each month over all years."""

    def __init__(self, days: Sequence[DayRecord]) -> None:
        self.days = [day for day in days if _warmth(day) is not None]

    @cached_property
    def means(self) -> dict[int, float]:
        """By month, 1 to 12; a month known on few days is left out."""
        found: dict[int, list[float]] = {}
        for day in self.days:
            found.setdefault(day.day.month, []).append(_warmth(day) or 0.0)
        least = doubting().month_days
        return {month: sum(all_) / len(all_) for month, all_ in found.items() if len(all_) >= least}

    def mean(self, *months: int) -> float | None:
        """The mean of some months; None where one of them is not known."""
        if not all(month in self.means for month in months):
            return None
        return sum(self.means[month] for month in months) / len(months)

    def hottest(self, *months: int) -> DayRecord:
        """The warmest day, or the warmest within some months."""
        inside = [day for day in self.days if not months or day.day.month in months]
        return max(inside, key=lambda day: _warmth(day) or 0.0)


def _hot(months: _Months, latitude: float) -> Iterator[Doubtful]:
    """A mean over the year that no place so far from the equator has: °F read as °C, perhaps."""
    mean = months.mean(*range(1, 13))
    how = doubting()
    most = how.hottest_mean - how.cooler_by_degree * max(0.0, latitude - how.hot_up_to_degrees)
    if mean is not None and mean > most:
        yield Doubtful(Doubt.HOT, (months.hottest().line,), found=(mean, most))


def _turned(months: _Months, latitude: float) -> Iterator[Doubtful]:
    """Summer where winter should be; between the tropics there is neither."""
    middle, turn = months.mean(6, 7, 8), months.mean(12, 1, 2)
    if middle is None or turn is None or abs(latitude) < doubting().seasons_from_degrees:
        return
    colder = turn - middle if latitude > 0 else middle - turn
    if colder > doubting().turned_by:
        lines = months.hottest(6, 7, 8).line, months.hottest(12, 1, 2).line
        yield Doubtful(Doubt.TURNED, lines, found=(middle, turn))


def _warmth(day: DayRecord) -> float | None:
    """The mean temperature of a day, guessed from its highest where only that is known."""
    if day.mean.temperature is not None or day.highest is None:
        return day.mean.temperature
    return day.highest - doubting().half_daily_range
