"""The year as one sheet of paper: what is pointed at, zoomed and dragged. Posts, never decides."""

from __future__ import annotations

from datetime import date, timedelta
from typing import ClassVar

from rich.style import Style
from textual import events
from textual.binding import Binding, BindingType
from textual.geometry import Size
from textual.message import Message
from textual.reactive import reactive
from textual.strip import Strip

from seasonplan.days import Span
from seasonplan.vocabulary import Kind
from tui.canvas import Canvas
from tui.year.carrying import Carrying
from tui.year.draw import Drawing, draw
from tui.year.draw_form import CURVE_LINES
from tui.year.grip import covers, grip_at
from tui.year.holding import Holding
from tui.year.lanes import Lane, Mark, Sheet, nearest
from tui.year.places import NARROW_MARGIN, WIDE_MARGIN, Place, lines_wanted, places
from tui.year.scale import Scale, Zoom, kept, scale_for

WIDE = 100
PARTS = (
    "paper", "stripe", "month", "quiet", "today", "label", "here", "rock", "rock-name", "chosen",
    "ghost", "asked", "free", "goal", "goal-good", "rule", "chance", "spread", "wrong",
)  # fmt: skip
KINDS = tuple(f"{kind.value}{end}" for kind in Kind for end in ("", "-chosen"))


