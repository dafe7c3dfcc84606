"""The climbing that a week of base or strength should not be without, and how much of it.

Little time or load would leave hangs alone, or hangs and pulls as the larger part: then climbing
gets its place first, as long as enough of the hangs stays. Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence, Set
from typing import NamedTuple

from seasonplan.planner.frame import at_the_limit
from seasonplan.planner.standing import Item, Standing
from seasonplan.planner.week_order import FIT, Order
from seasonplan.recipes import Recipe
from seasonplan.rules.tables import response_table, table
from seasonplan.vocabulary import Kind

TWICE = frozenset(table("menus")["from_50"]["twice"])  # a week, from 50 years

IN_PLACE = frozenset(table("menus")["young"]["in_place_of"].values())  # of what is at the limit

Climb = Callable[[Recipe], bool]


def climbing(recipe: Recipe) -> bool:
    """Whether it is climbing, on a wall or on rock."""
    return recipe.climbs


def hard_climbing(recipe: Recipe) -> bool:
    """Whether it is climbing that uses the fingers hard."""
    return recipe.climbs and recipe.hard_on_fingers


def limit_climbing(recipe: Recipe) -> bool:
    """Whether it is climbing at the limit, or hard moves on good holds in place of it."""
    return recipe.climbs and (at_the_limit(recipe) or recipe.id in IN_PLACE)


class Wanted(NamedTuple):
    """Climbing that a week should hold, and the share of its hangs that it must leave."""

    climb: Climb
    hangs: float


# of light weeks, lead-ins and weeks in which a part comes back
SOME = (Wanted(climbing, FIT.climb_keeps), Wanted(climbing, 0.0))

# best first
WANTED: dict[Kind, tuple[Wanted, ...]] = {
    Kind.BASE: (
        Wanted(hard_climbing, FIT.hard_climb_keeps),
        Wanted(climbing, FIT.climb_keeps),
        Wanted(climbing, 0.0),
    ),
    Kind.STRENGTH: (
        Wanted(limit_climbing, FIT.hard_climb_keeps),
        Wanted(hard_climbing, FIT.climb_keeps),
    ),
    Kind.RETURN: SOME,
}


def wanted_climbing(order: Order) -> tuple[Wanted, ...]:
    """What a week should hold of it, best first; nothing of a season, rest or days off."""
    gentle = order.light or not order.hard_climb
    if order.lead_in or (gentle and order.kind in WANTED):
        return SOME
    return WANTED.get(order.kind, ())


def keeps(items: Sequence[Item], usual: Sequence[Item], wanted: Wanted, *, makes: Set[str]) -> bool:
    """Whether a week still has what its block is named for, and enough of its usual hangs unless it
    had nothing of that."""
    has, had = _holds(items, makes), _holds(usual, makes)
    return has if has != had else _hard_hangs(items) >= wanted.hangs * _hard_hangs(usual)


def more_climbing(items: Sequence[Item]) -> int:
    """Minutes of climbing beyond those of hangs and pulls."""
    return sum(item.minutes * (item.recipe.climbs - item.recipe.pulls) for item in items)


def climbs_enough(week: Standing) -> bool:
    """Whether climbing is the larger part of a week, on each day long enough for a wall where
    those are few, else on two from 50 years."""
    days = wall_days(week)
    climbed = sum(any(item.recipe.climbs for item in week.days[n].items) for n in days)
    if more_climbing(week.items) < 0:
        return False
    if len(days) <= FIT.few_wall_days:
        return climbed == len(days)
    return climbed > 1 or not week.frame.from_50


def wall_days(week: Standing) -> list[int]:
    """The days that are long enough for a wall, kept free ones apart."""
    least = max(1, 2 * week.frame.wall_travel + week.frame.least_wall)
    days = enumerate(week.frame.days)
    return [n for n, day in days if not (day.rest or day.away) and day.minutes >= least]


def leaves_enough(week: Standing, usual: Standing, order: Order) -> bool:
    """Whether a week with more climbing holds the load and no more, what its block is named for,
    climbing that is hard on the fingers where it did, enough of the hard seconds of its usual
    hangs, and from 50 years its legs and pressing, once each at least."""
    full = week.load >= min(usual.load, response_table().filled * order.aim)
    full &= week.load <= max(usual.load, order.over * order.aim + order.slack)
    named = _holds(week.items, order.makes) or not _holds(usual.items, order.makes)
    hard, hard_before = (any(hard_climbing(i.recipe) for i in one.items) for one in (week, usual))
    keeps = FIT.more_climb_keeps if order.kind is Kind.BASE else FIT.climb_keeps
    hung, usually = hard_seconds(week.items), hard_seconds(usual.items)
    if week.frame.from_50 and not _ids(usual.items) & TWICE <= _ids(week.items):
        return False
    return full and named and hard >= hard_before and hung >= keeps * usually


def hard_seconds(items: Sequence[Item]) -> int:
    """Seconds of hard hangs."""
    return sum(i.hangs * i.recipe.hang_seconds for i in items if i.recipe.hard_hangs)


def _ids(items: Sequence[Item]) -> Set[str]:
    return {item.recipe.id for item in items}


def _holds(items: Sequence[Item], recipes: Set[str]) -> bool:
    return any(item.recipe.id in recipes for item in items)


def _hard_hangs(items: Sequence[Item]) -> int:
    return sum(item.hangs for item in items if item.recipe.hard_hangs)
