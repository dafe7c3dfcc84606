"""The pages of an open year under one masthead: keeps edits, plans anew, watches the files."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any, ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.screen import Screen
from textual.widgets import ContentSwitcher

from seasonplan.edits import AnEdit, EditRefused
from seasonplan.errors import BadInput, CannotWrite, ChangedOnDisk
from tui.ask import Choice, Choose
from tui.bench import Bench
from tui.entries import EntriesPage
from tui.hints import Hints
from tui.jobs import Job
from tui.masthead import Masthead, Tab
from tui.planning import Planning, keep_question
from tui.rulebook import RECIPE, RULE, RulesPage
from tui.search_line import SearchLine
from tui.sessions import added, recipes_for
from tui.unfinished import KEY, Typed
from tui.week_page import WeekPage
from tui.year_page import YearPage

if TYPE_CHECKING:
    from tui.app import SeasonApp

# Another page joins here: its key, id and name, and its widget in `compose`, with `show(bench)`.
TABS = (
    Tab("1", "year", "Year"), Tab("2", "week", "Week"),
    Tab("3", "entries", "Entries"), Tab("4", "rules", "Rules"),
)  # fmt: skip
LATER, AWAY = "later", "away"


class MainScreen(Screen[None]):
    """One open folder."""

    app: SeasonApp
    BINDINGS: ClassVar[list[BindingType]] = [
        *(Binding(tab.key, f"page('{tab.page}')", tab.name, show=False) for tab in TABS),
        Binding("r", "plan", "Plan anew"),
        Binding("u", "undo", "Undo"),
        Binding("U", "redo", "Redo", show=False),
        Binding("e", "calendar", "Calendar for the phone", show=False),
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
            yield YearPage(today=self.bench.today(self.today))
            yield WeekPage(today=self.bench.today(self.today))
            yield EntriesPage(lambda edits: self.change(*edits), today=self.today)
            yield RulesPage(lambda edits: self.change(*edits), today=self.today)
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

    # --- pages --------------------------------------------------------------------------------

    def refill(self) -> None:
        """Show everything as it stands now."""
        for page in self.query_one("#pages").children:
            if hasattr(page, "show"):
                page.show(self.bench)
        self.query_one(Masthead).standing = standing(self.bench)

    def action_page(self, name: str) -> None:
        """Turn to a page."""
        self.query_one("#pages", ContentSwitcher).current = name
        self.query_one(Masthead).current = name
        page: Any = self.query_one(f"#{name}")
        if hasattr(page, "focus_sheet"):
            page.focus_sheet()

    def on_masthead_turned(self, event: Masthead.Turned) -> None:
        self.action_page(event.page)

    # --- edits --------------------------------------------------------------------------------

    def on_year_page_wanted(self, event: YearPage.Wanted) -> None:
        self.change(event.edit)

    def on_week_page_wanted(self, event: WeekPage.Wanted) -> None:
        self.change(event.edit)

    def on_entries_page_wanted(self, event: EntriesPage.Wanted) -> None:
        self.change(*event.edits)

    def on_entries_page_refused(self, event: EntriesPage.Refused) -> None:
        self.app.say(str(event.refusal), grave=True)

    def on_year_page_refused(self, event: YearPage.Refused) -> None:
        self.app.say(str(event.refusal), grave=True)

    def on_week_page_adding(self, event: WeekPage.Adding) -> None:
        """Ask for the recipe, then add it where the day has room."""
        choices = [Choice(one.id, one.name, one.do) for one in recipes_for(self.bench, event.day)]
        if not choices:
            self.app.say("No session can be added on that day.", grave=True)
            return

        def chosen(recipe: str | None) -> None:
            if recipe is not None:
                self.change(added(self.bench, recipe, event.day))

        self.app.push_screen(Choose("Add which session?", choices), chosen)

    def on_week_page_refused(self, event: WeekPage.Refused) -> None:
        self.app.say(str(event.refusal), grave=True)

    def change(self, *edits: AnEdit) -> bool:
        """Do edits as one and show what became of it; False where they were refused."""
        try:
            self.bench.change(*edits)
        except EditRefused as refusal:
            self.app.say(str(refusal), grave=True)
        except BadInput as error:
            self.app.say("\n".join(str(fault) for fault in error.faults[:3]), grave=True)
        except ChangedOnDisk as error:
            self.call_later(self._offer, edits, error)  # once a form that asked is gone
            return True  # theirs is read first, ours may follow
        except CannotWrite as error:
            self.app.say(str(error), grave=True)
        else:
            self.refill()
            return True
        return False

    def action_undo(self) -> None:
        """Take the last change back."""
        self._step(lambda: self.bench.undo(stamp=self.app.stamp()))

    def action_redo(self) -> None:
        """Do again what was taken back."""
        self._step(lambda: self.bench.redo(stamp=self.app.stamp()))

    def _step(self, step: Any) -> None:
        try:
            told = step()
        except (EditRefused, ChangedOnDisk, CannotWrite) as error:
            self.app.say(str(error), grave=True)
            return
        self.refill()
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
            self.app.say(f"Changed by another program, and not readable so: {first}", grave=True)
            return False
        self.refill()
        self.app.say("Your files were changed by another program and are read again.")
        return True

    def _offer(self, edits: Sequence[AnEdit], error: ChangedOnDisk) -> None:
        """Somebody else wrote first: theirs stays, ours may follow."""
        choices = (
            Choice("again", "Read theirs, then do my change on it"),
            Choice("theirs", "Read theirs, and leave my change"),
        )

        def chosen(answer: str | None) -> None:
            if answer is not None and self._read_again() and answer == "again":
                self.change(*edits)

        question = f"{Path(error.file).name} was changed by another program."
        self.app.push_screen(
            Choose(question, choices, about="Nothing of theirs is overwritten."), chosen
        )

    def _offer_unfinished(self) -> None:
        """Forms that were begun when the program ended without being asked to."""
        begun = {key: one for key, one in self.bench.unfinished.all().items() if key != KEY}
        if not begun:
            return
        choices = [Choice(key, f"Go on with “{one.title}”", one.gist) for key, one in begun.items()]
        choices += [Choice(LATER, "Later"), Choice(AWAY, "Throw it away")]

        def chosen(answer: str | None) -> None:
            if answer == AWAY:
                for key in begun:
                    self.bench.unfinished.drop(key)
            elif answer in begun:
                self._go_on(answer, begun[answer])

        self.app.push_screen(Choose("You were writing and did not finish.", choices), chosen)

    def _go_on(self, key: str, typed: Typed) -> None:
        """Open the form again with what was typed; where it is about nothing any more, say it."""
        law = key.partition(" ")[0] in (RULE, RECIPE)
        page = self.query_one(RulesPage) if law else self.query_one(EntriesPage)
        self.action_page("rules" if law else "entries")
        try:
            page.open_form(key)
        except EditRefused as refusal:
            self.app.say(f"{refusal} You had written: {typed.gist}", grave=True)

    # --- out ----------------------------------------------------------------------------------

    def action_calendar(self) -> None:
        """Write the plan as a calendar file for the phone."""
        from tui.calendar_out import written

        try:
            path, events = written(self.bench.desk)
        except (EditRefused, CannotWrite) as error:
            self.app.say(str(error), grave=True)
            return
        self.app.say(
            f"{path}: {events} events. Open it on your phone; for a calendar that follows every "
            "change, run `seasonplan serve`."
        )

    # --- planning -----------------------------------------------------------------------------

    def action_plan(self) -> None:
        """Plan anew, near the plan there is."""
        if self.planning.running:
            self.app.say("The planner is at work; Esc stops it.")
        elif self.bench.desk.plan is None:
            self.planning.first()
        else:
            self.app.push_screen(keep_question(), self.planning.anew)

    def action_stop(self) -> None:
        """Stop the planner with the best so far."""
        self.planning.end()

    def tell_search(self, job: Job[Any] | None) -> None:
        self.query_one(SearchLine).tell(job)


def standing(bench: Bench) -> str:
    """How the plan stands, in a few words with a sign."""
    plan = bench.desk.plan
    if plan is None:
        return "○ no plan yet: r plans"
    broken = len({found.code for found in bench.broken})
    if broken:
        rules = "1 rule is broken" if broken == 1 else f"{broken} rules are broken"
        return f"! {rules}: r plans anew"
    if bench.desk.stale:
        return "~ changed since the plan: r plans anew"
    return f"✓ plan {plan.current.number} stands"
