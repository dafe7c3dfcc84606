"""A form over the page: lines made from the models, judged while one types by reading the year.

Nothing goes into the year before Ctrl+S; what is typed is kept aside, should the terminal die.
Decides nothing: what is wrong is what the file would say.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import date
from typing import Any, ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, VerticalScroll
from textual.content import Content
from textual.message import Message
from textual.screen import Screen
from textual.timer import Timer
from textual.widgets import Input, Static

from seasonplan.edits import AnEdit, Draft
from seasonplan.edits.offers import offers
from seasonplan.edits.said import Now, all_meant, words_of
from seasonplan.explain.entries import understood
from tui.ask import Choice, Choose
from tui.canvas import clean
from tui.forms.about import About, Wrong, judged
from tui.forms.fields import Field
from tui.forms.unfinished import Typed, Unfinished
from tui.hints import Hints
from tui.host import Host
from tui.words import Words

PAUSE_SECONDS = 0.15  # of typing, after which what is said is judged
Keep = Callable[[list[AnEdit]], bool]


class FormScreen(Screen[bool]):
    """Answers True once `keep` has taken what was said.

    What is typed goes into `kept`; who opened the form takes it out of there when it is done with.
    """

    app: Host
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("ctrl+s", "write", "Write it down", priority=True),
        Binding("escape", "leave", "Back"),
        # first, so that what is typed right after it goes to the next line
        Binding("enter,tab,down", "next", "Next line", show=False, priority=True),
        Binding("shift+tab,up", "back", "Line before", show=False, priority=True),
        Binding("pagedown", "read(1)", "Read on", key_display="PgDn", priority=True),
        Binding("pageup", "read(-1)", "Read back", key_display="PgUp", show=False, priority=True),
    ]

    class Judged(Message):
        """What is wrong with what was said a moment ago."""

        def __init__(self, values: dict[str, Any], wrong: dict[str, Wrong]) -> None:
            super().__init__()
            self.values, self.wrong = values, wrong

    def __init__(
        self, about: About, draft: Draft, keep: Keep, *, today: date, kept: Unfinished
    ) -> None:
        super().__init__()
        self.about, self.draft, self._keep, self._kept = about, draft, keep, kept
        found = kept.all().get(about.key)
        self._left_here = found.words if found else {}
        self._begun = self._left_here or about.begun
        self.now = Now(today, draft.year.climber.week_begins)
        self.wrong: dict[str, Wrong] = {}
        self._asked = False  # whether writing was tried: then what is missing is a fault
        self._timer: Timer | None = None

    def compose(self) -> ComposeResult:
        yield Static(
            Content.assemble(
                (f"{clean(self.about.title)}  ", "bold $accent"),
                (LEFT if self._left_here else "→ takes a suggestion", "$quiet"),
            ),
            id="form-head",
        )
        with Horizontal(id="form-body"):
            with VerticalScroll(id="form", can_focus=False):
                yield from self._lines()
            with VerticalScroll(id="form-aside", can_focus=False):
                yield Words(id="form-words", markup=False)
        yield Words(id="form-says", markup=False)
        yield Hints()

    def _lines(self) -> ComposeResult:
        group = ""
        for line in self.about.lines:
            if line.group != group:
                group = line.group
                yield Static(group, classes="field-group", markup=False)
            words = words_of(self.about.before.get(line.key))
            typed = self._begun.get(line.key)
            offered = offers(line, self.about.section, self.draft)
            yield Field(line, words, typed=typed, offers=offered)

    def on_mount(self) -> None:
        # whether there is more to read is known once the words lie, which may take a moment
        self.watch(self.query_one("#form-aside"), "virtual_size", self.refresh_bindings, init=False)
        self.judge()
        self.query_one(Field).input.focus()

    def on_resize(self) -> None:
        """What has no room beside its line is known once the lines lie."""
        self.call_after_refresh(self._say)

    @property
    def fields(self) -> list[Field]:
        return list(self.query(Field))

    @property
    def _here(self) -> Field | None:
        """The line one is on; of a form that is closing, whose lines are empty by now, none."""
        above = self.focused.ancestors if self.focused is not None else ()
        return next((one for one in above if isinstance(one, Field)), None)

    # --- judging ------------------------------------------------------------------------------

    def on_input_changed(self, event: Input.Changed) -> None:
        event.stop()
        self._keep_aside()
        if self._timer is not None:
            self._timer.stop()
        self._timer = self.set_timer(PAUSE_SECONDS, self._judge_aside)

    def _keep_aside(self) -> None:
        """What is typed by now into a file, in a thread; the last one typed wins."""
        changed = {field.line.key: field.words for field in self.fields if field.changed}
        typed, turn = Typed(title=self.about.title, words=changed), self._kept.turn()
        key, kept = self.about.key, self._kept
        self.run_worker(lambda: kept.keep(key, typed, turn=turn), thread=True, group="keeping")

    def values(self) -> dict[str, Any]:
        """What is said on each line; what nobody touched stays as the file has it."""
        said = {field.line.key: (field.words, field.line) for field in self.fields if field.changed}
        kept = {field.line.key: self.about.before.get(field.line.key) for field in self.fields}
        return all_meant(said, now=self.now, kept=kept)

    def judge(self) -> None:
        """Say at once what is wrong, by line, and what was understood."""
        values = self.values()
        self._show(values, judged(self.about, values, self.draft) if self._to_judge() else {})

    def _judge_aside(self) -> None:
        """The same in a thread, so that a long year keeps no key waiting."""
        values = self.values()

        def work() -> None:
            self.post_message(self.Judged(values, judged(self.about, values, self.draft)))

        self.run_worker(work, thread=True, exclusive=True, group="judging")

    def on_form_screen_judged(self, event: Judged) -> None:
        if event.values == self.values():  # else a later judgement is on its way
            self._show(event.values, event.wrong if self._to_judge() else {})

    def _show(self, values: dict[str, Any], wrong: dict[str, Wrong]) -> None:
        self.wrong = wrong
        sorts = (value for key, value in values.items() if key.endswith("discipline"))
        discipline = str(next(sorts, None) or "")
        year = None if self.about.section == "year" else self.draft.year.span
        for field in self.fields:
            one = wrong.get(field.line.key)
            value = values[field.line.key]
            field.tell(
                understood=understood(
                    field.line, value, typed=field.words, discipline=discipline, year=year
                ),
                fault=one.text if one and (self._asked or not one.missing) else "",
                needed=bool(one and one.missing) or (field.line.required and not field.words),
            )
        self._tell_rest(values)
        self.call_after_refresh(self._show_fault_here)

    def _show_fault_here(self) -> None:
        """Scroll so far that the fault of the line one is on is read, too."""
        here = self._here
        if here is not None and here.has_class("-wrong"):
            here.scroll_visible(animate=False)

    def _to_judge(self) -> bool:
        return self._asked or any(field.changed for field in self.fields)

    def _tell_rest(self, values: dict[str, Any]) -> None:
        self._say()
        told = self.about.aside(values)
        self.query_one("#form-aside").display = bool(told)
        self.query_one("#form").set_class(bool(told), "-beside")
        words = "\n\n".join(told).splitlines()
        self.query_one("#form-words", Static).update("\n".join(clean(line) for line in words))

    def on_descendant_focus(self) -> None:
        self._say()

    def _say(self) -> None:
        """What is wrong with the whole; else what the line one is on has no room to say."""
        whole = self.wrong.get("")
        here = self._here
        told = here.hidden if here is not None else ""
        self.query_one("#form-says", Static).update(
            Content.styled(f"! {clean(whole.text)}", "$error")
            if whole
            else Content.styled(f"  {told}", "$quiet")
        )

    def action_next(self) -> None:
        """Go to the next line."""
        self.focus_next()

    def action_back(self) -> None:
        """Go to the line before."""
        self.focus_previous()

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Words beside the form are turned where they have no room."""
        if action != "read":
            return True
        return bool(self.query("#form-aside")) and self.query_one("#form-aside").max_scroll_y > 0

    def action_read(self, by: int) -> None:
        """Turn the words beside the form."""
        aside = self.query_one("#form-aside", VerticalScroll)
        (aside.scroll_page_down if by > 0 else aside.scroll_page_up)(animate=False)

    # --- writing ------------------------------------------------------------------------------

    def action_write(self) -> None:
        """Write down what you filled in; wrong lines are shown first."""
        waits = [field.input for field in self.fields]  # keys typed before may still be on the way

        def seen(one: Input) -> None:
            waits.remove(one)
            if not waits:
                self._write()

        for one in list(waits):
            one.call_later(seen, one)

    def _write(self) -> None:
        """Write it down, if it can be read so."""
        if not self.is_current:
            return  # written or left by an earlier key
        self._asked = True
        self.judge()
        if self.wrong:
            self._go_to_first_fault()
            return
        edits = self.about.make(self.values())
        if not edits:
            self.app.say("Nothing was changed.")
            self.dismiss(False)
        elif self._keep(edits):
            self.dismiss(True)

    def _go_to_first_fault(self) -> None:
        for field in self.fields:
            if field.line.key in self.wrong:
                field.input.focus()
                field.scroll_visible(animate=False)
                return

    def action_leave(self) -> None:
        """Back, without writing."""
        if not any(field.changed for field in self.fields):
            self.dismiss(False)
            return
        self.app.push_screen(Choose("Leave what you wrote here?", LEAVE), self._left)

    def _left(self, answer: str | None) -> None:
        if answer == "write":
            self._write()
        elif answer == "leave":
            self.dismiss(False)


LEFT = "as you left it unfinished; Esc throws it away"
LEAVE: Sequence[Choice] = (
    Choice("write", "Write it down"),
    Choice("leave", "Throw it away, nothing is changed"),
    Choice("stay", "Go on writing"),
)
