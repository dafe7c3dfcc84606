"""The command palette: everything that can be done here, by its words."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from textual.command import DiscoveryHit, Hit, Hits, Provider

from tui.themes import NAMES

if TYPE_CHECKING:
    from textual.binding import Binding


class OurCommands(Provider):
    """Every key that works on this screen, and the colours."""

    def _all(self) -> Iterator[tuple[str, str, str]]:
        """Words, what runs, and help."""
        seen = set()
        for _node, binding, enabled, tooltip in self.screen.active_bindings.values():
            if enabled and binding.description and binding.action not in seen:
                seen.add(binding.action)
                yield binding.description, binding.action, tooltip or _key(self, binding)
        for name, words in NAMES.items():
            yield f"Colours: {words}", f"app.paper('{name}')", "Take these colours"

    async def discover(self) -> Hits:
        for words, action, more in self._all():
            yield DiscoveryHit(words, self._run(action), help=more)

    async def search(self, query: str) -> Hits:
        matcher = self.matcher(query)
        for words, action, more in self._all():
            score = matcher.match(words)
            if score > 0:
                yield Hit(score, matcher.highlight(words), self._run(action), help=more)

    def _run(self, action: str):  # type: ignore[no-untyped-def]
        async def run() -> None:
            focused = self.screen.focused or self.screen
            await self.app.run_action(action, focused)

        return run


def _key(provider: Provider, binding: Binding) -> str:
    return f"Key {provider.app.get_key_display(binding)}"
