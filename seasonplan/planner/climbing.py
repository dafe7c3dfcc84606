"""The climbing that a normal week of base or strength should not be without.

Little time or load would leave hangs alone: then climbing gets its place first, as long as enough
of the hangs stays. Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence, Set

from seasonplan.planner.standing import Item
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


def easy_climbing(recipe: Recipe) -> bool:
    """Whether it is climbing that does not."""
    return climbing(recipe) and not recipe.hard_on_fingers


# best first
WANTED: dict[Kind, tuple[Climb, ...]] = {
    Kind.BASE: (climbing,),
    Kind.STRENGTH: (hard_climbing, easy_climbing),
}


def keeps_hangs(items: Sequence[Item], usual: Sequence[Item], *, makes: Set[str]) -> bool:
    """Whether a week still has enough of its usual hangs, and what its block is named for."""
    named = _holds(items, makes) or not _holds(usual, makes)
    return named and _hard_hangs(items) >= composing().fit.climb_keeps * _hard_hangs(usual)


def _holds(items: Sequence[Item], recipes: Set[str]) -> bool:
    return any(item.recipe.id in recipes for item in items)


def _hard_hangs(items: Sequence[Item]) -> int:
    return sum(item.hangs for item in items if item.recipe.hard_hangs)
