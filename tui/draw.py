"""Draws the rows of a year on a canvas: months across, one lane under the other.

Knows signs and styles; knows no keys and no desk.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cached_property

from rich.style import Style

from seasonplan.days import Span, week_start
from seasonplan.explain.signs import HEIGHTS, SHADES, SIGNS
from seasonplan.explain.wall import months
from seasonplan.explain.words import day_text
from tui.canvas import Canvas, clean
from tui.lanes import Lane, Mark, Row, Sheet
from tui.places import HEAD_LINES, Place
from tui.scale import Scale, Zoom

FIXED = "◆"  # before the name of a block that the climber fixed
BROKEN = "!"  # before the name of a block that breaks a rule

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


def draw(drawing: Drawing, height: int) -> Canvas:
    """The whole picture."""
    brush = Brush(drawing, height)
    brush.head()
    for place in drawing.places:
        brush.row(place)
    return brush.canvas


class Brush:
    """Puts one drawing on its canvas."""

    def __init__(self, drawing: Drawing, height: int) -> None:
        self.of = drawing
        width = drawing.margin + drawing.scale.width
        self.canvas = Canvas(width, height, drawing.styles["paper"])
        self._how: dict[Lane, Callable[[Place, Row], None]] = {
            Lane.ROCK: self._rock,
            Lane.AWAY: self._away,
            Lane.PLAN: self._plan,
            Lane.HOURS: self._hours,
            Lane.GOAL: self._goal,
        }

    def head(self) -> None:
        """Months, and beneath them days, weeks or nothing; today is marked."""
        shown, styles = self.of.scale.shown, self.of.styles
        for number, month in enumerate(months(shown)):
            first, after = self._columns(month)
            if number % 2:
                for line in range(HEAD_LINES):
                    self.canvas.tint(first, after, line, styles["stripe"])
            self.canvas.put(
                first + 1, 0, _month_name(month.first, after - first - 1), styles["month"]
            )
        for day, text in self._ticks():
            self.canvas.put(self._column(day), 1, text, styles["quiet"])
        self._today()

    def _ticks(self) -> Iterator[tuple[date, str]]:
        shown, begins = self.of.scale.shown, self.of.sheet.almanac.week_begins
        if self.of.zoom is Zoom.YEAR:
            return
        each_day = self.of.zoom is Zoom.MONTH and self.of.scale.width >= 3 * shown.length
        for day in shown.days():
            if each_day or week_start(day, begins) == day:
                yield day, str(day.day)

    def _today(self) -> None:
        today = self.of.today
        if today not in self.of.scale.shown:
            return
        column = self._column(today)
        text = "▼ today" if column + 7 <= self.canvas.width else "today ▼"
        start = column if text.startswith("▼") else column - 6
        self.canvas.put(start, 1, text, self.of.styles["today"])

    def row(self, place: Place) -> None:
        """One row with its label."""
        row = self.of.sheet.rows[place.number]
        here = place.number == self.of.row
        room = self.of.margin - 3
        label = clean(row.label)
        label = label if len(label) <= room else f"{label[: room - 1]}…"
        mark = "›" if here else " "  # noqa: RUF001  (drawn)
        style = self.of.styles["here" if here else "label"]
        self.canvas.put(0, place.top, f"{mark} {label}", style)
        self._how[row.lane](place, row)

    # --- lanes --------------------------------------------------------------------------------

    def _rock(self, place: Place, row: Row) -> None:
        for mark in row.marks:
            spell = next(
                s for s in self.of.sheet.almanac.spells
                if s.entry.id == mark.key and s.span == mark.span
            )  # fmt: skip
            first, after = self._columns_of(mark) or (0, 0)
            for column in range(first, after):
                chance = max((spell.chance(day) for day in self._days(column)), default=0.0)
                shade = SHADES[min(4, 1 + int(chance * 4)) if chance > 0 else 0]
                self.canvas.put(column, place.top, shade, self.of.styles["rock"])
            self._ends(mark, place.top, first, after)
        for mark in row.marks:
            self._named(mark, place.top, style="rock-name")

    def _away(self, place: Place, row: Row) -> None:
        for mark in row.marks:
            assert mark.kind is not None
            first, after = self._columns_of(mark) or (0, 0)
            sign = SIGNS[mark.kind].drawn
            style = self.of.styles[mark.kind.value]
            self.canvas.put(first, place.top, sign * (after - first), style)
            self._ends(mark, place.top, first, after)
        for mark in row.marks:
            self._named(mark, place.top, style="rock-name")

    def _plan(self, place: Place, row: Row) -> None:
        for mark in row.marks:
            self._block(mark, place.top)
        if not row.marks:
            text = "nothing is planned yet: press r"
            self.canvas.put(self.of.margin + 1, place.top, text, self.of.styles["quiet"])
        ghost = self.of.ghost
        if ghost is not None and (columns := self._columns_of(ghost)):
            first, after = columns
            style = self.of.styles["ghost"]
            self.canvas.put(first, place.top, f"[{'═' * max(0, after - first - 2)}]", style)
            told = f"{_short(ghost.span.first)} to {_short(ghost.span.last)}"
            at = min(first, self.canvas.width - len(told))
            self.canvas.put(at, place.top + 1, told, style)

    def _block(self, mark: Mark, top: int) -> None:
        """Name on the first line, sign on the second; a thin edge where it begins."""
        columns = self._columns_of(mark)
        if columns is None:
            return
        assert mark.kind is not None
        first, after = columns
        chosen = mark == self.of.selected
        style = self.of.styles[f"{mark.kind.value}{'-chosen' if chosen else ''}"]
        sign = SIGNS[mark.kind].drawn
        begins = mark.span.first in self.of.scale.shown
        edge = "▏" if begins and not chosen else ""
        room = after - first - len(edge)
        for line, text in ((top, self._label(mark, room)), (top + 1, sign * room)):
            self.canvas.put(first, line, f"{edge}{text:<{room}}", style)
        if chosen:
            self._brackets(first, after, top + 1, style)

    def _label(self, mark: Mark, room: int) -> str:
        """The longest of name, id and kind that fits; the sign of a fixed block before it."""
        assert mark.kind is not None
        fixed = BROKEN if mark.key in self.of.broken else ""
        fixed += FIXED if mark.pinned else ""
        word = SIGNS[mark.kind].word
        names = (mark.key, word) if mark.kind.chosen else (clean(mark.name), mark.key, word)
        for text in (f" {name}" for name in names):
            if len(fixed + text) <= room:
                return fixed + text
        return fixed + (word if len(fixed + word) <= room else "")

    def _hours(self, place: Place, row: Row) -> None:
        """Bars of what is asked under a line of what is free."""
        times = self.of.sheet.times
        most = max((max(week.asked, week.free) for week in times), default=0.0) or 1.0
        steps = 8 * place.lines - 1  # the top eighth stays for the line of what is free
        by_day = {day: week for week in times for day in week.span.days()}
        for column in self._lane():
            week = by_day.get(self.of.scale.day(column - self.of.margin))
            if week is None:
                continue
            asked, free = round(week.asked / most * steps), round(week.free / most * steps)
            for level in range(place.lines):
                line = place.top + place.lines - 1 - level
                sign, style = _bar(asked, free, 8 * level)
                self.canvas.put(column, line, sign, self.of.styles[style])
        for mark in row.marks:
            if mark == self.of.selected and (columns := self._columns_of(mark)):
                for line in range(place.top, place.top + place.lines):
                    self.canvas.tint(*columns, line, self.of.styles["chosen"])

    def _goal(self, place: Place, row: Row) -> None:
        """The predicted state as heights; strong where there are good days for the goal."""
        assert row.goal is not None
        states, chances = self.of.sheet.states(row.goal), self.of.sheet.chances(row.goal)
        for column in self._lane():
            days = self._days(column)
            good = any(day in chances for day in days)
            style = self.of.styles["goal-good" if good else "goal"]
            level = max((states.get(day, 0.0) for day in days), default=0.0)
            eighths = max(1, round(level / self._best_state * 8 * place.lines))
            for line in range(place.lines):
                above = 8 * (place.lines - 1 - line)
                sign = HEIGHTS[max(0, min(8, eighths - above))]
                if not states:
                    sign = "░" if good else " "
                self.canvas.put(column, place.top + line, sign, style)
        for mark in row.marks:
            if mark == self.of.selected and (columns := self._columns_of(mark)):
                for line in range(place.lines):
                    self.canvas.tint(*columns, place.top + line, self.of.styles["chosen"])

    @cached_property
    def _best_state(self) -> float:
        """The highest state of any goal in the year: full height."""
        rows = self.of.sheet.rows
        levels = [s for row in rows if row.goal for s in self.of.sheet.states(row.goal).values()]
        return max(levels, default=0.0) or 1.0

    # --- what they share ----------------------------------------------------------------------

    def _ends(self, mark: Mark, line: int, first: int, after: int) -> None:
        """Shows a chosen mark: laid over in the one strong colour, between brackets."""
        if mark == self.of.selected and after > first:
            self.canvas.tint(first, after, line, self.of.styles["chosen"])
            self._brackets(first, after, line, self.of.styles["chosen"])

    def _brackets(self, first: int, after: int, line: int, style: Style) -> None:
        if after - first >= 3:
            self.canvas.put(first, line, "[", style)
            self.canvas.put(after - 1, line, "]", style)

    def _named(self, mark: Mark, line: int, *, style: str) -> None:
        """The name of a mark after it, or before it, where that is free."""
        columns = self._columns_of(mark)
        if columns is None:
            return
        first, after = columns
        name = clean(mark.name)
        chosen = self.of.styles["here"] if mark == self.of.selected else self.of.styles[style]
        if self.canvas.empty(after, after + len(name) + 2, line):
            self.canvas.put(after + 1, line, name, chosen)
        elif first - len(name) - 2 >= self.of.margin and self.canvas.empty(
            first - len(name) - 2, first, line
        ):
            self.canvas.put(first - len(name) - 1, line, name, chosen)

    def _lane(self) -> range:
        return range(self.of.margin, self.of.margin + self.of.scale.width)

    def _column(self, day: date) -> int:
        return self.of.margin + self.of.scale.column(day)

    def _columns(self, span: Span) -> tuple[int, int]:
        first, after = self.of.scale.columns(span) or (0, 0)
        return self.of.margin + first, self.of.margin + after

    def _columns_of(self, mark: Mark | Ghost) -> tuple[int, int] | None:
        return self._columns(mark.span) if mark.span.meet(self.of.scale.shown) else None

    def _days(self, column: int) -> list[date]:
        """The days of a column, at least the one in its middle."""
        at = column - self.of.margin
        scale = self.of.scale
        first = scale.shown.first + timedelta(days=-(-at * scale.shown.length // scale.width))
        after = scale.shown.first + timedelta(days=-(-(at + 1) * scale.shown.length // scale.width))
        return list(Span(first, after).days()) if after > first else [scale.day(at)]


def _bar(asked: int, free: int, floor: int) -> tuple[str, str]:
    """The sign of one line of a bar, of heights in eighths, and the name of its style."""
    inside = asked - floor
    if inside > 0:
        return HEIGHTS[min(8, inside)], "asked"
    over = free - floor
    if 0 <= over < 8 and free > 0:
        return ("▁" if over < 3 else "─" if over < 6 else "▔"), "free"
    return " ", "free"


def _month_name(day: date, room: int) -> str:
    """The month, with its year where there is room, or nothing."""
    _, _, name, year = day_text(day).split()
    for text in (f"{name} {year}", name):
        if len(text) <= room:
            return text
    return ""


def _short(day: date) -> str:
    _, number, name, _ = day_text(day).split()
    return f"{number} {name}"
