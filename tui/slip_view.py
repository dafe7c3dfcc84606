"""The slip under the sheet: what is pointed at, why it is there, what moving it would cost."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from textual.app import ComposeResult
from textual.containers import Horizontal, VerticalScroll
from textual.content import Content
from textual.widgets import Static

from seasonplan.explain.slip import Slip
from tui.canvas import clean
from tui.words import Words

Part = tuple[str, str]
Headed = tuple[str, Sequence[str]]
STAYS = "This may stay so for now. r plans anew around it"


@dataclass(frozen=True, slots=True)
class Told:
    """Everything on a slip. `broken` are breaks of rules here, `bent` are preferences not met.

    `parts` are heads with their lines, told on the left under the days; `beside` and `after` on
    the right, above and below what moving it would cost. `undo`: u takes the last change back.
    """

    sign: str
    slip: Slip
    broken: Sequence[str] = ()
    elsewhere: Sequence[str] = ()
    bent: Sequence[str] = ()
    cost: Sequence[str] = ()
    head: str = "What another choice would cost"
    parts: Sequence[Headed] = ()
    beside: Sequence[Headed] = ()
    after: Sequence[Headed] = ()
    undo: bool = False


class SlipView(VerticalScroll):
    """Two columns where there is room, one under the other where not."""

    _last: Slip | None = None

    def compose(self) -> ComposeResult:
        with Horizontal(id="slip"):
            yield Words(id="slip-what", markup=False)
            yield Words(id="slip-why", markup=False)

    def tell(self, told: Told) -> None:
        self.query_one("#slip-what", Static).update(Content.assemble(*_what(told)))
        self.query_one("#slip-why", Static).update(Content.assemble(*_why(told)))
        if told.slip != self._last:
            self._last = told.slip
            self.scroll_home(animate=False)

    def turn_to_cost(self) -> None:
        """Bring what moving it would cost into view, where that lies below."""
        self.call_after_refresh(
            self.scroll_to_widget, self.query_one("#slip-why"), top=True, animate=False
        )


def _what(told: Told) -> Iterable[Part]:
    yield f"{told.sign} {clean(told.slip.title)}", "bold $accent"
    yield f"\n{told.slip.days}", "$quiet"
    for text in told.broken:
        yield f"\n! {clean(text)}", "bold $error"
    for text in told.elsewhere:
        yield f"\n! Elsewhere: {clean(text)}", "$error"
    if told.broken or told.elsewhere:
        back = ", u takes it back." if told.undo else "."
        yield f"\n{STAYS}{back}\n", "$quiet"
    for text in told.slip.why:
        yield f"\n{clean(text)}", ""
    for head, lines in told.parts:
        if lines:
            yield f"\n\n{head}", "bold"
            yield "".join(f"\n{clean(line)}" for line in lines), ""


def _why(told: Told) -> Iterable[Part]:
    first = True
    for heading, texts in (
        *told.beside,
        (told.head, told.cost),
        *told.after,
        ("Preferences not met here", told.bent),
        ("What it asks" if told.cost else "", told.slip.told),
    ):
        if not texts:
            continue
        lead = "" if first else "\n\n"
        if heading:
            yield f"{lead}{heading}\n", "bold"
            lead = ""
        first = False
        yield lead + "\n".join(clean(text) for text in texts), ""
