"""The command palette: everything that can be done or gone to here, by its words."""

from __future__ import annotations

from collections.abc import Awaitable, Callable, Iterator
from typing import TYPE_CHECKING, Protocol, runtime_checkable

from textual.command import CommandPalette, DiscoveryHit, Hit, Hits, Provider

from tui.help import is_ours
from tui.themes import NAMES

if TYPE_CHECKING:
    from textual.binding import Binding

    from tui.find import Found

IN_FULL = {  # what the line at the bottom has room for a word of
    "calendar": "Calendar for the phone (export)",
    "hold": "Carry the block (hold it and let it go)",
    "others": "Other years nearly as good",
    "poster": "Poster for the wall",
    "log": "Log pain, a test, your weight, a note or a session",
}
ASKED = "What you look for, by its name"
NOTHING, TRY = "Nothing here has that name", "Esc leaves; fewer letters find more"
MOST_FIRST = 40  # shown before anything is typed


@runtime_checkable
class Known(Protocol):
    """A screen of which every thing can be gone to by name."""

    def things(self) -> Iterator[Found]: ...


class Finder(CommandPalette):
    """The palette in our words, without a picture before them."""

    def __init__(self) -> None:
        super().__init__(placeholder=ASKED, id="--command-palette")


class OurCommands(Provider):
    """Every key that works on this screen, every thing of the year by its name, the colours."""

    def _all(self) -> Iterator[tuple[str, str, str]]:
        """Words, what runs, and help."""
        seen = set()
        for node, binding, enabled, tooltip in self.screen.active_bindings.values():
            if enabled and is_ours(node, binding) and binding.action not in seen:
                seen.add(binding.action)
                words = IN_FULL.get(binding.action, binding.description)
                yield words, binding.action, tooltip or _key(self, binding)
        for name, words in NAMES.items():
            yield f"Colours of the theme: {words}", f"app.paper('{name}')", "Take these colours"
        for found in self.screen.things() if isinstance(self.screen, Known) else ():
            yield found.name, found.action, found.what

    async def discover(self) -> Hits:
        for words, action, more in list(self._all())[:MOST_FIRST]:
            yield DiscoveryHit(words, self._run(action), help=more)

    async def search(self, query: str) -> Hits:
        matcher, found = self.matcher(query), False
        for words, action, more in self._all():
            score = matcher.match(words)
            if score > 0:
                found = True
                yield Hit(score, matcher.highlight(words), self._run(action), help=more)
        if not found:
            yield Hit(1.0, NOTHING, _nothing, help=TRY)

    def _run(self, action: str) -> Callable[[], Awaitable[None]]:
        async def run() -> None:
            focused = self.screen.focused or self.screen
            method = f"action_{action.partition('(')[0]}"
            owners = (one for one in focused.ancestors_with_self if hasattr(one, method))
            await self.app.run_action(action, next(owners, focused))

        return run


async def _nothing() -> None:
    """What nothing was found for does."""


def _key(provider: Provider, binding: Binding) -> str:
    return f"Key {provider.app.get_key_display(binding)}"
