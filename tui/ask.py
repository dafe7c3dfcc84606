"""Small questions over the page: choose one of a few, or yes and no."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical, VerticalScroll
from textual.content import Content
from textual.screen import ModalScreen
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from tui.listing import Hanging


@dataclass(frozen=True, slots=True)
class Choice:
    """One answer: what is returned, the words, and what it means."""

    key: str
    title: str
    more: str = ""


class Choose(ModalScreen[str | None]):
    """A question with a few answers; Escape is none of them."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "none", "Back"),
        Binding("space,shift+down", "read(1)", "Read on above", show=False),
        Binding("shift+up", "read(-1)", "Read back above", show=False),
    ]

    def __init__(self, question: str, choices: Sequence[Choice], *, about: str = "") -> None:
        super().__init__()
        self.question, self.choices, self.about = question, tuple(choices), about

    def compose(self) -> ComposeResult:
        with Vertical(id="ask"):
            with VerticalScroll(id="ask-words", can_focus=False):
                yield Static(Content.styled(self.question, "bold $accent"))
                if self.about:
                    yield Static(Content(self.about), id="ask-about")
            yield Hanging(*(Option(_told(choice), id=choice.key) for choice in self.choices))
            yield Static(Content.styled("↑ ↓ and Enter; Esc goes back", "$quiet"))

    def on_mount(self) -> None:
        self.query_one(OptionList).focus()

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        self.dismiss(event.option_id)

    def action_read(self, by: int) -> None:
        """Turn the words above the answers, where a small window has no room for all."""
        words = self.query_one("#ask-words", VerticalScroll)
        (words.scroll_page_down if by > 0 else words.scroll_page_up)(animate=False)

    def action_none(self) -> None:
        self.dismiss(None)


def _told(choice: Choice) -> Content:
    """The title behind a place for the sign of the chosen one."""
    more = (f"\n    {choice.more}", "$quiet") if choice.more else ""
    return Content.assemble(f"  {choice.title}", more)
