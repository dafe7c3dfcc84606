"""The second page: a week by day and hour; move, leave out and mark sessions with keys."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import date, timedelta
from typing import ClassVar

from textual import events
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.message import Message
from textual.widgets import Static

from seasonplan.days import Span, day_text, week_start
from seasonplan.edits import (
    AnEdit,
    EditRefused,
    MarkDone,
    MarkMissed,
)
from seasonplan.edits.marks import to_come
from tui.ask import Choice, Choose
from tui.bench import Bench
from tui.posts import Refused, Said
from tui.slip_view import SlipView, Told
from tui.week.sessions import MARKED, Shown, Stand, freed, left_out, pushed, shown
from tui.week.sheet import NARROW, WeekSheet
from tui.week.since import Before, against, gave_way, since
from tui.week.told import asked, day_told, facts_of, flowing, session_told, title_of

NOTHING_CHOSEN = EditRefused("No session is chosen.", "Arrows go from one to the next.")
NOT_YET = "not yet"


class WeekPage(Vertical):
    """One calendar week and the chosen session in it."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("left", "day(-1)", "The day before", show=False),
        Binding("right", "day(1)", "The day after", show=False),
        Binding("up", "session(-1)", "The session before", show=False),
        Binding("down", "session(1)", "The session after", show=False),
        Binding("pageup,b", "week(-1)", "Week before", key_display="b"),
        Binding("pagedown,n", "week(1)", "Next week", key_display="n"),
        Binding("t", "today", "Today"),
        Binding("d", "done", "Done, then 0-9"),
        Binding("m", "missed", "Missed"),
        Binding("x,delete", "skip", "Leave out"),
        Binding("f", "free", "As planned again"),
        Binding("a", "add", "Add a session"),
        Binding("full_stop", "move(0,30)", "Half an hour later", key_display=".", show=False),
        Binding("comma", "move(0,-30)", "Half an hour earlier", key_display=",", show=False),
        Binding("greater_than_sign", "move(1,0)", "A day later", key_display=">", show=False),
        Binding("less_than_sign", "move(-1,0)", "A day earlier", key_display="<", show=False),
        Binding("space,shift+down", "read(1)", "Read on below", show=False),
        Binding("shift+up", "read(-1)", "Read back below", show=False),
        Binding("0", "rate", "How hard", key_display="0-9"),
        Binding("escape", "not_done", "No mark"),
    ]

    class Adding(Message):
        """A session is to be added on a day."""

        def __init__(self, day: date) -> None:
            super().__init__()
            self.day = day

    def __init__(self, keep: Callable[[AnEdit], bool], *, today: date) -> None:
        super().__init__(id="week")
        self._keep = keep  # at once: the next key finds what this one did
        self.today = self.day = today
        self.bench: Bench | None = None
        self.chosen: str | None = None
        self.rating = False
        self._done_on = today  # the day of what is being rated
        self._bound: date | None = None  # where the chosen session is on its way to
        self._sessions: list[Shown] = []

    def compose(self) -> ComposeResult:
        with Vertical(id="week-upper"):
            yield Static(id="week-title", markup=False)
            yield WeekSheet()
        yield SlipView(id="week-slip")

    def focus_sheet(self) -> None:
        self.screen.set_focus(self.query_one(WeekSheet))  # before the next key

    @property
    def week(self) -> Span:
        """The calendar week that is shown, whole."""
        assert self.bench is not None
        first = week_start(self.day, self.bench.desk.year.climber.week_begins)
        return Span(first, first + timedelta(days=7))

    def show(self, bench: Bench) -> None:
        """Show a bench as it is now; the day follows a session that was moved."""
        self.bench = bench
        self.day, bound = bench.today(self.day), self._bound
        self._bound = None
        if bound is not None and self.chosen in _ids(shown(bench, Span.through(bound, bound))):
            self.day = bound
        self._sessions = shown(bench, self.week)
        if self.chosen not in _ids(self._sessions):
            self._choose_first()
        self.redraw()

    def _choose_first(self) -> None:
        mine = [one for one in self._sessions if one.session.day == self.day]
        self.chosen = mine[0].session.id if mine else None

    def redraw(self) -> None:
        bench = self.bench
        if bench is None:
            return
        self.rating = self.rating and self._one is not None
        facts = facts_of(bench, self.week, self._sessions)
        self.query_one(WeekSheet).show(
            facts, today=self.today, day=self.day, chosen=self.chosen, asking=self.rating
        )
        self._tell_title()
        view = self.query_one(SlipView)
        view.set_class(self.rating, "-asking")
        view.tell(self._told(bench))
        self.refresh_bindings()

    def on_resize(self) -> None:
        self.call_after_refresh(self.redraw)

    def _tell_title(self) -> None:
        if self.bench is not None:
            title = self.query_one("#week-title", Static)
            width = self.size.width - title.styles.margin.width
            grid = self.query_one(WeekSheet).hours is not None
            parts = title_of(
                self.bench, self.week, self._sessions, day=self.day, width=width,
                edges=grid and bool(self._sessions),
            )  # fmt: skip
            title.update(flowing(list(parts), width))

    @property
    def _one(self) -> Shown | None:
        return next((one for one in self._sessions if one.session.id == self.chosen), None)

    def _told(self, bench: Bench) -> Told:
        one = self._one
        if one is None:
            return day_told(bench, self.day, self.week)
        if self.rating:
            return asked(bench, one)
        return session_told(bench, one, today=self.today, brief=self.size.width < NARROW)

    # --- keys ---------------------------------------------------------------------------------

    def action_day(self, by: int) -> None:
        """The day before or after."""
        self._go(self.day + timedelta(days=by))

    def action_week(self, by: int) -> None:
        """The week before or after."""
        self._go(self.day + timedelta(days=7 * by))

    def action_today(self) -> None:
        """The week of today."""
        self._go(self.today)

    def _go(self, day: date) -> None:
        self.rating, self.day, self.chosen = False, day, None
        if self.bench is not None:
            self.show(self.bench)

    def action_session(self, by: int) -> None:
        """The session before or after, over the days of the week."""
        ids = [one.session.id for one in self._sessions]
        if not ids:
            return
        if self.chosen in ids:
            at = max(0, min(len(ids) - 1, ids.index(self.chosen) + by))
        else:
            later = [n for n, one in enumerate(self._sessions) if one.session.day >= self.day]
            at = later[0] if later else len(ids) - 1
        self.rating, self.chosen = False, ids[at]
        self.day = self._sessions[at].session.day
        self.redraw()

    def on_week_sheet_pointed(self, event: WeekSheet.Pointed) -> None:
        self.rating, self.day, self.chosen = False, event.day, event.session
        if event.session is None:
            self._choose_first()
        self.redraw()

    def action_read(self, by: int) -> None:
        """Turn the slip."""
        slip = self.query_one(SlipView)
        (slip.scroll_page_down if by > 0 else slip.scroll_page_up)(animate=False)

    def action_done(self) -> None:
        """Mark done; the next key is the effort: 1 to 9, or 0 for 10."""
        one = self._one
        if one is None:
            self.post_message(Refused(NOTHING_CHOSEN))
        elif one.session.day > self.today:
            self._ask_when(one)
        else:
            self._ask_effort(one.session.day)

    def _ask_effort(self, day: date) -> None:
        self.rating, self._done_on = True, day
        self.redraw()

    def _ask_when(self, one: Shown) -> None:
        """A session of a day to come was done earlier, or not yet: only the climber knows."""
        yesterday = self.today - timedelta(days=1)
        choices = [
            Choice(self.today.isoformat(), f"Today, {day_text(self.today)}"),
            Choice(yesterday.isoformat(), f"Yesterday, {day_text(yesterday)}"),
            Choice(NOT_YET, "Not yet: no mark"),
        ]

        def chosen(answer: str | None) -> None:
            if answer and answer != NOT_YET:
                self._ask_effort(date.fromisoformat(answer))

        about = f"It is planned for {day_text(one.session.day)}, which is still to come."
        self.app.push_screen(Choose("When did you do it?", choices, about=about), chosen)

    def action_rate(self) -> None:
        """How hard it was: a digit, 1 to 9, or 0 for 10."""

    def action_not_done(self) -> None:
        """Leave the rating."""
        self.rating = False
        self.redraw()

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """While the effort is asked for, only that can be answered."""
        del parameters
        if action in ("rate", "not_done"):
            return self.rating
        asking = ("done", "missed", "skip", "free", "add", "move", "week", "today")
        return not (self.rating and action in asking)

    def offers(self, action: str) -> bool:
        """Whether a key does something for what is chosen; else the last line does not offer it."""
        action = action.partition("(")[0]
        one = self._one
        if action in ("done", "move"):
            return one is not None and one.stand is not Stand.OUT
        if action == "missed":
            return one is not None and one.session.day <= self.today
        if action == "skip":
            ahead = one is not None and one.session.day >= self.today
            return ahead and one is not None and one.stand not in (*MARKED, Stand.OUT)
        if action == "free":
            return one is not None and bool(one.wish)
        if action == "add":
            return self.bench is not None and self.day >= self.today and bool(self.bench.blocks)
        return True

    def on_key(self, event: events.Key) -> None:
        """The digit after d."""
        if self.rating and event.character and event.character in "0123456789":
            event.stop()
            event.prevent_default()
            self._rate(event.character)

    def _rate(self, digit: str) -> None:
        one, self.rating = self._one, False
        if one is not None:
            rpe = float(digit) if digit != "0" else 10.0
            self._keep(MarkDone(session=one.session.id, rpe=rpe, on=self._done_on))

    def action_missed(self) -> None:
        """Mark missed."""
        self._want(self._missed)

    def _missed(self, one: Shown) -> AnEdit:
        if one.session.day > self.today:
            raise EditRefused(
                to_come(one.session.day), "If it will not take place: x leaves it out."
            )
        return MarkMissed(session=one.session.id, on=one.session.day)

    def action_skip(self) -> None:
        """Leave the session out."""
        self._want(left_out)

    def action_add(self) -> None:
        """Add a session on the day that is chosen."""
        self.post_message(self.Adding(self.day))

    def action_free(self) -> None:
        """Take back what was said of the session."""
        self._want(freed)

    def action_move(self, days: int, minutes: int) -> None:
        """Move the session by days or by minutes."""
        one = self._one
        if one is not None:
            self._bound = one.session.day + timedelta(days=days)
        self._push(days, minutes)

    def _push(self, days: int, minutes: int) -> None:
        """Move by days to about the same hour, or by minutes past what is in the way."""
        one = self._one
        if one is None:
            self.post_message(Refused(NOTHING_CHOSEN))
            return
        toward = (minutes > 0) - (minutes < 0)
        self._put(one.session.day + timedelta(days=days), one.minute + minutes, toward=toward)

    def _put(self, day: date, minute: int, *, toward: int = 0) -> None:
        """Put the session on a day near an hour; what it gave way to there is said."""
        bench, one = self.bench, self._one
        if bench is None or one is None:
            return
        if self._want(lambda one: pushed(bench, one, day, minute, toward=toward)):
            for text in gave_way(bench, one, minute):
                self.post_message(Said(text))

    def on_week_sheet_dragged(self, event: WeekSheet.Dragged) -> None:
        self.rating, self._bound = False, event.day
        self.day, self.chosen = event.session.session.day, event.session.session.id
        self.redraw()
        self._put(event.day, event.start.hour * 60 + event.start.minute)

    def _want(self, edit: Callable[[Shown], AnEdit]) -> bool:
        """Do what is wanted of the chosen session; whether it was done."""
        one = self._one
        if one is None:
            self.post_message(Refused(NOTHING_CHOSEN))
            return False
        self.day = one.session.day
        try:
            wanted = edit(one)
        except EditRefused as refusal:
            self.post_message(Refused(refusal))
            return False
        return self.keep(wanted)

    def keep(self, edit: AnEdit) -> bool:
        """Do an edit; say what it does to goals and rules, unless it only tells of the past."""
        bench = self.bench
        if bench is None or isinstance(edit, (MarkDone, MarkMissed)):
            return self._keep(edit)
        before = Before.of(bench)
        kept = self._keep(edit)
        if kept and (text := since(before, bench)):
            self.post_message(Said(text, anew=True))
            for told in against(before, bench):
                self.post_message(Said(told, grave=True))
        return kept


def _ids(sessions: Sequence[Shown]) -> list[str]:
    return [one.session.id for one in sessions]
