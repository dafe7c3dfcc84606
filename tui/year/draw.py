"""Draws the rows of a year on a canvas: months across, one lane under the other.

Knows the head and which lane is drawn by whom; knows no keys and no desk.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from datetime import date

from seasonplan.days import month_text, week_start
from seasonplan.explain.wall import months
from tui.canvas import Canvas, clean, shortened
from tui.year import draw_chance, draw_form, draw_given, draw_heights, draw_plan, draw_strip
from tui.year.brush import Brush, Drawing, Ghost
from tui.year.lanes import Lane, Row
from tui.year.places import HEAD_LINES, Place
from tui.year.scale import Zoom

__all__ = ["Drawing", "Ghost", "draw"]

GRID = "┊"  # where a month begins
LANES: Mapping[Lane, Callable[[Brush, Place, Row], None]] = {
    Lane.ROCK: draw_given.rock,
    Lane.CHANCE: draw_chance.chance,
    Lane.AWAY: draw_given.away,
    Lane.PLAN: draw_plan.plan,
    Lane.HOURS: draw_heights.hours,
    Lane.GOAL: draw_form.goal,
}


def draw(drawing: Drawing, height: int) -> Canvas:
    """The whole picture."""
    brush = Brush(drawing, height)
    _head(brush)
    for place in drawing.places:
        _row(brush, place)
    _month_lines(brush)
    draw_form.rule(brush)
    return brush.canvas


def _head(brush: Brush) -> None:
    """Months, and beneath them days, weeks or nothing; today is marked."""
    shown, styles = brush.of.scale.shown, brush.of.styles
    for number, month in enumerate(months(shown)):
        first, after = brush.columns(month)
        if number % 2:
            for line in range(brush.canvas.height):
                brush.canvas.tint(first, after, line, styles["stripe"])
        brush.canvas.put(first + 1, 0, _month_name(month.first, after - first - 1), styles["month"])
    today = _today(brush)
    for day, text in _ticks(brush):
        column = brush.column(day)
        if today is None or column + len(text) < today[0] or column > today[1]:
            brush.canvas.put(column, 1, text, styles["quiet"])


def _month_lines(brush: Brush) -> None:
    """A thin line where each month begins, on lines that hold nothing: stripes need colour."""
    columns = [brush.columns(month)[0] for month in months(brush.of.scale.shown)][1:]
    for line in range(HEAD_LINES, brush.canvas.height):
        if brush.canvas.empty(0, brush.canvas.width, line):
            for column in columns:
                brush.canvas.put(column, line, GRID, brush.of.styles["quiet"])


def _ticks(brush: Brush) -> Iterator[tuple[date, str]]:
    shown, begins = brush.of.scale.shown, brush.of.sheet.almanac.week_begins
    if brush.of.zoom is Zoom.YEAR:
        return
    each_day = brush.of.zoom is Zoom.MONTH and brush.of.scale.width >= 3 * shown.length
    for day in shown.days():
        if each_day or week_start(day, begins) == day:
            yield day, str(day.day)


def _today(brush: Brush) -> tuple[int, int] | None:
    """Marks today; the columns that this takes, the last one with them."""
    today = brush.of.today
    if today not in brush.of.scale.shown:
        return None
    column = brush.column(today)
    text = "▼ today" if column + 7 <= brush.canvas.width else "today ▼"
    start = column if text.startswith("▼") else column - 6
    brush.canvas.put(start, 1, text, brush.of.styles["today"])
    return start, start + len(text)


def _row(brush: Brush, place: Place) -> None:
    """One row with its label."""
    row = brush.of.sheet.rows[place.number]
    here = place.number == brush.of.row
    room = brush.of.margin - 3
    held = brush.of.strip is not None and row.lane is Lane.HOURS
    label = "" if held else shortened(clean(row.label), room)
    mark = "›" if here else " "  # noqa: RUF001  (drawn)
    style = brush.of.styles["here" if here else "label"]
    brush.canvas.put(0, place.top, f"{mark} {label}", style)
    if held and brush.of.strip is not None:
        draw_strip.draw(brush, place.top, brush.of.strip)
    else:
        LANES[row.lane](brush, place, row)


def _month_name(day: date, room: int) -> str:
    """The month, with its year where there is room, or nothing."""
    name = month_text(day)
    for text in (f"{name} {day.year}", name):
        if len(text) <= room:
            return text
    return ""
