"""How a part that comes back is loaded in a week: how often, how long, how much."""

from __future__ import annotations

from collections.abc import Set
from typing import NamedTuple

from seasonplan.recipes import Recipe


class Gently(NamedTuple):
    """Climbing in a week of a return, and holds where it is an arm or finger that comes back.

    `in_a_row`: days running with it at most, `ran` of them just before the week; `minutes`: of
    climbing in the week at most; `session`: of one at home.
    """

    in_a_row: int
    ran: int
    minutes: int
    session: int
    holds: bool

    def loads(self, recipe: Recipe) -> bool:
        """Whether a session loads what comes back."""
        return recipe.climbs or (self.holds and recipe.on_hangboard)


def row_with(days: Set[int], n: int) -> int:
    """How many days running there are, with a day among them."""
    first = last = n
    while first - 1 in days:
        first -= 1
    while last + 1 in days:
        last += 1
    return last - first + 1
