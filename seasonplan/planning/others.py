"""Other years nearly as good as the plan, farthest from it first, each as a proposal to answer.

To take one is to fix those of its blocks that differ: the rest then falls into place by itself,
and stays so when the year is planned anew.
"""

from __future__ import annotations

import threading
from collections.abc import Iterator, Sequence
from datetime import date
from typing import TYPE_CHECKING

from seasonplan.body.response import as_tested
from seasonplan.days import day_month_text
from seasonplan.edits import AddEntry
from seasonplan.plan import Block, Plan
from seasonplan.planner.accepted import Accepted
from seasonplan.planning.near import near_years
from seasonplan.planning.proposal import Proposal, propose
from seasonplan.planning.replan import Provenance
from seasonplan.rules.statements import book_of
from seasonplan.year import Pin, Year

if TYPE_CHECKING:
    from seasonplan.planner.rock_day import Taken


def other_years(
    year: Year,
    cause: Provenance,
    *,
    previous: Plan,
    today: date,
    taken: Taken | None = None,
    stop: threading.Event | None = None,
) -> list[Proposal]:
    """Years that bring little less than the best, from today on, farthest from it first."""
    from seasonplan.planner.run import Found, best_plan

    last = previous.current
    accepted = Accepted.of(last, today, done=cause.done)
    book = book_of(year)
    tested = as_tested(year, cause.ratings)
    found = best_plan(tested, book=book, accepted=accepted, taken=taken, confirm=False, stop=stop)
    if not isinstance(found, Found):
        return []
    shown: list[Proposal] = []
    for near in near_years(found.search, last.blocks):
        pins = tuple(_pins(found.search.blocks(near.best), last.blocks, today))
        other = year.with_fields(pins=(*year.pins, *pins))
        answer = propose(
            other, cause, previous=previous, old_year=other, today=today, keep=0.0,
            edits=tuple(map(_entered, pins)),
            label=f"year {len(shown) + 2}", taken=taken, confirm=False, stop=stop,
        )  # fmt: skip
        if isinstance(answer, Proposal):
            shown.append(answer)
    return shown


def _pins(blocks: Sequence[Block], old: Sequence[Block], today: date) -> Iterator[Pin]:
    """The blocks still to come that the plan does not have, as the climber would fix them."""
    known = {(block.kind, block.span) for block in old}
    for block in blocks:
        fixable = block.kind.chosen and not block.pinned and block.span.first >= today
        if fixable and (block.kind, block.span) not in known:
            yield Pin(
                id=f"other-{block.kind.value}-{block.span.first}",
                name=f"{block.kind.value.capitalize()} from {day_month_text(block.span.first)}",
                kind=block.kind, first=block.span.first, last=block.span.last,
            )  # fmt: skip


def _entered(pin: Pin) -> AddEntry:
    values = {"id": pin.id, "name": pin.name, "kind": pin.kind.value}
    return AddEntry(section="pin", values={**values, "first": pin.first, "last": pin.last})
