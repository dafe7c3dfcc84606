"""The chance of a good day over the year: a line with its spread, the best weeks below."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from seasonplan.conditions.climate import YEAR_DAYS, Climate, date_of
from seasonplan.conditions.windows import WindowOutlook, scale_top, stretch_spread
from seasonplan.days import MONTHS
from seasonplan.explain.tints import PAPER_INK
from seasonplan.pictures.chart import Tick, band, chart, curve, place
from seasonplan.pictures.marks import Picture, Shape

SAID = "Chance of a good day; shaded: weeks around it, eight years of ten"
BEST = "; bars below: the best windows"


def chance_picture(climate: Climate, *, title: str, best: Sequence[WindowOutlook] = ()) -> Picture:
    """The chance of a good day over the year; `best` windows are marked on the axis."""
    spread = stretch_spread(climate)
    top = scale_top(max(*(high for _, high in spread), *climate.chance))
    days = [(n + 0.5) / YEAR_DAYS for n in range(YEAR_DAYS)]
    lows = [(at, low / top) for at, (low, _) in zip(days, spread, strict=True)]
    highs = [(at, high / top) for at, (_, high) in zip(days, spread, strict=True)]
    line = [(at, chance / top) for at, chance in zip(days, climate.chance, strict=True)]
    windows = (mark for outlook in best for mark in _windows(outlook))
    return chart(
        [band(lows, highs), curve(line), *windows],
        title=title, said=SAID + (BEST if best else ""), told=_told(climate), up=_tenths(top),
        along=_months(),
    )  # fmt: skip


def _told(climate: Climate) -> str:
    """The picture in words: the mean chance of each month."""
    months: dict[int, list[float]] = {}
    for number, chance in enumerate(climate.chance):
        months.setdefault(date_of(number).month, []).append(chance)
    means = (
        f"{MONTHS[month - 1].capitalize()} {100 * sum(v) / len(v):.0f} %"
        for month, v in months.items()
    )
    return "Mean chance of a good day: " + ", ".join(means) + "."


def _tenths(top: float) -> list[Tick]:
    steps = round(10 * top)
    every = range(0, steps + 1, 1 if steps <= 5 else 2)
    return [Tick(tenth / 10 / top, f"{10 * tenth} %") for tenth in every]


def _months() -> list[Tick]:
    firsts = [n for n in range(YEAR_DAYS) if date_of(n).day == 1]
    return [
        Tick(number / YEAR_DAYS, name[:3].capitalize(), beside=15 / YEAR_DAYS)
        for name, number in zip(MONTHS, firsts, strict=True)
    ]


def _windows(outlook: WindowOutlook) -> Iterator[Shape]:
    """A bar under the axis for a window, in two pieces where it crosses New Year."""
    after = outlook.begins + outlook.days
    for begin, end in ((outlook.begins, min(after, YEAR_DAYS)), (0, after - YEAR_DAYS)):
        if end > begin:
            (left, y), (right, _) = (place((at / YEAR_DAYS, 0)) for at in (begin, end))
            corners = ((left, y + 2), (right - 0.5, y + 2), (right - 0.5, y + 3.6), (left, y + 3.6))
            told = f"{outlook.expected:.1f} good days to expect"
            yield Shape(corners, fill=PAPER_INK, told=told)
