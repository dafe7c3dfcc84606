"""The load of each week: bars of what is planned, a line at what was asked for, blocks below."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from seasonplan.days import ONE_DAY, Span, dates_text
from seasonplan.explain.tints import PAPER_INK, RULE, TINTS, WEEK_RULE
from seasonplan.pictures import key
from seasonplan.pictures.asked import LOAD, PICTURES
from seasonplan.pictures.chart import (
    Tick,
    along,
    calendar,
    calendar_height,
    grid,
    heading,
    place,
    steps,
)
from seasonplan.pictures.fonts import OTHER_TYPE, font
from seasonplan.pictures.marks import Box, Mark, Picture, area, line
from seasonplan.pictures.motifs import letter
from seasonplan.pictures.screen import EDGE, WIDE, Screen
from seasonplan.views import WeekPart, WeekView, YearView
from seasonplan.vocabulary import Kind

TITLE = PICTURES[LOAD]
SAID = "Effort (0 to 10) x minutes. Bars: planned, in the colours of the blocks. Line: asked for."
BAR, LIGHT = 0.84, 0.42  # shares of a week that a bar is wide
RIBBON, NARROWEST_LETTER = 3.6, 2.0  # mm
OTHER = (RULE, WEEK_RULE)  # what a bar looks like that no kind may be told of


def load_picture(view: YearView, screen: Screen = WIDE) -> Picture:
    """The load planned in each week against the load asked for."""
    size, width = screen.type_mm, screen.width
    head, bottom = heading(TITLE, SAID, Box(EDGE, 0, width - 2 * EDGE, 0), size)
    top = steps(0, _highest(view))[-1]
    ticks = [Tick(value / top, f"{value:.0f}") for value in steps(0, top)]
    left = EDGE + 2 + size * OTHER_TYPE * font(bold=False).width(ticks[-1].text)
    plot = Box(left, bottom + size, width - EDGE - left, 46 if screen.is_narrow else 62)
    marks: list[Mark] = [*head, *grid(ticks, (), plot, size=size)]
    marks += calendar(view.span, plot, size=size, below=RIBBON)
    for week in view.weeks:
        marks += _bar(week, view.span, plot, top)
    marks += _ribbon(view, plot)
    marks.append(line((place((0, 0), plot), place((1, 0), plot)), WEEK_RULE, width=0.4))
    room = Box(EDGE, plot.bottom + RIBBON + calendar_height(size) + 2, width - 2 * EDGE, 0)
    told, bottom = key.flow(_signs(view), room, screen.scale)
    return Picture(width, bottom + EDGE, TITLE, _told(view), (*marks, *told))


def _highest(view: YearView) -> float:
    asked = (sum(part.asked for part in week.parts) for week in view.weeks)
    return max(*asked, *(week.load for week in view.weeks), 1.0)


def _week(week: WeekView, year: Span, plot: Box) -> tuple[float, float]:
    """Left and right end of a whole calendar week, of which the year may hold a part."""
    left, right = (
        place((along(day, year), 0), plot)[0] for day in (week.first, week.last + ONE_DAY)
    )
    return left, right


def _bar(week: WeekView, year: Span, plot: Box, top: float) -> Iterator[Mark]:
    """What blocks give to a week one on another, those first of which a load was asked."""
    left, right = _week(week, year, plot)
    wide = (LIGHT if week.light else BAR) * (right - left)
    x, done = (left + right - wide) / 2, 0.0
    for part in sorted(week.parts, key=lambda one: one.asked <= 0):
        if part.load > 0:
            fill, ink = TINTS[part.kind] if part.kind else OTHER
            low, high = (place((0, value / top), plot)[1] for value in (done, done + part.load))
            bar = area(Box(x, high, wide, low - high), fill)
            yield replace(bar, stroke=ink, width=0.2, told=_said(week, part))
            done += part.load
    asked = sum(part.asked for part in week.parts)
    if asked > 0:
        y = place((0, asked / top), plot)[1]
        yield line(((left, y), (right, y)), PAPER_INK, width=0.55)


def _said(week: WeekView, part: WeekPart) -> str:
    """Such as "8 to 14 Mar 2027: 1710 planned, 1650 asked for"; where blocks meet also which."""
    asked = f", {part.asked:.0f} asked for" if part.asked > 0 else ""
    several = sum(one.load > 0 for one in week.parts) > 1
    of = f", {part.kind.value if part.kind else 'other'}" if several else ""
    return f"{dates_text(week.span)}{of}: {part.load:.0f} planned{asked}"


def _ribbon(view: YearView, plot: Box) -> Iterator[Mark]:
    """The blocks under the weeks, with their letters where there is room."""
    for block in view.blocks:
        left, right = (
            place((along(day, view.span), 0), plot)[0] for day in (block.first, block.span.after)
        )
        yield area(Box(left, plot.bottom, right - left, RIBBON), TINTS[block.kind][0])
        if right - left >= NARROWEST_LETTER:
            wide = min(RIBBON, right - left)
            yield from letter(block.kind, Box(left, plot.bottom, wide, RIBBON))


def _signs(view: YearView) -> list[key.Sign]:
    signs = key.kinds(view)
    if any(part.load > 0 and part.kind is None for week in view.weeks for part in week.parts):
        signs.append(key.Sign(_other, "outside the blocks shown"))
    if any(part.asked > 0 for week in view.weeks for part in week.parts):
        signs.append(key.Sign(_asked, "load asked for"))
    if any(week.light and week.load > 0 for week in view.weeks):
        signs.append(key.Sign(_light, "light week: a bar half as wide"))
    return signs


def _asked(box: Box, scale: float) -> Iterator[Mark]:
    y = box.middle[1]
    yield line(((box.x, y), (box.right, y)), PAPER_INK, width=0.55)


def _other(box: Box, scale: float) -> Iterator[Mark]:
    yield replace(area(box, OTHER[0]), stroke=OTHER[1], width=0.2)


def _light(box: Box, scale: float) -> Iterator[Mark]:
    fill, ink = TINTS[Kind.STRENGTH]
    for x, share in ((1.2, BAR), (5.2, LIGHT)):
        wide = 3.2 * scale * share
        left = box.x + (x + 1.6) * scale - wide / 2
        yield replace(area(Box(left, box.y, wide, box.height), fill), stroke=ink, width=0.2)


def _told(view: YearView) -> str:
    """The picture in words: the mean of the weeks of each kind of block."""
    loads: dict[Kind, list[float]] = {}
    for week in view.weeks:
        kinds = {part.kind for part in week.parts if part.load > 0}
        if len(kinds) == 1 and not week.light and (kind := kinds.pop()) is not None:
            loads.setdefault(kind, []).append(week.load)
    means = (f"{kind} {sum(of) / len(of):.0f}" for kind, of in loads.items())
    light = sum(week.light and week.load > 0 for week in view.weeks)
    return f"Mean load of a week that is not light: {', '.join(means)}. Light weeks: {light}."
