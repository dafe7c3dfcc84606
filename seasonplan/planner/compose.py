"""One week as it is to be done: rock first, then hangs, then courses in order of need.

Every session gets its day and hour at once (`standing`), so a week asks for nothing that does not
fit. Enforces `session-dose` (upward) and `lead-in-volume`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from functools import cached_property
from math import inf

from seasonplan.planner.candidates import TRAINED_IN_WAVES
from seasonplan.planner.climbing import (
    Climb,
    Wanted,
    climbing,
    climbs_enough,
    hard_climbing,
    hard_seconds,
    keeps,
    leaves_enough,
    more_climbing,
    wanted_climbing,
)
from seasonplan.planner.courses import Served, served
from seasonplan.planner.fingers import Hang
from seasonplan.planner.frame import DAY, Frame
from seasonplan.planner.hanging import Hanging, most_hangs
from seasonplan.planner.rock_taken import taken
from seasonplan.planner.standing import STEP, TEST, Item, Standing
from seasonplan.planner.week_order import FIT, Order
from seasonplan.recipes import Recipe
from seasonplan.rules.tables import composing, table
from seasonplan.vocabulary import Kind

SAME = composing().same
_Stage = tuple[tuple[int, Item], ...]  # what stood by then
MOST_CLIMBS = 3  # days with climbing before the hangs, at most
MOST_TURNS = 4  # how often the courses are gone through; hard ones only the first time


def compose(
    frame: Frame, order: Order, *, book: Mapping[str, Recipe], done: Sequence[Item] = ()
) -> tuple[Item, ...]:
    """The sessions of a week, in order. `done` are those of days of it that are over."""
    composer = _Composer(frame, order, book, done)
    wanted = wanted_climbing(order)
    week = composer.week()
    if wanted and week.load < FIT.full * order.aim:
        week = max(week, composer.easy_last(), key=lambda one: one.load)
    if order.kind is Kind.BASE and not order.test:
        week = _with_what_it_is_named_for(week, composer)
    if order.fingers.hangs:
        week = _with_climbing(week, composer, wanted)
    if order.kind in TRAINED_IN_WAVES and not order.light:
        week = _mostly_climbing(week, composer)
    return tuple(week.in_order())


def _with_what_it_is_named_for(week: Standing, composer: _Composer) -> Standing:
    """The week, before its hangs what its block is named for where it else had nothing of that."""
    makes = composer.order.makes
    if not makes or makes & week.times.keys():
        return week
    other = composer.named_first()
    climbs, climbed = (any(i.recipe.climbs for i in one.items) for one in (other, week))
    return other if makes & other.times.keys() and climbs >= climbed else week


def _with_climbing(week: Standing, composer: _Composer, every: Sequence[Wanted]) -> Standing:
    """The week, with climbing that it should hold and does not, where it may come first."""
    for wanted in every:
        if any(wanted.climb(item.recipe) for item in week.items):
            break
        makes = composer.order.makes
        for others in composer.climbing_first(wanted.climb):
            for other in others:
                if keeps(other.items, week.items, wanted, makes=makes):
                    return other
    return week


def _mostly_climbing(week: Standing, composer: _Composer) -> Standing:
    """The week, with climbing on more days where it was less than hangs and pulls, or few days are
    long enough for a wall; as near to that as there is."""
    if climbs_enough(week) or not composer.climbs:
        return week
    fingers, best, usual = composer.order.fingers, week, hard_seconds(week.items)
    for hangs in dict.fromkeys((fingers.hangs, fingers.short or fingers.hangs)):
        found = []
        for other in composer.climbing_on_more_days(hangs):
            if leaves_enough(other, week, composer.order):
                found.append(other)
                if climbs_enough(other) and hard_seconds(other.items) >= usual:
                    return other
        if enough := [one for one in found if climbs_enough(one)]:
            return max(enough, key=lambda one: hard_seconds(one.items))
        best = max([best, *found], key=more_climbing)
    return best


class _Composer:
    def __init__(
        self, frame: Frame, order: Order, book: Mapping[str, Recipe], done: Sequence[Item]
    ) -> None:
        self.order = order
        self.book = book
        self._courses: Sequence[Served] = ()
        self._most = order.over * order.aim
        self.at = Standing(frame, in_a_row=order.fingers.in_a_row, done=done)
        self._tried: dict[str, Sequence[Standing]] = {}  # with a recipe before the hangs
        self._opened: _Stage = ()  # before the hangs,
        self._hung: _Stage = ()  # and with them
        self._ahead: set[str] = set()  # what stands of its courses before the hangs
        self._open: dict[str, Sequence[int]] = {}  # days that may hold a recipe; weeks only fill

    def week(self) -> Standing:
        self._rock()
        self.at.mark()
        self._courses = served(self.order, self.at.ground, self.book)
        if self.order.test:
            self._test()
        if self.order.course_first:
            self._named_first()
        self._opened = tuple(self.at.placed)
        return self._hung_and_filled()

    def easy_last(self) -> Standing:
        """The same week, mobility and the like only where nothing else fits any more."""
        if all(item.recipe.rpe > DAY.easy_rpe for _, item in self.at.placed[len(self._hung) :]):
            return self.at
        self._again_from(self._hung)
        last = [one for one in self._courses if one.easy]
        return self._filled([one for one in self._courses if not one.easy], last)

    def named_first(self) -> Standing:
        """The same week, what its block is named for before the hangs."""
        self._again_from(self._opened)
        self._named_first()
        return self._hung_and_filled()

    def climbing_first(self, climb: Climb) -> Iterator[Iterator[Standing]]:
        """The same week with such climbing, short, before the hangs: of each recipe on each day
        that may hold it, the one that leaves most hard hangs first."""
        some = self._climbs(climb)
        if some:
            self._again_from(self._opened)
        tries = [
            (recipe, sorted(self._days_for(recipe), key=self._suits(recipe), reverse=True))
            for recipe in some
        ]
        for recipe, days in tries:
            known = self._tried.get(recipe.id)
            yield self._begun_with(recipe, days) if known is None else iter(known)

    def _begun_with(self, recipe: Recipe, days: Iterable[int]) -> Iterator[Standing]:
        found = []
        for at in self._hung_with(recipe, days):
            self.at, self._open = at, {}
            found.append(self._filled(self._courses, ()))
            yield found[-1]
        self._tried[recipe.id] = found

    def _hung_with(self, recipe: Recipe, days: Iterable[int]) -> Iterator[Standing]:
        """With the hangs after it, most of them first: no course adds any."""
        fewer = []
        for n in days:
            self._again_from(self._opened)
            self._put(n, recipe, short=True)
            self._hang(self.order.fingers.hangs)
            if hard_seconds(self.at.items) < self._asked:
                fewer.append(self.at)
            else:
                yield self.at
        yield from sorted(fewer, key=lambda one: hard_seconds(one.items), reverse=True)

    @cached_property
    def _asked(self) -> int:
        """Seconds of hard hangs that it asks for: no week holds more."""
        asked = [(self.book.get(one.recipe), one.hangs) for one in self.order.fingers.hangs]
        return sum(hangs * one.hang_seconds for one, hangs in asked if one and one.hard_hangs)

    @property
    def climbs(self) -> bool:
        """Whether any of its courses is climbing, and some stands before its hangs or may."""
        some = any(one.climbs for course in self._courses for one in course.every)
        begun = any(item.recipe.climbs for _, item in self._opened)
        return some and (begun or bool(self._climbs(climbing)))

    def climbing_on_more_days(self, hangs: Sequence[Hang]) -> Iterator[Standing]:
        """The same week with climbing on one, two or more days before such hangs; pulls only as
        long as that is more, and where nothing else fits any more."""
        pulls = [one for one in self._courses if one.pulls]
        for count in range(1, MOST_CLIMBS + 1):
            self._again_from(self._opened)
            if not self._climb_on(count):
                break
            self._hang(hangs)
            yield self._filled(self._courses, pulls)

    def _climb_on(self, count: int) -> bool:
        """Climbing of its courses, short, until so many days hold some: each once, one of them hard
        on the fingers at most."""
        for recipe in self._climbs(climbing):
            held = self._days_climbed()
            if len(held) >= count:
                break
            hard = recipe.hard_on_fingers and any(hard_climbing(i.recipe) for i in self.at.items)
            days = [n for n in self._days_for(recipe) if n not in held]
            if days and not hard and (not recipe.hard_on or self._may_be_hard()):
                self._put(max(days, key=self._suits(recipe)), recipe, short=True)
        before = {item.recipe.id for _, item in self._opened}
        self._ahead = {item.recipe.id for item in self.at.items if item.recipe.climbs} - before
        return len(self._days_climbed()) >= count

    def _days_climbed(self) -> set[int]:
        return {n for n, item in self.at.placed if item.recipe.climbs}

    def _again_from(self, stage: _Stage) -> None:
        self.at = self.at.begun_again(stage)
        self._open = {}

    def _hung_and_filled(self) -> Standing:
        self._hang(self.order.fingers.hangs)
        return self._filled(self._courses, ())

    def _hang(self, hangs: Sequence[Hang]) -> None:
        Hanging(self.at, self.order, self.book).place(hangs)
        self._hung = tuple(self.at.placed)

    def _filled(self, courses: Sequence[Served], last: Sequence[Served]) -> Standing:
        """What stands, with the courses in turn; `last` where nothing else was added."""
        for turn in range(MOST_TURNS):
            before = self.at.load
            courses = self._turn(turn, courses, last)
            if self.at.load == before:
                break
        return self.at

    def _turn(
        self, turn: int, courses: Sequence[Served], last: Sequence[Served]
    ) -> Sequence[Served]:
        """Once through the courses. Those that may still be done: days only fill."""
        season = self.order.kind is Kind.PERFORMANCE
        share = FIT.season_full if season and turn else FIT.full
        before, enough = self.at.load, share * self.order.aim
        ahead = set(self._ahead) if not turn else set()
        left = []
        for course in courses:
            stands = next((r.id for r in course.open if r.id in ahead), "") if ahead else ""
            ahead.discard(stands)
            waits = self.at.load >= enough or (course in last and self._too_many(course))
            if stands or waits or self._course(course, again=turn > 0):
                left.append(course)
        for course in last:
            if self.at.load == before < enough:
                self._course(course, again=turn > 0)
        return left

    def _too_many(self, pulls: Served) -> bool:
        """Whether with them hangs and pulls would be more than climbing."""
        return more_climbing(self.at) < min(map(self.at.frame.least, pulls.open), default=0)

    # --- rock ---------------------------------------------------------------------------------

    def _rock(self) -> None:
        """The days on rock of this week, by what its block is for."""
        for n, rock in taken(self.order, self.at.frame):
            item = Item(
                recipe=rock.recipe, day=rock.day, start=rock.start, minutes=rock.minutes,
                rock=rock.entry, role=rock.role,
            )  # fmt: skip
            self.at.put(n, item)
            self.at.taken[n] = rock

    # --- a test ---------------------------------------------------------------------------------

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

    # --- courses --------------------------------------------------------------------------------

    def _named_first(self) -> None:
        """The first course with what its block is named for that can be done, else none."""
        for course in self._courses:
            if course.holds(self.order.makes) and self._course(course, again=False):
                return

    def _course(self, course: Served, *, again: bool) -> bool:
        """The first of its recipes that can be done, on the day that suits it best."""
        for recipe in course.open:
            if recipe.hard_on and (again or not self._may_be_hard()):
                continue
            if recipe.on_hangboard and self._days_hung() >= self.order.hang_days:
                continue
            days = self._days_for(recipe)
            if days:
                self._put(max(days, key=self._suits(recipe)) if len(days) > 1 else days[0], recipe)
                return True
        return False

    def _days_hung(self) -> int:
        return sum(day.hangs for day in self.at.days)

    def _may_be_hard(self) -> bool:
        """Whether one more hard course may stand; in a light week there is one at most."""
        if self.order.light:
            hard = {item.recipe.id for item in self.at.items if item.recipe.hard_on}
            if hard and any(course.holds(hard) for course in self._courses):
                return False
        return self.at.hard_sessions < self.order.hard

    def _climbs(self, climb: Climb) -> list[Recipe]:
        """The recipes of its courses that are such climbing, each once, in order of need; in a
        light week the easy ones first."""
        every = {one.id: one for course in self._courses for one in course.open if climb(one)}
        light = self.order.light
        return sorted(every.values(), key=lambda one: light and one.hard_on_fingers)

    def _put(self, n: int, recipe: Recipe, *, short: bool = False) -> None:
        least = self.at.frame.least(recipe)
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
        return int(left / recipe.load_a_minute) if recipe.load_a_minute else 0

    def _length(self, recipe: Recipe, room: int) -> int:
        """Its usual length, longer where an easy session has a long free time to itself."""
        longest = recipe.minutes if self._careful(recipe) else recipe.most_minutes
        if recipe.id in ("limit-bouldering", "board-power") and self.at.frame.from_50:
            longest = min(longest, int(table("menus")["from_50"]["most_limit_minutes"]))
        return min(longest, room)

    def _careful(self, recipe: Recipe) -> bool:
        """Whether it is no longer than usual: hard, or while something is hurt."""
        hurt = self.order.kind in (Kind.INJURED, Kind.RETURN)
        longer = self.order.climb_longer and recipe.climbs
        return bool(recipe.hard_on) or (hurt and not longer)

    def _days_for(self, recipe: Recipe) -> Sequence[int]:
        """The days that may hold it. One that once could not never can again."""
        left = self._open.get(recipe.id)
        left = self.at.open(recipe) if left is None else left
        if left:
            often = self.at.times.get(recipe.id, 0) >= SAME.get(self.order.kind, MOST_TURNS)
            room = self._room(recipe, alone=not self.at.placed)
            fits = not often and room >= self.at.frame.least(recipe)
            left = self._open[recipe.id] = self.at.that_hold(recipe, left) if fits else ()
        return left

    def _suits(self, recipe: Recipe) -> Callable[[int], tuple[float, int]]:
        """How well a day suits: free days first, long sessions on long days, the same things far
        apart."""
        days, hard = self.at.days, bool(recipe.hard_on)
        again = recipe.id in self.at.times
        same = [k for k, day in enumerate(days) if recipe.id in day.recipes] if again else []
        wanted = recipe.most_minutes if recipe.rpe < FIT.own_length_rpe else recipe.minutes
        long = FIT.long_minutes if wanted <= FIT.short_minutes else inf
        near = {k + m for k, day in enumerate(days) if hard and day.hard for m in (-1, 1)}

        def suits(n: int) -> tuple[float, int]:
            day = days[n]
            room = day.minutes
            apart = min(3, *[abs(k - n) for k in same]) if same else 3
            short = (wanted - room) / 30 if wanted > room else 0.0
            busy = 3.0 * day.long_items + 1.5 * (n in near)
            return apart - short - (room >= long) - busy, -n

        return suits
