"""What is drawn on the days of a sheet: blocks, rock, days away, flags, words, and the lines."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date

from seasonplan.days import ONE_DAY, WEEKDAYS, Span, week_start
from seasonplan.explain.signs import SIGNS
from seasonplan.explain.tints import ACCENT, PAPER_INK, QUIET, ROCK, TINTS
from seasonplan.pictures.cells import Cell, Sheet, around
from seasonplan.pictures.fonts import fitting, font
from seasonplan.pictures.marks import Align, Box, Mark, Words, area, line, outline
from seasonplan.pictures.motifs import CAPITALS, flag, letter, motif
from seasonplan.views import BlockView, YearView
from seasonplan.vocabulary import Kind

WEEKEND, RULE, WEEK_RULE = "#f6f3ec", "#d8d2c4", "#a9a190"
SMALL = 2.5  # mm on A3, 7.1 points: the smallest type there
THICKEST = 2.4  # mm on A3 that the edge of rock is thick where a good day is sure
SATURDAY = 5


@dataclass
class Drawn:
    """What was drawn, and the names that had to be shortened for it."""

    marks: list[Mark] = field(default_factory=list)
    shortened: list[str] = field(default_factory=list)


def draw(view: YearView, sheet: Sheet) -> Drawn:
    """Everything on the days of a sheet, the lowest first."""
    drawn = Drawn()
    drawn.marks += _ground(sheet)
    for block in view.blocks:
        drawn.marks += _ribbon(block, sheet, _light(view))
    drawn.marks += _rock(view, sheet)
    drawn.marks += _rules(view, sheet)
    drawn.marks += _numbers(sheet)
    drawn.marks += _away(view, sheet)
    for block in view.blocks:
        if block.first in sheet.span:
            ribbon = sheet.cells[block.first].ribbon
            box = ribbon if sheet.down else Box(ribbon.x, ribbon.y, 1.25 * ribbon.height, ribbon.height)
            drawn.marks += letter(block.kind, box)
    flags = _flags(view)
    for day, cell in sheet.cells.items():
        if day in flags:
            drawn.marks += flag(_flag_box(cell, sheet), flags[day], ACCENT)
    _words(view, sheet, drawn, set(flags))
    return drawn


def thickness(sheet: Sheet) -> float:
    """How thick the edge of rock is where a good day is sure."""
    return (THICKEST if sheet.down else 0.55 * THICKEST) * sheet.scale


def _light(view: YearView) -> set[date]:
    return {day for week in view.weeks if week.light for day in week.trained}


def _ground(sheet: Sheet) -> Iterator[Mark]:
    for day, cell in sheet.cells.items():
        if day.weekday() >= SATURDAY:
            yield area(cell.box, WEEKEND)


def _ribbon(block: BlockView, sheet: Sheet, light: set[date]) -> Iterator[Mark]:
    """The fill of a block, half as wide in light weeks, and its pattern day by day."""
    tint = TINTS[block.kind][0]
    inside = block.span.meet(sheet.span)
    for day in inside.days() if inside else ():
        cell = sheet.cells[day]
        box = _half(cell.ribbon, sheet) if day in light else cell.ribbon
        yield area(box, tint)
        if day != block.first:
            yield from _pattern(block.kind, box, sheet)


def _half(box: Box, sheet: Sheet) -> Box:
    if sheet.down:
        return Box(box.x + box.width / 4, box.y, box.width / 2, box.height)
    return Box(box.x, box.y + box.height / 4, box.width, box.height / 2)


def _pattern(kind: Kind, box: Box, sheet: Sheet) -> Iterator[Mark]:
    if sheet.down:
        yield from motif(kind, box, sheet.scale)
        return
    third = box.width / 3
    for n in range(3):
        yield from motif(kind, Box(box.x + third * n, box.y, third, box.height), sheet.scale)


def _rock(view: YearView, sheet: Sheet) -> Iterator[Mark]:
    for day, cell in sheet.cells.items():
        chance = view.chance(day)
        if chance > 0:
            yield area(cell.edge(chance, thickness(sheet)), ROCK)


def _rules(view: YearView, sheet: Sheet) -> Iterator[Mark]:
    """Thin lines between days, stronger ones between weeks, a frame around each line."""
    scale = sheet.scale
    for day, cell in sheet.cells.items():
        box = cell.box
        begins = week_start(day, view.week_begins) == day
        if sheet.down:
            style = (WEEK_RULE, 0.25) if begins else (RULE, 0.15)
            yield line(((box.x, box.y), (box.right, box.y)), style[0], width=style[1] * scale)
        else:
            yield line(((box.x, box.y), (box.x, box.bottom)), RULE, width=0.15 * scale)
    for run in sheet.runs(sheet.span):
        yield outline(around(run), WEEK_RULE, width=0.25 * scale)
    for box in sheet.notes.values():
        yield outline(box, WEEK_RULE, width=0.25 * scale)


def _numbers(sheet: Sheet) -> Iterator[Mark]:
    """The number of each day; in columns its weekday too, else on the first of a month its name."""
    scale = sheet.scale
    for day, cell in sheet.cells.items():
        size = min(3.5 * scale, 0.75 * cell.number.height / CAPITALS)
        base = cell.number.middle[1] + size * CAPITALS / 2
        bold = day.weekday() >= SATURDAY or not sheet.down
        right = cell.number.right - 0.9 * scale
        yield Words(right, base, str(day.day), size, PAPER_INK, bold, Align.END)
        if sheet.down:
            name = WEEKDAYS[day.weekday()][:2].capitalize()
            small = min(SMALL * scale, size)
            yield Words(cell.number.x + 0.6 * scale, base, name, small, QUIET)


def _away(view: YearView, sheet: Sheet) -> Iterator[Mark]:
    """A box around the days of each trip and absence."""
    scale = sheet.scale
    for entry in view.away:
        ink = TINTS[entry.kind][1]
        dash = None if entry.left == 0 else (1.2 * scale, 0.8 * scale)
        for run in sheet.runs(entry.span):
            box = run[0].room.with_(run[-1].room)
            yield outline(box.within(0.35 * scale), ink, width=0.5 * scale, dash=dash)


def _flags(view: YearView) -> dict[date, str]:
    """The number of the goal that each day planned on rock is for."""
    found: dict[date, str] = {}
    for number, goal in enumerate(view.goals, 1):
        for day in (day for stretch in goal.stretches for day in stretch.planned):
            found[day] = f"{found[day]}+{number}" if day in found else f"{number}"
    return found


def _flag_box(cell: Cell, sheet: Sheet) -> Box:
    """Right in the room, left of the edge of rock."""
    scale, room = sheet.scale, cell.room
    high = min(4.4 * scale, 0.8 * room.height)
    wide = 1.15 * high
    right = room.right - (thickness(sheet) if sheet.down else 0.4 * scale) - 0.9 * scale
    low = 0.0 if sheet.down else thickness(sheet) / 2
    return Box(right - wide, room.middle[1] - high / 2 + low, wide, high)


# --- words ----------------------------------------------------------------------------------


def _words(view: YearView, sheet: Sheet, drawn: Drawn, flagged: set[date]) -> None:
    """The few words on days: what is away, tests, blocks, light weeks; as far as they fit."""
    for day, told in _said(view, sheet).items():
        cell = sheet.cells[day]
        left = cell.room.x + 1.1 * sheet.scale
        right = _flag_box(cell, sheet).x if day in flagged else cell.room.right - (
            thickness(sheet) if sheet.down else 0.0
        )
        size = SMALL * sheet.scale
        base = cell.room.middle[1] + size * CAPITALS / 2
        if not sheet.down:
            base += thickness(sheet) / 2
        for text, colour, bold in told:
            room = right - left - 0.8 * sheet.scale
            shown = fitting(text, room, size, bold=bold)
            if shown != text and bold:
                drawn.shortened.append(text)
            if shown == text or bold:
                drawn.marks.append(Words(left, base, shown, size, colour, bold))
                left += size * (font(bold=bold).width(shown) + 0.5)


Said = tuple[str, str, bool]  # words, colour, whether they are a name


def _said(view: YearView, sheet: Sheet) -> dict[date, list[Said]]:
    found: dict[date, list[Said]] = {}

    def say(day: date, text: str, colour: str, *, name: bool = False) -> None:
        if day in sheet.span:
            found.setdefault(day, []).append((text, colour, name))

    for entry in view.away:
        for day in _seen_first(entry.span, sheet):
            say(day, entry.name, TINTS[entry.kind][1], name=True)
    for test in view.tests:
        say(test.day, f"test: {test.name}", ACCENT, name=True)
    for block in view.blocks:
        if block.kind.chosen:
            emphasis = f", {block.emphasis}" if block.emphasis else ""
            word = SIGNS[block.kind].word
            told = f"{word}{emphasis}"
            say(block.first, told, TINTS[block.kind][1])
            say(block.first, "", QUIET)
    for week in view.weeks:
        if week.light and week.trained:
            say(week.trained[0], "light week", QUIET)
    return found


def _seen_first(span: Span, sheet: Sheet) -> Iterator[date]:
    """The first day in each column; in rows only the first of all."""
    inside = span.meet(sheet.span)
    if inside is None:
        return
    line_: int | None = None
    for day in inside.days():
        cell = sheet.cells[day]
        if line_ is None or (sheet.down and cell.line != line_):
            yield day
        line_ = cell.line


def last_of(span: Span) -> date:
    return span.after - ONE_DAY
