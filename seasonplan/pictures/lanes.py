"""What is drawn on the days of a sheet: blocks, rock, days away, flags, words, and the lines."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from itertools import groupby

from seasonplan.days import WEEKDAYS, week_start
from seasonplan.explain.tints import (
    ACCENT,
    PAPER_INK,
    QUIET,
    ROCK,
    RULE,
    TINTS,
    WEEK_RULE,
    WEEKEND,
)
from seasonplan.pictures import day_words
from seasonplan.pictures.cells import DayCell, PaperSheet, flag_box
from seasonplan.pictures.day_words import SMALL
from seasonplan.pictures.marks import Align, Box, Mark, Words, area, enclosing, line, outline
from seasonplan.pictures.motifs import CAPITALS, flag, frame, letter, motif
from seasonplan.views import BlockView, YearView
from seasonplan.vocabulary import Kind

SATURDAY = 5


def draw(view: YearView, sheet: PaperSheet) -> Iterator[Mark]:
    """Everything on the days of a sheet, the lowest first."""
    yield from _ground(sheet)
    for block in view.blocks:
        yield from _ribbon(block, sheet, _light(view))
    yield from _rock(view, sheet)
    yield from _rules(view, sheet)
    yield from _numbers(sheet)
    yield from _away(view, sheet)
    for block in view.blocks:
        if block.first in sheet.span:
            yield from letter(block.kind, _letter_box(block, sheet))
    flags = _flags(view)
    for day, cell in sheet.cells.items():
        if day in flags:
            told = flags[day] if sheet.numbered else ""
            yield from flag(flag_box(cell, sheet, told), told, ACCENT, least=SMALL * sheet.scale)
    yield from day_words.words(view, sheet, {} if sheet.flows else flags)


def _letter_box(block: BlockView, sheet: PaperSheet) -> Box:
    """The beginning of a block's ribbon: no further than the block itself."""
    ribbon = sheet.cells[block.first].ribbon
    if sheet.down:
        return ribbon
    whole = enclosing(cell.ribbon for cell in next(sheet.runs(block.span)))
    return Box(ribbon.x, ribbon.y, min(1.25 * ribbon.height, whole.width), ribbon.height)


def _light(view: YearView) -> set[date]:
    return {day for week in view.weeks if week.light for day in week.trained}


def _ground(sheet: PaperSheet) -> Iterator[Mark]:
    for day, cell in sheet.cells.items():
        if day.weekday() >= SATURDAY:
            yield area(cell.box, WEEKEND)


def _ribbon(block: BlockView, sheet: PaperSheet, light: set[date]) -> Iterator[Mark]:
    """The fill of a block, half as wide in light weeks, and its pattern day by day."""
    inside = block.span.meet(sheet.span)
    days = inside.days() if inside else ()
    for (_, is_light), run in groupby(days, key=lambda day: (sheet.cells[day].line, day in light)):
        boxes = {day: sheet.cells[day].ribbon for day in run}
        if is_light:
            boxes = {day: _half(box, sheet) for day, box in boxes.items()}
        yield area(enclosing(boxes.values()), TINTS[block.kind][0])
        for day, box in boxes.items():
            if day != block.first:
                yield from _pattern(block.kind, box, sheet)


def _half(box: Box, sheet: PaperSheet) -> Box:
    if sheet.down:
        return Box(box.x + box.width / 4, box.y, box.width / 2, box.height)
    return Box(box.x, box.y + box.height / 4, box.width, box.height / 2)


def _pattern(kind: Kind, box: Box, sheet: PaperSheet) -> Iterator[Mark]:
    if sheet.down:
        yield from motif(kind, box, sheet.scale)
        return
    if sheet.flows:
        yield from motif(kind, box, sheet.scale)
        return
    third = box.width / 3
    for n in range(3):
        yield from motif(kind, Box(box.x + third * n, box.y, third, box.height), sheet.scale)


def _rock(view: YearView, sheet: PaperSheet) -> Iterator[Mark]:
    for day, cell in sheet.cells.items():
        chance = view.chance(day)
        if chance > 0:
            yield area(cell.edge(chance, sheet.scale), ROCK)


def _rules(view: YearView, sheet: PaperSheet) -> Iterator[Mark]:
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
        frame = WEEK_RULE if sheet.down else RULE  # in rows only rock is a strong line
        yield outline(enclosing(cell.box for cell in run), frame, width=0.25 * scale)
    for box in sheet.notes.values():
        yield outline(box, RULE, width=0.25 * scale)


def _numbers(sheet: PaperSheet) -> Iterator[Mark]:
    """The number of each day, in columns its weekday too."""
    scale = sheet.scale
    if not sheet.numbered:
        return
    for day, cell in sheet.cells.items():
        size = _number_size(cell, scale)
        base = cell.number.middle[1] + size * CAPITALS / 2
        bold = day.weekday() >= SATURDAY or not sheet.down
        right = cell.number.right - 0.9 * scale
        yield Words(right, base, str(day.day), size, PAPER_INK, bold, Align.END)
        if sheet.down:
            name = WEEKDAYS[day.weekday()][:2].capitalize()
            small = min(SMALL * scale, size)
            yield Words(cell.number.x + 0.6 * scale, base, name, small, QUIET)


def _number_size(cell: DayCell, scale: float) -> float:
    return min(3.5 * scale, max(SMALL * scale, 0.64 * cell.number.height / CAPITALS))


def _inset(cell: DayCell, scale: float) -> float:
    """How far a box around days lies inside them: less in low rows, where it would strike out
    their numbers."""
    if cell.down or not cell.number.width:
        return 0.35 * scale
    beside = (cell.number.height - _number_size(cell, scale) * CAPITALS) / 2
    return min(0.35 * scale, beside - 0.75 * scale)


def _away(view: YearView, sheet: PaperSheet) -> Iterator[Mark]:
    """A box around the days of each trip and absence."""
    scale = sheet.scale
    for entry in view.away:
        for run in sheet.runs(entry.span):
            box = _box_of(run).within(_inset(run[0], scale))
            ink = day_words.away_ink(entry)
            yield from frame(box, ink, scale, dashed=entry.left > 0, cornered=entry.climbing)


def _box_of(run: list[DayCell]) -> Box:
    """What a box around days holds: all but ribbon and rock, in columns the numbers neither."""
    first, last = run[0], run[-1]
    return (first.room if first.down else first.number).with_(last.room)


def _flags(view: YearView) -> dict[date, str]:
    """The number of the goal that each day planned on rock is for."""
    found: dict[date, str] = {}
    for number, goal in enumerate(view.goals, 1):
        for day in (day for stretch in goal.stretches for day in stretch.planned):
            found[day] = f"{found[day]}+{number}" if day in found else f"{number}"
    return found
