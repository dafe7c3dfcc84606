"""The year for a screen: a line for each month, a box for each day, the key below.

Drawn by the same hand as the poster; only where days lie is other.
"""

from __future__ import annotations

from collections.abc import Iterator

from seasonplan.days import MONTHS, dates_text
from seasonplan.explain.tints import PAPER_INK, QUIET
from seasonplan.explain.wall import months
from seasonplan.pictures import foot, lanes
from seasonplan.pictures.cells import DayCell, PaperSheet, thickest
from seasonplan.pictures.marks import Box, Mark, Picture, Words
from seasonplan.views import YearView

LEFT, TOP, EDGE = 26.0, 3.0, 2.0  # mm, of a picture some 920 points of a screen wide
DAY, MONTH, GAP = 7.1, 16.8, 1.4
NUMBER, RIBBON = 3.6, 4.2


def strip(view: YearView) -> Picture:
    """The whole year, however long, in one picture."""
    sheet = _sheet(view)
    key = Box(EDGE, sheet.grid.bottom + 3, 150, foot.key_height(view, 1.0))
    told = f"The year from {dates_text(view.span)}, month by month."
    marks: list[Mark] = [*_names(sheet), *lanes.draw(view, sheet), *foot.key(view, key, 1.0)]
    return Picture(sheet.width, key.bottom + EDGE, told, told, tuple(marks))


def _sheet(view: YearView) -> PaperSheet:
    every = list(months(view.span))
    grid = Box(LEFT, TOP, 31 * DAY, MONTH * len(every))
    cells = {
        day: _cell(Box(LEFT + DAY * (day.day - 1), TOP + MONTH * n, DAY, MONTH - GAP), n)
        for n, month in enumerate(every)
        for day in month.days()
    }
    width = grid.right + EDGE
    return PaperSheet(width, grid.bottom, 1.0, view.span, False, grid, cells, {}, flows=True)


def _cell(box: Box, line: int) -> DayCell:
    top = box.y + thickest(1.0, down=False)
    return DayCell(
        box, line,
        Box(box.x, top, DAY - 1.2, NUMBER),
        Box(box.x, box.bottom - RIBBON, DAY, RIBBON),
        Box(box.x, top + NUMBER, DAY, box.bottom - RIBBON - top - NUMBER),
        False,
    )  # fmt: skip


def _names(sheet: PaperSheet) -> Iterator[Mark]:
    for month in months(sheet.span):
        box = sheet.cells[month.first].box
        name = MONTHS[month.first.month - 1].capitalize()
        yield Words(EDGE, box.y + 5, name, 3.6, PAPER_INK, bold=True)
        if month.first == sheet.span.first or month.first.month == 1:
            yield Words(EDGE, box.y + 9, f"{month.first.year}", 3.0, QUIET)
