"""A series as an SVG picture: tries as dots, the level as a line in its band, months below.

Pure text, readable in grey and with every kind of colour vision. Knows no file.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from math import ceil, floor, log10
from xml.sax.saxutils import escape

from seasonplan.days import day_text, month_text
from seasonplan.testing.change import CENTRAL_90
from seasonplan.testing.series import Result
from seasonplan.testing.study import Judged
from seasonplan.testing.verdicts import verdict

WIDE, HIGH = 800, 360
LEFT, RIGHT, TOP, BOTTOM = 60, 20, 56, 46
# Blue of Okabe and Ito's colours for colour-blind readers (2002), from memory
BLUE, INK, PALE = "#0072B2", "#222222", "#dddddd"
SHORTEST_DAYS = 28


def series_svg(one: Judged) -> str:
    """The tries of a series by day, with its level and where that lies nine times in ten."""
    frame = _Frame(one)
    series = one.series
    body = " with body" if series.test.adds_body else ""
    said = f"{series.unit}{body}; dots: tries; line and shade: the level, nine times in ten"
    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDE} {HIGH}" role="img" '
        f'font-family="sans-serif" font-size="13" fill="{INK}">',
        f"<title>{escape(series.name)}</title>",
        f"<desc>{escape(verdict(one))}</desc>",
        f'<rect width="{WIDE}" height="{HIGH}" fill="white"/>',
        f'<text x="{LEFT}" y="22" font-size="16">{escape(series.name)}</text>',
        f'<text x="{LEFT}" y="42">{escape(said)}</text>',
        *frame.grid(),
        *frame.band(),
        *frame.dots(),
        "</svg>",
    ]
    return "\n".join(parts) + "\n"


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
        self._step = _round_step(max(shown) - min(shown))
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

    def _x(self, day: date) -> float:
        return (
            LEFT
            + (WIDE - LEFT - RIGHT) * (day - self._first).days / (self._last - self._first).days
        )

    def _y(self, value: float) -> float:
        share = (value - self._low) / (self._high - self._low)
        return HIGH - BOTTOM - (HIGH - TOP - BOTTOM) * share

    def grid(self) -> Iterator[str]:
        for n in range(round((self._high - self._low) / self._step) + 1):
            value = self._low + n * self._step
            y = self._y(value)
            yield f'<path d="M{LEFT} {y:.1f}H{WIDE - RIGHT}" stroke="{PALE}"/>'
            yield f'<text x="{LEFT - 8}" y="{y + 4:.1f}" text-anchor="end">{value:g}</text>'
        months = [
            day for n in range((self._last - self._first).days + 1)
            if (day := self._first + timedelta(days=n)).day == 1
        ]  # fmt: skip
        every = max(1, ceil(len(months) / 12))
        for month in months[::every]:
            x = self._x(month)
            yield f'<path d="M{x:.1f} {TOP}V{HIGH - BOTTOM + 5}" stroke="{PALE}"/>'
            yield (
                f'<text x="{x:.1f}" y="{HIGH - BOTTOM + 22}" text-anchor="middle">'
                f"{month_text(month)} {month.year}</text>"
            )

    def band(self) -> Iterator[str]:
        levels = self._levels()
        if not levels:
            return
        highs = [f"{self._x(day):.1f},{self._y(high):.1f}" for day, _, _, high in levels]
        lows = [f"{self._x(day):.1f},{self._y(low):.1f}" for day, low, _, _ in levels]
        line = [f"{self._x(day):.1f},{self._y(middle):.1f}" for day, _, middle, _ in levels]
        around = " ".join([*highs, *reversed(lows)])
        yield f'<polygon points="{around}" fill="{BLUE}" opacity="0.2"/>'
        yield (
            f'<polyline points="{" ".join(line)}" fill="none" stroke="{BLUE}" stroke-width="2.5"/>'
        )

    def dots(self) -> Iterator[str]:
        for result in self._one.series.results:
            fill = "white" if result.hurt else INK
            for value in _shown(result):
                yield (
                    f'<circle cx="{self._x(result.day):.1f}" cy="{self._y(value):.1f}" r="4" '
                    f'fill="{fill}" stroke="{INK}"><title>{day_text(result.day)}: {value:g}'
                    "</title></circle>"
                )


def _shown(result: Result) -> list[float]:
    """Tries as drawn: with the body that is lifted along."""
    return [value + (result.body or 0.0) for value in result.tries]


def _round_step(reach: float) -> float:
    """A round distance of grid lines, some five in all."""
    if reach <= 0:
        return 1.0
    rough = reach / 5
    power = 10.0 ** floor(log10(rough))
    return next(power * nice for nice in (1, 2, 5, 10) if power * nice >= rough)
