"""The line at the bottom: the keys that matter most here, as many as there is room for."""

from __future__ import annotations

from typing import Protocol, runtime_checkable

from textual import events
from textual.binding import Binding
from textual.content import Content
from textual.widget import Widget
from textual.widgets import Input

FIRST = (
    "accept", "refuse", "let_go", "leave_it", "rate", "not_done",
    "write", "keep", "change", "fill_in", "switch", "timer",
    "chances", "why", "done", "free", "add", "plan", "calendar", "hold",
    "move(-1)", "move(1)", "end(1)", "pin", "undo", "skip", "missed", "log", "zoom(0)",
)  # fmt: skip

NARROW = 60
_FIND = ("^P", Binding("ctrl+p", "app.command_palette", "Find"))
_ALWAYS = [
    ("?", Binding("question_mark", "app.help", "Keys")),
    ("q", Binding("q", "app.quit", "Leave")),
]
_TYPED = [("F1", Binding("f1", "app.help", "Keys"))]  # where letters go into the line


@runtime_checkable
class Offers(Protocol):
    """What knows which of its keys do something for what is chosen there."""

    def offers(self, action: str) -> bool: ...


class Hints(Widget):
    """Made from the shown bindings of what is focused; the way to all keys is always last."""

    can_focus = False

    def on_mount(self) -> None:
        self.screen.bindings_updated_signal.subscribe(self, lambda _: self.refresh())

    @property
    def _gap(self) -> int:
        """Columns between two of them."""
        return 3 if self.size.width >= NARROW else 2

    def _shown(self) -> list[tuple[str, Binding]]:
        """Key and binding, what changes the plan before what turns the view."""
        found: dict[str, tuple[str, Binding]] = {}
        for node, binding, enabled, _ in self.screen.active_bindings.values():
            offered = not isinstance(node, Offers) or node.offers(binding.action)
            if binding.show and enabled and offered and _is_own(self, node, binding):
                key = self.app.get_key_display(binding)
                found.setdefault(binding.action, (key, binding))
        return sorted(found.values(), key=_rank)

    @property
    def _tail(self) -> list[tuple[str, Binding]]:
        """The way to all keys; where there is room also to everything by its name."""
        if isinstance(self.screen.focused, Input):
            return _TYPED
        return _ALWAYS if self.size.width < NARROW else [_FIND, *_ALWAYS]

    def _fitting(self) -> list[tuple[str, Binding]]:
        tail = self._tail
        room = self.size.width - sum(_width(*one, self._gap) for one in tail) - 1
        fitting: list[tuple[str, Binding]] = []
        for one in self._shown():
            room -= _width(*one, self._gap)
            if room < 0:
                break
            fitting.append(one)
        return [*fitting, *tail]

    def render(self) -> Content:
        parts: list[tuple[str, str]] = [(" ", "")]
        for key, binding in self._fitting():
            parts += [(key, "bold $accent"), (f" {binding.description}{' ' * self._gap}", "")]
        return Content.assemble(*parts)

    async def on_click(self, event: events.Click) -> None:
        at = 1
        for key, binding in self._fitting():
            width = _width(key, binding, self._gap)
            if at <= event.x < at + width - self._gap:
                await self.app.run_action(binding.action, self.screen.focused or self.screen)
                return
            at += width


def _is_own(hints: Hints, node: object, binding: Binding) -> bool:
    return not binding.system and node is not hints.app


def _width(key: str, binding: Binding, gap: int) -> int:
    return len(key) + 1 + len(binding.description) + gap


def _rank(one: tuple[str, Binding]) -> int:
    action = one[1].action
    return FIRST.index(action) if action in FIRST else len(FIRST)
