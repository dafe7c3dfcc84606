"""What each rule on blocks costs a year: the best year without it, over the same weeks.

A plan that keeps a rule is still allowed without it, so no rule is ever worth less than nothing.
Rules that shape the weeks themselves, or keep from harm, are not asked.
"""

from __future__ import annotations

import threading
from collections.abc import Iterator
from dataclasses import dataclass

from seasonplan.planner.search import PLACING, Search
from seasonplan.planner.values import PARTS
from seasonplan.rules.statements import RuleBook


@dataclass(frozen=True, slots=True)
class RulePrice:
    """What the best year without a rule has more: points, days on rock and good ones of them."""

    code: str
    points: float
    rock_days: int
    good_days: float


def rule_prices(
    search: Search, *, book: RuleBook, stop: threading.Event | None = None
) -> Iterator[RulePrice]:
    """The price of each rule that is on and asked about, in the order of the book."""
    best = search.prices.best()
    if best is None:
        return
    has = search.amount(search.chosen(best.columns))
    for rule in book:
        if stop is not None and stop.is_set():
            return
        if rule.code not in PLACING or not rule.on:
            continue
        other = search.under(book.without(rule.code))
        found = other.prices.best()
        assert found is not None, "what is allowed under a rule is allowed without it"
        more = other.amount(other.chosen(found.columns))
        points = (found.worth - best.worth) / PARTS
        yield RulePrice(
            rule.code, points, more.rock_days - has.rock_days, more.good_days - has.good_days
        )
