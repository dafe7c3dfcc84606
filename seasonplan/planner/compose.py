"""One week as it is to be done: rock first, then hangs, then courses in order of need.

Every session gets its day and hour at once (`standing`), so a week asks for nothing that does not
fit. Enforces `session-dose` (upward) and `lead-in-volume`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import combinations, pairwise

from seasonplan.planner.fingers import FingerAsk, Hang
from seasonplan.planner.frame import DAY, Frame
from seasonplan.planner.menus import Course
from seasonplan.planner.rock_day import RockDay
from seasonplan.planner.standing import STEP, TEST, Item, Standing
from seasonplan.recipes import Recipe
from seasonplan.rules.statements import RuleBook
from seasonplan.rules.tables import composing, response_table, rock_day_table, table
from seasonplan.vocabulary import Kind, RockRole

FIT = composing().fit
FILLED_KINDS = (Kind.BASE, Kind.STRENGTH)
MOST_TURNS = 4  # how often the courses are gone through; hard ones only the first time


@dataclass(frozen=True, slots=True)
class Order:
    """What a week is for. `aim` is its load, `whole` that of a normal week of its kind;
    `course_first`: its first course before the hangs; `hang_days`: on no more days hangs that are
    a course; `over`: the most that may stand, as a share of the aim, and `slack` what hangs may go
    beyond; `makes`: recipes that make what its block is named for."""

    kind: Kind
    courses: tuple[Course, ...]
    aim: float
    fingers: FingerAsk
    light: bool = False
    lead_in: bool = False
    test: bool = False
    course_first: bool = False
    whole: float = 0.0
    hang_days: int = 7
    over: float = FIT.over
    slack: float = FIT.slack_load
    makes: frozenset[str] = frozenset()


def over_share(rules: RuleBook) -> float:
    """The most load of a week as a share of its aim: less where the climber's rule says so."""
    rule = rules.active("session-dose")
    return min(FIT.over, 1 + rule.number / 100) if rule else FIT.over


def compose(
    frame: Frame, order: Order, *, book: Mapping[str, Recipe], done: Sequence[Item] = ()
) -> tuple[Item, ...]:
    """The sessions of a week, in order. `done` are those of days of it that are over."""
    composer = _Composer(frame, order, book, done)
    items, load = composer.week(), composer.at.load
    if order.kind in FILLED_KINDS and load < FIT.full * order.aim:
        other = composer.easy_last()
        if other and composer.at.load > load:
            return other
    return items


