"""One attempt at a week: climbing that comes first, hangs, then the courses in order of need.

Each session gets its day and hour at once (`standing`). Enforces `session-dose` (upward).
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence, Set
from dataclasses import dataclass
from functools import cached_property

from seasonplan.planner.climbing import Climb, climbing, hard_climbing, more_climbing
from seasonplan.planner.fingers import Hang
from seasonplan.planner.frame import DAY
from seasonplan.planner.hanging import Hanging, most_hangs
from seasonplan.planner.standing import STEP, TEST, Item, Standing
from seasonplan.planner.week_order import FIT, Order
from seasonplan.recipes import Recipe
from seasonplan.rules.tables import composing, table
from seasonplan.vocabulary import Kind

SAME = composing().same
# how well a day suits, in days apart: the longest hard climbing, one beside a hard day hard work
# or easy so that others stay open to what is hard
CLIMBS_LONG, BESIDE_HARD, EASY_BESIDE_HARD = 0.5, -1.5, 0.3
TOGETHER = 4.0  # a day that loads what comes back already, so that others do not
MOST_TURNS = 4  # how often the courses are gone through; hard ones only the first time

Stage = tuple[tuple[int, Item], ...]  # what stood by then


@dataclass(frozen=True, eq=False)
class Course:
    """A course: of the `open` recipes, those that some day is open to, the first that can be done
    is; `every` are all that it names."""

    every: Sequence[Recipe]
    open: Sequence[Recipe]

    @cached_property
    def easy(self) -> bool:
        return all(one.rpe <= DAY.easy_rpe for one in self.every)

    @cached_property
    def pulls(self) -> bool:
        return all(one.pulls for one in self.every)

    def holds(self, recipes: Set[str]) -> bool:
        """Whether it names one of them."""
        return any(one.id in recipes for one in self.every)


class Attempt:
    """A week that is being composed."""

    def __init__(
        self, at: Standing, order: Order, book: Mapping[str, Recipe], *, opened: Stage = ()
    ) -> None:
        """`opened` is what stands before the hangs of every attempt."""
        self.at, self.order, self.book = at, order, book
        self.courses = self._served()
        self.opened, self.hung = opened, opened  # what stood before the hangs, and with them
        self._ahead: set[str] = set()  # what stands of its courses before the hangs
        self._open: dict[str, Sequence[int]] = {}  # days that may hold a recipe; weeks only fill
        self._most = order.over * order.aim

    def again(self, stage: Stage | None = None) -> Attempt:
        """Another at the same week, from a stage of this one on; from before the hangs if none."""
        at = self.at.again(self.opened if stage is None else stage)
        return Attempt(at, self.order, self.book, opened=self.opened)

    def _served(self) -> Sequence[Course]:
        """Its courses, in order of need; looked at once for all orders of a menu."""
        ground, order = self.at.ground, self.order
        key = (order.courses, order.kind)
        found: Sequence[Course] | None = ground.menus.get(key)
        if found is None:
            named = ([one for n in course if (one := self.book.get(n))] for course in order.courses)
            of_kind = ([one for one in some if order.kind in one.kinds] for some in named)
            found = ground.menus[key] = [
                Course(some, [one for one in some if ground.open(one)]) for some in of_kind if some
            ]
        return found

    # --- before the hangs -----------------------------------------------------------------------

    def open(self) -> None:
        """What stands before the hangs in every attempt: the test, and what comes first."""
        if self.order.test:
            self._test()
        if self.order.course_first:
            self.named_first()
        self.opened = self.hung = tuple(self.at.placed)

    def _test(self) -> None:
        """A test, rested: no finger work that day, none hard the day before."""
        recipe = self.book.get(TEST)
        if recipe is None:
            return
        open_days = [n for n in self.at.open(recipe) if n >= 2]  # the week before is not known here
        slots = {
            n: slot for n in open_days
            if (slot := self.at.slot(n, recipe, recipe.least_minutes)) and self.at.clear(n, recipe)
        }  # fmt: skip
        if slots:
            n = max(slots, key=lambda n: (-abs(self.at.days[n].frame.minutes - 45), n))
            self.at.place(n, recipe, slots[n], min(recipe.minutes, slots[n][1]))
            self.at.test_day = n

    def named_first(self) -> None:
        """The first course with what its block is named for that can be done, else none."""
        for course in self.courses:
            if course.holds(self.order.makes) and self._course(course, again=False):
                return

    def climbs(self, climb: Climb) -> list[Recipe]:
        """The recipes of its courses that are such climbing, each once, in order of need; in a
        light week the easy ones first."""
        every = {one.id: one for course in self.courses for one in course.open if climb(one)}
        light = self.order.light
        return sorted(every.values(), key=lambda one: light and one.hard_on_fingers)

    def climb_on(self, count: int) -> bool:
        """Climbing of its courses, short, until so many days hold some: each once, one of them hard
        on the fingers at most."""
        for recipe in self.climbs(climbing):
            held = self._days_climbed()
            if len(held) >= count:
                break
            hard = hard_climbing(recipe) and any(hard_climbing(i.recipe) for i in self.at.items)
            days = [n for n in self.days_for(recipe) if n not in held]
            if days and not hard and (not recipe.hard_on or self._may_be_hard()):
                self.put(self.best_day(recipe, days), recipe, short=True)
        before = {item.recipe.id for _, item in self.opened}
        self._ahead = {item.recipe.id for item in self.at.items if item.recipe.climbs} - before
        return len(self._days_climbed()) >= count

    def _days_climbed(self) -> set[int]:
        return {n for n, item in self.at.placed if item.recipe.climbs}

    # --- hangs and courses ----------------------------------------------------------------------

    def hang(self, hangs: Sequence[Hang]) -> None:
        """With these hangs."""
        Hanging(self.at, self.order, self.book).place(hangs)
        self.hung = tuple(self.at.placed)

    def fill(self, last: Sequence[Course] = ()) -> None:
        """With the courses in turn; `last` where nothing else was added."""
        courses = self.courses
        for turn in range(MOST_TURNS):
            before = self.at.load
            courses = self._turn(turn, courses, last)
            if self.at.load == before:
                break

    def _turn(
        self, turn: int, courses: Sequence[Course], last: Sequence[Course]
    ) -> Sequence[Course]:
        """Once through the courses. Those that may still be done: days only fill."""
        season = self.order.kind is Kind.PERFORMANCE
        share = FIT.season_full if season and turn else FIT.full
        before, enough = self.at.load, share * self.order.aim
        ahead = set() if turn else set(self._ahead)
        left = []
        for course in courses:
            stands = next((r.id for r in course.open if r.id in ahead), "") if ahead else ""
            ahead.discard(stands)
            waits = self.at.load >= enough or (course in last and self._too_many(course))
            waits = waits or (season and course.holds(self.order.makes))  # once, before the hangs
            if stands or waits or self._course(course, again=turn > 0):
                left.append(course)
        for course in last:
            if self.at.load == before < enough:
                self._course(course, again=turn > 0)
        return left

    def _course(self, course: Course, *, again: bool) -> bool:
        """The first of its recipes that can be done, on the day that suits it best."""
        for recipe in course.open:
            if recipe.hard_on and (again or not self._may_be_hard()):
                continue
            if recipe.on_hangboard and self._hang_days() >= self.order.hang_days:
                continue
            days = self.days_for(recipe)
            if days:
                self.put(self.best_day(recipe, days), recipe)
                return True
        return False

    def _hang_days(self) -> int:
        return sum(day.hangs for day in self.at.days)

    def _too_many(self, pulls: Course) -> bool:
        """Whether with them hangs and pulls would be more than climbing."""
        least = (self.at.frame.fit(one).least for one in pulls.open)
        return more_climbing(self.at.items) < min(least, default=0)

    def _may_be_hard(self) -> bool:
        """Whether one more hard course may stand; in a light week there is one at most."""
        if self.order.light:
            hard = {item.recipe.id for item in self.at.items if item.recipe.hard_on}
            if hard and any(course.holds(hard) for course in self.courses):
                return False
        return self.at.hard_sessions < self.order.hard

    # --- one session ----------------------------------------------------------------------------

    def put(self, n: int, recipe: Recipe, *, short: bool = False) -> None:
        """A session on a day, as long as usual or as short as may be."""
        least = self.at.frame.fit(recipe).least
        slot = self.at.slot(n, recipe, least)
        assert slot is not None
        usual = least if short else self._length(recipe, slot[1])
        minutes = max(min(usual, self._room(recipe)) // STEP * STEP, least)
        self.at.place(n, recipe, slot, minutes, self._hangs(recipe, minutes))

    def _hangs(self, recipe: Recipe, minutes: int) -> int:
        """Those that the time holds; while hurt no more than a healthy climber's light session."""
        if not recipe.hang_seconds:
            return 0
        most = most_hangs(recipe, minutes)
        return most if self.order.holds is None else min(most, self.order.holds, recipe.hangs[0])

    def _room(self, recipe: Recipe, *, alone: bool = False) -> int:
        """Minutes of it that the load still to be had holds; what stands alone may go beyond."""
        left = self._most - self.at.load + self.order.slack * alone
        most, gently = (
            int(left / recipe.load_a_minute) if recipe.load_a_minute else 0,
            self.at.gently,
        )
        if self.order.minutes is not None:
            most = min(most, self.order.minutes - sum(item.minutes for item in self.at.items))
        return min(most, gently.minutes - self.at.climbed) if gently and recipe.climbs else most

    def _length(self, recipe: Recipe, room: int) -> int:
        """Its usual length, longer where an easy session has a long free time to itself."""
        longest = recipe.minutes if self._careful(recipe) else recipe.most_minutes
        if recipe.id in ("limit-bouldering", "board-power") and self.at.frame.from_50:
            longest = min(longest, int(table("menus")["from_50"]["most_limit_minutes"]))
        if self.at.gently and recipe.climbs:
            longest = min(longest, self.at.gently.session)
        return min(longest, room)

    def _careful(self, recipe: Recipe) -> bool:
        """Whether it is no longer than usual: hard, or while something is hurt."""
        hurt = self.order.kind in (Kind.INJURED, Kind.RETURN)
        longer = self.order.climb_longer and recipe.climbs
        return bool(recipe.hard_on) or (hurt and not longer)

    def days_for(self, recipe: Recipe) -> Sequence[int]:
        """The days that may hold it. One that once could not never can again."""
        left = self._open.get(recipe.id)
        left = self.at.open(recipe) if left is None else left
        if left:
            often = self.at.times.get(recipe.id, 0) >= SAME.get(self.order.kind, MOST_TURNS)
            room = self._room(recipe, alone=not self.at.placed)
            fits = not often and room >= self.at.frame.fit(recipe).least
            left = self._open[recipe.id] = self.at.that_hold(recipe, left) if fits else ()
        return left

    def best_day(self, recipe: Recipe, some: Sequence[int]) -> int:
        """Of some days the one that suits it best, the first of equals."""
        return max(some, key=self.suits(recipe)) if len(some) > 1 else some[0]

    def suits(self, recipe: Recipe) -> Callable[[int], float]:
        """How well a day suits: free days first, long sessions on long days, the same things far
        apart."""
        days, again = self.at.days, recipe.id in self.at.times
        same = [k for k, day in enumerate(days) if recipe.id in day.recipes] if again else []
        hard = {k for k, day in enumerate(days) if day.hard}
        beside = BESIDE_HARD if recipe.hard_on else EASY_BESIDE_HARD
        wanted = recipe.most_minutes if recipe.rpe < FIT.own_length_rpe else recipe.minutes
        # the longest day is for climbing, long ones are not for what is short
        if recipe.hard_on and recipe.climbs:
            liked, long = CLIMBS_LONG, max(FIT.long_minutes, self.at.frame.longest)
        else:
            liked, long = -float(wanted <= FIT.short_minutes), FIT.long_minutes

        loaded = self.at.loaded_by(recipe)

        def suits(n: int) -> float:
            day = days[n]
            room = day.minutes
            apart = min(3, *[abs(k - n) for k in same]) if same else 3
            short = (wanted - room) / 30 if wanted > room else 0.0
            busy = 3.0 * day.long_items - beside * (n - 1 in hard or n + 1 in hard)
            together = TOGETHER if n in loaded else 0.0
            return apart - short - busy + together + (liked if room >= long else 0.0)

        return suits
