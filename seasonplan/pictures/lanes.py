"""What is drawn on the days of a sheet: blocks, rock, days away, flags, words, and the lines."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date
from itertools import islice

from seasonplan.days import ONE_DAY, WEEKDAYS, week_start
from seasonplan.explain.signs import SIGNS
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
from seasonplan.explain.words import emphasis_text
from seasonplan.pictures.cells import DayCell, PaperSheet, around
from seasonplan.pictures.fonts import OTHER_TYPE, broken, fitting, font
from seasonplan.pictures.marks import Align, Box, Mark, Words, area, line, outline
from seasonplan.pictures.motifs import CAPITALS, flag, letter, motif
from seasonplan.views import AwayView, BlockView, YearView
from seasonplan.vocabulary import Kind

SMALL = 2.5  # mm on A3, 7.1 points: the smallest type there
WORDS_HIGH = 3.6  # mm on A3 that a line of words takes where it has one of its own
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
            yield from flag(_flag_box(cell, sheet, told), told, ACCENT, least=SMALL * sheet.scale)
    yield from _words(view, sheet, {} if sheet.flows else flags)


def _letter_box(block: BlockView, sheet: PaperSheet) -> Box:
    """The beginning of a block's ribbon: no further than the block itself."""
    ribbon = sheet.cells[block.first].ribbon
    if sheet.down:
        return ribbon
    whole = around([replace(cell, box=cell.ribbon) for cell in next(sheet.runs(block.span))])
    return Box(ribbon.x, ribbon.y, min(1.25 * ribbon.height, whole.width), ribbon.height)


def _light(view: YearView) -> set[date]:
    return {day for week in view.weeks if week.light for day in week.trained}


def _ground(sheet: PaperSheet) -> Iterator[Mark]:
    for day, cell in sheet.cells.items():
        if day.weekday() >= SATURDAY:
            yield area(cell.box, WEEKEND)


def _ribbon(block: BlockView, sheet: PaperSheet, light: set[date]) -> Iterator[Mark]:
    """The fill of a block, half as wide in light weeks, and its pattern day by day."""
    tint = TINTS[block.kind][0]
    inside = block.span.meet(sheet.span)
    for day in inside.days() if inside else ():
        cell = sheet.cells[day]
        box = _half(cell.ribbon, sheet) if day in light else cell.ribbon
        yield area(box, tint)
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
        yield outline(around(run), frame, width=0.25 * scale)
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
        ink = away_ink(entry)
        dash = None if entry.left == 0 else (1.2 * scale, 0.8 * scale)
        for run in sheet.runs(entry.span):
            box = _box_of(run).within(_inset(run[0], scale))
            yield outline(box, ink, width=0.5 * scale, dash=dash)


def away_ink(entry: AwayView) -> str:
    """Climbing trips in the ink of trips, all else in that of absences."""
    return TINTS[Kind.TRIP if entry.climbing else Kind.ABSENCE][1]


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


def _halves(cell: DayCell, sheet: PaperSheet) -> tuple[Box, Box]:
    """Where flags and where words stand: one over the other where words flow, else the same."""
    room = cell.room
    if not sheet.flows:
        return room, room
    high = room.height - WORDS_HIGH * sheet.scale
    return (
        Box(room.x, room.y, room.width, high),
        Box(room.x, room.y + high, room.width, room.height - high),
    )


def _flag_box(cell: DayCell, sheet: PaperSheet, number: str) -> Box:
    """At the right end of the room."""
    scale, room = sheet.scale, _halves(cell, sheet)[0]
    high = min(4.4 * scale, 0.98 * room.height)
    wide = (0.6 + 0.55 * len(number)) * high
    if not sheet.numbered:
        high = 0.72 * room.height
        return Box(room.x + 0.1 * room.width, room.bottom - high, 0.85 * room.width, high)
    return Box(room.right - wide - 1.1 * scale, room.middle[1] - high / 2, wide, high)


# --- words ----------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class DayWords:
    """A few words on a day; a `name` is shortened where it must be, other words are left out.

    They may be broken over the days up to `last`.
    """

    text: str
    colour: str
    last: date
    name: bool = False


