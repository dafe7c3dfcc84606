"""The hangs of a week that is being composed: on which days, how many, how long."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import combinations, pairwise

from seasonplan.planner.fingers import Hang
from seasonplan.planner.standing import STEP, TEST, Standing
from seasonplan.planner.week_order import FIT, Order
from seasonplan.recipes import Recipe


def most_hangs(recipe: Recipe, minutes: int) -> int:
    """Hangs that a free time holds."""
    fitting = int((minutes - recipe.warm_up_minutes) / recipe.hang_minutes)
    return max(1, min(recipe.hangs[1], fitting))


def _least(recipe: Recipe) -> int:
    """The shortest session of it, in whole steps, so that others may follow without a gap."""
    return -(-recipe.least_minutes // STEP) * STEP


class Hanging:
    """Places the hangs that a week is ordered to hold."""

    def __init__(self, at: Standing, order: Order, book: Mapping[str, Recipe]) -> None:
        self.at, self.order, self.book = at, order, book

    def place(self, hangs: Sequence[Hang]) -> None:
        """All of them, on days as far apart as the split wants."""
        for hang in hangs:
            recipe = self.book.get(hang.recipe)
            if recipe is not None:
                self._spread(recipe, hang)

    def _spread(self, recipe: Recipe, hang: Hang) -> None:
        days = [n for n in self.at.open(recipe) if self._may_hang(n, recipe)]
        count = min(hang.sessions, len(days), self.at.hard_left(recipe))
        if recipe.hard_hangs:
            count = min(count, self.order.fingers.most_hard - self._hard_hangs())
            count = min(count, self.order.hard - self.at.hard_sessions)
        kept = self._day_kept(recipe, days, count)
        days = [n for n in days if n != kept]
        for number in range(min(count, len(days)), 0, -1):
            found = self._best_days(recipe, days, number)
            if found is not None:
                self._hang_on(recipe, hang, found)
                return

    def _day_kept(self, recipe: Recipe, days: Sequence[int], count: int) -> int | None:
        """The longest day that can hold what the block is named for, where so many sessions of
        hangs would leave none of them long enough."""
        wanted = self.order.makes
        if recipe.id in wanted or any(day.recipes & wanted for day in self.at.days):
            return None
        makes = [one for one in map(self.book.get, wanted) if one]
        some = (n for one in makes for n in self.at.that_hold(one, self.at.open(one)))
        long = sorted(set(some))
        spared = set(long) - set(days) or any(
            self.at.slot(n, one, self.at.frame.fit(one).least + recipe.least_minutes)
            for n in long
            for one in makes
        )
        if spared or not 0 < len(long) <= count:
            return None
        return max(long, key=lambda n: (self.at.days[n].minutes, n))

    def _hard_hangs(self) -> int:
        """Sessions of hard hangs that stand in the week, or were done in it."""
        week = (*self.at.over, *self.at.items)
        return sum(item.recipe.hard_hangs or item.recipe.id == TEST for item in week)

    def _may_hang(self, n: int, recipe: Recipe) -> bool:
        day = self.at.days[n]
        if day.hangs or day.full:
            return False
        return self.at.slot(n, recipe, _least(recipe)) is not None and self.at.clear(n, recipe)

    def _best_days(self, recipe: Recipe, days: Sequence[int], count: int) -> tuple[int, ...] | None:
        """The days of that number that lie furthest apart and suit the time there is."""
        gap = self.at.frame.fit(recipe).gap if recipe.hard_on else 0
        if recipe.hard_hangs:
            gap = max(gap, self.order.fingers.between)
        ahead = {n for n in self.at.ground.projects if n >= 0}
        off = {n: abs(self.at.days[n].minutes - recipe.minutes) for n in days}
        shortly = {n for n in days if any(0 < p - n < FIT.project_days for p in ahead)}
        hung = [n for n, day in enumerate(self.at.days) if day.hangs]
        best: tuple[tuple[float, ...], tuple[int, ...]] | None = None
        for some in combinations(days, count):
            if any(b - a <= gap for a, b in pairwise(some)):
                continue
            both = sorted({*some, *hung})
            apart = [b - a for a, b in pairwise(both)]
            if recipe.hard_hangs and apart and min(apart) <= self.order.fingers.between:
                continue
            if not self.at.runs_fit(some, recipe):
                continue
            near = len(shortly.intersection(some))
            room = sum([off[n] for n in some]) / 30
            apart.append(7 - both[-1] + both[0])  # to the same days of next week
            evenly = min(float(min(apart)), float(7 // count))
            key = (-near if recipe.hard_on else 0.0, evenly, -room, -float(sum(some)))
            if best is None or key > best[0]:
                best = key, some
        return best[1] if best else None

    def _hang_on(self, recipe: Recipe, hang: Hang, days: Sequence[int]) -> None:
        """Share the hangs out over the days, more on days that are longer."""
        slots = {n: slot for n in days if (slot := self.at.slot(n, recipe, _least(recipe)))}
        most = {
            n: min(
                hang.each, most_hangs(recipe, slot[1] // STEP * STEP),
                self.at.most_hangs(n) if recipe.hard_hangs else hang.each,
            )
            for n, slot in slots.items()
        }  # fmt: skip
        share = dict.fromkeys(slots, 0)
        left = hang.hangs
        while some := [n for n in slots if share[n] < most[n]][:left]:  # as many more for each
            more = min(left // len(some), *(most[n] - share[n] for n in some))
            share |= {n: share[n] + more for n in some}
            left -= more * len(some)
        for n, slot in slots.items():
            minutes = recipe.warm_up_minutes + round(share[n] * recipe.hang_minutes)
            minutes = min(-(-max(minutes, recipe.least_minutes) // STEP), slot[1] // STEP) * STEP
            minutes = min(minutes, self._most_minutes(recipe))
            if minutes >= recipe.least_minutes:
                hangs = min(share[n], most_hangs(recipe, minutes))
                self.at.place(n, recipe, slot, minutes, hangs)

    def _most_minutes(self, recipe: Recipe) -> int:
        """Minutes of hangs that the load still to be had holds."""
        home = sum(item.load for item in self.at.items if item.role is None)
        left = self.order.over * self.order.aim + self.order.slack - home
        return int(left / (recipe.rpe * recipe.active_share)) // STEP * STEP
