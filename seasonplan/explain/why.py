"""Why each block stands where it stands: the best year with it changed, for all blocks at once.

The planner knows the best year through every block at every date, so nothing is planned again.
What is over stays as it was. Of a block that the climber fixed it is asked what freeing it allows.
"""

from __future__ import annotations

import threading
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date

from seasonplan.body.response import as_tested
from seasonplan.explain.purpose import Purposes
from seasonplan.plan import Block, Revision
from seasonplan.planner.held import Held, Hold, priced_year
from seasonplan.planner.prices import Other, PricedYear, Way
from seasonplan.planner.rock_day import Taken
from seasonplan.rules.statements import RuleBook
from seasonplan.vocabulary import Kind
from seasonplan.year import Year

SMALL_DAYS, SMALL_POINTS = 0.05, 0.005
MOVES = (Way.EARLIER, Way.LATER, Way.LONGER, Way.SHORTER)


@dataclass(frozen=True, slots=True)
class Reason:
    """One block of a plan, and the best years in which it is changed.

    `why` says what the plan has it for. Of a block that is over nothing is asked. `known` is False
    where the plan no longer keeps the rules and entries: then nothing can be compared. `stopped`
    says that it was not asked. `ties` is how many other dates it could begin on at no cost.
    """

    block: Block
    others: tuple[Other, ...] = ()
    why: tuple[str, ...] = ()
    today: date | None = None
    known: bool = True
    stopped: bool = False
    ties: int = 0

    @property
    def over(self) -> bool:
        return self.today is not None and self.block.span.after <= self.today

    @property
    def begun(self) -> bool:
        return self.today is not None and self.block.span.first < self.today and not self.over

    @property
    def asked(self) -> tuple[Way, ...]:
        """The ways in which the block could be changed, as far as its days are still to come."""
        if self.over or not self.block.kind.chosen:
            return ()
        ways = (Way.LONGER, Way.SHORTER) if self.begun else MOVES
        emphasis = () if self.begun or self.block.kind is Kind.REST else (Way.EMPHASIS,)
        return (*ways, *(() if self.begun else (Way.KIND,)), *emphasis, Way.OUT)

    @property
    def impossible(self) -> tuple[Way, ...]:
        """The ways that no plan allows."""
        found = {other.way for other in self.others}
        return tuple(way for way in self.asked if way not in found)

    def other(self, way: Way) -> Other | None:
        return next((other for other in self.others if other.way is way), None)


def why(
    year: Year, revision: Revision, block: Block, *, book: RuleBook, today: date | None = None,
    taken: Taken | None = None, stop: threading.Event | None = None,
) -> Reason:  # fmt: skip
    """The reason of one block; `taken` is busy time. Setting `stop` before it begins ends it."""
    found = whys(year, revision, [block], book=book, today=today, taken=taken, stop=stop)
    return next(found, Reason(block, today=today, stopped=True))


def whys(
    year: Year, revision: Revision, blocks: Sequence[Block], *, book: RuleBook,
    today: date | None = None, taken: Taken | None = None, stop: threading.Event | None = None,
) -> Iterator[Reason]:  # fmt: skip
    """The reasons of some blocks of a plan, in order; `stop` ends it between two."""
    asking = _Asking(year, revision, book, today, taken)
    for block in blocks:
        if stop is not None and stop.is_set():
            return
        yield asking.reason(block)


class _Asking:
    """One plan of one year, and what was found out of it."""

    def __init__(
        self, year: Year, revision: Revision, book: RuleBook, today: date | None,
        taken: Taken | None,
    ) -> None:  # fmt: skip
        self._purposes = Purposes(year, revision.blocks, revision.sessions, book, revision.ratings)
        self._year = as_tested(year, revision.ratings)
        self._revision, self._book = revision, book
        self._today, self._taken = today, taken
        self._priced: dict[str, PricedYear | None] = {}

    def reason(self, block: Block) -> Reason:
        why = self._purposes.of(block)
        told = Reason(block, why=why, today=self._today)
        if told.over or not block.kind.chosen:
            return told
        priced = self._of(block.entry or "" if block.pinned else "")
        if priced is None or not priced.fits:
            return Reason(block, why=why, today=self._today, known=False)
        others = priced.others(block, today=self._today)
        asked = [one for one in others if one.way in told.asked]
        ties = 0 if told.begun else Held(priced, block.kind, block.span).ties(Hold.WHOLE)
        return Reason(block, tuple(asked), why, self._today, ties=ties)

    def _of(self, pin: str) -> PricedYear | None:
        """The year priced, with the pin of that id free; None where it has no plan at all."""
        if pin not in self._priced:
            year = self._year.without(pin) if pin else self._year
            self._priced[pin] = priced_year(
                year, self._revision, book=self._book, today=self._today, taken=self._taken
            )
        return self._priced[pin]
