"""What is wrong with the files of a folder, all at once, and a way to read them again."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.content import Content
from textual.screen import Screen
from textual.widgets import Static

from seasonplan.errors import BadInput
from tui.canvas import clean
from tui.hints import Hints
from tui.host import Host


class FaultsScreen(Screen[None]):
    """The faults, as the command line tells them."""

    app: Host
    BINDINGS: ClassVar[list[BindingType]] = [Binding("r", "again", "Read again")]

    def __init__(self, error: BadInput) -> None:
        super().__init__()
        self.error = error

    def compose(self) -> ComposeResult:
        with VerticalScroll(id="faults"):
            yield Static(Content.assemble(*self._parts()), id="fault-list")
        yield Hints()

    def _parts(self) -> list[tuple[str, str]]:
        count = len(self.error.faults)
        head = "One thing in your files" if count == 1 else f"{count} things in your files"
        told = [(f"{head} cannot be read.\n", "bold $accent")]
        told.append(("Nothing is lost: put it right in an editor, then press r.\n", "$quiet"))
        for fault in self.error.faults:
            told.append((f"\n! {clean(str(fault))}\n", ""))
        return told

    def action_again(self) -> None:
        """Read the folder again."""
        self.app.open(self.app.folder)
