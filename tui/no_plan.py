"""Why there is no plan, and the ways out."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.content import Content
from textual.screen import ModalScreen
from textual.widgets import Static

from seasonplan.replan import NoPlan
from tui.bench import Bench
from tui.canvas import clean


class NoPlanScreen(ModalScreen[None]):
    """The conflict in words."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape,enter,q", "dismiss(None)", "Close", key_display="Esc")
    ]

    def __init__(self, answer: NoPlan, bench: Bench) -> None:
        super().__init__()
        self.answer, self.bench = answer, bench

    def compose(self) -> ComposeResult:
        from seasonplan.explain.noplan import sentences

        told = sentences(self.answer.conflict, self.bench.desk.year, book=self.bench.desk.book)
        parts = [(f"{clean(told[0])}\n", "bold $accent")]
        parts += [(f"\n{clean(text)}\n", "") for text in told[1:]]
        parts.append(
            ("\nNothing was changed. u takes your last change back. Esc closes.", "$quiet")
        )
        with VerticalScroll(id="ask"):
            yield Static(Content.assemble(*parts))
