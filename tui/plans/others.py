"""Years nearly as good as the plan, under one another; one of them can be looked at and taken."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.content import Content
from textual.screen import ModalScreen
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from seasonplan.explain.others_told import WITHIN, drawn, year_text
from seasonplan.planning.proposal import Proposal
from tui.canvas import clean
from tui.listing import Listing

HEAD = f"Other years nearly as good ({WITHIN}), the most different first"
MARKED = "▔ days of another kind than in your plan"


class OtherYears(ModalScreen[int | None]):
    """Answers with the number of the year that is to be looked at, from 0."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape", "none", "Back")]

    def __init__(self, found: Sequence[Proposal], none: str) -> None:
        """`none` says that there is no other year, where nothing was found."""
        super().__init__()
        self.found, self.none = tuple(found), none

    def compose(self) -> ComposeResult:
        with Vertical(id="other-years"):
            yield Static(Content.styled(HEAD, "bold $accent"))
            yield Static(id="years-drawn", markup=False)
            yield Static(Content.styled(MARKED if self.found else self.none, "$quiet"))
            yield Listing(
                *(
                    Option(Content(f"  {clean(year_text(number, one))}"), id=str(number - 2))
                    for number, one in enumerate(self.found, start=2)
                )
            )
            keys = "↑ ↓ and Enter looks at it; Esc goes back" if self.found else "Esc goes back"
            yield Static(Content.styled(keys, "$quiet"))

    def on_mount(self) -> None:
        self.query_one(OptionList).focus()

    def on_resize(self) -> None:
        self.call_after_refresh(self._draw)

    def _draw(self) -> None:
        view = self.query_one("#years-drawn", Static)
        room = view.content_size.width or self.size.width - 6
        view.update("\n".join(drawn(self.found, width=room, unicode=True)))

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        self.dismiss(int(event.option_id or 0))

    def action_none(self) -> None:
        self.dismiss(None)
