"""Where the sessions of a week may stand, and at what hour, while it is composed.

Knows what each day holds and what is near it, not what the week is for. Enforces
`session-spacing`, `session-order`, `session-fresh` and `session-hangs`.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence, Set
from datetime import date
from typing import NamedTuple

from seasonplan.plan import Session
from seasonplan.planner.frame import DAWN, DAY, DUSK, DayFrame, Frame, at_the_limit
from seasonplan.planner.gently import Gently, row_with
from seasonplan.planner.rock_day import RockDay
from seasonplan.recipes import Need, Recipe
from seasonplan.vocabulary import RockRole, Tissue

STEP = 5  # minutes
LEAST_LEFT = 10  # minutes: less is no time that is left
TEST = "test-day"


class Item(NamedTuple):
    """One session of a composed week."""

    recipe: Recipe
    day: date
    start: int
    minutes: int
    hangs: int = 0
    rock: str | None = None
    role: RockRole | None = None

    @property
    def load(self) -> float:
        return self.recipe.load_a_minute * self.minutes


class Day:
    """A day while the week is composed: its free time left, and what stands on it.

    `hangs`: whether any of it is on a hangboard, or a test. `hard`: whether any uses a tissue hard.
    `long_items`: sessions that are more than short hangs. `full`: it holds as many as a day should.
    """

    __slots__ = (
        "frame", "full", "hangs", "hard", "items", "left", "long_items", "longest_left", "minutes",
        "recipes",
    )  # fmt: skip

    def __init__(self, frame: DayFrame) -> None:
        self.frame = frame
        self.left: Sequence[tuple[int, int]] = frame.free
        self.minutes = self.longest_left = frame.minutes
        self.items: list[Item] = []
        self.recipes: set[str] = set()
        self.hangs = self.hard = self.full = False
        self.long_items = 0

    def hold(self, item: Item, *, travel: int) -> None:
        """One more session, so many minutes away; short hangs fill no day, a day on rock does."""
        recipe = item.recipe
        self.items.append(item)
        self.recipes.add(recipe.id)
        self.hangs |= recipe.on_hangboard or recipe.id == TEST
        self.hard |= bool(recipe.hard_on)
        if not recipe.hang_seconds or item.minutes > DAY.short_hang_minutes:
            self.long_items += 1
            self.full = self.long_items >= self.frame.most_items
        left, longest = [], 0
        for start, end in self.left if item.role is None else ():
            if start <= item.start - travel < end:
                start = -(-(item.start + item.minutes + travel) // STEP) * STEP
            if end - start >= LEAST_LEFT:
                left.append((start, end))
                longest = max(longest, end - start)
        self.left, self.longest_left = left, longest


HANGING = frozenset((Tissue.FINGERS, Tissue.WRISTS, Tissue.ELBOWS))  # what hard finger use loads


class Standing:
    """The days of a week and what stands on them, first of all the days on `rock` that it takes;
    `done` are sessions of days that are over."""

    def __init__(
        self, frame: Frame, *, in_a_row: int, done: Sequence[Item] = (),
        rock: Sequence[tuple[int, RockDay]] = (), gently: Gently | None = None,
    ) -> None:  # fmt: skip
        """`in_a_row` is how many days running may use the fingers hard; `gently`: how what comes
        back is loaded."""
        self.frame, self._done, self._rock = frame, done, rock
        self.in_a_row = 1 if frame.spared & HANGING else in_a_row
        self.ground = frame.ground(dict(rock), in_a_row=self.in_a_row)
        self.days = [Day(day) for day in frame.days]
        # what uses tissues hard near or in the week: its day, the tissues, the days kept after it
        self._hard: list[tuple[int, Recipe, int]] = []
        self._hard_days: set[int] = set()
        self._fingers: set[int] = set()  # days of hard finger use
        self.gently, self.climbed = gently, 0  # minutes
        self._loaded: set[int] = set()  # days that load what comes back
        if gently:
            climbed = {(r.day - frame.span.first).days for r in frame.rock_near if r.recipe.climbs}
            self._loaded = climbed.union(range(-gently.ran, 0))
        self.placed: list[tuple[int, Item]] = []  # with the number of their days
        self.times: dict[str, int] = {}  # how often a recipe stands
        first = frame.span.first
        near = [(one.day, one.recipe) for some in (frame.rock_near, done) for one in some]
        for day, recipe in near:
            self._use((day - first).days, recipe)
        # of those that are over what lies in the same seven days
        self.over = [item for item in done if (frame.span.last - item.day).days < 7]
        spent = sum(frame.fit(item.recipe).spared for item in self.over)
        most = frame.most_hard or 0  # in a part of a week its part, where the rest is not known
        self._hard_left = (most if done else most * len(frame.days) // 7) - spent
        self.load = 0.0
        self.hard_sessions = 0  # tests apart
        self.test_day = -9
        for n, one in rock:
            item = Item(one.recipe, one.day, one.start, one.minutes, 0, one.entry, one.role)
            self.put(n, item)

    def again(self, placed: Iterable[tuple[int, Item]]) -> Standing:
        """The same week with its rock and no more than these of its sessions."""
        other = Standing(
            self.frame, in_a_row=self.in_a_row, done=self._done, rock=self._rock, gently=self.gently
        )
        other.test_day = self.test_day
        for n, item in placed:
            if item.role is None:
                other.put(n, item)
        return other

    def open(self, recipe: Recipe) -> Sequence[int]:
        """The days on which a recipe may stand at all, in order: nothing hard before a test."""
        days, eve = self.ground.open(recipe), self.test_day - 1
        if eve in days and eve not in self.ground.eased and (recipe.hard_on or recipe.hang_seconds):
            return [n for n in days if n != eve]
        return days

    def that_hold(self, recipe: Recipe, days: Iterable[int]) -> list[int]:
        """Of days open to a recipe those that have place for it, as their first."""
        fit, board, found = self.frame.fit(recipe), recipe.on_hangboard, []
        light = Need.DAYLIGHT in recipe.needs
        for n in days:
            day = self.days[n]
            if day.full or day.longest_left < fit.takes or recipe.id in day.recipes:
                continue
            if (board and day.hangs) or (light and self.slot(n, recipe, fit.least) is None):
                continue
            if self._gentle(n, recipe) and (not recipe.hard_on or self.clear(n, recipe)):
                found.append(n)
        return found

    def _gentle(self, n: int, recipe: Recipe) -> bool:
        """Whether what comes back bears it: days running are few, and a day has one climb."""
        gently = self.gently
        if gently is None or not gently.loads(recipe):
            return True
        if recipe.climbs and any(item.recipe.climbs for item in self.days[n].items):
            return False
        return self.runs_fit((n,), recipe)

    def loaded_by(self, recipe: Recipe) -> Set[int]:
        """The days that load what comes back already, if a recipe does."""
        return self._loaded if self.gently and self.gently.loads(recipe) else frozenset()

    def clear(self, n: int, recipe: Recipe) -> bool:
        """Whether hard uses of its tissues keep their distance, also from those before the week,
        and are no more than what has just come back bears."""
        if not recipe.hard_on:
            return True
        own, hard_on = self.frame.fit(recipe).gap, recipe.hard_on
        for other, used, gap in self._hard:
            near = -own <= n - other <= gap and not used.hard_on.isdisjoint(hard_on)
            if recipe.drains and used.drains and -1 <= n - other <= 1:
                return False
            if near and not (n == other and self._one_use(n, recipe, used)):
                return False
        if not recipe.hang_seconds and self._third_hard_day(n):
            return False
        return self.hard_left(recipe) > 0 and self.runs_fit((n,), recipe)

    def _one_use(self, n: int, recipe: Recipe, other: Recipe) -> bool:
        """Whether two sessions of a day are one hard use: hangs, and other work right after; few
        hangs where that is tries at the limit."""
        one_time = len(self.days[n].frame.free) == 1
        hung = recipe.hard_hangs != other.hard_hangs
        if not (one_time and hung):
            return False
        hangs = sum(item.hangs for item in self.days[n].items if item.recipe.hard_hangs)
        return hangs <= self.most_hangs(n, recipe if other.hard_hangs else None)

    def most_hangs(self, n: int, also: Recipe | None = None) -> int:
        """Hard hangs that a day may hold at most, beside what stands there and `also`."""
        beside = [item.recipe for item in self.days[n].items if not item.recipe.hard_hangs]
        if also:
            beside.append(also)
        if any(one.with_tools for one in beside):
            return DAY.hangs_before_tools
        return DAY.hangs_before_tries if any(map(at_the_limit, beside)) else 99

    def _third_hard_day(self, n: int) -> bool:
        """Whether a day would be the third running with hard use of anything."""
        hard = self._hard_days
        if n - 1 in hard:
            return n - 2 in hard or n + 1 in hard
        return n + 1 in hard and n + 2 in hard

    def _use(self, n: int, recipe: Recipe) -> None:
        if recipe.hard_on:
            self._hard.append((n, recipe, self.frame.fit(recipe).gap))
            self._hard_days.add(n)
        if recipe.hard_on_fingers:
            self._fingers.add(n)

    def hard_left(self, recipe: Recipe) -> int:
        """How many sessions of it may still stand, by what has just come back."""
        spared = self.frame.spared and self.frame.fit(recipe).spared
        return self._hard_left if spared else len(self.days)

    def runs_fit(self, some: Sequence[int], recipe: Recipe) -> bool:
        """Whether no day of these is in too long a row of days with hard use of the fingers, or
        with what loads a part that comes back."""
        if recipe.hard_on_fingers and _longest(self._fingers, some) > self.in_a_row:
            return False
        gently = self.gently
        if gently is None or not gently.loads(recipe):
            return True
        return _longest(self._loaded, some) <= gently.in_a_row

    def slot(self, n: int, recipe: Recipe, least: int) -> tuple[int, int] | None:
        """The shortest free time of a day that holds a recipe, and the minutes it may take."""
        extra = 2 * self.frame.fit(recipe).travel if self.frame.wall_travel else 0
        light = Need.DAYLIGHT in recipe.needs
        best: tuple[int, int] | None = None
        for start, end in self.days[n].left:
            if light:
                start = max(start, DAWN)
                if start >= DUSK:
                    continue
            room = end - start - extra
            if room >= least and (best is None or room < best[1]):
                best = start, room
        return best

    def place(
        self, n: int, recipe: Recipe, slot: tuple[int, int], minutes: int, hangs: int = 0
    ) -> None:
        """A session at the beginning of a free time of a day, the way there before it."""
        start = slot[0] + self.frame.fit(recipe).travel
        self.put(n, Item(recipe, self.days[n].frame.day, start, minutes, hangs))

    def put(self, n: int, item: Item) -> None:
        recipe, fit = item.recipe, self.frame.fit(item.recipe)
        self.days[n].hold(item, travel=fit.travel)
        self.placed.append((n, item))
        self.times[recipe.id] = self.times.get(recipe.id, 0) + 1
        self.load += item.load
        self.climbed += item.minutes * recipe.climbs
        if self.gently and self.gently.loads(recipe):
            self._loaded.add(n)
        if recipe.hard_on:
            self._use(n, recipe)
            self._hard_left -= fit.spared
            self.hard_sessions += recipe.id != TEST

    @property
    def items(self) -> list[Item]:
        """What stands in the week, as it was put there."""
        return [item for _, item in self.placed]

    def in_order(self) -> Iterator[Item]:
        """What stands in the week, by day and hour: inside one free time fresh work comes first,
        without a gap."""
        for day in self.days:
            if len(day.items) < 2:
                yield from day.items
            else:
                yield from sorted(self._ordered(day), key=lambda item: item.start)

    def _ordered(self, day: Day) -> Iterator[Item]:
        by_slot: dict[tuple[int, int], list[Item]] = {}
        for item in day.items:
            by_slot.setdefault(_free_time(day, item), []).append(item)
        for (begins, ends), group in by_slot.items():
            in_order = list(self._timed(begins, sorted(group, key=_fresh_first)))
            if max(item.start + item.minutes for item in in_order) > ends:
                group.sort(key=lambda item: (Need.DAYLIGHT in item.recipe.needs, item.start))
                in_order = list(self._timed(begins, group))
            yield from in_order

    def _timed(self, begins: int, items: Iterable[Item]) -> Iterator[Item]:
        """One after the other from a minute of the day, what needs light not before dawn.

        Who is at the wall stays there for what else is done there.
        """
        ended, back = begins, 0  # of the one before, and the way home from it
        for item in items:
            travel = self.frame.fit(item.recipe).travel
            stays = bool(travel and back)
            at = ended if stays else ended + back
            at = -(-at // STEP) * STEP if ended > begins else at
            at = max(at, DAWN) if Need.DAYLIGHT in item.recipe.needs else at
            start = at if stays else at + travel
            yield item if start == item.start else item._replace(start=start)
            ended, back = start + item.minutes, travel


def _longest(days: Set[int], some: Sequence[int]) -> int:
    """The longest row of days that one of some is in, with them."""
    every = days | {*some}
    return max([row_with(every, n) for n in some])


def _free_time(day: Day, item: Item) -> tuple[int, int]:
    """That in which a session stands."""
    free = (time for time in day.frame.free if time[0] <= item.start < time[1])
    return next(free, (item.start, 24 * 60))


def _fresh_first(item: Item) -> tuple[int, bool, bool, str]:
    """A test before all else, as it wants the same warm-up each time."""
    recipe = item.recipe
    return recipe.order, recipe.id != TEST, not recipe.hang_seconds, recipe.id


def item_again(one: Session, day: DayFrame, book: Mapping[str, Recipe]) -> Item | None:
    """A planned session as it still can be done on its day, else None."""
    recipe = book.get(one.recipe)
    if recipe is None or (recipe.id not in day.allowed and one.role is None):
        return None
    if one.role is not None:
        rock = day.rock
        if rock is None or (rock.entry, rock.start) != (one.rock, one.minute):
            return None
    elif not any(a <= one.minute and one.minute + one.minutes <= b for a, b in day.free):
        return None
    return Item(recipe, one.day, one.minute, one.minutes, one.hangs, one.rock, one.role)
