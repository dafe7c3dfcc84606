"""Rules on what may follow what, given things between included.

Enforces `order`, `rest-before-strength`, `rest-after-performance`, `build-back` (order) and
`deload` over the edge of a block.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date

from seasonplan.body.almanac import Given
from seasonplan.planner.candidates import TRAINED_IN_WAVES, Candidates
from seasonplan.planner.grid import Column
from seasonplan.planner.limits import is_layoff
from seasonplan.rules.statements import Rule, RuleBook
from seasonplan.vocabulary import CHOSEN, Kind

RESTFUL = (Kind.ABSENCE, Kind.INJURED)


@dataclass(frozen=True, slots=True)
class Ending:
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
    return all(
        enforce(before, gap, kind, rule)
        for code, enforce in ENFORCERS.items()
        if (rule := book.active(code)) is not None
    )


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


def _differs(before: Ending, gap: Gap, kind: Kind, rule: Rule) -> bool:
    return bool(gap) or before.kind is not kind


def _rested(before: Ending, gap: Gap, kind: Kind, rule: Rule) -> bool:
    if kind is not Kind.STRENGTH:
        return True
    performing = before.kind is Kind.PERFORMANCE
    for given in gap:
        performing = given.kind is Kind.TRIP or (performing and given.kind not in RESTFUL)
    return not performing


def _rests_after(before: Ending, gap: Gap, kind: Kind, rule: Rule) -> bool:
    rested = any(given.kind in RESTFUL for given in gap)
    return not before.owes_rest or rested or kind is Kind.REST


def _builds_back(before: Ending, gap: Gap, kind: Kind, rule: Rule) -> bool:
    return not is_layoff(gap, rule) or kind not in (Kind.STRENGTH, Kind.REST)


def _light_between(before: Ending, gap: Gap, kind: Kind, rule: Rule) -> bool:
    return bool(gap) or not before.owes_light or kind not in TRAINED_IN_WAVES


ENFORCERS: dict[str, Callable[[Ending, Gap, Kind, Rule], bool]] = {
    "order": _differs,
    "rest-before-strength": _rested,
    "rest-after-performance": _rests_after,
    "build-back": _builds_back,
    "deload": _light_between,
}
