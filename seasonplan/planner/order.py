"""Rules on what may follow what, given things between included.

Enforces `order`, `rest-before-strength`, `rest-after-performance`, `build-back` (order) and
`deload` over the edge of a block.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import NamedTuple

from seasonplan.body.almanac import Given
from seasonplan.planner.candidates import TRAINED_IN_WAVES, Candidates
from seasonplan.planner.grid import Column
from seasonplan.planner.limits import is_layoff
from seasonplan.rules.statements import RuleBook
from seasonplan.vocabulary import CHOSEN, Kind

RESTFUL = (Kind.ABSENCE, Kind.INJURED)


class Ending(NamedTuple):
    """What matters of a block for what comes after it.

    `owes_rest`: long enough to demand it. `owes_light`: heavy weeks since its last light one.
    """

    kind: Kind | None
    owes_rest: bool = False
    owes_light: bool = False


Gap = Sequence[Given]


def ending(column: Column, candidates: Candidates) -> Ending:
    """The Ending of a candidate."""
    rule = candidates.book.active("rest-after-performance")
    owes_rest = (
        rule is not None and column.kind is Kind.PERFORMANCE and column.days >= 7 * rule.number
    )
    return Ending(column.kind, owes_rest, candidates.heavy_since_light(column))


def too_soon(first: date, since: date, book: RuleBook) -> bool:
    """Whether rest on that day comes after few weeks of training, by the last day off before."""
    rule = book.active("work-before-rest")
    return rule is not None and (first - since).days < 7 * rule.number


def may_follow(before: Ending, gap: Gap, kind: Kind, book: RuleBook) -> bool:
    """Whether every active rule on order lets a block of `kind` come after `before` and `gap`."""
    rested = any(given.kind in RESTFUL for given in gap)
    back = book.active("build-back")
    laid_off = back is not None and is_layoff(gap, back)
    broken = {
        "order": not gap and before.kind is kind,
        "rest-before-strength": kind is Kind.STRENGTH and _performs(before, gap),
        "rest-after-performance": before.owes_rest and not rested and kind is not Kind.REST,
        "build-back": laid_off and kind in (Kind.STRENGTH, Kind.REST),
        "deload": not gap and before.owes_light and kind in TRAINED_IN_WAVES,
    }
    return not any(book.active(code) for code, is_broken in broken.items() if is_broken)


def _performs(before: Ending, gap: Gap) -> bool:
    """Whether a block or trip of performing was the last thing, with no rest since."""
    performing = before.kind is Kind.PERFORMANCE
    for given in gap:
        performing = given.kind is Kind.TRIP or (performing and given.kind not in RESTFUL)
    return performing


def allowed_first(candidates: Candidates) -> tuple[Kind, ...]:
    """Kinds that may open the year after what came before it."""
    grid = candidates.grid
    if not grid.segments:
        return ()
    if grid.is_past(grid.cells[grid.segments[0][0]].span.first):
        return CHOSEN
    before = grid.almanac.year.before.last_kind
    gap = grid.gap_before(grid.segments[0][0])
    return tuple(
        kind
        for kind in CHOSEN
        if (before is kind and not gap) or may_follow(Ending(before), gap, kind, candidates.book)
    )
