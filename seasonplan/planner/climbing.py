"""The climbing that a week of base or strength should not be without.

Little time or load would leave hangs alone: then climbing gets its place first, as long as enough
of the hangs stays. Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence, Set
from typing import NamedTuple

from seasonplan.planner.standing import Item
from seasonplan.planner.week_order import Order
from seasonplan.recipes import Need, Recipe
from seasonplan.rules.tables import composing
from seasonplan.vocabulary import Kind

Climb = Callable[[Recipe], bool]


def climbing(recipe: Recipe) -> bool:
    """Whether it is climbing, on a wall or on rock."""
    return bool({Need.WALL, Need.ROCK} & set(recipe.needs))


def hard_climbing(recipe: Recipe) -> bool:
    """Whether it is climbing that uses the fingers hard."""
    return climbing(recipe) and recipe.hard_on_fingers


class Wanted(NamedTuple):
    """Climbing that a week should hold, and the share of its hangs that it must leave."""

    climb: Climb
    hangs: float


# of light weeks, lead-ins and weeks in which a part comes back
SOME = (Wanted(climbing, composing().fit.climb_keeps), Wanted(climbing, 0.0))

# best first
WANTED: dict[Kind, tuple[Wanted, ...]] = {
    Kind.BASE: (
        Wanted(hard_climbing, composing().fit.hard_climb_keeps),
        Wanted(climbing, composing().fit.climb_keeps),
        Wanted(climbing, 0.0),
    ),
    Kind.STRENGTH: (Wanted(hard_climbing, composing().fit.climb_keeps),),
    Kind.RETURN: SOME,
}


def wanted_climbing(order: Order) -> tuple[Wanted, ...]:
    """What a week should hold of it, best first; nothing of a season, rest or days off."""
    if order.lead_in or (order.light and order.kind in WANTED):
        return SOME
    return WANTED.get(order.kind, ())


def keeps(items: Sequence[Item], usual: Sequence[Item], wanted: Wanted, *, makes: Set[str]) -> bool:
    """Whether a week still has what its block is named for, and enough of its usual hangs unless it
    had nothing of that."""
    has, had = _holds(items, makes), _holds(usual, makes)
    return has if has != had else _hard_hangs(items) >= wanted.hangs * _hard_hangs(usual)


def _holds(items: Sequence[Item], recipes: Set[str]) -> bool:
    return any(item.recipe.id in recipes for item in items)


def _hard_hangs(items: Sequence[Item]) -> int:
    return sum(item.hangs for item in items if item.recipe.hard_hangs)
