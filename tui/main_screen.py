"""The pages of an open year under one masthead: keeps edits, plans anew, watches the files."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any, ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.widgets import ContentSwitcher

from seasonplan.days import count_text
from seasonplan.edits import AnEdit, EditRefused
from seasonplan.edits.serving import idle, serving
from seasonplan.errors import BadInput, CannotWrite, ChangedOnDisk
from seasonplan.explain.unserved import unserved
from seasonplan.workspace.store import YEAR_FILE
from tui import questions
from tui.ask import Choice, Choose
from tui.bench import Bench
from tui.forms.diary import LOG, WHAT
from tui.forms.unfinished import KEY, Typed
from tui.hints import Hints
from tui.host import Host
from tui.jobs import Job
from tui.lists.entries import EntriesPage
from tui.lists.rules import RECIPE, RULE, RulesPage
from tui.masthead import Masthead, Tab
from tui.measures.page import MeasuresPage
from tui.pages import Pages
from tui.plans.planning import Planning, keep_question
from tui.posts import Around, Refused, Said, Wanted
from tui.search_line import SearchLine
from tui.standing import told_of_diary
from tui.week.page import WeekPage
from tui.week.sessions import added, choices_for
from tui.writes_out import WritesOut
from tui.year.named import without_ids
from tui.year.page import YearPage

# Another page joins here: its key, id and name, and its widget in `compose`, with `show(bench)`.
PUT_BACK = "Put it back; it is then read again."  # not a new year: this one is still here
TABS = (
    Tab("1", "year", "Year"), Tab("2", "week", "Week"),
    Tab("3", "entries", "Entries"), Tab("4", "rules", "Rules"), Tab("5", "tests", "Tests"),
)  # fmt: skip


class MainScreen(Pages, WritesOut):
    """One open folder."""

    app: Host
    BINDINGS: ClassVar[list[BindingType]] = [
        *(Binding(tab.key, f"page('{tab.page}')", tab.name, show=False) for tab in TABS),
        Binding("r", "plan", "Plan anew"),
        Binding("o", "others", "Other years"),
        Binding("u", "undo", "Undo"),
        Binding("U", "redo", "Redo", show=False),
        Binding("l", "log", "Log"),
        Binding("escape", "stop", "Stop planning", show=False),
    ]

    def __init__(self, bench: Bench, *, today: date, plan: bool = False) -> None:
        super().__init__()
        self.bench = bench
        self._plan_first = plan
        self.today = today
        self.planning = Planning(self)

    def compose(self) -> ComposeResult:
        yield Masthead(TABS)
        with ContentSwitcher(initial="year", id="pages"):
            yield YearPage(self.change, today=self.today)
            yield WeekPage(self.change, today=self.today)
            yield EntriesPage(lambda edits: self.change(*edits), today=self.today)
            yield RulesPage(lambda edits: self.change(*edits), today=self.today)
            yield MeasuresPage(lambda edits: self.change(*edits), today=self.today, id="tests")
        yield SearchLine(markup=False)
        yield Hints()

    def on_mount(self) -> None:
        self.query_one(Masthead).current = "year"
        self.refill()
        self.query_one(YearPage).focus_sheet()
        self.set_interval(0.1, self.planning.tick)
        self.set_interval(1.0, self.read_if_changed)
        if self._plan_first:
            self.planning.first()
        else:
            self._offer_unfinished()

    def on_unmount(self) -> None:
        self.planning.end()

    def offers(self, action: str) -> bool:
        """Whether a key does something as things stand."""
        desk = self.bench.desk
        if self.query_one(YearPage).carries:
            return False  # first it is let go or left
        if action == "calendar":
            return desk.plan is not None
        if action == "others":
            return desk.plan is not None and not desk.lags
        if action == "undo":
            return self.bench.can_undo
        return action != "plan" or not self.planning.running

    # --- edits --------------------------------------------------------------------------------

    def on_wanted(self, event: Wanted) -> None:
        self.change(*event.edits)

    def on_around(self, event: Around) -> None:
        """Do the edit, then plan the rest of the year around it."""
        if self.change(event.edit):
            self.planning.around()

    def on_refused(self, event: Refused) -> None:
        self._say_no(event.refusal)

    def _say_no(self, refusal: EditRefused) -> None:
        """Say why something cannot be, with blocks called by kind and day."""
        self.app.say(without_ids(str(refusal), self.bench.blocks), grave=True)

    def on_said(self, event: Said) -> None:
        if event.anew:
            self.app.unsay()
        self.app.say(event.text, grave=event.grave)

    def on_week_page_adding(self, event: WeekPage.Adding) -> None:
        """Ask for the recipe, then add it where the day has room."""
        choices = choices_for(self.bench, event.day)
        if not choices:
            self.app.say("No session can be added on that day.", grave=True)
            return

        def chosen(recipe: str | None) -> None:
            if recipe is None:
                return
            try:
                self.query_one(WeekPage).keep(added(self.bench, recipe, event.day))
            except EditRefused as refusal:
                self._say_no(refusal)

        self.app.push_screen(Choose("Add which session?", choices), chosen)

    def change(self, *edits: AnEdit) -> bool:
        """Do edits as one and show what became of it; False where they were refused."""
        lacked = unserved(self.bench.sheet.almanac)
        known = {rock.id for rock in idle(self.bench.sheet.almanac)}
        try:
            self.bench.change(*edits)
        except EditRefused as refusal:
            self._say_no(refusal)
        except BadInput as error:
            self.app.say("\n".join(str(fault) for fault in error.faults[:3]), grave=True)
        except ChangedOnDisk as error:
            self.call_later(self._offer, edits, error)  # once a form that asked is gone
            return True  # theirs is read first, ours may follow
        except CannotWrite as error:
            self.app.say(str(error), grave=True)
        else:
            self.refill()
            self._tell_lacking(lacked)
            self._tell_written(edits)
            self.call_later(self._ask_what_it_serves, known)  # once a form that asked is gone
            return True
        return False

    def _tell_lacking(self, before: Collection[str]) -> None:
        """Say of each goal that nothing serves since this change."""
        for goal, text in unserved(self.bench.sheet.almanac).items():
            if goal not in before:
                self.app.say(text, grave=True)

    def _ask_what_it_serves(self, known: Collection[str]) -> None:
        """Say of rock that serves no goal since this change, and offer to let it serve one."""
        almanac = self.bench.sheet.almanac
        rock = next((one for one in idle(almanac) if one.id not in known), None)
        if rock is None:
            return
        goals = {goal.id: goal for goal in almanac.year.goals}

        def chosen(answer: str | None) -> None:
            if answer == questions.NEW_GOAL:
                self.query_one(EntriesPage).open_form(f"new goal {rock.id}")
            elif answer in goals:
                self.change(serving(goals[answer], rock, self.bench.sheet.almanac))

        self.app.push_screen(questions.what_it_serves(rock, list(goals.values())), chosen)

    def _tell_written(self, edits: Sequence[AnEdit]) -> None:
        """Say what went into the diary; after pain also what to mind."""
        for text, grave in told_of_diary(edits, self.bench, self.today):
            self.app.say(text, grave=grave)

    def action_undo(self) -> None:
        """Take the last change back."""
        since = self.bench.since_plan
        if since and not self.bench.can_step_back:
            self.app.push_screen(questions.as_planned(since), self._taken_back)
        else:
            self._step(lambda: self.bench.undo(stamp=self.app.stamp()))

    def _taken_back(self, answer: str | None) -> None:
        if answer == questions.BACK:
            self._step(self.bench.as_planned)

    def action_redo(self) -> None:
        """Do again what was taken back."""
        self._step(lambda: self.bench.redo(stamp=self.app.stamp()))

    def _step(self, step: Any) -> None:
        try:
            told = step()
        except (EditRefused, ChangedOnDisk, CannotWrite, BadInput) as error:
            first = error.faults[0] if isinstance(error, BadInput) else error
            self.app.say(str(first), grave=True)
            return
        self.refill()
        self.app.unsay()
        self.app.say(told)

    # --- other programs -----------------------------------------------------------------------

    def read_if_changed(self) -> None:
        """Read the files again where another program changed them; ours are always on disk."""
        if self.bench.changed_outside and not self.planning.writing:
            self._read_again()

    def _read_again(self) -> bool:
        try:
            self.bench.read_again()
        except BadInput as error:
            first = error.faults[0]
            if not (self.bench.desk.folder / YEAR_FILE).exists():
                first = replace(first, do=PUT_BACK)
            self.trouble = first
            more = len(error.faults) - 1
            others = f" And {count_text(more, 'fault')} more." if more else ""
            told = f"Changed by another program, and not readable so: {first}{others}"
            self.app.say(told, grave=True)
            self.refill()
            return False
        if self.trouble:
            self.app.unsay()  # what was told of it holds no longer
        self.trouble = None
        self.refill()
        self.app.say("Your files were changed by another program and are read again.")
        return True

    def _offer(self, edits: Sequence[AnEdit], error: ChangedOnDisk) -> None:
        """Somebody else wrote first: theirs stays, ours may follow."""

        def chosen(answer: str | None) -> None:
            if answer is not None and self._read_again() and answer == questions.AGAIN:
                self.change(*edits)

        self.app.push_screen(questions.changed_on_disk(Path(error.file).name), chosen)

    def _offer_unfinished(self) -> None:
        """Forms that were begun when the program ended without being asked to."""
        begun = {key: one for key, one in self.bench.unfinished.all().items() if key != KEY}
        if not begun:
            return

        def chosen(answer: str | None) -> None:
            if answer == questions.AWAY:
                for key in begun:
                    self.bench.unfinished.drop(key)
            elif answer in begun:
                self._go_on(answer, begun[answer])

        self.app.push_screen(questions.go_on(begun), chosen)

    def _go_on(self, key: str, typed: Typed) -> None:
        """Open the form again with what was typed; where it is about nothing any more, say it."""
        law = key.partition(" ")[0] in (RULE, RECIPE)
        page = self.query_one(RulesPage) if law else self.query_one(EntriesPage)
        self.action_page("rules" if law else "entries")
        try:
            page.open_form(key)
        except EditRefused as refusal:
            self.app.say(f"{refusal} You had written: {typed.gist}", grave=True)

    # --- the diary ----------------------------------------------------------------------------

    def action_log(self) -> None:
        """Log pain, a test, your weight, a note or an unplanned session."""
        choices = [Choice(f"{LOG} {did.value}", words) for did, words in WHAT.items()]
        self.app.push_screen(Choose("Log what?", choices), self._log)

    def _log(self, key: str | None) -> None:
        if key is not None:
            self.query_one(EntriesPage).open_form(key)

    # --- planning -----------------------------------------------------------------------------

    def action_plan(self) -> None:
        """Plan anew, near the plan there is."""
        if self.planning.running:
            self.app.say("The planner is at work; Esc stops it.")
        elif (self.bench.changed_outside or self.trouble) and not self._read_again():
            return  # its faults are told
        elif self.bench.desk.plan is None:
            self.planning.first()
        else:
            self.app.push_screen(keep_question(), self.planning.anew)

    def action_others(self) -> None:
        """Look for other years nearly as good as the plan."""
        if self.bench.desk.plan is None or self.bench.desk.lags:
            self.app.say("Plan first (r): other years are found against a plan that stands.")
        else:
            self.planning.others()

    def action_stop(self) -> None:
        """Stop the planner."""
        self.planning.end()

    def tell_search(self, job: Job[Any] | None) -> None:
        self.query_one(SearchLine).tell(job)
