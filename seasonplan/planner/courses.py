"""The courses of a menu, as far as the days of a week are open to them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence, Set
from dataclasses import dataclass
from functools import cached_property

from seasonplan.planner.frame import DAY, Ground
from seasonplan.planner.week_order import Order
from seasonplan.recipes import Recipe


@dataclass(frozen=True, eq=False)
class Served:
    """A course: of the `open` recipes, those that some day is open to, the first that can be done
    is; `every` are all that it names."""

    every: Sequence[Recipe]
    open: Sequence[Recipe]

    @cached_property
    def easy(self) -> bool:
        return all(one.rpe <= DAY.easy_rpe for one in self.every)

    @cached_property
    def pulls(self) -> bool:
        return all(one.pulls for one in self.every)

    def holds(self, recipes: Set[str]) -> bool:
        """Whether it names one of them."""
        return any(one.id in recipes for one in self.every)


def served(order: Order, ground: Ground, book: Mapping[str, Recipe]) -> Sequence[Served]:
    """The courses of an order, in order of need; looked at once for all orders of a menu."""
    key = (order.courses, order.kind)
    found: Sequence[Served] | None = ground.menus.get(key)
    if found is None:
        named = ([one for one in map(book.get, course) if one] for course in order.courses)
        of_kind = ([one for one in some if order.kind in one.kinds] for some in named)
        found = ground.menus[key] = [
            Served(some, [one for one in some if ground.open(one)]) for some in of_kind if some
        ]
    return found
