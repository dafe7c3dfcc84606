"""Draws the lane of a place's weather: the chance of a good day as a line with its spread."""

from __future__ import annotations

from collections.abc import Iterator

from seasonplan.explain.curve import Curve, Part, curve_rows
from seasonplan.explain.signs import HEIGHTS
from tui.year.brush import Brush
from tui.year.lanes import Mark, Row, Sheet
from tui.year.places import WIDE_MARGIN, Place
from tui.year.weather import Weather

STYLES = {Part.LINE: "chance", Part.SPREAD: "spread", Part.NOTHING: "paper"}
READING = "reading the weather record…"
NONE_GOOD = "no day of the record was good"
FAULTY = "! the weather record cannot be read"


def chance(brush: Brush, place: Place, row: Row) -> None:
    """The curve where there is one, else a word on why there is none."""
    assert row.weather is not None
    curve = row.weather.curve
    if curve is None:
        style = brush.of.styles["wrong" if row.weather.faults else "quiet"]
        brush.canvas.put(brush.of.margin + 1, place.top, _word(row.weather), style)
    else:
        _curve(brush, place, _in_columns(brush, curve))
    if brush.of.selected is not None and brush.of.selected in row.marks:
        _choose(brush, place, brush.of.selected)


def _choose(brush: Brush, place: Place, mark: Mark) -> None:
    """Shows the chosen days: in the one strong colour, between brackets; the line stays clear."""
    first, after = brush.columns_of(mark) or (0, 0)
    for line in range(place.top, place.top + place.lines):
        brush.canvas.tint(first, after, line, brush.of.styles["here"])
    brush.brackets(first, after, place.top + place.lines - 1, brush.of.styles["here"])


def _word(weather: Weather) -> str:
    if weather.faults:
        return FAULTY
    return READING if weather.reading else NONE_GOOD


def _curve(brush: Brush, place: Place, curve: Curve) -> None:
    top = _top(brush.of.sheet)
    if place.lines == 1:
        for column, value in zip(brush.lane(), curve.line, strict=True):
            sign = HEIGHTS[max(0, min(8, round(8 * value / top)))]
            brush.canvas.put(column, place.top, sign, brush.of.styles["chance"])
        return
    drawn = curve_rows(curve, rows=place.lines, step=top / place.lines)
    for line, cells in enumerate(drawn, place.top):
        for column, (sign, part) in zip(brush.lane(), cells, strict=True):
            brush.canvas.put(column, line, sign, brush.of.styles[STYLES[part]])
    _scale(brush, place, top)


def _scale(brush: Brush, place: Place, top: float) -> None:
    """What the top and bottom lines stand for; in a narrow margin under the label."""
    quiet, edge = brush.of.styles["quiet"], brush.of.margin - 1
    high = f"{100 * top:.0f} %"
    if brush.of.margin < WIDE_MARGIN:
        brush.canvas.put(2, place.top + 1, f"to {high}", quiet)
        return
    brush.canvas.put(2, place.top + 1, "chance", quiet)
    brush.canvas.put(edge - 3, place.top + place.lines - 1, "0 %", quiet)
    if brush.canvas.empty(edge - len(high) - 1, edge, place.top):
        brush.canvas.put(edge - len(high), place.top, high, quiet)


def _in_columns(brush: Brush, curve: Curve) -> Curve:
    """The curve of the days shown: of each column, the mean of its days."""
    from seasonplan.conditions import day_of_year

    columns = [[day_of_year(day) for day in brush.days(column)] for column in brush.lane()]
    return Curve(
        tuple(_mean(curve.line[n] for n in days) for days in columns),
        tuple(
            (_mean(curve.spread[n][0] for n in days), _mean(curve.spread[n][1] for n in days))
            for days in columns
        ),
    )


def _top(sheet: Sheet) -> float:
    """The upper end of the scale, one for all places so that they can be compared."""
    from seasonplan.conditions.windows import scale_top

    curves = [one.curve for one in sheet.weather]
    return scale_top(max((curve.highest for curve in curves if curve), default=0.0))


def _mean(values: Iterator[float]) -> float:
    every = list(values)
    return sum(every) / len(every)
