"""The best year through every place of a block, worked out once for each year beside the screen.

Stateful: holds the answers for the year as it stands and the one that is being worked out. Draws
nothing.
"""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from tui.bench import Bench
from tui.jobs import Job
from tui.year.lanes import Mark

if TYPE_CHECKING:
    from seasonplan.planner.held import Held
    from seasonplan.planner.prices import PricedYear

Key = tuple[int, int, str]  # number of the plan, what the year says, what fixes the block
MOST = 3  # years with one block free each; the oldest goes first


class Prices:
    """Priced years, the last few."""

    def __init__(self, today: date) -> None:
        self._today = today
        self._known: dict[Key, PricedYear | None] = {}
        self._asked: tuple[Key, Job[PricedYear | None]] | None = None

    def held(self, mark: Mark, bench: Bench) -> tuple[bool, Held | None]:
        """Whether it is known by now, and what: nothing where the year has no plan."""
        from seasonplan.planner.held import Held

        self._take()
        key, kind = _key(mark, bench), mark.kind
        if key is None or kind is None or key not in self._known:
            return False, None
        priced = self._known[key]
        return True, Held(priced, kind, mark.span) if priced is not None else None

    def ask(self, mark: Mark, bench: Bench) -> None:
        """Begin to work it out, in place of an older question, unless it is known or asked."""
        key = _key(mark, bench)
        if key is None or key in self._known or (self._asked and self._asked[0] == key):
            return
        self.end()
        pin, today = key[2], self._today
        plan, desk, taken = bench.desk.plan, bench.desk, bench.taken
        assert plan is not None
        year, book, last = desk.year, desk.book, plan.current

        def work(_: Job[PricedYear | None]) -> PricedYear | None:
            from seasonplan.planner.held import priced_year

            free = year.without(pin) if pin else year
            found = priced_year(free, last, book=book, today=today, taken=taken)
            if found is not None:
                found.ready()
            return found

        self._asked = key, Job(work)
        self._asked[1].begin()

    def _take(self) -> None:
        if self._asked is None or not self._asked[1].done:
            return
        key, job = self._asked
        self._asked = None
        if job.error is not None:
            raise job.error
        while len(self._known) >= MOST:
            self._known.pop(next(iter(self._known)))
        self._known[key] = job.answer

    def end(self) -> None:
        """Leave what is being worked out."""
        if self._asked is not None:
            self._asked[1].end()
        self._asked = None


def _key(mark: Mark, bench: Bench) -> Key | None:
    plan, block = bench.desk.plan, bench.sheet.block(mark.key)
    if plan is None or block is None or not block.kind.chosen:
        return None
    said = hash(bench.desk.draft().text)
    return plan.current.number, said, (block.entry or "") if block.pinned else ""
