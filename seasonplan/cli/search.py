"""Waits for the planner: tells its progress on stderr, and stops on Ctrl-C."""

from __future__ import annotations

import os
import signal
import sys
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from time import monotonic
from typing import Generic, NoReturn, TypeVar

import typer

from seasonplan.cli.exits import Exit
from seasonplan.cli.screen import Screen

Answer = TypeVar("Answer")
TICK_SECONDS = 0.1
LINE_SECONDS, SAME_LINE_SECONDS = 1.0, 5.0


class Ticker:
    """One line rewritten on a terminal; elsewhere and in plain mode a line now and then."""

    def __init__(self, screen: Screen) -> None:
        self._screen = screen
        self._rewrites = sys.stderr.isatty() and not screen.plain
        self._start = self._last = monotonic()
        self._told = ""

    def tick(self, text: str) -> None:
        """Tell how it stands, if it is time; nothing in the first second."""
        seconds = monotonic() - self._start
        if seconds < LINE_SECONDS:
            return
        line = self._screen.clean(f"{text} ({seconds:.0f} s)")
        if self._rewrites:
            typer.echo("\r\x1b[2K" + line[: self._screen.width - 1], err=True, nl=False)
            self._told = text
            return
        wait = SAME_LINE_SECONDS if text == self._told else LINE_SECONDS
        if not self._told or monotonic() - self._last >= wait:
            typer.echo(line, err=True)
            self._last, self._told = monotonic(), text

    def clear(self) -> None:
        """Take the rewritten line away."""
        if self._rewrites and self._told:
            typer.echo("\r\x1b[2K", err=True, nl=False)


class Search(Generic[Answer]):
    """Work in a thread of its own. The first Ctrl-C sets `stop`, the second leaves at once.

    `stopped` says whether there was one; the planner clears the event itself.
    """

    def __init__(self, work: Callable[[], Answer], *, stop: threading.Event) -> None:
        self.stopped = False
        self._work = work
        self._stop = stop
        self._done = threading.Event()
        self._answer: Answer | None = None
        self._error: BaseException | None = None

    def wait(self, ticker: Ticker, text: Callable[[], str]) -> Answer:
        """The answer of the work, or its error raised here."""
        thread, begun = threading.Thread(target=self._run, daemon=True), False
        while True:
            try:
                if not begun:
                    with _uninterrupted():
                        begun = True
                        thread.start()
                # not join(): after an interrupt it takes a living thread for a dead one
                while not self._done.wait(TICK_SECONDS):
                    ticker.tick(text())
                break
            except KeyboardInterrupt:
                try:
                    ticker.clear()
                    self._catch_stop()
                except KeyboardInterrupt:  # the second came while the first was being answered
                    _leave()
        ticker.clear()
        if self._error is not None:
            raise self._error
        return self._answer  # type: ignore[return-value]  # set wherever there is no error

    def _run(self) -> None:
        try:
            self._answer = self._work()
        except BaseException as error:
            self._error = error
        finally:
            self._done.set()

    def _catch_stop(self) -> None:
        if self.stopped:
            _leave()
        self.stopped = True
        self._stop.set()
        typer.echo("Stopping; press Ctrl-C once more to leave at once.", err=True)


def searched(
    screen: Screen, work: Callable[[threading.Event], Answer], told: Callable[[], str]
) -> tuple[Answer, bool]:
    """The answer of work that can be stopped, and whether it was; `told` is how it stands."""
    stop = threading.Event()
    search = Search(lambda: work(stop), stop=stop)
    return search.wait(Ticker(screen), told), search.stopped


@contextmanager
def _uninterrupted() -> Iterator[None]:
    """Ctrl-C waits until the end of it: one in the middle of starting a thread would be lost."""
    came: list[int] = []
    before = signal.signal(signal.SIGINT, lambda number, _: came.append(number))
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, before)
    if came:
        raise KeyboardInterrupt


def _leave() -> NoReturn:
    """A plain exit would wait for, or crash in, the solver's thread."""
    typer.echo("Stopped.", err=True)
    sys.stdout.flush()
    os._exit(Exit.STOPPED)
