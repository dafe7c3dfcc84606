"""Draws how the form of each goal runs: a curve, a flag and a figure on its days, and one rule.

The rule goes down from the head to the flag of the rock that matters most.
"""

from __future__ import annotations

from statistics import fmean

from rich.style import Style

from seasonplan.body.almanac import Opportunity
from seasonplan.explain.curve import Curve, Part, curve_rows
from seasonplan.explain.signs import HEIGHTS
from seasonplan.explain.words import percent_text
from tui.year.brush import Brush
from tui.year.lanes import NO_DAY, Row, goal_days, goal_key
from tui.year.places import HEAD_LINES, WIDE_MARGIN, Place

FLAG, RULE = "⚑", "│"
CURVE_LINES = 2  # from so many on a curve is a line; with fewer it is a row of heights


def goal(brush: Brush, place: Place, row: Row) -> None:
    """The curve, and over it the flags. Where nothing serves a goal words say so."""
    assert row.goal is not None
    mine = [one for one in brush.of.sheet.almanac.opportunities if one.goal.id == row.goal.id]
    if not mine:
        brush.canvas.put(brush.lane().start + 1, place.top, NO_DAY, brush.of.styles["wrong"])
        brush.chosen(place, row)
        return
    values = _values(brush, row)
    if place.lines > CURVE_LINES:
        _line(brush, place, values, row)
    else:
        _heights(brush, place, values)
    _flags(brush, place, mine)
    brush.chosen(place, row)


def rule(brush: Brush) -> None:
    """One line down through all lanes to the flag of the rock that matters most."""
    chance = brush.of.sheet.dearest
    if chance is None:
        return
    key = goal_key(chance)
    first = goal_days(chance).first
    bottom = next(
        (
            place.top
            for place in brush.of.places
            if any(mark.key == key for mark in brush.of.sheet.rows[place.number].marks)
        ),
        None,
    )
    if bottom is None or first not in brush.of.scale.shown:
        return
    column, styles = brush.column(first), brush.of.styles
    papers = {styles[name].bgcolor for name in ("paper", "stripe")}
    for line in range(HEAD_LINES, bottom):
        if _is_free(brush, column, line):
            on_paper = brush.canvas.ground(column, line) in papers
            # on a block the ink of the block, which stands out from its tint in all colours
            brush.canvas.put(column, line, RULE, styles["rule"] if on_paper else Style())


def _is_free(brush: Brush, column: int, line: int) -> bool:
    """Whether a rule may cross there: never through a word or figure, or right before one."""
    near = [brush.canvas.sign(at, line) for at in (column - 1, column, column + 1)]
    here = near[1]
    if any(_is_text(sign) for sign in here):
        return False
    return here.strip() != "" or not _is_text(near[2])


def _is_text(sign: str) -> bool:
    return sign.isalnum() or sign in ("%", "●", FLAG, "[", "]", ",", "+", "-", "±", "!", "◆")


# --- the curve --------------------------------------------------------------------------------


def _values(brush: Brush, row: Row) -> list[float | None]:
    """The change in each column: the mean of its days; nothing without a plan."""
    assert row.goal is not None
    curve = brush.of.sheet.forms.curve(row.goal)
    found = [[curve[day] for day in brush.days(column) if day in curve] for column in brush.lane()]
    return [fmean(days) if days else None for days in found]


def _heights(brush: Brush, place: Place, values: list[float | None]) -> None:
    """A row of heights, from the lowest change for any goal to the highest."""
    low, high = brush.of.sheet.forms.ends
    line, style = place.top + place.lines - 1, brush.of.styles["goal"]
    for column, value in zip(brush.lane(), values, strict=True):
        if value is not None:
            sign = HEIGHTS[max(1, min(8, 1 + int(7.99 * (value - low) / (high - low))))]
            brush.canvas.put(column, line, sign, style)


def _line(brush: Brush, place: Place, values: list[float | None], row: Row) -> None:
    """A thin line under the lines of the flags, with its ends in the margin."""
    low, high = brush.of.sheet.forms.ends
    rows = place.lines - 1
    known = [0.0 if value is None else value - low for value in values]
    flat = Curve(tuple(known), tuple((value, value) for value in known))
    for line, cells in enumerate(curve_rows(flat, rows=rows, step=(high - low) / rows), 1):
        for column, value, (sign, part) in zip(brush.lane(), values, cells, strict=True):
            if part is Part.LINE and value is not None:
                brush.canvas.put(column, place.top + line, sign, brush.of.styles["goal"])
    _margin(brush, place, row, low, high)


def _margin(brush: Brush, place: Place, row: Row, low: float, high: float) -> None:
    """What the curve tells, and what its top and bottom stand for."""
    assert row.goal is not None
    quiet, edge = brush.of.styles["quiet"], brush.of.margin - 1
    if brush.of.margin < WIDE_MARGIN or not brush.of.sheet.blocks:
        return
    measure = brush.of.sheet.forms.measure(row.goal)
    brush.canvas.put(2, place.top + 1, measure, quiet)
    for line, value in ((1, high), (place.lines - 1, low)):
        text = percent_text(value)
        if brush.canvas.empty(edge - len(text) - 1, edge, place.top + line):
            brush.canvas.put(edge - len(text), place.top + line, text, quiet)


# --- flags ------------------------------------------------------------------------------------


def _flags(brush: Brush, place: Place, mine: list[Opportunity]) -> None:
    """A flag where each spell of a goal's rock begins, with the change on its days behind it."""
    free = brush.lane().start
    edge = brush.lane().stop
    for chance in sorted(mine, key=lambda one: goal_days(one).first):
        span = goal_days(chance)
        if span.meet(brush.of.scale.shown) is None:
            continue
        first, after = brush.columns(span)
        for line in range(place.top + (place.lines > 1), place.top + place.lines):
            brush.canvas.tint(first, after, line, brush.of.styles["goal-good"])
        change = brush.of.sheet.forms.on(chance)
        text = FLAG if change is None else f"{FLAG} {percent_text(change)}"
        at = max(free, min(first, edge - len(text)))
        if at > first:
            at, text = max(free, first), FLAG
        if at >= free and at < edge:
            brush.canvas.put(at, place.top, text, brush.of.styles["goal-good"])
            free = at + len(text) + 1
