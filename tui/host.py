"""What every screen may ask of the app that shows it: the day, a word to say, another folder."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, datetime
from pathlib import Path

from textual.app import App

from seasonplan.workspace import clock
from tui.hints import Hints
from tui.said_line import SaidLine
from tui.spoken import spoken


class Host(App[int]):
    """The app as its screens know it; which screens there are is for the app itself."""

    def __init__(
        self, folder: Path, *, today: date | None, stamp: Callable[[], datetime] = clock.stamp
    ) -> None:
        super().__init__()
        self.folder = folder
        self.leaving = False
        self.said: list[str] = []  # every short word so far
        self._today = today
        self.stamp = stamp

    def today(self, zone: str = "UTC") -> date:
        return self._today or clock.today(zone)

    def open(self, folder: Path, *, plan: bool = False) -> None:
        """Show the year of a folder; `plan` makes a plan at once."""
        raise NotImplementedError

    def unsay(self) -> None:
        """Take away what was said on every screen: it was of something that is so no longer."""
        for screen in self.screen_stack:
            for line in screen.query(SaidLine):
                line.unsay()

    def say(self, text: str, *, grave: bool = False) -> None:
        """A short word above the keys, on every screen that is open: the upper one may close."""
        told = spoken(text)
        self.said.append(told)
        for screen in self.screen_stack:
            if not type(screen).__module__.startswith("tui"):
                continue
            line = next(iter(screen.query(SaidLine)), None)
            if line is None:
                line = SaidLine()
                screen.mount(line, before=next(iter(screen.query(Hints)), None))
            line.say(told, grave=grave)
