"""What moving a block, or leaving it out, would cost: asked once for each plan, beside the screen.

Stateful: holds the answers and the one question that is being asked. Draws nothing.
"""

from __future__ import annotations

import threading
from datetime import date

from seasonplan.plan import Block
from tui.bench import Bench
from tui.jobs import Job
from tui.year.lanes import Lane, Mark
from tui.year.named import without_ids

ASK = "Press w to ask: this block earlier or later, longer or shorter, another, or left out."
STALE = "The year was changed since this plan: press r to plan anew, then w."
TURN_SECONDS = 0.9  # after which the seconds of a question are told anew
Key = tuple[int, str]  # number of the plan, id of the block


class Costs:
    """Answers for blocks of the plan in force."""

    def __init__(self, today: date) -> None:
        self._today = today
        self._known: dict[Key, list[str]] = {}
        self._asked: tuple[Key, Job[list[str]]] | None = None
        self._told_seconds = 0.0

    def of(self, mark: Mark, bench: Bench) -> list[str]:
        """What is known of a mark by now, or how it is found out; nothing but of blocks."""
        key = _key(mark, bench)
        if key is None:
            return []
        if bench.desk.lags:
            return [STALE]
        if key in self._known:
            return self._known[key]
        if self._asked is not None and self._asked[0] == key:
            return [f"Weighing every other year… {self._asked[1].seconds:.0f} s"]
        return [ASK]

    def ask(self, mark: Mark, bench: Bench) -> None:
        """Begin to find out, in place of an older question, unless it is known or being asked."""
        key, block = _key(mark, bench), bench.sheet.block(mark.key)
        if key is None or block is None or bench.desk.lags or key in self._known:
            return
        if self._asked is not None and self._asked[0] == key:
            return
        self.end()
        job = Job(lambda job: _reasons(bench, block, self._today, job.stop))
        self._asked, self._told_seconds = (key, job), 0.0
        job.begin()

    def tick(self) -> bool:
        """Whether there is something to tell anew."""
        if self._asked is None:
            return False
        key, job = self._asked
        if not job.done:
            turned = job.seconds - self._told_seconds >= TURN_SECONDS
            self._told_seconds = job.seconds if turned else self._told_seconds
            return turned
        self._asked = None
        self._known[key] = job.answer or [f"That could not be found out: {job.error}"]
        return True

    def end(self) -> None:
        """Leave what is being asked."""
        if self._asked is not None:
            self._asked[1].end()
        self._asked = None


def _key(mark: Mark, bench: Bench) -> Key | None:
    plan = bench.desk.plan
    if mark.lane is not Lane.PLAN or plan is None:
        return None
    block = bench.sheet.block(mark.key)
    if block is not None and not block.kind.chosen:  # the year gives it, the plan has no choice
        return None
    return plan.current.number, mark.key


def _reasons(bench: Bench, block: Block, today: date, stop: threading.Event) -> list[str]:
    """Plans again; slow, and loads the solver."""
    from seasonplan.explain.why import why
    from seasonplan.explain.why_told import prices
    from seasonplan.explain.worth_told import WITH_FORM

    plan = bench.desk.plan
    assert plan is not None
    year, book = bench.desk.year_as_tested, bench.desk.book
    reason = why(year, plan.current, block, book=book, today=today, taken=bench.taken, stop=stop)
    told = [without_ids(text, bench.blocks) for text in prices(reason)]
    return [*told, WITH_FORM] if reason.others else told
