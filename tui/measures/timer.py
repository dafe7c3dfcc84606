"""A timer for hangs and rests in big figures. It reads a clock that only goes forward, so that
neither a slow terminal nor a change of the hour moves it. Decides nothing.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from math import ceil
from time import monotonic
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.content import Content
from textual.screen import Screen
from textual.widgets import Digits, Static

from seasonplan.rules.tables import caution
from seasonplan.testing import Test
from seasonplan.testing.protocols import Rhythm
from tui.canvas import clean
from tui.hints import Hints
from tui.measures.clockwork import Doing, Standing, held, standing

TICK_SECONDS = 0.1  # how often it is drawn; the time is read anew each time


class TimerScreen(Screen[None]):
    """One test by the second."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("space", "run", "Start, stop"),
        Binding("0", "again", "From the start"),
        Binding("b", "bell", "Bell"),
        Binding("escape", "leave", "Back"),
    ]

    def __init__(self, test: Test, *, clock: Callable[[], float] = monotonic) -> None:
        super().__init__()
        assert test.timer is not None
        self.test, self.rhythm = test, test.timer
        self.bell = False
        self._clock = clock
        self._before = 0.0  # seconds before it was stopped last
        self._since: float | None = None
        self._told: tuple[Doing, int] | None = None

    @property
    def elapsed(self) -> float:
        """Seconds from the start, without those stopped."""
        running = self._clock() - self._since if self._since is not None else 0.0
        return self._before + running

    @property
    def running(self) -> bool:
        return self._since is not None

    def compose(self) -> ComposeResult:
        yield Static(Content.styled(clean(self.test.name), "bold $accent"), id="timer-name")
        yield Static(id="timer-what", markup=False)
        yield Digits("", id="timer-figures")
        yield Static(id="timer-more", markup=False)
        with VerticalScroll(id="timer-words", can_focus=False):
            yield Static(clean(self.test.protocol), markup=False)
            yield Static(Content.styled(f"\n{caution('fingers')}", "$quiet"), markup=False)
        yield Hints()

    def on_mount(self) -> None:
        self.set_interval(TICK_SECONDS, self.tick)
        self.tick()

    def tick(self) -> None:
        """Draw the time as it is now."""
        now = standing(self.rhythm, self.elapsed)
        self.query_one("#timer-what", Static).update(Content.styled(now.doing.value, "bold"))
        self.query_one("#timer-figures", Digits).update(figures(now, self.rhythm))
        self.query_one("#timer-more", Static).update(" · ".join(self._more(now)))
        if self.running and self._told not in (None, (now.doing, now.number)) and self.bell:
            self.app.bell()
        self._told = now.doing, now.number
        if now.doing is Doing.OVER and self.running:
            self._stop()

    def _more(self, now: Standing) -> Iterator[str]:
        if self.rhythm.rounds > 1:
            yield f"{now.number} of {self.rhythm.rounds}"
        elif not self.rhythm.rounds:
            yield f"hang {now.number}"
        seconds = held(self.rhythm, self.elapsed)
        if seconds and not self.running:
            yield f"held {seconds:.0f} s"
        if not self.running:
            yield "Space starts it" if not self.elapsed else "stopped"
        yield "bell on" if self.bell else "bell off"

    def action_run(self) -> None:
        """Start it, or stop it where it is."""
        if self.running:
            self._stop()
        elif standing(self.rhythm, self.elapsed).doing is not Doing.OVER:
            self._since = self._clock()
        self.tick()

    def _stop(self) -> None:
        self._before, self._since = self.elapsed, None
        self.tick()

    def action_again(self) -> None:
        """Back to the start, stopped."""
        self._before, self._since, self._told = 0.0, None, None
        self.tick()

    def action_bell(self) -> None:
        """A bell where a hang or a rest begins, or none."""
        self.bell = not self.bell
        self.tick()

    def action_leave(self) -> None:
        """Back to the tests."""
        self.dismiss(None)


def figures(now: Standing, rhythm: Rhythm) -> str:
    """Such as "0:07": whole seconds that are left, or that have passed where the end is open."""
    counts_up = now.doing is Doing.HANG and not rhythm.hang_seconds
    seconds = int(now.seconds) if counts_up else ceil(now.seconds - 1e-9)
    return f"{seconds // 60}:{seconds % 60:02d}"
