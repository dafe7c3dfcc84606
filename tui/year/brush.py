"""The brush of the sheet: one drawing, its canvas, and what every lane draws with.

Knows signs' places and styles; knows no lane, no keys and no desk.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta

from rich.cells import cell_len
from rich.style import Style

from seasonplan.days import Span
from tui.canvas import Canvas, clean
from tui.year.lanes import Mark, Row, Sheet
from tui.year.places import Place
from tui.year.scale import Scale, Zoom
from tui.year.strip import Strip

Styles = Mapping[str, Style]


@dataclass(frozen=True, slots=True)
class Ghost:
    """A mark on the days to which it is being dragged."""

    mark: Mark
    span: Span


@dataclass(frozen=True)
class Drawing:
    """All that one picture of the sheet depends on."""

    sheet: Sheet
    scale: Scale
    zoom: Zoom
    margin: int
    places: tuple[Place, ...]
    styles: Styles
    today: date
    row: int
    selected: Mark | None
    ghost: Ghost | None = None
    broken: frozenset[str] = frozenset()
    strip: Strip | None = None
    planning: bool = False
    changed: frozenset[str] = frozenset()  # ids of blocks that differ in another plan


class Brush:
    """Puts one drawing on its canvas."""

    def __init__(self, drawing: Drawing, height: int) -> None:
        self.of = drawing
        width = drawing.margin + drawing.scale.width
        self.canvas = Canvas(width, height, drawing.styles["paper"])
        self._days: dict[int, list[date]] = {}  # of columns: asked for by each lane

    def ends(self, mark: Mark, line: int, first: int, after: int) -> None:
        """Shows a chosen mark: laid over in the one strong colour, between brackets."""
        if mark == self.of.selected and after > first:
            self.canvas.tint(first, after, line, self.of.styles["chosen"])
            self.brackets(first, after, line, self.of.styles["chosen"])

    def chosen(self, place: Place, row: Row) -> None:
        """Shows the chosen mark of a tall lane on all its lines."""
        for mark in row.marks:
            if mark == self.of.selected and (columns := self.columns_of(mark)):
                for line in range(place.top, place.top + place.lines):
                    self.canvas.tint(*columns, line, self.of.styles["chosen"])

    def brackets(self, first: int, after: int, line: int, style: Style) -> None:
        if after - first >= 3:
            self.canvas.put(first, line, "[", style)
            self.canvas.put(after - 1, line, "]", style)

    def named(self, mark: Mark, line: int, *, style: str, always: bool = False) -> None:
        """The name of a mark after it, or before it, where that is free.

        `always`: else with fewer of its words, and last of all over the mark itself.
        """
        columns = self.columns_of(mark)
        if columns is None:
            return
        ink = self.of.styles["here"] if mark == self.of.selected else self.of.styles[style]
        names = shorter(clean(mark.name)) if always else [clean(mark.name)]
        for name in names:
            if self._beside(name, line, columns, ink):
                return
        if always:
            self.canvas.put(columns[0], line, names[-2:][0], ink)

    def _beside(self, name: str, line: int, columns: tuple[int, int], ink: Style) -> bool:
        """Writes a name after or before some columns; False where neither is free."""
        first, after = columns
        if self.canvas.empty(after, after + cell_len(name) + 2, line):
            self.canvas.put(after + 1, line, name, ink)
            return True
        if first - cell_len(name) - 2 >= self.of.margin and self.canvas.empty(
            first - cell_len(name) - 2, first, line
        ):
            self.canvas.put(first - cell_len(name) - 1, line, name, ink)
            return True
        return False

    def lane(self) -> range:
        return range(self.of.margin, self.of.margin + self.of.scale.width)

    def column(self, day: date) -> int:
        return self.of.margin + self.of.scale.column(day)

    def columns(self, span: Span) -> tuple[int, int]:
        first, after = self.of.scale.columns(span) or (0, 0)
        return self.of.margin + first, self.of.margin + after

    def columns_of(self, mark: Mark | Ghost) -> tuple[int, int] | None:
        return self.columns(mark.span) if mark.span.meet(self.of.scale.shown) else None

    def days(self, column: int) -> list[date]:
        """The days of a column, at least the one in its middle."""
        if column not in self._days:
            self._days[column] = self._days_of(column)
        return self._days[column]

    def _days_of(self, column: int) -> list[date]:
        at = column - self.of.margin
        scale = self.of.scale
        first = scale.shown.first + timedelta(days=-(-at * scale.shown.length // scale.width))
        after = scale.shown.first + timedelta(days=-(-(at + 1) * scale.shown.length // scale.width))
        return list(Span(first, after).days()) if after > first else [scale.day(at)]


def shorter(name: str) -> list[str]:
    """A name, and what is left of it without its last words, down to the first. A sign says that
    there were more; the first word may stand without it, where there is no room for a sign."""
    words = name.split()
    fewer = [" ".join(words[:count]).rstrip(",:;") for count in range(len(words) - 1, 0, -1)]
    return [name, *(f"{one}…" for one in fewer), *fewer[-1:]]
