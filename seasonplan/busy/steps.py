"""How much work the dates of an event may be: counted in steps, never in seconds.

A second is another number of dates on another machine, and then the same file would give another
plan there. A step is a day that dateutil looks at for a rule. Knows no event and no file.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from seasonplan.busy.limits import BusyLimits
from seasonplan.busy.repeats import Skip

A_LOOK = 8  # steps for each look at a rule, whatever it finds; measured, roughly


class TooMuch(Exception):
    """All events of a file together take more steps than they may."""


class Steps:
    """What is left to one event, and to the file."""

    def __init__(self, limits: BusyLimits) -> None:
        self._limits, self._of_event, self._of_file = limits, 0, 0

    def begin(self) -> None:
        """The next event begins."""
        self._of_event = 0

    def take(self, steps: int) -> None:
        """Raises Skip where an event, TooMuch where the file took too many."""
        self._of_event += steps
        self._of_file += steps
        if self._of_file > self._limits.steps:
            raise TooMuch
        if self._of_event > self._limits.steps_per_event:
            raise Skip(
                f"working out its dates takes more than {self._limits.steps_per_event:,} steps"
            )

    @contextmanager
    def counted(self) -> Iterator[None]:
        """Inside the block every rule that dateutil follows is counted."""
        from dateutil import rrule  # type: ignore[import-untyped]  # has no types

        plain: Any = rrule._iterinfo  # asked once for each period
        take = self.take

        class Counted(plain):  # type: ignore[misc]  # its class is known at run time only
            def _paid(self, found: tuple[Any, int, int]) -> tuple[Any, int, int]:
                take(A_LOOK + (found[2] - found[1]) * max(1, len(self.rrule._timeset or ())))
                return found

            def ydayset(self, *day: int) -> tuple[Any, int, int]:
                return self._paid(super().ydayset(*day))

            def mdayset(self, *day: int) -> tuple[Any, int, int]:
                return self._paid(super().mdayset(*day))

            def wdayset(self, *day: int) -> tuple[Any, int, int]:
                return self._paid(super().wdayset(*day))

            def ddayset(self, *day: int) -> tuple[Any, int, int]:
                return self._paid(super().ddayset(*day))

        rrule._iterinfo = Counted
        try:
            yield
        finally:
            rrule._iterinfo = plain