def _words(view: YearView, sheet: PaperSheet, flagged: Mapping[date, str]) -> Iterator[Words]:
    """What is away, tests, emphases, light weeks: as far as it fits beside flags."""
    told = _said(view, sheet, flagged)
    for day, every in told.items():
        left = sheet.cells[day].room.x + 1.1 * sheet.scale
        for n, said in enumerate(every):
            free = _free_after(day, sheet, {*flagged, *told})
            ends = day + free * ONE_DAY if sheet.flows else day
            room = _right(ends, sheet, flagged) - left
            lines = [fitting(said.text, room, SMALL * sheet.scale, bold=said.name)]
            if lines != [said.text] and n == 0 and sheet.down:
                held = min(free, (said.last - day).days)
                lines = _over_days(said, room, held, sheet) or lines
            if not lines[0] or (" ".join(lines) != said.text and not said.name):
                continue
            for at, text in enumerate(lines):
                yield _word(text, said, day + at * ONE_DAY, left, sheet)
            wide = font(bold=said.name).width(lines[0]) * (OTHER_TYPE if sheet.flows else 1.0)
            left += SMALL * sheet.scale * (wide + 0.5)


def _right(day: date, sheet: PaperSheet, flagged: Mapping[date, str]) -> float:
    """Where words on a day must end."""
    cell = sheet.cells[day]
    return (
        _flag_box(cell, sheet, flagged[day]).x if day in flagged else cell.room.right
    ) - 0.8 * sheet.scale


def _free_after(day: date, sheet: PaperSheet, held: Collection[date]) -> int:
    """How many days of the same line after a day hold neither words nor flag."""
    line_, free, after = sheet.cells[day].line, 0, day + ONE_DAY
    while after in sheet.cells and sheet.cells[after].line == line_ and after not in held:
        free, after = free + 1, after + ONE_DAY
    return free


def _over_days(said: DayWords, room: float, free: int, sheet: PaperSheet) -> list[str]:
    """Words in lines, one a day; none where a word is too long or there are too few free days."""
    size = SMALL * sheet.scale
    lines = broken(said.text, room, size, bold=said.name)
    wide = any(size * font(bold=said.name).width(text) > room for text in lines)
    return [] if wide or len(lines) > free + 1 else lines


def _word(text: str, said: DayWords, day: date, left: float, sheet: PaperSheet) -> Words:
    size = SMALL * sheet.scale
    base = _halves(sheet.cells[day], sheet)[1].middle[1] + size * CAPITALS / 2
    return Words(left, base, text, size, said.colour, said.name)


def _said(
    view: YearView, sheet: PaperSheet, flagged: Mapping[date, str]
) -> dict[date, list[DayWords]]:
    """The words for each day of the sheet, what matters most first."""
    found: dict[date, list[DayWords]] = {}

    def say(day: date, text: str, colour: str, *, last: date, name: bool = False) -> None:
        if day in sheet.cells:
            found.setdefault(day, []).append(DayWords(text, colour, last, name))

    for entry in view.away:
        for day in _named_on(entry, sheet, flagged):
            say(day, entry.name, away_ink(entry), last=entry.last, name=True)
    for test in view.tests:
        say(test.day, f"test: {test.name}", ACCENT, last=view.last, name=True)
    for block in view.blocks:
        if block.kind.chosen:
            told = emphasis_text(block.kind, block.emphasis) or SIGNS[block.kind].word
            say(block.first, told, TINTS[block.kind][1], last=block.last)
    for week in view.weeks:
        if week.light and week.trained:
            say(week.trained[0], "light week", QUIET, last=week.last)
    return found


def _named_on(entry: AwayView, sheet: PaperSheet, flagged: Mapping[date, str]) -> Iterator[date]:
    """In each column, in rows once: the first day without a flag, or the first."""
    inside = entry.span.meet(sheet.span)
    days = iter(inside.days() if inside else ())
    runs = list(sheet.runs(entry.span))
    for run in runs if sheet.down or sheet.flows else runs[:1]:
        held = list(islice(days, len(run)))
        yield next((day for day in held if day not in flagged), held[0])
