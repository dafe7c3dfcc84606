"""The fingerboard work of a week: one recipe, minutes in all, and into how many sessions it goes.

Knows no hours and no days of the week.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from seasonplan.recipes import Recipe, finger_sessions, fingerboard_load
from seasonplan.reference import table
from seasonplan.vocabulary import Spread


@dataclass(frozen=True, slots=True)
class Board:
    """Minutes of one recipe in a week, in at most `count` sessions."""

    recipe: Recipe = field(hash=False)
    minutes: int
    count: int

    def lengths(self, sessions: int) -> tuple[int, int]:
        """Shorter and longer length of so many sessions that share the minutes out.

        Fewer sessions than wanted are longer ones, as far as the recipe goes.
        """
        total = min(self.minutes, sessions * self.recipe.most_minutes)
        step = int(table("dose")["week"]["step_minutes"])
        step = step if total % step == 0 else 1
        each, longer = divmod(total // step, sessions)
        return each * step, (each + bool(longer)) * step


def board(
    finger_load: float, *, spread: Spread, book: Mapping[str, Recipe], allowed: Iterable[Recipe]
) -> Board | None:
    """The fingerboard work of a week with so much finger load; None where there is none.

    A week that does not allow the recipe of the spread gets the light one, if it is allowed.
    """
    usable = {recipe.id for recipe in allowed}
    wished = table("dose")[spread.value]["recipe"]
    rows = finger_sessions(
        fingerboard_load(finger_load),
        spread=spread,
        book=book,
        max_fingers=wished not in book or wished in usable,
    )
    if not rows or rows[0].recipe not in usable:
        return None
    return Board(
        book[rows[0].recipe],
        sum(row.count * row.minutes for row in rows),
        sum(row.count for row in rows),
    )