class YearSheet(Carrying, can_focus=True):
    """Months across, lanes down."""

    COMPONENT_CLASSES: ClassVar[set[str]] = {f"sheet--{part}" for part in (*PARTS, *KINDS)}
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("left", "step(-1)", "The one before on this lane", show=False),
        Binding("right", "step(1)", "The one after on this lane", show=False),
        Binding("up", "lane(-1)", "The lane above", show=False),
        Binding("down", "lane(1)", "The lane below", show=False),
        Binding("home", "far(-1)", "The first on this lane", show=False),
        Binding("end", "far(1)", "The last on this lane", show=False),
        Binding("pageup", "leap(-1)", "A screen earlier", show=False),
        Binding("pagedown", "leap(1)", "A screen later", show=False),
        Binding("plus,equals_sign", "zoom(1)", "Nearer: quarter, then month", show=False),
        Binding("minus", "zoom(-1)", "Farther: quarter, then year", show=False),
        Binding("z", "zoom(0)", "Zoom"),
        Binding("t", "today", "Today"),
    ]

    zoom: reactive[Zoom] = reactive(Zoom.YEAR, init=False)

    def __init__(
        self,
        *,
        today: date,
        id: str | None = None,  # noqa: A002  (Textual's)
        carries: bool = False,
    ) -> None:
        """`carries`: blocks can be carried here, and whoever holds it prices their dates."""
        super().__init__(id=id, carries=carries, today=today)
        self.sheet: Sheet | None = None
        self.selected: Mark | None = None
        self.row = 0
        self.broken: frozenset[str] = frozenset()
        self.planning = False
        self.changed: frozenset[str] = frozenset()
        self._scale: Scale | None = None
        self._canvas: Canvas | None = None
        self._inks: dict[str, Style] | None = None

    # --- what is shown ------------------------------------------------------------------------

    def show(
        self, sheet: Sheet, *, broken: frozenset[str] = frozenset(), planning: bool = False,
        changed: frozenset[str] = frozenset(),
    ) -> None:  # fmt: skip
        """Show a year; what was pointed at stays so where it still is there.

        `broken` are ids of blocks that break a rule; `planning`: the planner is at work;
        `changed` are those that differ between two plans that are shown.
        """
        self.planning, self.changed = planning, changed
        old, self.sheet, self.broken = self.sheet, sheet, broken
        if old is None or old.year.span != sheet.year.span:
            self._scale = None
        self.holding = None
        self.select(self._again(sheet))

    @property
    def draws_curves(self) -> bool:
        """Whether a lane of chances is tall enough for a line with its spread."""
        return self.sheet is not None and any(
            place.lines > 1 and (weather := self.sheet.rows[place.number].weather) and weather.curve
            for place in self._places()
        )

    @property
    def draws_form_lines(self) -> bool:
        """Whether a lane of a goal is tall enough for its form as a line."""
        return self.sheet is not None and any(
            place.lines > CURVE_LINES and self.sheet.rows[place.number].lane is Lane.GOAL
            for place in self._places()
        )

    def renew(self, sheet: Sheet) -> None:
        """Draw a sheet with the same marks, where only what lies behind them is new."""
        self.sheet = sheet
        self.redraw()

    def _again(self, sheet: Sheet) -> Mark | None:
        was = self.selected
        if was is None:
            row = next(row for row in sheet.rows if row.lane is Lane.PLAN)
            first = row.marks or sheet.rows[0].marks
            return nearest(first, self.today)
        marks = [mark for row in sheet.rows for mark in row.marks if mark.lane is was.lane]
        same = [mark for mark in marks if mark.key == was.key]
        return nearest(same or marks, was.span.first)

    def select(self, mark: Mark | None) -> None:
        """Point at a mark, bring it into view and tell of it."""
        self.selected = mark
        if mark is not None and self.sheet is not None:
            self.row = next(
                (number for number, row in enumerate(self.sheet.rows) if mark in row.marks), 0
            )
            if self.size.width:
                self.bring(mark.span.first, mark.span.last)
            self.post_message(self.Picked(mark))
        self.redraw()

    def redraw(self) -> None:
        self._canvas = None
        self.refresh(layout=False)

    @property
    def margin(self) -> int:
        return WIDE_MARGIN if self.size.width >= WIDE else NARROW_MARGIN

    @property
    def scale(self) -> Scale:
        """What is shown in the width there is."""
        assert self.sheet is not None
        if self._scale is None:
            around = self.selected.span.first if self.selected else self.today
            self._scale = scale_for(
                self.sheet.year.span,
                self.zoom,
                width=max(10, self.size.width - self.margin - 1),
                around=around,
                week_begins=self.sheet.almanac.week_begins,
            )
        return self._scale

    def bring(self, *days: date) -> None:
        assert self.sheet is not None
        whole = self.sheet.year.span
        for day in reversed(days):
            inside = max(whole.first, min(day, whole.last))
            self._scale = kept(
                self.scale, whole, inside, week_begins=self.sheet.almanac.week_begins
            )

    def get_content_height(self, container: Size, viewport: Size, width: int) -> int:
        return lines_wanted(self.sheet.rows) if self.sheet else 10

    class Resized(Message):
        """There is other room for the lanes than before."""

    def on_resize(self) -> None:
        self._scale = None
        self.redraw()
        self.post_message(self.Resized())

    def watch_zoom(self) -> None:
        self._scale = None
        self.redraw()

    def notify_style_update(self) -> None:
        super().notify_style_update()
        self._canvas = self._inks = None

    def render_line(self, y: int) -> Strip:
        if self.sheet is None:
            return Strip.blank(self.size.width, self.rich_style)
        if self._canvas is None:
            self._canvas = draw(self._drawing(), self.size.height)
        if y >= self._canvas.height:
            return Strip.blank(self.size.width, self.rich_style)
        line = self._canvas.strip(y)
        return line.adjust_cell_length(self.size.width, self.rich_style)

    def _drawing(self) -> Drawing:
        assert self.sheet is not None
        return Drawing(
            sheet=self.sheet,
            scale=self.scale,
            zoom=self.zoom,
            margin=self.margin,
            places=self._places(),
            styles=self._styles(),
            today=self.today,
            row=self.row,
            selected=self.selected,
            ghost=self.holding.ghost if self.holding else None,
            broken=self.broken,
            strip=self.holding.strip if self.holding and self._carries else None,
            planning=self.planning,
            changed=self.changed,
        )

    def _places(self) -> tuple[Place, ...]:
        assert self.sheet is not None
        return places(self.sheet.rows, self.size.height, current=self.row)

    def _styles(self) -> dict[str, Style]:
        if self._inks is None:
            self._inks = {
                part: self.get_component_rich_style(f"sheet--{part}", partial=part != "paper")
                for part in (*PARTS, *KINDS)
            }
        return self._inks

    # --- keys ---------------------------------------------------------------------------------

    def action_step(self, by: int) -> None:
        """Point at the mark before or after on this lane; carry what is held to its next place."""
        if self.carry_on(by):
            return
        marks = self._marks()
        if self.selected in marks:
            at = max(0, min(len(marks) - 1, marks.index(self.selected) + by))
            self.select(marks[at])
        else:
            self.select(nearest(marks, self._focus_day()))

    def action_lane(self, by: int) -> None:
        """Point at what lies nearest on the lane above or below."""
        if self.sheet is None:
            return
        rows, number = self.sheet.rows, self.row + by
        while 0 <= number < len(rows) and not rows[number].marks:
            number += by
        if 0 <= number < len(rows):
            self.select(nearest(rows[number].marks, self._focus_day()))

    def action_far(self, by: int) -> None:
        """Point at the first or last mark of the lane."""
        marks = self._marks()
        if marks:
            self.select(marks[0 if by < 0 else -1])

    def action_leap(self, by: int) -> None:
        """Point at what lies a screen earlier or later."""
        if self.sheet is None:
            return
        day = self._focus_day() + timedelta(days=by * self.scale.shown.length)
        self.select(nearest(self._marks(), day))

    def action_zoom(self, by: int) -> None:
        """Nearer, farther, or the next in turn."""
        self.zoom = self.zoom.nearer if by > 0 else self.zoom.farther if by < 0 else self.zoom.next

    def action_today(self) -> None:
        """Point at what lies on today, on this lane."""
        self.select(nearest(self._marks(), self.today))

    def _marks(self) -> tuple[Mark, ...]:
        return self.sheet.rows[self.row].marks if self.sheet else ()

    def _focus_day(self) -> date:
        """The middle of what is pointed at, so that lanes above and below line up."""
        if self.selected is None:
            return self.today
        span = self.selected.span.meet(self.scale.shown) or self.selected.span
        return span.first + timedelta(days=span.length // 2)

    # --- mouse --------------------------------------------------------------------------------

    def on_mouse_down(self, event: events.MouseDown) -> None:
        found = self._at(event.x, event.y)
        if found is None or event.button != 1:
            return
        mark, day = found
        self.select(mark)
        if mark.lane in (Lane.PLAN, Lane.AWAY) and mark.dated:
            self.holding = Holding(mark, grip_at(mark, event.x - self.margin, self.scale), day)
            self.capture_mouse()

    def on_mouse_move(self, event: events.MouseMove) -> None:
        holding = self.holding
        if holding is None or holding.by_keys:
            return
        holding.drag_to(self.scale.day(event.x - self.margin))
        if holding.ghost is not None and not holding.known:
            self.post_message(self.Grabbed(holding.mark))
        self.redraw()

    def on_mouse_up(self) -> None:
        if self.holding is not None and not self.holding.by_keys:
            self.release_mouse()
            self.let_go()

    def on_mouse_scroll_down(self, event: events.MouseScrollDown) -> None:
        self._wheel(event, 1)

    def on_mouse_scroll_up(self, event: events.MouseScrollUp) -> None:
        self._wheel(event, -1)

    def _wheel(self, event: events.MouseEvent, by: int) -> None:
        """The wheel turns the year; with Control it zooms."""
        if self.sheet is None:
            return
        event.stop()
        if event.ctrl:
            self.action_zoom(-by)
            return
        whole, shown = self.sheet.year.span, self.scale.shown
        step = timedelta(days=max(1, shown.length // 8) * by)
        first = max(whole.first, min(shown.first + step, whole.after - timedelta(shown.length)))
        self._scale = Scale(Span(first, first + timedelta(shown.length)), self.scale.width)
        self.redraw()

    def _at(self, x: int, y: int) -> tuple[Mark, date] | None:
        """The mark and the day under a point."""
        if self.sheet is None or x < self.margin:
            return None
        day = self.scale.day(x - self.margin)
        for place in self._places():
            if place.top <= y < place.top + place.lines:
                marks = self.sheet.rows[place.number].marks
                under = next(
                    (one for one in marks if covers(one, x - self.margin, self.scale)), None
                )
                return (under, day) if under else None
        return None