class _Composer:
    def __init__(
        self, frame: Frame, order: Order, book: Mapping[str, Recipe], done: Sequence[Item]
    ) -> None:
        self.order = order
        self.book = book
        self.at = Standing(frame, in_a_row=order.fingers.in_a_row, done=done)
        self.hard_left = 99
        self._begun: Sequence[tuple[int, Item]] = ()
        self._open: dict[str, Sequence[int]] = {}
        self._gone: set[str] = set()  # no place for these any more: weeks only fill

    def week(self) -> tuple[Item, ...]:
        self._rock()
        self.at.mark()
        if self.order.test:
            self._test()
        if self.order.course_first:
            self._course(self.order.courses[0], again=False)
        self._fingers()
        self._begun = tuple(self.at.placed)
        return self._filled(self.order.courses, ())

    def easy_last(self) -> tuple[Item, ...]:
        """The same week, mobility and the like only where nothing else fits any more."""
        self.at = self.at.begun_again(self._begun)
        self._open, self._gone = {}, set()
        courses = self.order.courses
        last = [course for course in courses if self._easy(course)]
        return self._filled([course for course in courses if course not in last], last)

    def _filled(self, courses: Sequence[Course], last: Sequence[Course]) -> tuple[Item, ...]:
        self.hard_left = 1 if self.order.light else 99
        for turn in range(MOST_TURNS):
            if not self._turn(turn, courses, last):
                break
        return tuple(self.at.in_order())

    def _turn(self, turn: int, courses: Sequence[Course], last: Sequence[Course]) -> bool:
        """Once through the courses, whether anything was added; `last` where nothing else was."""
        season = self.order.kind is Kind.PERFORMANCE
        share = FIT.season_full if season and turn else FIT.full
        before, enough = self.at.load, share * self.order.aim
        for course in courses:
            if self.at.load < enough:
                self._course(course, again=turn > 0)
        for course in last:
            if self.at.load == before < enough:
                self._course(course, again=turn > 0)
        return self.at.load != before

    def _easy(self, course: Course) -> bool:
        """Whether it is mobility and the like."""
        known = [self.book[name] for name in course if name in self.book]
        return all(recipe.rpe <= DAY.easy_rpe for recipe in known)

    # --- rock ---------------------------------------------------------------------------------

    def _rock(self) -> None:
        """The days on rock of this week, by what its block is for."""
        here = [(n, day.frame.rock) for n, day in enumerate(self.at.days) if day.frame.rock]
        chosen = [(n, rock) for n, rock in here if rock is not None]
        for n, rock in self._held(list(self._which(chosen))):
            if self.order.light and not rock.counts and not rock.away:
                rock = _shorter(rock)
            item = Item(
                recipe=rock.recipe, day=rock.day, start=rock.start, minutes=rock.minutes,
                rock=rock.entry, role=rock.role, away=rock.away,
            )  # fmt: skip
            self.at.put(n, item)
            self.at.taken[n] = rock

    def _held(self, days: list[tuple[int, RockDay]]) -> list[tuple[int, RockDay]]:
        """Days at home, shorter where together they would be more than a week's load."""
        home = [rock.load for _, rock in days if not rock.away and rock.counts]
        share = FIT.rock_share * self.order.whole / max(sum(home), 1.0)
        wished = FIT.wished_share * self.order.whole
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

    # --- placing --------------------------------------------------------------------------------

    def _placed(
        self, n: int, recipe: Recipe, slot: tuple[int, int], minutes: int, hangs: int = 0
    ) -> None:
        item = Item(
            recipe=recipe, day=self.at.days[n].frame.day, minutes=minutes, hangs=hangs,
            start=slot[0] + self.at.frame.travel(recipe),
        )  # fmt: skip
        self.at.put(n, item)

    # --- hangs ----------------------------------------------------------------------------------

    def _fingers(self) -> None:
        """The hangs of the week, on days as far apart as the split wants."""
        for hang in self.order.fingers.hangs:
            recipe = self.book.get(hang.recipe)
            if recipe is not None:
                self._spread(recipe, hang)

    def _spread(self, recipe: Recipe, hang: Hang) -> None:
        days = [n for n in self.at.open(recipe) if self._may_hang(n, recipe)]
        count = min(hang.count, len(days))
        if recipe.hard_hangs:
            count = min(count, max(0, self.order.fingers.most_hard - self._hard_hangs()))
        kept = self._day_kept(recipe, days, count)
        days = [n for n in days if n != kept]
        count = min(count, len(days))
        while count:
            found = self._best_days(recipe, days, count, hang)
            if found is not None:
                self._hang_on(recipe, hang, found)
                return
            count -= 1

    def _day_kept(self, recipe: Recipe, days: Sequence[int], count: int) -> int | None:
        """The longest day that can hold what the block is named for, where so many sessions of
        hangs would leave none of them long enough."""
        wanted = self.order.makes
        if recipe.id in wanted or any(day.recipes & wanted for day in self.at.days):
            return None
        makes = [(one, self.at.frame.least(one)) for one in map(self.book.get, wanted) if one]
        some = [n for one in makes for n in self.at.open(one[0]) if self.at.may_hold(n, *one)]
        long = sorted(set(some))
        spared = set(long) - set(days) or any(
            self.at.slot(n, one, least + recipe.least_minutes) for n in long for one, least in makes
        )
        if spared or not 0 < len(long) <= count:
            return None
        return max(long, key=lambda n: (self.at.days[n].minutes, n))

    def _hard_hangs(self) -> int:
        """Sessions of hard hangs that stand in the week, or were done in it."""
        over = [item for item in self.at.done if (self.at.frame.span.last - item.day).days < 7]
        here = [item for day in self.at.days for item in day.items]
        return sum(item.recipe.hard_hangs or item.recipe.id == TEST for item in [*over, *here])

    def _may_hang(self, n: int, recipe: Recipe) -> bool:
        day = self.at.days[n]
        if day.hangs or day.full:
            return False
        return self.at.slot(n, recipe, recipe.least_minutes) is not None and self.at.clear(
            n, recipe
        )

    def _best_days(
        self, recipe: Recipe, days: Sequence[int], count: int, hang: Hang
    ) -> tuple[int, ...] | None:
        """The days of that number that lie furthest apart and suit the time there is."""
        gap = self.at.gap(recipe) if recipe.hard_on else 0
        if recipe.hard_hangs:
            gap = max(gap, self.order.fingers.between)
        ahead = {n for n in self.at.ground.projects if n >= 0}
        off = {n: abs(self.at.days[n].minutes - recipe.minutes) for n in days}
        best: tuple[tuple[float, ...], tuple[int, ...]] | None = None
        for some in combinations(days, count):
            apart = [b - a for a, b in pairwise(some)]
            if apart and min(apart) <= gap:
                continue
            if recipe.hard_on and not self.at.runs_fit(some):
                continue
            near = sum(any(0 < p - n < FIT.project_days for p in ahead) for n in some)
            room = sum(off[n] for n in some) / 30
            apart.append(7 - some[-1] + some[0])  # to the same days of next week
            evenly = min(float(min(apart)), float(7 // count))
            key = (
                -near if recipe.hard_on else 0.0, evenly, -room, float(min(apart)),
                -float(sum(some)),
            )  # fmt: skip
            if best is None or key > best[0]:
                best = key, some
        return best[1] if best else None

    def _hang_on(self, recipe: Recipe, hang: Hang, days: Sequence[int]) -> None:
        """Share the hangs out over the days, more on days that are longer."""
        slots = {n: self.at.slot(n, recipe, recipe.least_minutes) for n in days}
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
            home = sum(i.load for day in self.at.days for i in day.items if i.role is None)
            if home + recipe.load(minutes) <= self.order.over * self.order.aim + self.order.slack:
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
        days = [n for n in self.at.open(recipe) if self._may_test(n, recipe)]
        if days:
            n = max(days, key=lambda n: (-abs(self.at.days[n].frame.minutes - 45), n))
            slot = self.at.slot(n, recipe, recipe.least_minutes)
            assert slot is not None
            self._placed(n, recipe, slot, min(recipe.minutes, slot[1]))
            self.at.test_day = n

    def _may_test(self, n: int, recipe: Recipe) -> bool:
        return (
            n >= 2  # what stood in the week before is not known here
            and self.at.slot(n, recipe, recipe.least_minutes) is not None
            and self.at.clear(n, recipe)
        )

    # --- courses --------------------------------------------------------------------------------

    def _course(self, course: Course, *, again: bool) -> None:
        """The first of its recipes that can be done, on the day that suits it best."""
        for name in course:
            recipe = self.book.get(name)
            if recipe is None or name in self._gone or self.order.kind not in recipe.kinds:
                continue
            if recipe.hard_on and (again or self.hard_left <= 0):
                continue
            if recipe.on_hangboard and self._days_with_hangs() >= self.order.hang_days:
                continue
            if self._one(recipe):
                return
            self._gone.add(name)

    def _days_with_hangs(self) -> int:
        return sum(day.hangs for day in self.at.days)

    def _one(self, recipe: Recipe) -> bool:
        heavy = recipe.rpe * recipe.active_share
        room = (self.order.over * self.order.aim - self.at.load) / heavy if heavy else 0.0
        least = self.at.frame.least(recipe)
        if room < least:
            return False
        days = self._days_for(recipe, least)
        if not days:
            return False
        n = max(days, key=self._suits(recipe)) if len(days) > 1 else days[0]
        slot = self.at.slot(n, recipe, least)
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
        if recipe.id in ("limit-bouldering", "board-power") and self.at.frame.from_50:
            longest = min(longest, int(table("menus")["from_50"]["most_limit_minutes"]))
        return min(longest, room)

    def _days_for(self, recipe: Recipe, least: int) -> Sequence[int]:
        """The days that may hold it. One that once could not never can again."""
        left = self._open.get(recipe.id)
        left = self.at.open(recipe) if left is None else left
        found = self._open[recipe.id] = [n for n in left if self.at.may_hold(n, recipe, least)]
        return found

    def _suits(self, recipe: Recipe) -> Callable[[int], tuple[float, int]]:
        """How well a day suits: free days first, long sessions on long days, the same things far
        apart."""
        days = self.at.days
        week = range(len(days))
        same = [k for k in week if recipe.id in days[k].recipes]
        wanted = recipe.most_minutes if recipe.rpe < FIT.own_length_rpe else recipe.minutes

        def suits(n: int) -> tuple[float, int]:
            room = days[n].minutes
            apart = min([3, *[abs(k - n) for k in same]]) if same else 3
            near = recipe.hard_on and any(days[k].hard for k in (n - 1, n + 1) if k in week)
            short = max(0, wanted - room) / 30
            wasted = 1.0 if wanted <= FIT.short_minutes and room >= FIT.long_minutes else 0.0
            busy = 3.0 * len(days[n].items) + 1.5 * bool(near)
            return apart - short - wasted - busy, -n

        return suits


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
