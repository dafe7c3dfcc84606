"""Draws the lane of hours: what is planned in each week under a line of what is free."""

from __future__ import annotations

from math import floor

from seasonplan.explain.signs import HEIGHTS
from tui.year.brush import Brush
from tui.year.lanes import Row, WeekTime
from tui.year.places import WIDE_MARGIN, Place


def hours(brush: Brush, place: Place, row: Row) -> None:
    """Bars of what is planned under a line of what is free; beside them how much is unused."""
    times = brush.of.sheet.times
    most = max((max(week.planned, week.free) for week in times), default=0.0) or 1.0
    steps = 8 * place.lines - 1  # the top eighth stays for the line of what is free
    for column in brush.lane():
        week = brush.of.sheet.time_of.get(brush.of.scale.day(column - brush.of.margin))
        if week is None:
            continue
        planned, free = _eighths(week, most / steps)
        for level in range(place.lines):
            line = place.top + place.lines - 1 - level
            sign, style = _bar(planned, free, 8 * level)
            brush.canvas.put(column, line, sign, brush.of.styles[style])
    _unused(brush, place)
    brush.chosen(place, row)


def _eighths(week: WeekTime, step: float) -> tuple[int, int]:
    """Height of the bar and of the line; a light week never reaches up to what is free."""
    free = round(week.free / step)
    if week.light:
        return min(floor(week.planned / step), max(0, free - 2) or floor(week.planned / step)), free
    return round(week.planned / step), free


def _unused(brush: Brush, place: Place) -> None:
    """In the margin: the free time of a usual week that no session takes; on two lines where it is
    narrow, and nothing where there is no room to say it whole."""
    spare = sorted(week.unused for week in brush.of.sheet.times if week.planned >= 1)
    wide = brush.of.margin >= WIDE_MARGIN
    if not spare or place.lines < (2 if wide else 3):
        return
    told = f"{round(spare[len(spare) // 2] / 60)} h a week"
    texts = (f"{told} unused",) if wide else (told, "unused")
    for line, text in enumerate(texts, start=place.top + 1):
        brush.canvas.put(2, line, text, brush.of.styles["quiet"])


def _bar(planned: int, free: int, bottom: int) -> tuple[str, str]:
    """The sign of one line of a bar, of heights in eighths, and the name of its style."""
    inside = planned - bottom
    if inside > 0:
        return HEIGHTS[min(8, inside)], "asked"
    over = free - bottom
    if 0 <= over < 8 and free > 0:
        return ("▁" if over < 3 else "─" if over < 6 else "▔"), "free"
    return " ", "free"
