"""How a week's finger dose is spread over sessions: little and often, or few and long.

The dose, the two recipes and why either may be right stand in `shared/dose.toml`.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from math import ceil

from seasonplan.recipes.book import standard_recipes
from seasonplan.recipes.recipe import Recipe
from seasonplan.reference import table
from seasonplan.vocabulary import Quality, Spread


@dataclass(frozen=True, slots=True)
class Sessions:
    """So many sessions of one recipe and length in a week."""

    recipe: str
    count: int
    minutes: int


def fingerboard_load(finger_load: float) -> float:
    """The part of a week's finger-strength load that the fingerboard should bring."""
    return finger_load * float(table("dose")["week"]["fingerboard_share"])


def finger_load(sessions: Iterable[Sessions], book: Mapping[str, Recipe] | None = None) -> float:
    """What these sessions bring in a week: RPE x minutes x share of finger strength."""
    book = book or standard_recipes()
    return sum(one.count * _a_minute(book[one.recipe]) * one.minutes for one in sessions)


def finger_sessions(
    weekly_finger_load: float,
    *,
    spread: Spread,
    book: Mapping[str, Recipe] | None = None,
    max_fingers: bool = True,
) -> tuple[Sessions, ...]:
    """The sessions that bring a weekly finger load (see `fingerboard_load`), spread as chosen.

    Inside `finger_range` both spreads hit the dose within 2 %. Above it they stay at their most,
    below the shortest session there is none: compare with `finger_load` and say what is missing.
    Without `max_fingers` (under 17, injured) few and long gives way to little and often, whose
    load is light. A recipe that is switched off gives nothing.
    """
    book = book or standard_recipes()
    recipe, most = _spread(spread, book)
    if recipe is not None and recipe.max_fingers and not max_fingers:
        spread = Spread.LITTLE_AND_OFTEN
        recipe, most = _spread(spread, book)
        if recipe is not None and recipe.max_fingers:
            recipe = None
    if recipe is None:
        return ()
    total = min(_rounded(weekly_finger_load / _a_minute(recipe)), most * recipe.most_minutes)
    count = min(most, total // recipe.least_minutes)
    if spread is Spread.FEW_AND_LONG:
        count = min(count, ceil(total / recipe.most_minutes))
    if count == 0:
        return ()
    total = min(total, count * recipe.most_minutes)
    return _shared_out(recipe.id, total, count)


def finger_range(spread: Spread, book: Mapping[str, Recipe] | None = None) -> tuple[float, float]:
    """The least and the most weekly finger load that a spread can bring, (0, 0) if none."""
    recipe, most = _spread(spread, book or standard_recipes())
    if recipe is None:
        return 0.0, 0.0
    rate = _a_minute(recipe)
    return rate * recipe.least_minutes, rate * recipe.most_minutes * most


def _spread(spread: Spread, book: Mapping[str, Recipe]) -> tuple[Recipe | None, int]:
    """The recipe of a spread, None if it is off or trains no fingers; and most times a week."""
    raw = table("dose")[spread.value]
    recipe = book.get(raw["recipe"])
    if recipe is not None and (_a_minute(recipe) <= 0 or recipe.least_minutes <= 0):
        recipe = None
    return recipe, int(raw["most_sessions"])


def _a_minute(recipe: Recipe) -> float:
    return recipe.rpe * recipe.qualities.get(Quality.FINGER_STRENGTH, 0.0)


def _rounded(minutes: float) -> int:
    """Whole minutes, in steps of five where that stays near the dose."""
    week = table("dose")["week"]
    step = int(week["step_minutes"])
    coarse = step * round(minutes / step)
    return coarse if abs(coarse - minutes) <= week["step_error"] * minutes else round(minutes)


def _shared_out(recipe: str, total: int, count: int) -> tuple[Sessions, ...]:
    """`total` minutes over `count` sessions, no two further apart than one step."""
    step = int(table("dose")["week"]["step_minutes"])
    step = step if total % step == 0 else 1
    each, longer = divmod(total // step, count)
    rows = ((count - longer, each * step), (longer, (each + 1) * step))
    return tuple(Sessions(recipe, number, minutes) for number, minutes in rows if number)
