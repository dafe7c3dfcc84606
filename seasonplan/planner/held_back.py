"""What no block is named for: what has just come back bars what makes it on most of its days.

Knows days and recipes, no weeks. Enforces `injury-caps` (names).
"""

from __future__ import annotations

from collections.abc import Mapping, Set
from datetime import date
from functools import cached_property

from seasonplan.body.almanac import Almanac
from seasonplan.days import Span
from seasonplan.planner.care import harms, ramps
from seasonplan.planner.menus import making
from seasonplan.recipes import recipes
from seasonplan.rules.statements import RuleBook
from seasonplan.vocabulary import EMPHASES, Emphasis, Kind


class HeldBack:
    """The emphases of a year that the steps after an injury bar, and when."""

    def __init__(self, almanac: Almanac, rules: RuleBook, usable: Set[str] | None) -> None:
        """`usable` are the recipes that can be done at all; None: all."""
        self._almanac, self._rules, self._usable = almanac, rules, usable

    def mostly(self, kind: Kind, emphasis: Emphasis, span: Span) -> bool:
        """Whether what makes an emphasis is barred on more than half of those days."""
        barred = self._barred.get((kind, emphasis), ())
        return bool(barred) and 2 * sum(day in span for day in barred) > span.length

    @cached_property
    def _barred(self) -> Mapping[tuple[Kind, Emphasis], frozenset[date]]:
        almanac = self._almanac
        if self._rules.active("injury-caps") is None or not almanac.year.injuries:
            return {}
        steps = [day for day in almanac.span.days() if ramps(almanac, day)]
        return {
            (kind, one): frozenset(day for day in steps if self._is_barred(kind, one, day))
            for kind, every in EMPHASES.items()
            for one in every
        }

    def _is_barred(self, kind: Kind, emphasis: Emphasis, day: date) -> bool:
        every = recipes(self._almanac.year.recipes)
        made = [one for name in making(kind, emphasis) if (one := every.get(name))]
        known = [one for one in made if self._usable is None or one.id in self._usable]
        return bool(known) and all(
            harms(one, self._almanac, day, rules=self._rules) for one in known
        )
