"""The year for a screen: a line for each month, a box for each day, the key below.

Drawn by the same hand as the poster; only where days lie is other. On a phone a box is too narrow
for the number of its day and of a goal: the days are numbered over the months instead.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from seasonplan.days import MONTHS, dates_text, month_text
from seasonplan.explain.tints import PAPER_INK, QUIET
from seasonplan.explain.wall import months
from seasonplan.pictures import day_words, foot, key, lanes
from seasonplan.pictures.cells import WORDS_HIGH, DayCell, PaperSheet, thickest
from seasonplan.pictures.marks import Align, Box, Mark, Picture, Words
from seasonplan.pictures.screen import EDGE, WIDE, Screen
from seasonplan.views import YearView

NUMBERED = (1, 5, 10, 15, 20, 25, 30)  # days told over the months on a phone


def strip(view: YearView, screen: Screen = WIDE) -> Picture:
    """The whole year, however long, in one picture."""
    sheet, scale = _sheet(view, screen), screen.scale
    marks: list[Mark] = [*_names(sheet, screen), *lanes.draw(view, sheet)]
    cut = _without_whole_names(view, marks)
    room = Box(EDGE, sheet.grid.bottom + 2.5 * scale, screen.width - 2 * EDGE, 0)
    signs = [*key.kinds(view), *key.others(view, numbered=sheet.numbered)]
    told, bottom = key.flow(signs, room, scale)
    marks += told
    lists = [foot.goals_alone] if sheet.numbered and view.goals else []
    lists += [foot.away_alone] if cut.away or cut.tests else []
    for drawn in lists:
        told, bottom = drawn(cut, room.x, bottom + 3 * scale, room.width, scale)
        marks += told
    title = f"The year from {dates_text(view.span)}, month by month."
    return Picture(screen.width, bottom + EDGE, title, title, tuple(marks))


def _without_whole_names(view: YearView, marks: Sequence[Mark]) -> YearView:
    """The view with those days away and tests alone whose names had to be cut."""
    told = {one.text for one in marks if isinstance(one, Words)}
    return view.with_fields(
        away=tuple(one for one in view.away if one.name not in told),
        tests=tuple(one for one in view.tests if day_words.test_text(one) not in told),
    )


def _sheet(view: YearView, screen: Screen) -> PaperSheet:
    every, scale, narrow = list(months(view.span)), screen.scale, screen.is_narrow
    left, top = (11.0, 5.0) if narrow else (26.0, 2.0)
    flags, ribbon, gap = (3.2, 4.0, 1.4) if narrow else (4.4, 4.2, 1.4)
    wide = (screen.width - EDGE - left) / 31
    edge, words = thickest(scale, down=False), WORDS_HIGH * scale
    number = 0.0 if narrow else 3.4 * scale
    high = edge + number + flags + words + ribbon

    def cell(box: Box, line: int) -> DayCell:
        above = box.y + edge
        return DayCell(
            box, line,
            Box(box.x, above, 0.0 if narrow else wide - 0.6, number),
            Box(box.x, box.bottom - ribbon, wide, ribbon),
            Box(box.x, above + number, wide, flags + words),
            False,
        )  # fmt: skip

    grid = Box(left, top, 31 * wide, (high + gap) * len(every))
    cells = {
        day: cell(Box(left + wide * (day.day - 1), top + (high + gap) * n, wide, high), n)
        for n, month in enumerate(every)
        for day in month.days()
    }
    return PaperSheet(
        screen.width, grid.bottom, scale, view.span, False, grid, cells, {},
        flows=True, numbered=not narrow,
    )  # fmt: skip


def _names(sheet: PaperSheet, screen: Screen) -> Iterator[Mark]:
    """The months beside their lines; on a phone numbers of days over them."""
    narrow = screen.is_narrow
    size = screen.type_mm if narrow else 3.6
    for month in months(sheet.span):
        box = sheet.cells[month.first].box
        first = month.first
        name = month_text(first) if narrow else MONTHS[first.month - 1].capitalize()
        yield Words(EDGE, box.y + 1.3 * size, name, size, PAPER_INK, bold=True)
        if first == sheet.span.first or first.month == 1:
            yield Words(EDGE, box.y + 2.5 * size, f"{first.year}", screen.type_mm, QUIET)
    wide = sheet.grid.width / 31
    for day in NUMBERED if narrow else ():
        x = sheet.grid.x + (day - 0.5) * wide
        yield Words(x, sheet.grid.y - 1.2, f"{day}", size, QUIET, align=Align.MIDDLE)
