"""A week as a grid or a list: what is pointed at and dragged in it. Posts, never decides."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, time
from typing import ClassVar

from rich.style import Style
from textual import events
from textual.binding import Binding, BindingType
from textual.message import Message
from textual.strip import Strip
from textual.widget import Widget

from seasonplan.edits.room import LAST_START
from tui.canvas import Canvas
from tui.week.draw import (
    HEAD,
    MARGIN,
    Ghost,
    Picture,
    WeekFacts,
    boxes,
    draw_grid,
)
from tui.week.hours import Hours
from tui.week.narrow import draw_list, list_lines
from tui.week.sessions import Shown

NARROW = 58  # columns below which the days stand one under the other
SNAP = 15  # minutes
PARTS = (
    "paper", "quiet", "day", "today", "free", "busy", "easy", "hard", "very-hard",
    "chosen", "done", "out", "past", "ghost",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Drag:
    """A session held by the mouse: on which line, and how far below its start."""

    session: Shown
    line: int
    grip_minutes: int


class WeekSheet(Widget, can_focus=True):
    """Draws a week; what is chosen is the page's business."""

    COMPONENT_CLASSES: ClassVar[set[str]] = {f"week--{part}" for part in PARTS}
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "let_go", "Let go"),
    ]

    class Pointed(Message):
        """A session or a day was clicked."""

        def __init__(self, day: date, session: str | None) -> None:
            super().__init__()
            self.day, self.session = day, session

    class Dragged(Message):
        """A session was dragged to another day or hour."""

        def __init__(self, session: Shown, day: date, start: time) -> None:
            super().__init__()
            self.session, self.day, self.start = session, day, start

    def __init__(self) -> None:
        super().__init__(id="week-sheet")
        self.facts: WeekFacts | None = None
        self.today = self.day = date.min
        self.chosen: str | None = None
        self.asking = False
        self._drag: Drag | None = None
        self._ghost: Ghost | None = None
        self._canvas: Canvas | None = None
        self._styles: dict[str, Style] | None = None

    # --- what is shown ------------------------------------------------------------------------

    def show(
        self, facts: WeekFacts, *, today: date, day: date, chosen: str | None, asking: bool
    ) -> None:
        """Show a week. What is dragged stays in hand where it still is there."""
        self.facts, self.today, self.day, self.chosen = facts, today, day, chosen
        self.asking = asking
        if self._drag is not None and self._drag.session not in facts.sessions:
            self._drop()
        self.redraw()

    def redraw(self) -> None:
        self._canvas = None
        self.refresh()

    def on_resize(self) -> None:
        self._drop()

    def notify_style_update(self) -> None:
        super().notify_style_update()
        self._canvas = self._styles = None

    def render_line(self, y: int) -> Strip:
        if self.facts is None:
            return Strip.blank(self.size.width, self.rich_style)
        if self._canvas is None:
            hours, picture = self.hours, self._picture()
            self._canvas = draw_grid(picture, hours) if hours else draw_list(picture)
        if y >= self._canvas.height:
            return Strip.blank(self.size.width, self.rich_style)
        return self._canvas.strip(y).adjust_cell_length(self.size.width, self.rich_style)

    @property
    def hours(self) -> Hours | None:
        """The hours on the lines there are; None where the week is a list."""
        if self.facts is None or self.size.width < NARROW:
            return None
        return self.facts.laid_out(self.size.height - HEAD)

    def _picture(self) -> Picture:
        assert self.facts is not None
        if self._styles is None:
            self._styles = {
                part: self.get_component_rich_style(f"week--{part}", partial=part != "paper")
                for part in PARTS
            }
        return Picture(
            facts=self.facts, width=self.size.width, height=self.size.height,
            styles=self._styles, today=self.today, day=self.day, chosen=self.chosen,
            asking=self.asking, ghost=self._ghost,
        )  # fmt: skip

    # --- mouse --------------------------------------------------------------------------------

    def on_mouse_down(self, event: events.MouseDown) -> None:
        """Hold the session under the mouse; it is chosen once the mouse lets go of it.

        Chosen now, the slip below would change under the hand.
        """
        if self.facts is None or event.button != 1:
            return
        day, under = self._at(event.x, event.y)
        if day is None:
            return
        at = self._minute(event.y)
        if under is None or at is None:
            self.post_message(self.Pointed(day, under.session.id if under else None))
            return
        self._drag = Drag(under, event.y, at - under.minute)
        self.capture_mouse()
        self.refresh_bindings()

    def on_mouse_move(self, event: events.MouseMove) -> None:
        if self._drag is None:
            return
        ghost = self._place(self._drag, event.x, event.y)
        if ghost != self._ghost:
            self._ghost = ghost
            self.redraw()

    def on_mouse_up(self, event: events.MouseUp) -> None:
        if self._drag is None:
            return
        one, ghost = self._drag.session, self._place(self._drag, event.x, event.y)
        self._drop()
        if ghost is not None:
            start = time(ghost.minute // 60, ghost.minute % 60)
            self.post_message(self.Dragged(one, ghost.day, start))
        elif (one.session.day, one) == self._at(event.x, event.y):
            self.post_message(self.Pointed(one.session.day, one.session.id))

    def action_let_go(self) -> None:
        """Leave what is dragged where it was."""
        self._drop()

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Escape is ours only while something is dragged."""
        del parameters
        return action != "let_go" or self._drag is not None

    def _drop(self) -> None:
        """Nothing is held any more."""
        if self._drag is not None:
            self._drag = self._ghost = None
            self.release_mouse()
            self.refresh_bindings()
        self.redraw()

    def _place(self, drag: Drag, x: int, y: int) -> Ghost | None:
        """Where a dragged session would begin; None where it would stay or lies outside."""
        day, minute = self._day(x), self._minute(y)
        inside = self.facts.inside if self.facts else None
        if day is None or minute is None or inside is None or day not in inside:
            return None
        begins = drag.session.minute
        if y != drag.line:
            begins = SNAP * round((minute - drag.grip_minutes) / SNAP)
            begins = max(0, min(begins, LAST_START))
        if (day, begins) == (drag.session.session.day, drag.session.minute):
            return None
        return Ghost(drag.session, day, begins)

    # --- what lies where ----------------------------------------------------------------------

    def _at(self, x: int, y: int) -> tuple[date | None, Shown | None]:
        """The day and the session under a point."""
        assert self.facts is not None
        hours = self.hours
        if hours is None:
            lines = list_lines(self._picture())
            return (lines[y].day, lines[y].session) if 0 <= y < len(lines) else (None, None)
        day, places = self._day(x), boxes(self.facts, hours)
        for one in self.facts.sessions:
            top, bottom = places[one.session.id]
            if one.session.day == day and top <= y < bottom:
                return day, one
        return day, None

    def _day(self, x: int) -> date | None:
        assert self.facts is not None
        number = (x - MARGIN) // self._picture().day_width
        days = list(self.facts.week.days())
        return days[number] if 0 <= number < len(days) else None

    def _minute(self, y: int) -> int | None:
        hours = self.hours
        return hours.minute(y - HEAD) if hours else None
