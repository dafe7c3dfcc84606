"""One line of a form: its label, what is typed, what was understood, and its fault beneath.

Draws and hands on what is typed; what that means is found out elsewhere.
"""

from __future__ import annotations

from collections.abc import Sequence

from rich.cells import cell_len
from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.events import Key, Paste
from textual.suggester import Suggester
from textual.widgets import Input, Static

from seasonplan.edits.forms import Line, Takes
from seasonplan.edits.said import words_of
from seasonplan.explain.entries import value_told
from tui.canvas import clean
from tui.listing import HERE
from tui.words import Words

NEEDED, UNDERSTOOD = "needed", "✓ "


class Offered(Suggester):
    """Completes the last of what is typed, where several things stand with commas between."""

    def __init__(self, words: Sequence[str]) -> None:
        super().__init__(use_cache=False, case_sensitive=True)
        self.words = tuple(words)

    async def get_suggestion(self, value: str) -> str | None:
        begun = value.rpartition(",")[2].strip()
        found = next((one for one in self.words if one.lower().startswith(begun.lower())), None)
        if not begun or found is None or found == begun:
            return None
        return value[: len(value) - len(begun)] + found


class Typing(Input):
    """Does the keys that change it, such as Backspace, as they come.

    Else they would be handed up to the application first, and keys given quickly after them, a
    letter or Enter, would be done before: Backspace would then take from the next line.
    """

    async def on_key(self, event: Key) -> None:
        for binding in self._bindings.key_to_bindings.get(event.key, ()):
            if await self.app.run_action(binding.action, self):
                event.stop()
                event.prevent_default()
                return

    def on_paste(self, event: Paste) -> None:
        """Take all that is pasted, of whatever lines, as one."""
        event.text = " ".join(event.text.split())


def _usual(line: Line) -> str:
    """What counts where nothing is said, as one would say it."""
    shares = line.takes in (Takes.SHARE, Takes.CHANCE) and line.usual is not None
    return value_told(line, line.usual) if shares else words_of(line.usual)


class Field(Vertical):
    """A line with its input. `first` are the words of the file, `typed` what was typed over."""

    def __init__(
        self, line: Line, words: str, *, typed: str | None = None, offers: Sequence[str] = ()
    ) -> None:
        super().__init__(classes="field")
        self.line, self.first, self.offers = line, words, tuple(offers)
        self._opened_with = words if typed is None else typed
        self._understood, self._needed = "", False

    def compose(self) -> ComposeResult:
        with Horizontal(classes="field-line"):
            yield Words(f"  {self.line.label}", classes="field-label", markup=False)
            yield Typing(
                self._opened_with,
                placeholder=_usual(self.line),
                suggester=Offered(self.offers) if self.offers else None,
                compact=True,
            )
            yield Words(classes="field-hint", markup=False)
        yield Words(classes="field-fault", markup=False)

    def on_mount(self) -> None:
        self.tell()

    def on_descendant_focus(self) -> None:
        self._mark(here=True)

    def on_descendant_blur(self) -> None:
        self._mark(here=False)

    def _mark(self, *, here: bool) -> None:
        self.set_class(here, "-here")
        mark = HERE if here else " "
        self.query_one(".field-label", Static).update(f"{mark} {self.line.label}")

    @property
    def hidden(self) -> str:
        """What there is no room for beside the line: its help, and what was understood."""
        room = self.query_one(".field-hint", Static).content_size.width
        told = f"{UNDERSTOOD}{self._understood}" if self._understood else self.line.help
        before = f"{NEEDED}  " if self._needed else ""
        return told if cell_len(before + told) > room else ""

    @property
    def input(self) -> Input:
        return self.query_one(Input)

    @property
    def words(self) -> str:
        return self.input.value

    @property
    def changed(self) -> bool:
        return self.words.strip() != self.first.strip()

    def tell(self, *, understood: str = "", fault: str = "", needed: bool = False) -> None:
        """Show what the words were taken for, what is wrong with them, or what is asked for."""
        self.set_class(bool(fault), "-wrong")
        hint = self.query_one(".field-hint", Static)
        self._understood = "" if fault else clean(understood)
        self._needed = needed and not fault and not self._understood
        if self._understood:
            hint.update(Content.styled(f"{UNDERSTOOD}{self._understood}", "$foreground"))
        elif self._needed:
            hint.update(Content.assemble((f"{NEEDED}  ", "$accent"), (self.line.help, "$quiet")))
        else:
            hint.update(Content.styled(self.line.help, "$quiet"))
        below = self.query_one(".field-fault", Static)
        below.display = bool(fault)
        below.update(Content.styled(f"! {clean(fault)}", "$error") if fault else "")
