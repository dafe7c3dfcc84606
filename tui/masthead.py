"""The line at the top: the pages by their numbers, and how the plan stands."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from textual import events
from textual.content import Content
from textual.message import Message
from textual.reactive import reactive
from textual.widget import Widget

from tui.canvas import shortened


@dataclass(frozen=True, slots=True)
class Tab:
    """A page: its number key, id and name."""

    key: str
    page: str
    name: str


class Masthead(Widget):
    """Pages on the left, the plan's standing on the right."""

    current: reactive[str] = reactive("")
    standing: reactive[str] = reactive("")

    class Turned(Message):
        """Another page was asked for with the mouse."""

        def __init__(self, page: str) -> None:
            super().__init__()
            self.page = page

    def __init__(self, tabs: Sequence[Tab]) -> None:
        super().__init__()
        self.tabs = tuple(tabs)

    def render(self) -> Content:
        parts: list[Content] = []
        for tab in self.tabs:
            here = tab.page == self.current
            text = self._text(tab)
            parts.append(Content.styled(text, "bold $accent underline" if here else "$quiet"))
        left = Content("").join(parts)
        if self.size.height > 1:  # a narrow window has no room beside them
            return Content.assemble(
                left, "\n ", (shortened(self.standing, self.size.width - 2), "")
            )
        room = self.size.width - left.cell_length
        told = shortened(self.standing, room)
        return Content.assemble(left, " " * max(0, room - len(told)), (told, "$foreground"))

    def _text(self, tab: Tab) -> str:
        """A tab with room around it, or less where else something would not fit."""
        whole = sum(len(one.key) + len(one.name) + 3 for one in self.tabs)
        beside = 0 if self.size.height > 1 else len(self.standing) + 1
        return f"{'' if whole + beside > self.size.width else ' '}{tab.key} {tab.name} "

    def on_click(self, event: events.Click) -> None:
        if event.y:
            return
        at = 0
        for tab in self.tabs:
            width = len(self._text(tab))
            if at <= event.x < at + width:
                self.post_message(self.Turned(tab.page))
            at += width
