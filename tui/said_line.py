"""What was just said, on lines of its own above the keys: pages take them from slip or list."""

from __future__ import annotations

from textwrap import wrap
from time import monotonic

from textual.content import Content
from textual.widgets import Static

from tui.listing import HERE

SECONDS, MOST = 10.0, 3
LINES = 6  # as `max-height` in look.tcss
LEAST = 3  # in a low window, so that what one looks at stays in view


class SaidLine(Static):
    """The last few things that were said; gone after a while, unless something is held."""

    def __init__(self) -> None:
        super().__init__(markup=False)
        self.display = False
        self._said: list[tuple[float, str, bool]] = []

    def say(self, text: str, *, grave: bool) -> None:
        """Say one thing more; what is said again is said once."""
        kept = [one for one in self._said if one[1] != text]
        self._said = [*kept, (monotonic(), text, grave)][-MOST:]
        self._draw()
        self.set_timer(SECONDS, self._forget)

    def unsay(self) -> None:
        """Take away what was said: it is so no longer."""
        self._said.clear()
        self._draw()

    def _height(self, said: tuple[float, str, bool]) -> int:
        """Lines that words take at most: one that is longer than a line begins on its own."""
        room = max(20, self.app.size.width - 6)
        long = sum(len(word) > room // 2 for word in said[1].split())
        return len(wrap(said[1], room, break_on_hyphens=False)) + long

    def _forget(self) -> None:
        """Take away what was said long ago; never under a hand that drags."""
        if self.app.mouse_captured is not None:
            self.set_timer(1.0, self._forget)
            return
        self._said = [one for one in self._said if monotonic() - one[0] < SECONDS - 0.5]
        self._draw()

    def _draw(self) -> None:
        """What was said last is always seen: older words give way where there is no room."""
        room = min(LINES, max(LEAST, self.app.size.height // 6))
        while len(self._said) > 1 and sum(map(self._height, self._said)) > room:
            self._said.pop(0)
        self.display = bool(self._said)
        parts: list[tuple[str, str]] = []
        for _, text, grave in self._said:
            parts.append(("\n" if parts else "", ""))
            parts.append(
                ("! " if grave else f"{HERE} ", "bold $error" if grave else "bold $accent")
            )
            parts.append((text, ""))
        self.update(Content.assemble(*parts))
