"""The command palette: everything that can be done or gone to here, by its words."""

from __future__ import annotations

from collections.abc import Awaitable, Callable, Iterator
from typing import TYPE_CHECKING, Protocol, runtime_checkable

from textual.command import DiscoveryHit, Hit, Hits, Provider

from tui.help import is_ours
from tui.themes import NAMES

if TYPE_CHECKING:
    from textual.binding import Binding
    from textual.dom import DOMNode

    from tui.find import Found

MOST_FIRST = 40  # shown before anything is typed


@runtime_checkable
class Known(Protocol):
    """A screen of which every thing can be gone to by name."""

    def things(self) -> Iterator[Found]: ...


class OurCommands(Provider):
    """Every key that works on this screen, every thing of the year by its name, the colours."""

    def _all(self) -> Iterator[tuple[str, str, str, DOMNode]]:
        """Words, what runs, help, and what it runs on."""
        focused = self.screen.focused or self.screen
        seen = set()
        for node, binding, enabled, tooltip in self.screen.active_bindings.values():
            if enabled and is_ours(node, binding) and binding.action not in seen:
                seen.add(binding.action)
                yield binding.description, binding.action, tooltip or _key(self, binding), node
        for name, words in NAMES.items():
            theme = f"Colours of the theme: {words}"
            yield theme, f"app.paper('{name}')", "Take these colours", focused
        for found in self.screen.things() if isinstance(self.screen, Known) else ():
            yield found.name, found.action, found.what, focused

    async def discover(self) -> Hits:
        for words, action, more, node in list(self._all())[:MOST_FIRST]:
            yield DiscoveryHit(words, self._run(action, node), help=more)

    async def search(self, query: str) -> Hits:
        matcher = self.matcher(query)
        for words, action, more, node in self._all():
            score = matcher.match(words)
            if score > 0:
                yield Hit(score, matcher.highlight(words), self._run(action, node), help=more)

    def _run(self, action: str, node: DOMNode) -> Callable[[], Awaitable[None]]:
        async def run() -> None:
            await self.app.run_action(action, node)

        return run


def _key(provider: Provider, binding: Binding) -> str:
    return f"Key {provider.app.get_key_display(binding)}"
