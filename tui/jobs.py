"""Work in a thread of its own, with a stop: the planner and the questions put to it.

Not a worker of Textual's: those are waited for at the end, and a search must never keep a
climber from leaving. What comes too late is thrown away with its job.
"""

from __future__ import annotations

import os
import sys
import threading
from collections.abc import Callable
from time import monotonic
from typing import Generic, TypeVar

Answer = TypeVar("Answer")
LEAVE_SECONDS = 1.0
_alive: list[threading.Thread] = []


class Job(Generic[Answer]):
    """One piece of work."""

    def __init__(self, work: Callable[[Job[Answer]], Answer]) -> None:
        self.stop = threading.Event()
        self.answer: Answer | None = None
        self.error: BaseException | None = None
        self.stopped = False
        self.stage = ""  # what it is at, where that is worth telling
        self._work = work
        self._start = monotonic()
        self._done = threading.Event()

    def begin(self) -> None:
        thread = threading.Thread(target=self._run, daemon=True)
        _alive.append(thread)
        thread.start()

    def end(self) -> None:
        """Ask it to end."""
        self.stopped = True
        self.stop.set()

    @property
    def done(self) -> bool:
        return self._done.is_set()

    @property
    def seconds(self) -> float:
        return monotonic() - self._start

    def _run(self) -> None:
        try:
            self.answer = self._work(self)
        except BaseException as error:
            self.error = error
        finally:
            self._done.set()


def leave(code: int) -> None:
    """End the program once the threads have ended, or without them.

    A plain exit would wait for, or crash in, a solver that is still at work.
    """
    for thread in _alive:
        thread.join(LEAVE_SECONDS)
    if any(thread.is_alive() for thread in _alive):
        sys.stdout.flush()
        sys.stderr.flush()
        os._exit(code)
