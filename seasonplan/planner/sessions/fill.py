"""One week's sessions by CP-SAT: the courses of the menu put into the free times.

Enforces `session-spacing`, `session-order`, `session-rest-day` and, upward, `session-dose`.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from ortools.sat.python import cp_model

from seasonplan.almanac import Almanac
from seasonplan.planner.sessions.ask import TEST, Ask, rock_here
from seasonplan.planner.sessions.menu import FINGERBOARD, SCALE, STEP, Course, fits, menu
from seasonplan.planner.sessions.slots import Slot
from seasonplan.recipes import Need, Recipe
from seasonplan.reference import usual_hours
from seasonplan.vocabulary import Tissue

MOST_IN_A_DAY = 3
MISSING_COST = 10  # for each unit of load that is not placed
LENGTH_COST = 2  # for each unit of load by which a course is longer or shorter than asked
BOARD_COST = 10  # the same for the finger dose
HABIT_WORTH = 120
ROCK_WORTH = 300
FILLERS, FILLER_RPE = 2, 4  # how often an easy recipe may fill in, and its least effort
EFFORT = 0.03  # deterministic seconds for one week
GAP = 0.03

Key = tuple[int, int]  # course, slot
Habit = frozenset[tuple[str, int, int]]  # recipe, weekday, start of the slot


@dataclass(frozen=True, slots=True)
class Use:
    """A recipe in a slot, begun `start` minutes after the first midnight of the span."""

    recipe: Recipe
    slot: Slot
    start: int
    minutes: int


@dataclass(frozen=True, slots=True)
class HardUse:
    """A hard use of a tissue outside the days to fill, and the spacing it wants.

    `at` is in minutes after the first midnight of the span, below 0 before it.
    """

    tissue: Tissue
    at: int
    spacing_hours: float


@dataclass
class _Week:
    """The model of one week and its variables by (course, slot).

    `minutes` is how long a session is, `room` what it takes of its slot.
    """

    ask: Ask
    courses: Sequence[Course]
    slots: Sequence[Slot]
    cp: cp_model.CpModel = field(default_factory=cp_model.CpModel)
    used: dict[Key, cp_model.IntVar] = field(default_factory=dict)
    minutes: dict[Key, cp_model.LinearExpr] = field(default_factory=dict)
    room: dict[Key, cp_model.LinearExpr] = field(default_factory=dict)
    costs: list[cp_model.LinearExprT] = field(default_factory=list)

    def recipe(self, key: Key) -> Recipe:
        return self.courses[key[0]].recipe

    def at(self, slot: int) -> Iterator[Key]:
        return (key for key in self.used if key[1] == slot)

    def of(self, course: int) -> Iterator[Key]:
        return (key for key in self.used if key[0] == course)

    def start(self, key: Key) -> cp_model.LinearExprT:
        """Start in minutes since the first midnight: after what comes earlier in the slot."""
        earlier = [
            self.room[other]
            for other in self.at(key[1])
            if self.before(self.recipe(other), self.recipe(key))
        ]
        return self.slots[key[1]].absolute + sum(earlier)

    def before(self, first: Recipe, second: Recipe) -> bool:
        """Whether one recipe comes before the other inside a free time: fresh work first."""
        if self.ask.rules.active("session-order") is None:
            return first.id < second.id
        return (first.order, first.id) < (second.order, second.id)


def fill(
    ask: Ask,
    slots: Sequence[Slot],
    almanac: Almanac,
    *,
    around: Sequence[HardUse],
    habit: Habit,
    days_left: int,
) -> list[Use]:
    """The sessions of one week. What is not fitted is for the caller to count."""
    if not slots or days_left <= 0:
        return []
    courses = menu(ask, slots, almanac)
    week = _Week(ask, [*courses, *_fillers(ask, courses)], slots)
    _variables(week, almanac)
    if not week.used:
        return []
    _room(week, days_left)
    _lengths(week)
    _in_daylight(week)
    if ask.rules.active("session-spacing"):
        _spacing(week, around)
    _habits(week, almanac, habit)
    week.cp.minimize(sum(week.costs))
    return _solved(week)


def _fillers(ask: Ask, courses: Sequence[Course]) -> Iterator[Course]:
    """Easy recipes that may take the place of what does not fit; not wanted for themselves."""
    known = {course.recipe.id for course in courses}
    for recipe in ask.recipes:
        easy = not recipe.hard_on and recipe.rpe >= FILLER_RPE
        if easy and recipe.id not in known | {*FINGERBOARD, TEST}:
            yield Course(recipe, FILLERS, 0, recipe.least_minutes, recipe.most_minutes)


def _variables(week: _Week, almanac: Almanac) -> None:
    for c, course in enumerate(week.courses):
        for s, slot in enumerate(week.slots):
            if fits(course.recipe, slot, almanac):
                _variable(week, (c, s))


def _variable(week: _Week, key: Key) -> None:
    """Whether and how long: in steps, or of the lengths that share out the finger dose."""
    course, slot = week.courses[key[0]], week.slots[key[1]]
    if course.on_board:
        lengths = [n for n in dict.fromkeys((course.least, course.most)) if n <= slot.minutes]
        unit = 1
    else:
        low, high = -(-course.least // STEP), min(course.most, slot.minutes) // STEP
        lengths, unit = list(range(low, high + 1)), STEP
    if not lengths:
        return
    used = week.cp.new_bool_var("")
    domain = cp_model.Domain.from_values([0, *lengths])
    length = week.cp.new_int_var_from_domain(domain, "")
    week.cp.add(length >= lengths[0] * used)
    week.cp.add(length <= lengths[-1] * used)
    week.used[key], week.minutes[key] = used, unit * length
    whole = min(slot.minutes, -(-unit * lengths[-1] // STEP) * STEP)
    week.room[key] = whole * used if course.on_board else week.minutes[key]


def _room(week: _Week, days_left: int) -> None:
    """Slots hold what is in them; a few sessions a day, each of another kind; a rest day."""
    by_day: dict[int, list[Key]] = defaultdict(list)
    for s, slot in enumerate(week.slots):
        keys = list(week.at(s))
        week.cp.add(sum(week.room[key] for key in keys) <= slot.minutes)
        by_day[slot.offset] += keys
    trained = []
    for keys in by_day.values():
        if not keys:
            continue
        day = week.cp.new_bool_var("")
        trained.append(day)
        for key in keys:
            week.cp.add_implication(week.used[key], day)
        week.cp.add(sum(week.used[key] for key in keys) <= MOST_IN_A_DAY)
        for course in {key[0] for key in keys}:
            week.cp.add_at_most_one(week.used[key] for key in keys if key[0] == course)
    week.cp.add(sum(trained) <= min(days_left, week.ask.most_days))


def _in_daylight(week: _Week) -> None:
    """What needs light begins while it is light."""
    dusk = 60 * usual_hours()["daylight_ends"]
    for key, used in week.used.items():
        slot = week.slots[key[1]]
        if Need.DAYLIGHT in week.recipe(key).needs and slot.end > dusk:
            last = slot.absolute - slot.start + dusk - 1
            week.cp.add(week.start(key) <= last).only_enforce_if(used)


def _lengths(week: _Week) -> None:
    """Each course as often and, in all, as long as the menu says, as far as it goes."""
    loads = []
    for c, course in enumerate(week.courses):
        keys = list(week.of(c))
        minutes = sum(week.minutes[key] for key in keys)
        week.cp.add(sum(week.used[key] for key in keys) <= course.count)
        if course.on_board:
            week.cp.add(minutes <= course.minutes)
        away = week.cp.new_int_var(0, 10_000, "")
        week.cp.add(away >= course.minutes - minutes)
        week.cp.add(away >= minutes - course.minutes)
        rpe = max(1, round(course.recipe.rpe))
        week.costs.append((BOARD_COST if course.on_board else LENGTH_COST) * rpe * away)
        loads.append(round(SCALE * course.recipe.rpe) * minutes)
    asked = round(SCALE * week.ask.loads.total)
    missing = week.cp.new_int_var(0, asked // SCALE + 1, "")
    week.cp.add(SCALE * missing >= asked - sum(loads))
    rule = week.ask.rules.active("session-dose")
    if rule is not None:
        week.cp.add(sum(loads) <= round(asked * (1 + rule.number / 100)))
    week.costs.append(MISSING_COST * missing)


def _spacing(week: _Week, around: Sequence[HardUse]) -> None:
    """Hours between hard uses of one tissue, start to start, in this week and around it."""
    hard = [key for key in week.used if week.recipe(key).hard_on]
    for key in hard:
        for use in around:
            if use.tissue in week.recipe(key).hard_on:
                _clear_of(week, key, use)
    for i, first in enumerate(hard):
        for second in hard[i + 1 :]:
            _apart(week, first, second)


def _clear_of(week: _Week, key: Key, use: HardUse) -> None:
    """The session begins long enough after, or before, what is there already."""
    slot, used = week.slots[key[1]], week.used[key]
    gap = round(60 * max(use.spacing_hours, week.recipe(key).spacing_hours))
    start = cp_model.LinearExpr.sum([week.start(key)])
    last = slot.absolute + slot.minutes
    if slot.absolute >= use.at and slot.absolute < use.at + gap:
        week.cp.add(start >= use.at + gap).only_enforce_if(used)
    elif slot.absolute < use.at and last > use.at - gap:
        week.cp.add(start <= use.at - gap).only_enforce_if(used)


def _apart(week: _Week, first: Key, second: Key) -> None:
    one, other = week.recipe(first), week.recipe(second)
    if not one.hard_on & other.hard_on:
        return
    if week.slots[first[1]].absolute > week.slots[second[1]].absolute:
        first, second = second, first
    gap = round(60 * max(one.spacing_hours, other.spacing_hours))
    early, late = week.slots[first[1]], week.slots[second[1]]
    if late.absolute - (early.absolute + early.minutes) >= gap:
        return
    both = [week.used[first], week.used[second]]
    if late.absolute + late.minutes - early.absolute < gap:
        week.cp.add_at_most_one(both)
    else:
        later = cp_model.LinearExpr.sum([week.start(second)])
        sooner = cp_model.LinearExpr.sum([week.start(first)])
        week.cp.add(later - sooner >= gap).only_enforce_if(both)


def _habits(week: _Week, almanac: Almanac, habit: Habit) -> None:
    """The same thing on the same weekday and hour as last week; rock when rock is good."""
    for key, used in week.used.items():
        recipe, slot = week.recipe(key), week.slots[key[1]]
        worth = 0
        if (recipe.id, slot.day.weekday(), slot.start) in habit:
            worth += HABIT_WORTH
        if Need.ROCK in recipe.needs:
            worth += round(ROCK_WORTH * rock_here(recipe, almanac, slot.day))
        if worth:
            week.costs.append(-worth * used)


def _solved(week: _Week) -> list[Use]:
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = 1
    solver.parameters.max_deterministic_time = EFFORT
    solver.parameters.relative_gap_limit = GAP
    if solver.solve(week.cp) not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return []
    return sorted(
        (
            Use(
                week.recipe(key),
                week.slots[key[1]],
                int(solver.value(week.start(key))),
                int(solver.value(week.minutes[key])),
            )
            for key, used in week.used.items()
            if solver.boolean_value(used)
        ),
        key=lambda use: use.start,
    )
