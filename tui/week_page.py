"""The second page: a week by day and hour; move, leave out and mark sessions with keys."""

from __future__ import annotations

from datetime import date, time, timedelta
from typing import ClassVar

from textual import events
from textual.actions import SkipAction
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.content import Content
from textual.message import Message
from textual.widgets import Static

from seasonplan.days import Span, week_start
from seasonplan.edits import (
    AnEdit,
    EditRefused,
    FreeSession,
    MarkDone,
    MarkMissed,
    MoveSession,
    SkipSession,
)
from seasonplan.explain import sessions as words
from seasonplan.explain.agenda import week_cautions
from seasonplan.explain.slip import Slip
from seasonplan.explain.words import day_text
from tui.bench import Bench
from tui.sessions import LAST_START, Shown, Stand, shown
from tui.slip_view import SlipView, Told
from tui.week_sheet import WeekFacts, WeekSheet

NOTHING_CHOSEN = EditRefused("No session is chosen.", "Arrows go from one to the next.")


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
        Binding("f", "free", "As planned again", show=False),
        Binding("a", "add", "Add a session", show=False),
        Binding("full_stop", "move(0,30)", "Half an hour later", key_display=".", show=False),
        Binding("comma", "move(0,-30)", "Half an hour earlier", key_display=",", show=False),
        Binding("greater_than_sign", "move(1,0)", "A day later", key_display=">", show=False),
        Binding("less_than_sign", "move(-1,0)", "A day earlier", key_display="<", show=False),
        Binding("escape", "not_done", "Leave the rating", show=False),
    ]

    class Wanted(Message):
        """An edit is asked for."""

        def __init__(self, edit: AnEdit) -> None:
            super().__init__()
            self.edit = edit

    class Adding(Message):
        """A session is to be added on a day."""

        def __init__(self, day: date) -> None:
            super().__init__()
            self.day = day

    class Refused(Message):
        """What was asked for cannot be done."""

        def __init__(self, refusal: EditRefused) -> None:
            super().__init__()
            self.refusal = refusal

    def __init__(self, *, today: date) -> None:
        super().__init__(id="week")
        self.today = self.day = today
        self.bench: Bench | None = None
        self.chosen: str | None = None
        self.rating = False
        self._sessions: list[Shown] = []

    def compose(self) -> ComposeResult:
        yield Static(id="week-title", markup=False)
        yield WeekSheet()
        yield SlipView(id="week-slip")

    def focus_sheet(self) -> None:
        self.query_one(WeekSheet).focus()

    @property
    def week(self) -> Span:
        """The calendar week that is shown, whole."""
        assert self.bench is not None
        first = week_start(self.day, self.bench.desk.year.climber.week_begins)
        return Span(first, first + timedelta(days=7))

    def show(self, bench: Bench) -> None:
        """Show a bench as it is now."""
        self.bench = bench
        self.day = bench.today(self.day)
        self._sessions = shown(bench, self.week)
        if self.chosen not in [one.session.id for one in self._sessions]:
            self._choose_first()
        self.redraw()

    def _choose_first(self) -> None:
        mine = [one for one in self._sessions if one.session.day == self.day]
        self.chosen = mine[0].session.id if mine else None

    def redraw(self) -> None:
        bench = self.bench
        if bench is None:
            return
        self.query_one(WeekSheet).show(
            self._facts(bench), today=self.today, day=self.day, chosen=self.chosen
        )
        self.query_one("#week-title", Static).update(self._title(bench))
        self.query_one(SlipView).tell(self._told(bench))

    def _facts(self, bench: Bench) -> WeekFacts:
        days, almanac = list(self.week.days()), bench.sheet.almanac
        agenda = bench.agenda
        return WeekFacts(
            week=self.week,
            sessions=self._sessions,
            titles={
                one.session.id: words.session_title(
                    one.session, bench.desk.recipes.get(one.session.recipe)
                )
                for one in self._sessions
            },
            free={day: almanac.windows(day) for day in days if day in bench.desk.year.span},
            busy={
                day: [(int(start), int(end)) for start, end in bench.desk.taken.get(day, ())]
                for day in days
            },
            notes={day: (agenda.on(day).rest.rstrip(".") if agenda else "") for day in days},
        )

    def _title(self, bench: Bench) -> Content:
        block = bench.agenda.on(self.day).block if bench.agenda else None
        standing = bench.agenda.standing(block, self.day) if bench.agenda and block else ""
        minutes = sum(one.session.minutes for one in self._sessions if one.stand is not Stand.OUT)
        total = f"{minutes // 60} h {minutes % 60:02} min in all" if minutes else "no sessions"
        first, last = (day_text(day).split() for day in (self.week.first, self.week.last))
        days = f"{first[1]} {first[2]} to {last[1]} {last[2]} {last[3]}"
        return Content.assemble((days, "bold"), (f"   {total}   ", "$quiet"), (standing, "$accent"))

    # --- the slip -----------------------------------------------------------------------------

    @property
    def _one(self) -> Shown | None:
        return next((one for one in self._sessions if one.session.id == self.chosen), None)

    def _told(self, bench: Bench) -> Told:
        one = self._one
        if one is None:
            return Told("•", self._day_slip(bench), cost=())
        return Told("•", self._session_slip(one, bench))

    def _day_slip(self, bench: Bench) -> Slip:
        if bench.agenda is None:
            return Slip(day_text(self.day), "", ("There is no plan yet: press r to plan.",))
        day = bench.agenda.on(self.day)
        remarks = [f"{text[0].upper()}{text[1:]}." for text in day.remarks]
        cautions = bench.agenda.cautions(day.sessions, [day.block])
        return Slip(day_text(self.day), day.rest, tuple(remarks), tuple(cautions))

    def _session_slip(self, one: Shown, bench: Bench) -> Slip:
        session, year = one.session, bench.desk.year
        recipe = bench.desk.recipes.get(session.recipe)
        hours = words.hours_text(session, year.climber.time_zone)
        stand = f" · {one.stand.value}" if one.stand.value else ""
        if one.entry is not None and one.entry.rpe is not None:
            stand += f", effort {one.entry.rpe:g} of 10"
        needs = words.needs_text(recipe) if recipe else ""
        block = bench.sheet.block(session.block)
        told = [f"{words.length_text(session, recipe)}; {words.effort_text(session.rpe)}."]
        told += [f"With {needs}."] if needs else []
        told += [recipe.do] if recipe and recipe.do else []
        if self.rating:
            told = ["How hard was it? Press 0 to 9; 0 stands for 10. Esc leaves it."]
        agenda = bench.agenda
        days = [agenda.on(session.day)] if agenda else []
        cautions = [*words.cautions_of(recipe, year)]
        cautions += week_cautions(agenda, days) if agenda else []
        return Slip(
            words.session_title(session, recipe),
            f"{day_text(session.day)}, {hours}{stand}",
            tuple(dict.fromkeys(cautions)),
            (*told, *((words.why_text(session, block, year),) if block else ())),
        )

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

    def action_done(self) -> None:
        """Mark done; the next key is the effort, 0 to 9, 0 standing for 10."""
        if self._one is None:
            self.post_message(self.Refused(NOTHING_CHOSEN))
            return
        self.rating = True
        self.redraw()

    def action_not_done(self) -> None:
        """Leave the rating."""
        if self.rating:
            self.rating = False
            self.redraw()
        else:
            raise SkipAction

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
            on = min(one.session.day, self.today)
            self.post_message(self.Wanted(MarkDone(session=one.session.id, rpe=rpe, on=on)))

    def action_missed(self) -> None:
        """Mark missed."""
        self._want(lambda one: MarkMissed(session=one.session.id))

    def action_skip(self) -> None:
        """Leave the session out."""
        self._want(lambda one: SkipSession(session=one.session.id))

    def action_add(self) -> None:
        """Add a session on the day that is chosen."""
        self.post_message(self.Adding(self.day))

    def action_free(self) -> None:
        """Take back what was said of the session."""
        self._want(lambda one: FreeSession(session=one.session.id))

    def action_move(self, days: int, minutes: int) -> None:
        """Move the session by days or by minutes."""

        def edit(one: Shown) -> AnEdit:
            minute = max(0, min(one.minute + minutes, LAST_START))
            return MoveSession(
                session=one.session.id,
                day=one.session.day + timedelta(days=days),
                start=time(minute // 60, minute % 60),
            )

        self._want(edit)

    def _want(self, edit) -> None:  # type: ignore[no-untyped-def]
        one = self._one
        if one is None:
            self.post_message(self.Refused(NOTHING_CHOSEN))
            return
        self.day = one.session.day
        self.post_message(self.Wanted(edit(one)))
