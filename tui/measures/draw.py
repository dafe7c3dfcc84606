"""A series as text: tries as dots, the level as a line in its band, days below. Knows no widget."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from seasonplan.days import day_month_text
from seasonplan.testing import Judged
from seasonplan.testing.change import CENTRAL_90

DOT, HURT, LINE, BAND = "●", "○", "━", "░"
STYLES = {DOT: "bold", HURT: "$quiet", LINE: "$accent", BAND: "$quiet"}
Parts = Iterator[tuple[str, str]]
LEAST_WIDTH = 24


def picture(one: Judged, *, width: int, lines: int) -> Parts:
    """So many lines of picture, then the days below; nothing where there is no room."""
    if width < LEAST_WIDTH or lines < 3:
        return
    grid = _Grid(one, width, lines)
    for row in range(lines):
        yield from grid.line(row)
    yield grid.days, "$quiet"


class _Grid:
    """Which sign stands where."""

    def __init__(self, one: Judged, width: int, lines: int) -> None:
        self._one, self._lines = one, lines
        results = one.series.results
        self._first, self._last = results[0].day, results[-1].day
        tries = [value + (r.body or 0.0) for r in results for value in r.tries]
        levels = list(self._levels())
        shown = tries + [edge for _, low, _, high in levels for edge in (low, high)]
        spare = 0.0 if max(shown) > min(shown) else abs(shown[0]) * 0.05 or 1.0
        self._low, self._high = min(shown) - spare, max(shown) + spare
        self._labels = {0: f"{self._high:.4g}", lines - 1: f"{self._low:.4g}"}
        self._margin = max(map(len, self._labels.values())) + 1
        self._columns = width - self._margin
        self._signs = [[" "] * self._columns for _ in range(lines)]
        self._band(levels)
        for result in results:
            for value in result.tries:
                sign = HURT if result.hurt else DOT
                self._put(result.day, value + (result.body or 0.0), sign)

    def line(self, row: int) -> Parts:
        """One line, neighbours of one style together."""
        yield f"{self._labels.get(row, ''):>{self._margin - 1}} ", "$quiet"
        text, style = "", ""
        for sign in self._signs[row]:
            its = STYLES.get(sign, "")
            if its != style and text:
                yield text, style
                text = ""
            text, style = text + sign, its
        yield f"{text.rstrip()}\n", style

    @property
    def days(self) -> str:
        """First and last day under the picture."""
        first, last = day_month_text(self._first), day_month_text(self._last)
        if self._first == self._last:
            return f"{'':{self._margin}}{first:^{self._columns}}".rstrip() + "\n"
        gap = " " * max(1, self._columns - len(first) - len(last))
        return f"{'':{self._margin}}{first}{gap}{last}\n"

    def _levels(self) -> Iterator[tuple[date, float, float, float]]:
        """Day, low, middle and high of the level, in the unit."""
        series = self._one.series
        for result, level in zip(series.judged, self._one.levels, strict=False):
            reach = CENTRAL_90 * level.sd
            low, high = sorted(series.told(level.mean + side * reach) for side in (-1, 1))
            yield result.day, low, series.told(level.mean), high

    def _band(self, levels: list[tuple[date, float, float, float]]) -> None:
        """The level between tests lies on a straight line from one to the next."""
        if not levels:
            return
        for column in range(self._column(levels[0][0]), self._column(levels[-1][0]) + 1):
            low, middle, high = self._between(levels, column)
            for row in range(self._row(high), self._row(low) + 1):
                self._signs[row][column] = BAND
            self._signs[self._row(middle)][column] = LINE

    def _between(
        self, levels: list[tuple[date, float, float, float]], column: int
    ) -> tuple[float, float, float]:
        after = next(n for n, one in enumerate(levels) if self._column(one[0]) >= column)
        right, left = levels[after], levels[max(0, after - 1)]
        apart = self._column(right[0]) - self._column(left[0])
        share = (column - self._column(left[0])) / apart if apart else 1.0
        low, middle, high = (a + share * (b - a) for a, b in zip(left[1:], right[1:], strict=True))
        return low, middle, high

    def _put(self, day: date, value: float, sign: str) -> None:
        self._signs[self._row(value)][self._column(day)] = sign

    def _column(self, day: date) -> int:
        days = (self._last - self._first).days
        if not days:
            return self._columns // 2
        return round((self._columns - 1) * (day - self._first).days / days)

    def _row(self, value: float) -> int:
        share = (self._high - value) / (self._high - self._low)
        return max(0, min(self._lines - 1, round((self._lines - 1) * share)))
