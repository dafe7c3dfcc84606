"""What each rule on blocks costs a year: the best year without it, over the same weeks.

A plan that keeps a rule is still allowed without it, so no rule is ever worth less than nothing.
Rules that shape the weeks themselves, or keep from harm, are not asked.
"""

from __future__ import annotations

import threading
from collections.abc import Iterator
from dataclasses import dataclass

from seasonplan.planner.path import PARTS, Best
from seasonplan.planner.run import Search
from seasonplan.rules.statements import RuleBook

PRICED = (
    "base-length", "strength-length", "performance-length", "rest-length", "order",
    "rest-before-strength", "strength-before-trip", "rock-only", "lead-in-length", "rest-every",
    "rest-after-performance", "lead-in-start", "few-changes", "base-first", "short-rest",
    "rest-before-rock", "rest-by-days-off", "power-endurance-late",
)  # fmt: skip


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
    days, good = _on_rock(search, best)
    for rule in book:
        if stop is not None and stop.is_set():
            return
        if rule.code not in PRICED or not rule.on:
            continue
        other = search.under(book.without(rule.code))
        found = other.prices.best()
        assert found is not None, "what is allowed under a rule is allowed without it"
        more = _on_rock(other, found)
        points = (found.worth - best.worth) / PARTS
        yield RulePrice(rule.code, points, more[0] - days, more[1] - good)


def _on_rock(search: Search, best: Best) -> tuple[int, float]:
    held = [
        search.worths.amount(search.candidates.all[n], search.best_variants[n][0])
        for n in best.columns
    ]
    return sum(one.rock_days for one in held), sum(one.good_days for one in held)
