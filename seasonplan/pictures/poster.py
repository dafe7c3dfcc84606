"""The year to hang on a wall: a sheet of days to write on, read at two metres.

Says where everything stands; `lanes` draws the days, `foot` the key and the goals.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import date

from seasonplan.days import MONTHS, WEEKDAYS, Span, count_text, month_text
from seasonplan.explain.tints import PAPER_INK, QUIET, grey_of
from seasonplan.explain.wall import months
from seasonplan.pictures import foot, lanes
from seasonplan.pictures.cells import MARGIN, PaperSheet, month_sheet, parts, scale_of, week_sheet
from seasonplan.pictures.fonts import fitting, font
from seasonplan.pictures.marks import Align, Box, Mark, Picture, Shape, Words, line
from seasonplan.pictures.paper import PosterWish, Rows
from seasonplan.views import YearView

HEAD = 16.0  # mm on A3


def poster(view: YearView, wish: PosterWish) -> tuple[Picture, ...]:
    """The sheets of a year: one, or two of a long one."""
    spans = parts(view.span, wish.rows, view.week_begins)
    return tuple(_picture(view, wish, span, n, len(spans)) for n, span in enumerate(spans, 1))


def missing_letters(pictures: tuple[Picture, ...]) -> dict[str, list[str]]:
    """Texts with letters that the type has not, and these letters."""
    words = (one for picture in pictures for one in picture.marks if isinstance(one, Words))
    found = {one.text: font(bold=one.bold).missing(one.text) for one in words}
    return {text: letters for text, letters in found.items() if letters}


def sheet_of(view: YearView, wish: PosterWish, span: Span) -> PaperSheet:
    """Where each day of a sheet lies."""
    scale = scale_of(wish.size)
    bottom = foot.height(_on_sheet(view, span), wish, scale) + 3 * scale
    if wish.rows is Rows.MONTHS:
        return month_sheet(span, wish.size, head=HEAD * scale, foot=bottom)
    return week_sheet(span, wish.size, week_begins=view.week_begins, head=HEAD * scale, foot=bottom)


def _picture(view: YearView, wish: PosterWish, span: Span, number: int, of: int) -> Picture:
    sheet = sheet_of(view, wish, span)
    marks: list[Mark] = [*_head(view, sheet, number, of), *_names(view, sheet)]
    marks += lanes.draw(view, sheet)
    part = _on_sheet(view, span)
    high = foot.height(part, wish, sheet.scale)
    room = Box(MARGIN, sheet.height - MARGIN - high, sheet.width - 2 * MARGIN, high)
    marks += foot.draw(part, room, sheet.scale)
    if wish.grey:
        marks = [_in_grey(mark) for mark in marks]
    return Picture(sheet.width, sheet.height, title(view), _told(view), tuple(marks))


def _on_sheet(view: YearView, span: Span) -> YearView:
    """The year with what is away or tested on these days alone; goals keep their numbers."""
    if span == view.span:
        return view
    return view.with_fields(
        first=span.first, last=span.last,
        away=tuple(one for one in view.away if one.span.meet(span)),
        tests=tuple(one for one in view.tests if one.day in span),
        blocks=tuple(one for one in view.blocks if one.span.meet(span)),
    )  # fmt: skip


def title(view: YearView) -> str:
    return f"{view.climber}’s climbing year" if view.climber else "The climbing year"  # noqa: RUF001


def _told(view: YearView) -> str:
    return f"{title(view)}, {_long(view.first)} to {_long(view.last)}, a box for each day."


def _long(day: date) -> str:
    return f"{day.day} {MONTHS[day.month - 1].capitalize()} {day.year}"


def _head(view: YearView, sheet: PaperSheet, number: int, of: int) -> Iterator[Mark]:
    """Whose year, which days, and what it holds on rock."""
    scale, right = sheet.scale, sheet.width - MARGIN
    base = MARGIN + 9.5 * scale
    dates = f"{_long(view.first)} to {_long(view.last)}"
    dates += f" · sheet {number} of {of}" if of > 1 else ""
    yield Words(right, base - 4.6 * scale, dates, 4.2 * scale, PAPER_INK, align=Align.END)
    days = {day for goal in view.goals for at in goal.stretches for day in at.planned}
    if days:
        good = sum(map(view.chance, days))
        told = f"{count_text(len(days), 'day')} on rock planned, about {good:.0f} of them good"
        yield Words(right, base + 0.8 * scale, told, 3.2 * scale, QUIET, align=Align.END)
    room = 0.62 * (right - MARGIN)
    size = max(6 * scale, min(11 * scale, room / font(bold=True).width(title(view))))
    name = fitting(title(view), room, size, bold=True)
    yield Words(MARGIN, base, name, size, PAPER_INK, bold=True)


def _names(view: YearView, sheet: PaperSheet) -> Iterator[Mark]:
    """Months over their columns; over week rows the weekdays, beside them the months."""
    scale, top = sheet.scale, sheet.grid.y
    every = list(months(sheet.span))
    if sheet.down:
        for month in every:
            yield from _month_over(month, sheet, with_year=month == every[0])
        return
    wide = next(iter(sheet.cells.values())).box.width
    for n in range(7):
        name = WEEKDAYS[(view.week_begins + n) % 7].capitalize()
        x = sheet.grid.x + (n + 0.5) * wide
        yield Words(x, top - 1.8 * scale, name, 3.2 * scale, QUIET, align=Align.MIDDLE)
    note = next(iter(sheet.notes.values()))
    yield Words(note.x + 1.5 * scale, top - 1.8 * scale, "notes", 3.2 * scale, QUIET)
    yield from _months_beside(every, sheet)


def _month_over(month: Span, sheet: PaperSheet, *, with_year: bool) -> Iterator[Mark]:
    """The month over its column, in January and first with its year: shortened where both are too
    long."""
    scale, box = sheet.scale, sheet.cells[month.first].box
    left, base, size = box.x + 0.8 * scale, sheet.grid.y - 2.2 * scale, 4.4 * scale
    name, year, small = (
        MONTHS[month.first.month - 1].capitalize(),
        f"{month.first.year}",
        3.2 * scale,
    )
    if with_year or month.first.month == 1:
        wide = size * (font(bold=True).width(name) + 0.3)
        if left + wide + small * font(bold=False).width(year) > box.right:
            name = month_text(month.first)
            wide = size * (font(bold=True).width(name) + 0.3)
        yield Words(left + wide, base, year, small, QUIET)
    yield Words(left, base, name, size, PAPER_INK, bold=True)


def _months_beside(every: Sequence[Span], sheet: PaperSheet) -> Iterator[Mark]:
    """Each month left of the week that holds its first day, and a step where it begins.

    Of two that begin in the first week the later stands a week lower, the first without its year.
    """
    lines = [sheet.cells[month.first].line for month in every]
    for n, month in enumerate(every):
        down = int(n == 1 and lines[0] == lines[1])
        yield from _month_beside(month, sheet, down, with_year=n > 0 or lines[:1] != lines[1:2])
        if n:
            yield _step(sheet.cells[month.first].box, sheet)


def _month_beside(month: Span, sheet: PaperSheet, down: int, *, with_year: bool) -> Iterator[Mark]:
    """The name of a month, so many weeks `down`."""
    scale, box = sheet.scale, sheet.cells[month.first].box
    base = box.y + (0.5 + down) * box.height + 0.4 * scale
    yield Words(MARGIN, base, month_text(month.first), 4.4 * scale, PAPER_INK, bold=True)
    if with_year:
        yield Words(MARGIN, base + 3 * scale, f"{month.first.year}", 2.5 * scale, QUIET)


def _step(box: Box, sheet: PaperSheet) -> Mark:
    """The line around the days of the month before."""
    right = sheet.grid.x + 7 * box.width
    points = [(box.x, box.bottom), (box.x, box.y), (right, box.y)]
    if box.x > sheet.grid.x + 0.01:
        points = [(sheet.grid.x, box.bottom), *points]
    return line(points, QUIET, width=0.5 * sheet.scale)


def _in_grey(mark: Mark) -> Mark:
    if isinstance(mark, Shape):
        fill, stroke = (grey_of(one) if one else None for one in (mark.fill, mark.stroke))
        return replace(mark, fill=fill, stroke=stroke)
    return replace(mark, colour=grey_of(mark.colour))
