"""How form runs to the goals: for each curve a plot with its range, flags where days are planned.

All plots have one scale, so that goals can be compared.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date

from seasonplan.body.form import LEAST_RANGE
from seasonplan.days import Span, day_month_text
from seasonplan.explain.tints import ACCENT, PAPER_INK, QUIET, ROCK
from seasonplan.explain.words import join, percent_text
from seasonplan.pictures import key
from seasonplan.pictures.asked import FORM, PICTURES
from seasonplan.pictures.chart import (
    BAND,
    INK,
    Point,
    Tick,
    along,
    band,
    calendar,
    calendar_height,
    curve,
    grid,
    heading,
    level,
    place,
    steps,
)
from seasonplan.pictures.fonts import OTHER_TYPE, broken, font
from seasonplan.pictures.marks import Box, Mark, Picture, Words, area, line
from seasonplan.pictures.motifs import CAPITALS, flag
from seasonplan.pictures.screen import EDGE, WIDE, Screen
from seasonplan.views import FormThere, GoalForm

TITLE = PICTURES[FORM]
FLAG, EVERY = 4.4, 3  # mm; days from point to point
ON_ROCK = 1.0  # mm that the edge of rock is thick


def form_picture(forms: Sequence[GoalForm], year: Span, screen: Screen = WIDE) -> Picture:
    """The predicted change since the start, with where it lies for eight climbers of ten."""
    said = (
        f"Predicted change since {day_month_text(year.first)}. Shaded: eight climbers of ten. "
        "A model, no measurement."
    )
    head, bottom = heading(TITLE, said, Box(EDGE, 0, screen.width - 2 * EDGE, 0), screen.type_mm)
    marks, ends = head, _ends(forms)
    for one in forms:
        drawn, bottom = _Panel(one, year, ends, screen).drawn(bottom + 1.6 * screen.type_mm)
        marks += drawn
    room = Box(EDGE, bottom + 1.4 * screen.type_mm, screen.width - 2 * EDGE, 0)
    signs = [
        key.Sign(_line, "predicted change, with its range"),
        key.Sign(_rock, "rock for the goal"),
        key.Sign(_flag, "first day planned, with the goal's number"),
    ]
    told, bottom = key.flow(signs, room, screen.scale)
    return Picture(screen.width, bottom + EDGE, TITLE, _told(forms), (*marks, *told))


def _told(forms: Sequence[GoalForm]) -> str:
    lines = (
        f"{join(list(there.goals))}: {there.sentence}." for one in forms for there in one.there
    )
    return "Predicted change of form. " + " ".join(lines)


def _ends(forms: Sequence[GoalForm]) -> list[float]:
    """The values of the grid, from under the lowest to over the highest."""
    low = min((day.change.low for one in forms for day in one.days), default=0.0)
    high = max((day.change.high for one in forms for day in one.days), default=0.0)
    spare = max(0.0, LEAST_RANGE - (high - low)) / 2
    return steps(min(low, 0.0) - spare, max(high, 0.0) + spare)


class _Panel:
    """One curve on its plot."""

    def __init__(self, one: GoalForm, year: Span, values: Sequence[float], screen: Screen) -> None:
        self._one, self._year, self._values, self._screen = one, year, values, screen
        self._size = screen.type_mm
        self._ticks = [
            Tick((value - values[0]) / (values[-1] - values[0]), percent_text(value))
            for value in values
        ]

    def drawn(self, top: float) -> tuple[list[Mark], float]:
        """The plot with its names from `top` down, and where it ends."""
        names, bottom = self._names(top)
        flagged = self._flagged()
        rows = _rows([(self._beside_pole(one), _flag_wide(one)) for one in flagged])
        lane = (max(rows, default=-1) + 1) * (FLAG + 0.6)
        high = 30 if self._screen.is_narrow else 38
        plot = Box(self._left, bottom + 1.5 + lane, self._width, high)
        marks = [*names, *self._curve(plot), *self._flags(plot, rows)]
        lines, bottom = self._lines(plot.bottom + calendar_height(self._size))
        return [*marks, *lines], bottom

    @property
    def _left(self) -> float:
        wide = max(font(bold=False).width(tick.text) for tick in self._ticks)
        return EDGE + 2 + self._size * OTHER_TYPE * wide

    @property
    def _width(self) -> float:
        return self._screen.width - EDGE - 2 - self._left

    def _names(self, top: float) -> tuple[list[Mark], float]:
        """The goals of the curve, and what it tells."""
        room = (self._screen.width - 2 * EDGE) / OTHER_TYPE
        marks: list[Mark] = []
        for text in broken(" · ".join(self._one.goals), room, self._size, bold=True):
            top += 1.35 * self._size
            marks.append(Words(EDGE, top, text, self._size, PAPER_INK, bold=True))
        top += 1.35 * self._size
        marks.append(Words(EDGE, top, self._one.measure_told, self._size, QUIET))
        return marks, top

    def _at(self, day: date, value: float) -> Point:
        low, high = self._values[0], self._values[-1]
        return along(day, self._year), (value - low) / (high - low)

    def _curve(self, plot: Box) -> Iterator[Mark]:
        days = self._one.days
        shown = [*days[::EVERY], *(days[-1:] if (len(days) - 1) % EVERY else ())]
        yield band(
            [self._at(one.day, one.change.low) for one in shown],
            [self._at(one.day, one.change.high) for one in shown], plot,
        )  # fmt: skip
        yield from grid(self._ticks, (), plot, size=self._size)
        yield from calendar(self._year, plot, size=self._size)
        yield level(self._at(self._year.first, 0.0)[1], plot)
        for one in self._one.there:
            (left, y), (right, _) = (
                place((along(day, self._year), 0), plot) for day in (one.first, one.span.after)
            )
            yield area(Box(left, y - ON_ROCK, max(right - left, 0.6), ON_ROCK), ROCK)
        yield curve([self._at(one.day, one.change.middle) for one in shown], plot)

    # --- flags ------------------------------------------------------------------------------

    def _flagged(self) -> list[FormThere]:
        """Those with days planned, by their first."""
        return sorted(
            (one for one in self._one.there if one.arrives), key=lambda one: self._share(one)
        )

    def _share(self, one: FormThere) -> float:
        return along(one.arrives or one.first, self._year)

    def _beside_pole(self, one: FormThere) -> float:
        """How far right in the plot its flag begins: at its pole, if it does not end outside."""
        return min(self._share(one) * self._width, self._width + EDGE - _flag_wide(one))

    def _flags(self, plot: Box, rows: Sequence[int]) -> Iterator[Mark]:
        """A flag over the plot for each, its pole down to the curve."""
        by_day = {one.day: one.change.middle for one in self._one.days}
        for one, row in zip(self._flagged(), rows, strict=True):
            day = one.arrives or one.first
            x, y = place(self._at(day, by_day[day]), plot)
            top = plot.y - (row + 1) * (FLAG + 0.6)
            yield line(((x, top), (x, y)), ACCENT, width=0.35)
            yield from self._flag(one, plot.x + self._beside_pole(one) - 0.06 * FLAG, top)

    def _flag(self, one: FormThere, x: float, y: float) -> Iterator[Mark]:
        yield from flag(Box(x, y, _flag_wide(one), FLAG), _numbers(one), ACCENT, least=self._size)

    def _lines(self, top: float) -> tuple[list[Mark], float]:
        """What to expect where, in words, each behind the number of its goal."""
        marks: list[Mark] = []
        widest = max((_flag_wide(one) for one in self._one.there), default=0.0)
        left, step = EDGE + widest + 0.35 * FLAG, 1.45 * self._size
        room = (self._screen.width - EDGE - left) / OTHER_TYPE
        for one in self._one.there:
            top += 0.35 * step
            marks += self._flag(one, EDGE, top)
            base = top + 0.4 * FLAG + self._size * CAPITALS / 2
            for n, text in enumerate(broken(one.sentence, room, self._size)):
                marks.append(Words(left, base + n * step, text, self._size, PAPER_INK))
                top += step
        return marks, top


def _numbers(one: FormThere) -> str:
    return "+".join(map(str, one.numbers))


def _flag_wide(one: FormThere) -> float:
    return (0.6 + 0.55 * len(_numbers(one))) * FLAG


def _rows(flags: Sequence[tuple[float, float]]) -> list[int]:
    """In which row over the plot each flag stands, from the lowest: no flag on another's pole.

    `flags` are the place and width of each, from left to right.
    """
    rows = [0] * len(flags)
    for n, (place_, wide) in reversed(list(enumerate(flags))):
        later = range(n + 1, len(flags))
        touched = [rows[one] for one in later if flags[one][0] - place_ < wide + 0.15 * FLAG]
        rows[n] = 1 + max(touched, default=-1)
    return rows


# --- key ------------------------------------------------------------------------------------


def _line(box: Box, scale: float) -> Iterator[Mark]:
    y = box.middle[1]
    yield area(box, BAND)
    yield line(((box.x, y), (box.right, y)), INK, width=0.65)


def _rock(box: Box, scale: float) -> Iterator[Mark]:
    yield area(Box(box.x, box.middle[1] - ON_ROCK / 2, box.width, ON_ROCK), ROCK)


def _flag(box: Box, scale: float) -> Iterator[Mark]:
    place = Box(box.x, box.y, 1.15 * box.height, box.height)
    yield from flag(place, "1", ACCENT, least=key.SMALL * scale)
