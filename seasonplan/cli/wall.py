"""The year as on a kitchen wall: a line for each month, a column for each day.

Owns the drawing of the strip, the lanes under it and the legend. Knows no plan file and no
solver.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date
from functools import cached_property
from itertools import groupby

from seasonplan.cli.screen import Screen
from seasonplan.days import Span
from seasonplan.explain.signs import HEIGHTS, SHADES, SIGNS, TYPED_HEIGHTS, TYPED_SHADES
from seasonplan.explain.wall import months
from seasonplan.views import AwayView, BlockView, YearView
from seasonplan.vocabulary import Kind

MARGIN = 6
MARKED_DAYS = (1, 5, 10, 15, 20, 25, 30)
MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


def draw_wall(screen: Screen, view: YearView, *, today: date | None, load: bool) -> None:
    """Draw every month of the year with its blocks, rock and time away; `load` adds its lane."""
    wall = Wall(screen, view, today=today)
    number = 0
    for month in months(view.span):
        if month.first.year != number:
            if not (load and number):
                screen.draw()
            number = month.first.year
            screen.draw(wall.header(number))
        for line in wall.lines(month, load=load):
            screen.draw(line)
        if load:
            screen.draw()
    if not load:
        screen.draw()
    for line in wall.legend(load=load):
        screen.draw(line)


@dataclass(frozen=True)
class Wall:
    """What one drawing draws on."""

    screen: Screen
    view: YearView
    today: date | None

    @cached_property
    def cell(self) -> int:
        """Columns for one day."""
        return 2 if self.screen.width >= MARGIN + 62 else 1

    @property
    def away(self) -> tuple[AwayView, ...]:
        """Trips and absences too short to be blocks of their own, or that leave some time."""
        return tuple(entry for entry in self.view.away if not entry.as_block)

    def header(self, number: int) -> str:
        """The calendar year and the numbers of some days."""
        line = f"{number}".ljust(MARGIN)
        for day in MARKED_DAYS:
            line = line.ljust(MARGIN + (day - 1) * self.cell) + str(day)
        return self.screen.paint(line, bold=True)

    def lines(self, month: Span, *, load: bool) -> Iterator[str]:
        """The strip of a month and those lanes that have something to show."""
        name = self.screen.paint(MONTHS[month.first.month - 1].ljust(MARGIN), bold=True)
        yield name + " " * self._column(month.first) + self._strip(month)
        if load and any(self.loads.values()):
            yield self._lane("load", month, self._load_mark)
        if any(self.view.chance(day) for day in month.days()):
            yield self._lane("rock", month, self._rock_mark)
        yield from self._away_lines(month)
        if self.today is not None and self.today in month:
            yield " " * (MARGIN + self._column(self.today)) + self._arrow() + " today"

    def _column(self, day: date) -> int:
        return (day.day - 1) * self.cell

    def _arrow(self) -> str:
        return "↑" if self.screen.unicode else "^"

    # --- the strip ------------------------------------------------------------------------

    def _strip(self, month: Span) -> str:
        pieces = []
        for block, days in groupby(month.days(), key=self.view.block_on):
            inside = list(days)
            span = Span.through(inside[0], inside[-1])
            pieces.append(self._piece(block, span))
        return "".join(pieces)

    def _piece(self, block: BlockView | None, span: Span) -> str:
        """Such as "[=== strength-1 ===": brackets where the block begins and ends."""
        width = span.length * self.cell
        if block is None:
            return " " * width
        sign = SIGNS[block.kind]
        mark = sign.mark(unicode=self.screen.unicode)
        begins = "[" if block.span.first == span.first else mark
        ends = "]" if block.span.last == span.last else mark
        room = width - 2
        if room < 1:
            return self.screen.paint((begins + ends)[:width], sign.colour)
        label = self._label(block, room - 2)
        text = begins + (f"{mark}{label}" if label else "").ljust(room, mark) + ends
        return self.screen.paint(text, sign.colour, bold=block.kind is Kind.PERFORMANCE)

    def _label(self, block: BlockView, room: int) -> str:
        """The longest of name, id and word that fits with a space on both sides."""
        names = [] if block.kind.chosen or not block.entry else [self.screen.clean(block.name)]
        for text in (*names, block.id, SIGNS[block.kind].word):
            if len(text) + 2 <= room:
                return f" {text} "
        return ""

    # --- lanes ----------------------------------------------------------------------------

    def _lane(self, name: str, month: Span, mark: Callable[[date], str]) -> str:
        text = "".join(mark(day) * self.cell for day in month.days())
        return name.ljust(MARGIN) + " " * self._column(month.first) + text

    @cached_property
    def loads(self) -> dict[date, float]:
        """Each trained day's week as a share of the year's fullest week."""
        return {day: week.share for week in self.view.weeks for day in week.trained}

    def _load_mark(self, day: date) -> str:
        share = self.loads.get(day, 0.0)
        heights = HEIGHTS if self.screen.unicode else TYPED_HEIGHTS
        step = round(share * (len(heights) - 1))
        return heights[max(step, 1) if share > 0 else 0]

    def _rock_mark(self, day: date) -> str:
        chance = self.view.chance(day)
        shades = SHADES if self.screen.unicode else TYPED_SHADES
        return shades[min(4, 1 + int(chance * 4)) if chance > 0 else 0]

    def _away_lines(self, month: Span) -> Iterator[str]:
        for entry in self.away:
            inside = entry.span.meet(month)
            if inside is None:
                continue
            sign = SIGNS[entry.kind]
            marks = sign.mark(unicode=self.screen.unicode) * (inside.length * self.cell)
            line = " " * (MARGIN + self._column(inside.first)) + self.screen.paint(
                marks, sign.colour
            )
            yield self._named(line, entry.name, end=MARGIN + self._column(inside.last) + self.cell)

    def _named(self, line: str, name: str, *, end: int) -> str:
        """The name after the marks, or before them where there is no room."""
        name = self.screen.clean(name)
        if end + 1 + len(name) <= self.screen.width:
            return f"{line} {name}"
        blank = len(line) - len(line.lstrip(" "))
        if blank >= len(name) + 1:
            return " " * (blank - len(name) - 1) + f"{name} " + line.lstrip(" ")
        return line

    # --- legend ---------------------------------------------------------------------------

    def legend(self, *, load: bool) -> Iterator[str]:
        """Signs and words of what is drawn, broken at the edge of the screen."""
        used = {one.kind for one in self.view.blocks} | {one.kind for one in self.away}
        parts = [
            (f"{sign.mark(unicode=self.screen.unicode) * 2} {sign.word}", sign.colour)
            for kind, sign in SIGNS.items()
            if kind in used
        ]
        shades = SHADES if self.screen.unicode else TYPED_SHADES
        if self.view.rock:
            bounds = zip(shades[1:], ("<25", "<50", "<75", "75-100"), strict=True)
            parts.append(("rock: chance of a good day in %", None))
            parts += [(f"{shade} {bound}", None) for shade, bound in bounds]
        if load and any(self.loads.values()):
            parts.append(("load: against the fullest week", None))
        line, length = "", 0
        for text, colour in parts:
            if line and length + 3 + len(text) > self.screen.width:
                yield line
                line, length = "", 0
            line += ("   " if line else "") + self.screen.paint(text, colour)
            length += (3 if length else 0) + len(text)
        if line:
            yield line
