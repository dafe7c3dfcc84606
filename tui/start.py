"""An empty folder: begin a year, or look at one that comes with the program."""

from __future__ import annotations

from pathlib import Path
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.content import Content
from textual.screen import Screen
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from seasonplan.edits import AnEdit
from seasonplan.errors import CannotWrite, ChangedOnDisk
from seasonplan.year.fresh import usual_zone
from tui.examples import EXAMPLES, copy_into, folder_of
from tui.forms.unfinished import KEY, Unfinished
from tui.hints import Hints
from tui.host import Host
from tui.listing import Hanging, Listing

BEGIN = KEY
QUESTIONS = "a few questions, then the first plan"
WELCOME = (
    "This plans a climbing year: when to build a base, when to get strong, when to climb, when to "
    "rest. You say when your rock is good and how much time you have; it places the blocks and "
    "tells you why."
)


class StartScreen(Screen[None]):
    """The first thing a newcomer sees."""

    app: Host
    BINDINGS: ClassVar[list[BindingType]] = [Binding("enter", "choose", "Open", show=True)]

    def __init__(self, folder: Path) -> None:
        super().__init__()
        self.folder = folder

    def compose(self) -> ComposeResult:
        with Vertical(id="start"):
            yield Static(Content.styled("A year on the wall", "bold $accent"))
            yield Static(Content(WELCOME), id="welcome")
            yield Hanging(*self._options(), id="start-list")
            told = f"↑ ↓ and Enter. Your files will be in {self.folder.resolve()}"
            yield Static(Content.styled(told, "$quiet"))
        yield Hints()

    def on_mount(self) -> None:
        self.query_one(OptionList).focus()

    def _options(self) -> list[Option | None]:
        shown: list[Option | None] = [Option(self._begin(), id=BEGIN), None]
        for example in EXAMPLES:
            if folder_of(example) is not None:
                told = Content.assemble(
                    f"  Example: {example.title}", (f"\n    {example.more}", "$quiet")
                )
                shown.append(Option(told, id=example.name))
        return shown

    def _begin(self) -> Content:
        begun = KEY in Unfinished(self.folder).all()
        return Content.assemble(
            (f"  {'Go on with my year' if begun else 'Begin my year'}", "bold"),
            (f"\n    {'what you typed is still there' if begun else QUESTIONS}", "$quiet"),
        )

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        if event.option_id == BEGIN:
            self._ask()
            return
        example = next(one for one in EXAMPLES if one.name == event.option_id)
        try:
            copied = copy_into(example, self.folder)
        except CannotWrite as error:
            self.app.say(str(error), grave=True)
            return
        self.app.open(copied)
        self.app.say(f"A copy in {copied}: change what you like.")

    def _ask(self) -> None:
        """The questions of a first year; what is typed outlives a dead terminal."""
        from tui.forms.begin import first_draft, first_form, write_year
        from tui.forms.screen import FormScreen

        today = self.app.today(usual_zone())
        draft = first_draft(today)

        def keep(edits: list[AnEdit]) -> bool:
            try:
                write_year(self.folder, draft, edits)
            except (CannotWrite, ChangedOnDisk) as error:
                self.app.say(f"{error} Nothing was written.", grave=True)
                return False
            return True

        kept = Unfinished(self.folder)
        form = FormScreen(first_form(draft), draft, keep, today=today, kept=kept)
        self.app.push_screen(form, self._begun)

    def action_choose(self) -> None:
        """Open what is pointed at."""
        self.query_one(OptionList).action_select()

    def _begun(self, written: bool | None) -> None:
        Unfinished(self.folder).drop(KEY)
        if written:
            self.app.open(self.folder, plan=True)
        else:
            view = self.query_one(Listing)
            view.fill(self._options(), view.highlighted or 0)
