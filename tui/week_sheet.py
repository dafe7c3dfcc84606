"""A week as a grid: days across, hours down, sessions and busy times in it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from textwrap import wrap
from typing import ClassVar

from rich.style import Style
from textual import events
from textual.message import Message
from textual.strip import Strip
from textual.widget import Widget

from seasonplan.days import Span
from seasonplan.explain.words import day_text
from tui.canvas import Canvas
from tui.sessions import SIGN, Shown, Stand

MARGIN, HEAD = 6, 2
NARROW = 58  # columns below which the days stand one under the other
PARTS = (
    "paper", "quiet", "day", "today", "free", "busy", "session", "chosen", "done", "out", "stripe"
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class WeekFacts:
    """What one week shows. Times are minutes after midnight, where the climber lives."""

    week: Span
    sessions: Sequence[Shown]
    titles: Mapping[str, str]
    free: Mapping[date, Sequence[tuple[int, int]]]
    busy: Mapping[date, Sequence[tuple[int, int]]]
    notes: Mapping[date, str]

    @property
    def hours(self) -> tuple[int, int]:
        """First and last hour that have something, at least eight of them."""
        edges = [edge for times in (self.free, self.busy) for day in times.values() for edge in day]
        edges += [(one.minute, one.minute + one.session.minutes) for one in self.sessions]
        first = min((start for start, _ in edges), default=16 * 60) // 60
        last = -(-max((end for _, end in edges), default=22 * 60) // 60)
        first = min(first, 23)
        return max(0, min(first, last - 8)), min(24, max(last, first + 1))


class WeekSheet(Widget, can_focus=True):
    """Draws a week; what is chosen is the page's business."""

    COMPONENT_CLASSES: ClassVar[set[str]] = {f"week--{part}" for part in PARTS}

    class Pointed(Message):
        """A session or a day was clicked."""

        def __init__(self, day: date, session: str | None) -> None:
            super().__init__()
            self.day, self.session = day, session

    def __init__(self) -> None:
        super().__init__(id="week-sheet")
        self.facts: WeekFacts | None = None
        self.today: date | None = None
        self.day: date | None = None
        self.chosen: str | None = None
        self._canvas: Canvas | None = None

    def show(self, facts: WeekFacts, *, today: date, day: date, chosen: str | None) -> None:
        self.facts, self.today, self.day, self.chosen = facts, today, day, chosen
        self._canvas = None
        self.refresh()

    def on_resize(self) -> None:
        self._canvas = None

    def notify_style_update(self) -> None:
        super().notify_style_update()
        self._canvas = None

    def render_line(self, y: int) -> Strip:
        if self.facts is None:
            return Strip.blank(self.size.width, self.rich_style)
        if self._canvas is None:
            narrow = self.size.width < NARROW
            self._canvas = (self._list if narrow else self._draw)(self.facts)
        if y >= self._canvas.height:
            return Strip.blank(self.size.width, self.rich_style)
        return self._canvas.strip(y).adjust_cell_length(self.size.width, self.rich_style)

    @property
    def lines_an_hour(self) -> int:
        """Two lines for an hour where there is room, else one."""
        assert self.facts is not None
        first, last = self.facts.hours
        return 2 if (last - first) * 2 + HEAD <= self.size.height else 1

    @property
    def day_width(self) -> int:
        return max(4, (self.size.width - MARGIN) // 7)

    # --- drawing ------------------------------------------------------------------------------

    def _draw(self, facts: WeekFacts) -> Canvas:
        styles = self._styles()
        canvas = Canvas(self.size.width, self.size.height, styles["paper"])
        first, last = facts.hours
        for hour in range(first, last):
            canvas.put(0, self._line(hour * 60), f"{hour:>2}:00", styles["quiet"])
        for number, day in enumerate(facts.week.days()):
            self._day(canvas, styles, number, day)
        for one in facts.sessions:
            self._session(canvas, styles, one)
        return canvas

    def _styles(self) -> dict[str, Style]:
        return {
            part: self.get_component_rich_style(f"week--{part}", partial=part != "paper")
            for part in PARTS
        }

    def _list(self, facts: WeekFacts) -> Canvas:
        """The sessions one under the other, each day named once; the chosen one stays in view."""
        styles = self._styles()
        lines: list[tuple[str, str, str]] = []
        chosen = 0
        for day in facts.week.days():
            weekday, number, *_ = day_text(day).split()
            head = f"{'▼' if day == self.today else ' '}{weekday} {number:>2} "
            mine = [one for one in facts.sessions if one.session.day == day]
            if day == self.day:
                chosen = len(lines)
            if not mine:
                lines.append((head, f" {facts.notes.get(day, '')}", "quiet"))
            for place, one in enumerate(mine):
                here = one.session.id == self.chosen
                chosen = len(lines) if here else chosen
                lead = "›" if here else " "  # noqa: RUF001  (drawn)
                text = f"{lead}{one.session.start:%H:%M} {SIGN[one.stand]}"
                text += facts.titles[one.session.id]
                lines.append((head if place == 0 else "", text, "chosen" if here else "paper"))
        canvas = Canvas(self.size.width, self.size.height, styles["paper"])
        gone = max(0, chosen - self.size.height + 2)
        for line, (head, text, style) in enumerate(lines[gone:]):
            canvas.put(0, line, head, styles["today" if head.startswith("▼") else "day"])
            canvas.put(7, line, text[: self.size.width - 7], styles[style])
        return canvas

    def _day(self, canvas: Canvas, styles: Mapping[str, Style], number: int, day: date) -> None:
        assert self.facts is not None
        left, width = MARGIN + number * self.day_width, self.day_width
        weekday, day_number, month, _ = day_text(day).split()
        now = day == self.today
        name = f"{'▼' if now else ' '}{weekday} {day_number}"
        name += f" {month}" if len(name) + 4 < width else ""
        style = styles["today" if now or day == self.day else "day"]
        canvas.put(left, 0, f"{name:<{width - 1}}", style)
        if day == self.day:
            canvas.put(left + 1, 1, "▔" * (width - 2), styles["today"])
        note = self.facts.notes.get(day, "")
        if day != self.day:
            canvas.put(left + 1, 1, note[: width - 2], styles["quiet"])
        for times, sign, part in (
            (self.facts.free, "·", "free"), (self.facts.busy, "╱", "busy"),  # noqa: RUF001  (drawn)
        ):  # fmt: skip
            for start, end in times.get(day, ()):
                for line in range(self._line(start), max(self._line(end), self._line(start) + 1)):
                    text = sign * (width - 1) if part == "busy" else f"{sign:<{width - 1}}"
                    canvas.put(left, line, text, styles[part])

    def _session(self, canvas: Canvas, styles: Mapping[str, Style], one: Shown) -> None:
        assert self.facts is not None
        left, width = self._left(one.session.day), self.day_width - 1
        top, bottom = self._lines(one)
        chosen = one.session.id == self.chosen
        part = {Stand.DONE: "done", Stand.MISSED: "out", Stand.OUT: "out"}.get(one.stand, "session")
        style = styles["chosen" if chosen else part]
        lead = "›" if chosen else "▏"  # noqa: RUF001  (drawn)
        sign = SIGN[one.stand].strip()
        title = f"{sign}{' ' if sign else ''}{self.facts.titles[one.session.id]}"
        lines = wrap(title, width - 1, break_long_words=False)[: bottom - top] or [""]
        for number in range(bottom - top):
            text = lines[number] if number < len(lines) else ""
            canvas.put(left, top + number, f"{lead}{text[: width - 1]:<{width - 1}}", style)

    def _left(self, day: date) -> int:
        assert self.facts is not None
        return MARGIN + (day - self.facts.week.first).days * self.day_width

    def _lines(self, one: Shown) -> tuple[int, int]:
        """First line and the one after the last."""
        top = self._line(one.minute)
        return top, max(top + 1, self._line(one.minute + one.session.minutes))

    def _line(self, minute: int) -> int:
        assert self.facts is not None
        return HEAD + round((minute / 60 - self.facts.hours[0]) * self.lines_an_hour)

    def on_click(self, event: events.Click) -> None:
        if self.facts is None or event.x < MARGIN or self.size.width < NARROW:
            return
        number = (event.x - MARGIN) // self.day_width
        days = list(self.facts.week.days())
        if number >= len(days):
            return
        day = days[number]
        under = None
        for one in self.facts.sessions:
            top, bottom = self._lines(one)
            if one.session.day == day and top <= event.y < bottom:
                under = one.session.id
        self.post_message(self.Pointed(day, under))
