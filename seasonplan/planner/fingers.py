"""How the hangs of a week are split into sessions, as the climber chose.

The dose is seconds at 80 % or more of the own maximum, the same whatever the split
(`shared/menus.toml`); light holds are an addition to one hard session and count for little.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from math import ceil
from typing import NamedTuple

from seasonplan.planner.menus import finger_table
from seasonplan.recipes import Recipe
from seasonplan.rules.tables import composing
from seasonplan.vocabulary import Spread

FINGERS = composing().fingers
KEPT = "season-fingers"


class Hang(NamedTuple):
    """So many hangs of one recipe in a week, shared over `sessions`; `each`: most of one."""

    recipe: str
    hangs: int
    sessions: int
    each: int = 99


class FingerAsk(NamedTuple):
    """The hangs of a week; `in_a_row` is how many days running may use the fingers hard.

    `most_hard`: sessions of hard hangs, a test among them; `between`: days between two of them;
    `short`: the same seconds in short sessions, for days that hold climbing too.
    """

    hangs: tuple[Hang, ...] = ()
    in_a_row: int = FINGERS.in_a_row
    most_hard: int = 7
    between: int = 0
    short: tuple[Hang, ...] = ()


@dataclass(frozen=True)
class Splitter:
    """Splits seconds for one climber. `allowed`: recipes of hangs that the body allows; `share`: of
    the most hangs of a session, after an injury, in light weeks and the first of a block."""

    book: Mapping[str, Recipe]
    spread: Spread
    allowed: frozenset[str]
    short_days: int  # minutes of the longest usual day at home but one
    most_light: int = FINGERS.light_sessions  # sessions of light holds a week, where alone
    share: float = 1.0

    def ask(self, seconds: float, *, most_days: int, light: bool, part: float = 1.0) -> FingerAsk:
        """The hangs that hold so many hard seconds, fewer where the week is `light`; `part` of the
        week is at home."""
        if light:
            seconds *= finger_table().light_week
            most_days = min(most_days, finger_table().light_days)
        if seconds > 0:
            hangs = self._hangs(seconds, most_days, light=light)
        else:
            hangs = self._instead(min(most_days, finger_table().light_days))
        ask, long = self._within(*hangs, part=part), finger_table().split(self.spread).recipe
        if light or not any(hang.recipe == long for hang in hangs):
            return ask
        return ask._replace(short=self._shortly(seconds, most_days))

    def _shortly(self, seconds: float, most_days: int) -> tuple[Hang, ...]:
        """So many seconds in short sessions, where the split has long ones."""
        if self.spread is not Spread.FEW_AND_LONG or self._allowed(KEPT) is None:
            return ()
        most = finger_table().split(self.spread).most_days
        return (self._kept(seconds, most=min(most_days, most)),)

    def _within(self, *hangs: Hang, part: float = 1.0) -> FingerAsk:
        """These hangs, inside the limits of the split."""
        if self.spread is Spread.LIGHT or not hangs:
            return FingerAsk(hangs)
        if self.spread is Spread.SHORT_AND_HARD:
            return FingerAsk(hangs, FINGERS.in_a_row_short)
        few = finger_table().split(self.spread)
        return FingerAsk(hangs, most_hard=int(few.most_days * part), between=few.between)

    @cached_property
    def shorter(self) -> Splitter:
        """The same with fewer hangs in a session."""
        return replace(self, share=min(self.share, FINGERS.shorter))

    def before_rock(self, seconds: float, *, most: float) -> FingerAsk:
        """The last full session, as short as those of a season, and one with so many seconds;
        `most` of both: no more than the least that a week before them holds. The split that is
        light has no full sessions."""
        if self._allowed(KEPT) is None or self.spread is Spread.LIGHT:
            return self.ask(seconds, most_days=1, light=False)
        kept = self.book[KEPT]
        hangs = min(finger_table().last_full_hangs, int((most - seconds) / kept.hang_seconds))
        full = Hang(KEPT, max(kept.hangs[0], hangs), 1)
        return self._within(full, self._kept(seconds, most=1))

    def _allowed(self, name: str) -> Recipe | None:
        """The recipe of that name, if the body allows it."""
        return self.book.get(name) if name in self.allowed else None

    def _hangs(self, seconds: float, most_days: int, *, light: bool) -> list[Hang]:
        if seconds <= FINGERS.kept_seconds and KEPT in self.allowed:
            return [self._kept(seconds, most=1 if light else min(2, most_days))]
        if self.spread is Spread.LIGHT:
            return self._light(seconds, most_days)
        split = finger_table().split(self.spread)
        recipe = self._allowed(split.recipe)
        if recipe is None:
            return self._instead(most_days)
        if self.spread is Spread.FEW_AND_LONG and self.short_days < recipe.least_minutes:
            if self._allowed(KEPT) is None:
                return self._instead(most_days)
            return [self._kept(seconds, most=min(most_days, split.most_days))]
        return [self._of(recipe, seconds, most_days)]

    def _kept(self, seconds: float, *, most: int) -> Hang:
        """Short sessions, at most so many."""
        recipe = self.book[KEPT]
        hangs = max(round(seconds / recipe.hang_seconds), recipe.hangs[0])
        hangs = min(hangs, most * recipe.hangs[1])
        return Hang(KEPT, hangs, ceil(hangs / recipe.hangs[1]))

    def _of(self, recipe: Recipe, seconds: float, most_days: int) -> Hang:
        hangs = max(recipe.hangs[0], round(seconds / recipe.hang_seconds))
        split = finger_table().split(self.spread)
        each = min(split.hangs or recipe.hangs[1], recipe.hangs[1])
        each = max(recipe.hangs[0], round(self.share * each))
        if self.spread is Spread.SHORT_AND_HARD:
            count = max(1, min(most_days, hangs // recipe.hangs[0]))
        else:
            count = ceil(hangs / each)
        count = min(count, most_days, split.most_days)
        hangs = min(hangs, count * each)
        return Hang(recipe.id, hangs, count, min(each, hangs))  # alike where a week is alike

    def _light(self, seconds: float, most_days: int) -> list[Hang]:
        """One hard session, and light holds on other days."""
        hard = self._allowed(finger_table().split(Spread.LIGHT).hard)
        if hard is None:
            return self._instead(most_days - 1)
        hangs = min(round(seconds / hard.hang_seconds), hard.hangs[1])
        one = Hang(hard.id, max(hangs, hard.hangs[0]), 1)
        return [one, *self._instead(most_days - 1)] if most_days > 1 else [one]

    def _instead(self, most_days: int) -> list[Hang]:
        """Light holds alone: for who must not hang hard."""
        recipe = self._allowed(finger_table().split(Spread.LIGHT).recipe)
        if recipe is None:
            return []
        count = max(1, min(self.most_light, most_days))
        return [Hang(recipe.id, count * recipe.hangs[0], count)]
