"""A series of tests: tries as dots, the level as a line in its band, months below."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from math import ceil, floor

from seasonplan.days import Span, day_text, month_text
from seasonplan.pictures.chart import Point, Tick, band, chart, curve, dot, rounded
from seasonplan.pictures.marks import Picture, Shape
from seasonplan.testing.change import CENTRAL_90
from seasonplan.testing.series import Result
from seasonplan.testing.study import Judged
from seasonplan.testing.verdicts import verdict

SHORTEST_DAYS = 28


def series_picture(one: Judged) -> Picture:
    """The tries of a series by day, with its level and where that lies nine times in ten."""
    frame, series = _Frame(one), one.series
    body = " with body" if series.test.adds_body else ""
    return chart(
        [*frame.level(), *frame.dots()],
        title=series.name, told=verdict(one), up=frame.steps(), along=frame.months(),
        said=f"{series.unit}{body}; dots: tries; line and shade: the level, nine times in ten",
    )  # fmt: skip


class _Frame:
    """Where days and results lie in the picture."""

    def __init__(self, one: Judged) -> None:
        self._one = one
        days = [result.day for result in one.series.results]
        spare = max(0, SHORTEST_DAYS - (days[-1] - days[0]).days)
        self._first = days[0] - timedelta(days=2 + spare // 2)
        self._last = days[-1] + timedelta(days=2 + spare // 2)
        shown = [value for r in one.series.results for value in _shown(r)]
        shown += [edge for _, low, _, high in self._levels() for edge in (low, high)]
        self._step = rounded(max(shown) - min(shown))
        self._low = floor(min(shown) / self._step) * self._step
        self._high = max(ceil(max(shown) / self._step), self._low / self._step + 1) * self._step

    def _levels(self) -> list[tuple[date, float, float, float]]:
        """Day, low, middle and high of the level in the unit."""
        series = self._one.series
        found = []
        for result, level in zip(series.judged, self._one.levels, strict=False):
            reach = CENTRAL_90 * level.sd
            low, high = sorted(series.told(level.mean + side * reach) for side in (-1, 1))
            found.append((result.day, low, series.told(level.mean), high))
        return found

    def _along(self, day: date) -> float:
        return (day - self._first).days / (self._last - self._first).days

    def _at(self, day: date, value: float) -> Point:
        return self._along(day), (value - self._low) / (self._high - self._low)

    def steps(self) -> list[Tick]:
        count = round((self._high - self._low) / self._step)
        values = (self._low + n * self._step for n in range(count + 1))
        return [Tick(self._at(self._first, value)[1], f"{value:g}") for value in values]

    def months(self) -> list[Tick]:
        """The first days of months, twelve of them at most."""
        every = Span.through(self._first, self._last).days()
        firsts = [day for day in every if day.day == 1]
        return [
            Tick(self._along(day), f"{month_text(day)} {day.year}")
            for day in firsts[:: max(1, ceil(len(firsts) / 12))]
        ]

    def level(self) -> Iterator[Shape]:
        levels = self._levels()
        if levels:
            lows = [self._at(day, low) for day, low, _, _ in levels]
            yield band(lows, [self._at(day, high) for day, _, _, high in levels])
            yield curve([self._at(day, middle) for day, _, middle, _ in levels])

    def dots(self) -> Iterator[Shape]:
        for result in self._one.series.results:
            for value in _shown(result):
                told = f"{day_text(result.day)}: {value:g}"
                yield dot(self._at(result.day, value), hollow=result.hurt, told=told)


def _shown(result: Result) -> list[float]:
    """Tries as drawn: with the body that is lifted along."""
    return [value + (result.body or 0.0) for value in result.tries]
