"""A day on rock as the planner knows it, and what a date has for one: recipe, hours, health."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date

from seasonplan.body.almanac import Almanac
from seasonplan.body.daylight import Rock
from seasonplan.planner.care import harms, is_there
from seasonplan.recipes import Recipe
from seasonplan.rules.statements import RuleBook
from seasonplan.rules.tables import rock_day_table
from seasonplan.vocabulary import Discipline, RockRole, Style

QUARTER = 15  # minutes: days on rock are told in whole quarters of an hour

Taken = Mapping[date, Sequence[tuple[int, int]]]  # busy (from, to) in minutes after midnight


@dataclass(frozen=True, slots=True)
class RockDay:
    """A day on rock: where, what for, which recipe, when, and what it is worth in the choice.

    `counts` are the points of a project day there, `good` the chance of a good day for a goal,
    `easier` the recipe of an easier day. `away`: on a trip. `first`: the first of its season or
    trip. `fresh`: the first for tries after it. `entry` None: a long day before a mountain season.
    """

    day: date
    entry: str | None
    discipline: Discipline
    role: RockRole
    recipe: Recipe
    easier: Recipe | None
    start: int
    minutes: int
    worth: float
    counts: float = 0.0
    good: float = 0.0
    away: bool = False
    first: bool = False
    fresh: bool = False

    @property
    def load(self) -> float:
        return self.recipe.load(self.minutes)


class Dates:
    """What the dates of a year have: what each day is, busy time, and rules on health."""

    def __init__(
        self, almanac: Almanac, *, book: Mapping[str, Recipe], rules: RuleBook, taken: Taken
    ) -> None:
        self.almanac, self.book, self.rules, self.taken = almanac, book, rules, taken
        on_rock = (recipe for recipe in book.values() if recipe.role is not None)
        self._recipes = [recipe for recipe in on_rock if is_there(recipe, almanac.year)]

    def recipe(
        self, day: date, discipline: Discipline, role: RockRole, *, style: Style | None = None
    ) -> Recipe | None:
        """Of that role the one for the style, else any, by its name."""
        found = (
            recipe
            for recipe in self._recipes
            if recipe.role is role
            and discipline in recipe.disciplines
            and not self.hurts(recipe, day)
        )
        others = (style, None)
        return min(found, key=lambda r: (bool(style) and r.style not in others, r.id), default=None)

    def hurts(self, recipe: Recipe, day: date) -> bool:
        return harms(recipe, self.almanac, day, rules=self.rules)

    def window(self, day: date, rock: Rock) -> tuple[int, int] | None:
        """The longest time for that rock, the way with it, that no calendar takes."""
        busy = sorted(self.taken.get(day, ()))
        best: tuple[int, int] | None = None
        for start, end in self.almanac.rock_windows(day, rock):
            at = start
            for begins, ends in [*busy, (end, end)]:
                longest = best[1] - best[0] if best else 0
                if min(begins, end) - at > longest:
                    best = (at, min(begins, end))
                at = max(at, ends)
        return best


def quarters(minutes: float) -> int:
    return int(minutes) // QUARTER * QUARTER


def part_of(rock: RockDay, share: float) -> RockDay:
    """A share of a day, but no shorter than such a day may be."""
    shortest = max(rock_day_table().shortest_minutes, rock.recipe.least_minutes)
    minutes = max(quarters(rock.minutes * share), min(shortest, rock.minutes))
    return replace(rock, minutes=minutes)


def fitted(rock: RockDay, *, share: float, wished: float) -> RockDay:
    """A day at home, shorter where it would be more than its part of a week's load."""
    if rock.away:
        return rock
    part = share if rock.counts else wished / max(rock.load, 1.0)
    return rock if part >= 1 else part_of(rock, part)


def easier(rock: RockDay) -> RockDay:
    """A day in a season that the block is not for: easy, and shorter."""
    assert rock.easier is not None
    minutes = rock.minutes
    if rock.role is RockRole.PROJECT:
        minutes = quarters(minutes * rock_day_table().easy_share)
    return replace(
        rock, role=RockRole.EASY, recipe=rock.easier,
        minutes=max(minutes, rock_day_table().shortest_minutes, rock.easier.least_minutes),
    )  # fmt: skip


def first_tries(chosen: Mapping[date, RockDay]) -> Iterator[RockDay]:
    """The days in order, and of each season which is the first for tries after its easy opening."""
    opened = False
    for _, one in sorted(chosen.items()):
        fresh = opened and one.role is RockRole.PROJECT and not one.away
        opened = not fresh and (opened or opens(one))
        yield replace(one, fresh=True) if fresh else one


def openings(rock: Mapping[date, RockDay]) -> frozenset[date]:
    """Of chosen days on rock those that are the short and easy beginning of a season."""
    return frozenset(day for day, one in rock.items() if one.counts and opens(one))


def opens(rock: RockDay) -> bool:
    """Whether a day is such a beginning."""
    return rock.first and not rock.away
