"""Draws the lane of the plan: its blocks, and one on its way to other days."""

from __future__ import annotations

from seasonplan.days import day_month_text, length_text
from seasonplan.explain.signs import SIGNS
from tui.canvas import clean
from tui.year.brush import Brush
from tui.year.lanes import Mark, Row
from tui.year.named import block_words
from tui.year.places import Place

FIXED = "◆"  # before the name of a block that the climber fixed
ROCK = "●"  # a day on rock
NOTHING, AT_WORK = "nothing is planned yet: press r", "the first plan is being made"
CHANGED = "±"  # before the name of a block that two plans have on other days or not both
BROKEN = "!"  # before the name of a block that breaks a rule


def plan(brush: Brush, place: Place, row: Row) -> None:
    """The blocks, and under them the days to which one is dragged."""
    strip = brush.of.strip
    for mark in (strip.plan if strip else ()) or row.marks:
        _block(brush, mark, place.top)
    if not row.marks:
        text = AT_WORK if brush.of.planning else NOTHING
        brush.canvas.put(brush.of.margin + 1, place.top, text, brush.of.styles["quiet"])
    ghost = brush.of.ghost
    if ghost is not None and (columns := brush.columns_of(ghost)):
        first, after = columns
        style = brush.of.styles["ghost"]
        brush.canvas.put(first, place.top, f"[{'═' * max(0, after - first - 2)}]", style)
        told = f"{day_month_text(ghost.span.first)} to {day_month_text(ghost.span.last)}"
        at = min(first, brush.canvas.width - len(told))
        _wipe_words(brush, at - 1, -1, place.top + 1)
        _wipe_words(brush, at + len(told), 1, place.top + 1)
        brush.canvas.put(at, place.top + 1, told, style)


def _wipe_words(brush: Brush, column: int, by: int, line: int) -> None:
    """Take away the words beside a column, of which only a part would be left."""
    while (sign := brush.canvas.sign(column, line)).isalnum() or sign == " ":
        brush.canvas.put(column, line, " ", brush.of.styles["paper"])
        column += by


def _block(brush: Brush, mark: Mark, top: int) -> None:
    """Name on the first line; sign, length and days on rock on the second; an edge at its start."""
    columns = brush.columns_of(mark)
    if columns is None:
        return
    assert mark.kind is not None
    first, after = columns
    chosen = mark == brush.of.selected
    style = brush.of.styles[f"{mark.kind.value}{'-chosen' if chosen else ''}"]
    begins = mark.span.first in brush.of.scale.shown
    edge = "▏" if begins and not chosen else ""
    room = after - first - len(edge)
    label = _label(brush, mark, room)
    told = length_text(mark.span.length)
    below = _below(brush, mark, (after - room, after), "" if told in label else told)
    for line, text in ((top, label), (top + 1, below)):
        brush.canvas.put(first, line, f"{edge}{text:<{room}}", style)
    if chosen:
        brush.brackets(first, after, top + 1, style)


def _below(brush: Brush, mark: Mark, columns: tuple[int, int], told: str) -> str:
    """The sign of the kind in each column; where there is room the length, and days on rock."""
    assert mark.kind is not None
    sign = SIGNS[mark.kind].drawn
    cells = [
        ROCK if any(day in mark.rock for day in brush.days(column)) else sign
        for column in range(*columns)
    ]
    words = f" {told} "
    for at in (*range(1, len(cells) - len(words) + 1), 0):
        if told and len(words) <= len(cells) and ROCK not in cells[at : at + len(words)]:
            cells[at : at + len(words)] = words
            break
    return "".join(cells)


def _label(brush: Brush, mark: Mark, room: int) -> str:
    """The longest of its names that fits whole; the sign of a fixed block before it."""
    assert mark.kind is not None
    fixed = BROKEN if mark.key in brush.of.broken else ""
    fixed += CHANGED if mark.key in brush.of.changed else ""
    fixed += FIXED if mark.pinned else ""
    word = SIGNS[mark.kind].word
    block = brush.of.sheet.block_of(mark)
    names = block_words(block) if block and mark.kind.chosen else (clean(mark.name), word)
    for text in (f" {name}" for name in names):
        if len(fixed + text) <= room:
            return fixed + text
    if mark == brush.of.selected:  # no edge parts it from the name before
        return f" {fixed}" if fixed and len(fixed) < room else fixed
    return fixed + (word if len(fixed + word) <= room else "")
