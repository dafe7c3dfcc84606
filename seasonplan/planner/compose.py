"""One week as it is to be done: rock first, then hangs, then courses in order of need.

Every session gets its day and hour at once, so a week asks for nothing that does not fit. Enforces
`session-spacing`, `session-order`, `session-fresh`, `session-hangs`, `session-dose` (upward) and
`lead-in-volume`.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from itertools import combinations, pairwise
from typing import NamedTuple

from seasonplan.planner.fingers import FingerAsk, Hang
from seasonplan.planner.frames import (
    DayFrame,
    Frame,
    dawn,
    dusk,
    hard_on_fingers,
    least_wall_minutes,
)
from seasonplan.planner.menus import Course
from seasonplan.planner.rock import RockDay
from seasonplan.recipes import Need, Recipe
from seasonplan.reference import response_table, rock_day_table, table
from seasonplan.vocabulary import Kind, RockRole

STEP = 5  # minutes
SHORT_MINUTES, LONG_MINUTES = 60, 120  # a short session does not take a long day (preference)
MOST_IN_A_DAY, MOST_IN_A_LONG_DAY = 2, 3
LONG_DAY_MINUTES = 150  # free: room for a third session
SHORT_HANG_MINUTES = 20  # a session of hangs as short takes no place of another
ROCK_SHARE = 1.2  # of a normal week's aim: no more load on rock at home
WISHED_SHARE = 0.5  # of it: a day that was wished beside the training
MOST_TURNS = 4  # how often the courses are gone through; hard ones only the first time
FULL = 0.97  # of the aim: nothing more is added
SEASON_FULL = 0.7  # in a season: no more easy work is added beside the rock
OVER = 1.05  # of the aim, at most
SLACK_LOAD = 75.0  # hangs may go a little beyond it
HARD_RPE = 7.0  # from here on a session is as long as it is; below, long ones lie on long days
EASY_RPE = 2.0  # mobility and the like: may stand on days kept easy
FRESH_DAYS = 4  # before a season or trip begins, without hard finger work (custom)
PROJECT_DAYS = 3  # from the last hard hangs to a project day, where the week allows (custom)
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
    away: bool = False

    @property
    def load(self) -> float:
        return self.recipe.load(self.minutes)


@dataclass(frozen=True, slots=True)
class Order:
    """What a week is for. `aim` is its load, `whole` that of a normal week of its kind;
    `course_first`: its first course before the hangs."""

    kind: Kind
    courses: tuple[Course, ...]
    aim: float
    fingers: FingerAsk
    light: bool = False
    lead_in: bool = False
    test: bool = False
    course_first: bool = False
    whole: float = 0.0


@dataclass
class _Day:
    """A day while the week is composed."""

    frame: DayFrame
    left: list[tuple[int, int]]
    items: list[Item] = field(default_factory=list)

    @property
    def hangs(self) -> bool:
        return any(item.recipe.hang_seconds or item.recipe.id == TEST for item in self.items)

    @property
    def full(self) -> bool:
        """Whether it holds as many sessions as a day should."""
        held = [
            i for i in self.items if not i.recipe.hang_seconds or i.minutes > SHORT_HANG_MINUTES
        ]
        free = sum(end - start for start, end in self.frame.free)
        most = MOST_IN_A_LONG_DAY if free >= LONG_DAY_MINUTES else MOST_IN_A_DAY
        return len(held) >= most


def compose(
    frame: Frame, order: Order, *, book: Mapping[str, Recipe], done: Sequence[Item] = ()
) -> tuple[Item, ...]:
    """The sessions of a week, in order. `done` are those of days of it that are over."""
    return _Composer(frame, order, book, done).week()


class _Composer:
    def __init__(
        self, frame: Frame, order: Order, book: Mapping[str, Recipe], done: Sequence[Item]
    ) -> None:
        self.frame = frame
        self.order = order
        self.book = book
        self.days = [_Day(day, list(day.free)) for day in frame.days]
        self.first = frame.span.first
        self.load = 0.0
        self.hard_left = 99
        self.done = done
        self.taken: dict[int, RockDay] = {}
        self.test_day = -9

    def week(self) -> tuple[Item, ...]:
        self._rock()
        self._marks()
        if self.order.test:
            self._test()
        if self.order.course_first:
            self._course(self.order.courses[0], again=False)
        self._fingers()
        self.hard_left = 1 if self.order.light else 99
        season = self.order.kind is Kind.PERFORMANCE
        for turn in range(MOST_TURNS):
            before, enough = self.load, SEASON_FULL if season and turn else FULL
            for course in self.order.courses:
                if self.load >= enough * self.order.aim:
                    break
                self._course(course, again=turn > 0)
            if self.load == before:
                break
        items = [item for day in self.days for item in day.items]
        return tuple(sorted(self._in_order(items), key=lambda item: (item.day, item.start)))

    # --- rock ---------------------------------------------------------------------------------

    def _rock(self) -> None:
        """The days on rock of this week, by what its block is for."""
        here = [(n, day.frame.rock) for n, day in enumerate(self.days) if day.frame.rock]
        chosen = [(n, rock) for n, rock in here if rock is not None]
        for n, rock in self._held(list(self._which(chosen))):
            if self.order.light and not rock.counts and not rock.away:
                rock = _shorter(rock)
            item = Item(
                recipe=rock.recipe, day=rock.day, start=rock.start, minutes=rock.minutes,
                rock=rock.entry, role=rock.role, away=rock.away,
            )  # fmt: skip
            self._put(n, item)
            self.taken[n] = rock

    def _held(self, days: list[tuple[int, RockDay]]) -> list[tuple[int, RockDay]]:
        """Days at home, shorter where together they would be more than a week's load."""
        home = [rock.load for _, rock in days if not rock.away and rock.counts]
        share = ROCK_SHARE * self.order.whole / max(sum(home), 1.0)
        wished = WISHED_SHARE * self.order.whole
        return [(n, _fitted(rock, share=share, wished=wished)) for n, rock in days]

    def _which(self, chosen: list[tuple[int, RockDay]]) -> Iterator[tuple[int, RockDay]]:
        """Away and wished days always; all days in performance, the best in a light week; one
        easier day in base and strength."""
        always = [(n, r) for n, r in chosen if r.away or not r.counts]
        others = [(n, r) for n, r in chosen if not r.away and r.counts]
        yield from always
        if self.order.kind is Kind.PERFORMANCE:
            if self.order.light and others:
                others = [max(others, key=lambda one: (one[1].worth, -one[0]))]
            yield from others
        elif self.order.kind in (Kind.BASE, Kind.STRENGTH) and not self.order.light and others:
            n, rock = max(others, key=lambda one: (one[1].counts, -one[0]))
            if rock.easier is not None and not always:
                yield n, _easier(rock)

    # --- days -----------------------------------------------------------------------------------

    def _marks(self) -> None:
        """Which days are kept easy: before a project or trip, between projects, on rock days."""
        projects = {n for n, rock in self.taken.items() if rock.role is RockRole.PROJECT}
        ahead = {(r.day - self.first).days: r for r in self.frame.rock_after}
        behind = {(r.day - self.first).days: r for r in self.frame.rock_before}
        projects |= {n for n, r in (ahead | behind).items() if r.role is RockRole.PROJECT}
        trip = self.frame.trip_begins
        starts = {(trip - self.first).days} if trip else set()
        opens = {n for n, r in (ahead | self.taken).items() if r.first} | starts
        rock = set(self.taken) | set(behind)
        self.projects = projects
        self.eves = {n - 1 for n in projects | starts}
        self.between = {n for n in range(len(self.days)) if {n - 1, n + 1} <= projects}
        self.after_two = {n for n in range(len(self.days)) if {n - 1, n - 2} <= rock}
        self.kept_light = self._fourth_after_rest()
        self.fresh = {n - back for n in opens for back in range(1, FRESH_DAYS + 1)}

    def _fourth_after_rest(self) -> set[int]:
        """Days without hard finger work in the split that hangs often, so that no row is too long:
        the fourth of any row of weekdays between days kept free."""
        rests = self.frame.kept_free
        if self.order.fingers.in_a_row < 3 or not rests:
            return set()
        barred, row = set(), 0
        for step in range(1, 8):
            weekday = (min(rests) + step) % 7
            row = 0 if weekday in rests else row + 1
            if row > self.order.fingers.in_a_row:
                barred.add(weekday)
                row = 0
        return {n for n, day in enumerate(self.days) if day.frame.day.weekday() in barred}

    def _open(self, n: int, recipe: Recipe) -> bool:
        """Whether a recipe may stand on a day at all."""
        day = self.days[n].frame
        easy = recipe.rpe <= EASY_RPE
        if day.rest or day.away or recipe.id not in day.allowed:
            return False
        if n in self.taken or n in self.between or n in self.after_two:
            return easy and n not in self.taken
        if day.easy and recipe.rpe > float(table("blocks")["days_off"]["easy_rpe"]):
            return False
        hard = bool(recipe.hard_on)
        if n == self.test_day - 1 and (hard or recipe.hang_seconds):
            return False
        if n in self.eves and (hard or recipe.rpe > 6):
            return False
        if n in self.fresh | self.kept_light and hard_on_fingers(recipe):
            return False
        return day.fingers or not (recipe.hang_seconds or hard_on_fingers(recipe))

    def _clear(self, n: int, recipe: Recipe) -> bool:
        """Whether hard uses of its tissues keep their distance, also over the week's edges."""
        if not recipe.hard_on:
            return True
        for other, used in self._hard_uses():
            if not used.hard_on & recipe.hard_on:
                continue
            gap = self._gap(used) if other <= n else self._gap(recipe)
            if abs(n - other) <= gap:
                return False
        if not recipe.hang_seconds and self._third_hard_day(n):
            return False
        return self._clear_of_next_week(n, recipe) and self._not_too_many(n, recipe)

    def _third_hard_day(self, n: int) -> bool:
        """Whether a day would be the third running with hard use of anything."""
        hard = {k for k, used in self._hard_uses() if used.hard_on}
        return any({n - a, n - b} <= hard for a, b in ((1, 2), (1, -1), (-1, -2)))

    def _gap(self, recipe: Recipe) -> int:
        """Whole days after a recipe before the next hard use of a tissue."""
        return recipe.days_after(from_50=self.frame.from_50)

    def _hard_uses(self) -> Iterator[tuple[int, Recipe]]:
        for n, day in enumerate(self.days):
            for item in day.items:
                yield n, item.recipe
        for rock in (*self.frame.rock_before, *self.frame.rock_after):
            yield (rock.day - self.first).days, rock.recipe
        for item in self.done:
            yield (item.day - self.first).days, item.recipe

    def _clear_of_next_week(self, n: int, recipe: Recipe) -> bool:
        """Hard work on the last days must not reach into days that next week may use hard."""
        to_end = len(self.days) - 1 - n
        reach = self._gap(recipe)
        if self.order.fingers.in_a_row <= 2 and hard_on_fingers(recipe):
            reach = max(reach, 1)
        return not any(self.frame.open_after[k] for k in range(2) if reach > to_end + k)

    def _not_too_many(self, n: int, recipe: Recipe) -> bool:
        """No more days running with hard finger use than the split allows."""
        if not hard_on_fingers(recipe):
            return True
        uses = [k for k, used in self._hard_uses() if hard_on_fingers(used)]
        most = self.frame.most_hard
        if most is not None and sum(0 <= k < len(self.days) for k in uses) >= most:
            return False
        hard = {*uses, n}
        run = 1
        for step in (-1, 1):
            at = n + step
            while at in hard:
                run += 1
                at += step
        return run <= self.order.fingers.in_a_row

    # --- placing --------------------------------------------------------------------------------

    def _slot(self, n: int, recipe: Recipe, least: int) -> tuple[int, int] | None:
        """The shortest free time of a day that holds a recipe, and the minutes it may take."""
        extra = 2 * self._travel(recipe)
        best: tuple[int, int] | None = None
        for start, end in self.days[n].left:
            if Need.DAYLIGHT in recipe.needs:
                start = max(start, dawn())
                if start >= dusk():
                    continue
            room = end - start - extra
            if room >= least and (best is None or room < best[1]):
                best = start, room
        return best

    def _travel(self, recipe: Recipe) -> int:
        return self.frame.wall_travel if Need.WALL in recipe.needs else 0

    def _least(self, recipe: Recipe) -> int:
        """A wall that is not at home wants a session of some length."""
        if Need.WALL in recipe.needs and not self.frame.home_wall:
            return max(recipe.least_minutes, least_wall_minutes())
        return recipe.least_minutes

    def _put(self, n: int, item: Item) -> None:
        day = self.days[n]
        day.items.append(item)
        self.load += item.load
        if item.role is not None or item.away:
            day.left = []
            return
        left = []
        travel = self._travel(item.recipe)
        for start, end in day.left:
            if start <= item.start - travel < end:
                start = -(-(item.start + item.minutes + travel) // STEP) * STEP
            if end - start >= 10:
                left.append((start, end))
        day.left = left

    def _placed(
        self, n: int, recipe: Recipe, slot: tuple[int, int], minutes: int, hangs: int = 0
    ) -> None:
        item = Item(
            recipe=recipe, day=self.days[n].frame.day, start=slot[0] + self._travel(recipe),
            minutes=minutes, hangs=hangs,
        )  # fmt: skip
        self._put(n, item)

    def _in_order(self, items: Iterable[Item]) -> Iterator[Item]:
        """Inside one free time fresh work comes first, without a gap."""
        by_slot: dict[tuple[date, int], list[Item]] = {}
        for item in items:
            if item.role is not None or item.away:
                yield item
                continue
            by_slot.setdefault((item.day, self._begins(item)), []).append(item)
        for (day, begins), group in by_slot.items():
            in_order = list(self._timed(begins, sorted(group, key=_fresh_first)))
            if max(item.start + item.minutes for item in in_order) > self._ends(day, begins):
                group.sort(key=lambda item: (Need.DAYLIGHT in item.recipe.needs, item.start))
                in_order = list(self._timed(begins, group))
            yield from in_order

    def _timed(self, begins: int, items: Iterable[Item]) -> Iterator[Item]:
        """One after the other from a minute of the day, what needs light not before dawn."""
        at = begins
        for item in items:
            travel = self._travel(item.recipe)
            at = max(at, dawn()) if Need.DAYLIGHT in item.recipe.needs else at
            yield item._replace(start=at + travel)
            at = -(-(at + item.minutes + 2 * travel) // STEP) * STEP

    def _ends(self, day: date, begins: int) -> int:
        free = self.days[(day - self.first).days].frame.free
        return next((end for start, end in free if start == begins), 24 * 60)

    def _begins(self, item: Item) -> int:
        day = self.days[(item.day - self.first).days].frame
        return next((start for start, end in day.free if start <= item.start < end), item.start)

    # --- hangs ----------------------------------------------------------------------------------

    def _fingers(self) -> None:
        """The hangs of the week, on days as far apart as the split wants."""
        for hang in self.order.fingers.hangs:
            recipe = self.book.get(hang.recipe)
            if recipe is not None:
                self._spread(recipe, hang)

    def _spread(self, recipe: Recipe, hang: Hang) -> None:
        days = [n for n in range(len(self.days)) if self._may_hang(n, recipe, hang)]
        count = min(hang.count, len(days))
        while count:
            found = self._best_days(recipe, days, count, hang)
            if found is not None:
                self._hang_on(recipe, hang, found)
                return
            count -= 1

    def _may_hang(self, n: int, recipe: Recipe, hang: Hang) -> bool:
        day = self.days[n]
        if day.hangs or day.full or not self._open(n, recipe):
            return False
        return self._slot(n, recipe, recipe.least_minutes) is not None and self._clear(n, recipe)

    def _best_days(
        self, recipe: Recipe, days: Sequence[int], count: int, hang: Hang
    ) -> tuple[int, ...] | None:
        """The days of that number that lie furthest apart and suit the time there is."""
        gap = self._gap(recipe) if recipe.hard_on else 0
        ahead = {n for n in self.projects if n >= 0}
        best: tuple[tuple[float, ...], tuple[int, ...]] | None = None
        for some in combinations(days, count):
            apart = [b - a for a, b in pairwise(some)]
            if apart and min(apart) <= gap:
                continue
            if recipe.hard_on and not self._runs_fit(some):
                continue
            near = sum(any(0 < p - n < PROJECT_DAYS for p in ahead) for n in some)
            room = sum(abs(self.days[n].frame.minutes - recipe.minutes) for n in some) / 30
            apart.append(7 - some[-1] + some[0])  # to the same days of next week
            evenly = min(float(min(apart)), float(7 // count))
            key = (
                -near if recipe.hard_on else 0.0, evenly, -room, float(min(apart)),
                -float(sum(some)),
            )  # fmt: skip
            if best is None or key > best[0]:
                best = key, some
        return best[1] if best else None

    def _runs_fit(self, some: Sequence[int]) -> bool:
        """Not too many of these days, with hard days that stand already, in a row."""
        hard = {k for k, used in self._hard_uses() if hard_on_fingers(used)} | set(some)
        run = 0
        for n in range(-3, len(self.days) + 3):
            run = run + 1 if n in hard else 0
            if run > self.order.fingers.in_a_row:
                return False
        return True

    def _hang_on(self, recipe: Recipe, hang: Hang, days: Sequence[int]) -> None:
        """Share the hangs out over the days, more on days that are longer."""
        slots = {n: self._slot(n, recipe, recipe.least_minutes) for n in days}
        found = {n: slot for n, slot in slots.items() if slot is not None}
        most = {n: self._most_hangs(recipe, slot[1]) for n, slot in found.items()}
        share = dict.fromkeys(found, 0)
        for _ in range(hang.hangs):
            room = [n for n in found if share[n] < most[n]]
            if room:
                share[min(room, key=lambda n: (share[n], n))] += 1
        for n, slot in found.items():
            minutes = recipe.warm_up_minutes + round(share[n] * recipe.hang_minutes)
            minutes = min(-(-max(minutes, recipe.least_minutes) // STEP) * STEP, slot[1])
            home = sum(i.load for day in self.days for i in day.items if i.role is None)
            if home + recipe.load(minutes) <= OVER * self.order.aim + SLACK_LOAD:
                self._placed(n, recipe, slot, minutes, share[n])

    def _most_hangs(self, recipe: Recipe, minutes: int) -> int:
        """Hangs that a free time holds."""
        fitting = int((minutes - recipe.warm_up_minutes) / recipe.hang_minutes)
        return max(1, min(recipe.hangs[1], fitting))

    def _test(self) -> None:
        """A test, rested: no finger work that day, none hard the day before."""
        recipe = self.book.get(TEST)
        if recipe is None:
            return
        days = [n for n in range(len(self.days)) if self._may_test(n, recipe)]
        if days:
            n = max(days, key=lambda n: (-abs(self.days[n].frame.minutes - 45), n))
            slot = self._slot(n, recipe, recipe.least_minutes)
            assert slot is not None
            self._placed(n, recipe, slot, min(recipe.minutes, slot[1]))
            self.test_day = n

    def _may_test(self, n: int, recipe: Recipe) -> bool:
        return (
            n >= 2  # what stood in the week before is not known here
            and self._open(n, recipe)
            and self._slot(n, recipe, recipe.least_minutes) is not None
            and self._clear(n, recipe)
        )

    # --- courses --------------------------------------------------------------------------------

    def _course(self, course: Course, *, again: bool) -> None:
        """The first of its recipes that can be done, on the day that suits it best."""
        for name in course:
            recipe = self.book.get(name)
            if recipe is None or self.order.kind not in recipe.kinds:
                continue
            if recipe.hard_on and (again or self.hard_left <= 0):
                continue
            if self._one(recipe):
                return

    def _one(self, recipe: Recipe) -> bool:
        heavy = recipe.rpe * recipe.active_share
        room = (OVER * self.order.aim - self.load) / heavy if heavy else 0.0
        least = self._least(recipe)
        if room < least:
            return False
        days = [n for n in range(len(self.days)) if self._may(n, recipe, least)]
        if not days:
            return False
        n = max(days, key=lambda n: self._suits(n, recipe))
        slot = self._slot(n, recipe, least)
        assert slot is not None
        minutes = min(self._length(recipe, slot[1]), int(room)) // STEP * STEP
        minutes = max(minutes, least)
        hangs = self._most_hangs(recipe, minutes) if recipe.hang_seconds else 0
        self._placed(n, recipe, slot, minutes, hangs)
        self.hard_left -= bool(recipe.hard_on)
        return True

    def _length(self, recipe: Recipe, room: int) -> int:
        """Its usual length, longer where an easy session has a long free time to itself."""
        careful = recipe.hard_on or self.order.kind in (Kind.INJURED, Kind.RETURN)
        longest = recipe.minutes if careful else recipe.most_minutes
        if recipe.id in ("limit-bouldering", "board-power") and self.frame.from_50:
            longest = min(longest, int(table("menus")["from_50"]["most_limit_minutes"]))
        return min(longest, room)

    def _may(self, n: int, recipe: Recipe, least: int) -> bool:
        day = self.days[n]
        return (
            not day.full
            and all(item.recipe.id != recipe.id for item in day.items)
            and not (recipe.hang_seconds and day.hangs)
            and self._open(n, recipe)
            and self._slot(n, recipe, least) is not None
            and self._clear(n, recipe)
        )

    def _suits(self, n: int, recipe: Recipe) -> tuple[float, ...]:
        """Free days first, long sessions on long days, the same things far apart."""
        day = self.days[n]
        same = [
            abs(k - n)
            for k, other in enumerate(self.days)
            if k != n and any(item.recipe.id == recipe.id for item in other.items)
        ]
        hard_near = bool(recipe.hard_on) and any(
            item.recipe.hard_on
            for k in (n - 1, n + 1)
            if 0 <= k < len(self.days)
            for item in self.days[k].items
        )
        room = day.frame.minutes
        wanted = recipe.most_minutes if recipe.rpe < HARD_RPE else recipe.minutes
        short = max(0, wanted - room) / 30
        wasted = 1.0 if wanted <= SHORT_MINUTES and room >= LONG_MINUTES else 0.0
        busy = 3.0 * len(day.items) + 1.5 * hard_near
        return (min([*same, 3]) - short - wasted - busy, -n)


def _fresh_first(item: Item) -> tuple[int, bool, str]:
    return item.recipe.order, not item.recipe.hang_seconds, item.recipe.id


def _fitted(rock: RockDay, *, share: float, wished: float) -> RockDay:
    """A day at home, shorter where it would be more than its part of a week's load."""
    if rock.away:
        return rock
    part = share if rock.counts else wished / max(rock.load, 1.0)
    if part >= 1:
        return rock
    shortest = max(rock_day_table().shortest_minutes, rock.recipe.least_minutes)
    minutes = int(rock.minutes * part) // 15 * 15
    return replace(rock, minutes=max(minutes, min(shortest, rock.minutes)))


def _shorter(rock: RockDay) -> RockDay:
    """A wished day in a light week."""
    minutes = int(rock.minutes * rock_day_table().easy_share) // 15 * 15
    return replace(rock, minutes=max(minutes, rock.recipe.least_minutes))


def _easier(rock: RockDay) -> RockDay:
    """A day in a season that the block is not for: easy, and shorter."""
    assert rock.easier is not None
    minutes = rock.minutes
    if rock.role is RockRole.PROJECT:
        minutes = int(minutes * rock_day_table().easy_share) // 15 * 15
    return replace(
        rock, role=RockRole.EASY, recipe=rock.easier,
        minutes=max(minutes, rock_day_table().shortest_minutes, rock.easier.least_minutes),
        worth=rock.counts * response_table().easy_day,
    )  # fmt: skip
