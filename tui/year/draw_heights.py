"""Draws the lanes of heights: the hours of the weeks, and the predicted state for each goal."""

from __future__ import annotations

from seasonplan.explain.signs import HEIGHTS
from tui.year.brush import Brush
from tui.year.lanes import NO_DAY, Row
from tui.year.places import Place


def hours(brush: Brush, place: Place, row: Row) -> None:
    """Bars of what is asked under a line of what is free."""
    times = brush.of.sheet.times
    most = max((max(week.asked, week.free) for week in times), default=0.0) or 1.0
    steps = 8 * place.lines - 1  # the top eighth stays for the line of what is free
    by_day = {day: week for week in times for day in week.span.days()}
    for column in brush.lane():
        week = by_day.get(brush.of.scale.day(column - brush.of.margin))
        if week is None:
            continue
        asked, free = round(week.asked / most * steps), round(week.free / most * steps)
        for level in range(place.lines):
            line = place.top + place.lines - 1 - level
            sign, style = _bar(asked, free, 8 * level)
            brush.canvas.put(column, line, sign, brush.of.styles[style])
    brush.chosen(place, row)


def goal(brush: Brush, place: Place, row: Row) -> None:
    """The predicted state as heights; strong where there are good days for the goal.

    Where nothing serves it there is no state to rise to, but words.
    """
    assert row.goal is not None
    states, chances = brush.of.sheet.states(row.goal), brush.of.sheet.chances(row.goal)
    if not chances:
        brush.canvas.put(brush.lane().start + 1, place.top, NO_DAY, brush.of.styles["wrong"])
        brush.chosen(place, row)
        return
    best = brush.of.sheet.best_state
    for column in brush.lane():
        days = brush.days(column)
        good = any(day in chances for day in days)
        style = brush.of.styles["goal-good" if good else "goal"]
        level = max((states.get(day, 0.0) for day in days), default=0.0)
        eighths = max(1, round(level / best * 8 * place.lines))
        for line in range(place.lines):
            above = 8 * (place.lines - 1 - line)
            sign = HEIGHTS[max(0, min(8, eighths - above))]
            if not states:
                sign = "░" if good else " "
            brush.canvas.put(column, place.top + line, sign, style)
    brush.chosen(place, row)


def _bar(asked: int, free: int, floor: int) -> tuple[str, str]:
    """The sign of one line of a bar, of heights in eighths, and the name of its style."""
    inside = asked - floor
    if inside > 0:
        return HEIGHTS[min(8, inside)], "asked"
    over = free - floor
    if 0 <= over < 8 and free > 0:
        return ("▁" if over < 3 else "─" if over < 6 else "▔"), "free"
    return " ", "free"
