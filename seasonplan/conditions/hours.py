"""Hours of weather, packed: a million of them in some 50 MB. Knows no file and no zone.

What a day of `records` shows of its hours is made when it is asked for.
"""

from __future__ import annotations

from array import array
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from math import isnan, nan
from statistics import fmean
from typing import overload

from seasonplan.conditions import moisture

MEASURES = ("temperature", "dew_point", "humidity", "rain", "wind")
_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
_TICK = timedelta(microseconds=1)


@dataclass(frozen=True, slots=True)
class Reading:
    """The air over an hour or a day; None is not known."""

    temperature: float | None = None
    dew_point: float | None = None
    humidity: float | None = None
    rain: float | None = None
    wind: float | None = None

    def completed(self) -> Reading:
        """With dew point from humidity or humidity from dew point, where one is missing."""
        if self.temperature is None:
            return self
        if self.dew_point is None and self.humidity is not None:
            return replace(self, dew_point=moisture.dew_point(self.temperature, self.humidity))
        if self.humidity is None and self.dew_point is not None:
            return replace(self, humidity=moisture.humidity(self.temperature, self.dew_point))
        return self


def together(readings: Sequence[Reading]) -> Reading:
    """Means of what is known, and the sum of the rain."""
    if len(readings) == 1:
        return readings[0]
    means = {
        name: mean(getattr(reading, name) for reading in readings)
        for name in ("temperature", "dew_point", "humidity", "wind")
    }
    return Reading(rain=total(reading.rain for reading in readings), **means)


def mean(values: Iterable[float | None]) -> float | None:
    """The mean of what is known."""
    known = [value for value in values if value is not None]
    return fmean(known) if known else None


def total(values: Iterable[float | None]) -> float | None:
    """The sum of what is known."""
    known = [value for value in values if value is not None]
    return sum(known) if known else None


class Readings:
    """Readings by instant, in the order in which they were added."""

    def __init__(self) -> None:
        self._instants = array("q")
        self._lines = array("I")
        self._values = {name: array("d") for name in MEASURES}

    def __len__(self) -> int:
        return len(self._instants)

    def add(self, instant: datetime, reading: Reading, *, line: int = 0) -> None:
        self._instants.append((instant - _EPOCH) // _TICK)
        self._lines.append(line)
        for name, values in self._values.items():
            value = getattr(reading, name)
            values.append(nan if value is None else value)

    def copy(self, number: int) -> None:
        """Add one once more, at the end."""
        self._instants.append(self._instants[number])
        self._lines.append(self._lines[number])
        for values in self._values.values():
            values.append(values[number])

    def in_time(self) -> Iterable[int]:
        """Their numbers by instant, as they were added where that is the same."""
        instants = self._instants
        numbers = range(len(instants))
        if all(instants[number - 1] <= instants[number] for number in numbers[1:]):
            return numbers
        return sorted(numbers, key=instants.__getitem__)

    def instant(self, number: int) -> datetime:
        return _EPOCH + self._instants[number] * _TICK

    def line(self, number: int) -> int:
        return self._lines[number]

    def at(self, number: int) -> Reading:
        return Reading(*(_known(self._values[name][number]) for name in MEASURES))

    def known(self, measure: str, span: range) -> list[float]:
        """What is known of a measure there."""
        values = self._values[measure][span.start : span.stop]
        return [value for value in values if not isnan(value)]


class DayHours(Sequence[tuple[datetime, Reading]]):
    """The hours of one day, each by its beginning in UTC: some of those that a record holds."""

    __slots__ = ("_all", "_span")

    def __init__(self, readings: Readings, span: range) -> None:
        self._all, self._span = readings, span

    def __len__(self) -> int:
        return len(self._span)

    @overload
    def __getitem__(self, index: int) -> tuple[datetime, Reading]: ...
    @overload
    def __getitem__(self, index: slice) -> Sequence[tuple[datetime, Reading]]: ...
    def __getitem__(
        self, index: int | slice
    ) -> tuple[datetime, Reading] | Sequence[tuple[datetime, Reading]]:
        if isinstance(index, slice):
            return DayHours(self._all, self._span[index])
        number = self._span[index]
        return self._all.instant(number), self._all.at(number)

    def __iter__(self) -> Iterator[tuple[datetime, Reading]]:
        return ((self._all.instant(number), self._all.at(number)) for number in self._span)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, DayHours) and tuple(self) == tuple(other)

    def __hash__(self) -> int:
        return hash(tuple(self))

    @property
    def line(self) -> int:
        """The line of the file on which they begin."""
        return self._all.line(self._span[0])

    def known(self, measure: str) -> list[float]:
        """What is known of a measure in them."""
        return self._all.known(measure, self._span)


def _known(value: float) -> float | None:
    return None if isnan(value) else value


def reading_of(values: Mapping[str, float | None]) -> Reading:
    """The reading in the values of a row, by measure."""
    return Reading(*(values.get(name) for name in MEASURES)).completed()
