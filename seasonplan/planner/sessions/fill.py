"""One week's sessions by CP-SAT: the courses of the menu put into the free times."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from ortools.sat.python import cp_model

from seasonplan.almanac import Almanac
from seasonplan.planner.sessions.ask import TEST, Ask, rock_here
from seasonplan.planner.sessions.menu import FINGERBOARD, STEP, Course, fits, menu
from seasonplan.planner.sessions.slots import Slot
from seasonplan.recipes import Need, Recipe
from seasonplan.vocabulary import Tissue

MOST_IN_A_DAY = 3
OVER = 1.05  # a week holds at most this share of the load asked
MISSING_COST = 10  # for each unit of load that is not placed
LENGTH_COST = 2  # for each unit of load by which a course is longer or shorter than asked
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
    """A hard use of a tissue before the span: minutes before its first midnight, and spacing."""

    tissue: Tissue
    ago: int
    spacing_hours: float


@dataclass
class _Week:
    """The model of one week and its variables by (course, slot)."""

    ask: Ask
    courses: Sequence[Course]
    slots: Sequence[Slot]
    cp: cp_model.CpModel = field(default_factory=cp_model.CpModel)
    used: dict[Key, cp_model.IntVar] = field(default_factory=dict)
    steps: dict[Key, cp_model.IntVar] = field(default_factory=dict)
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
            self.steps[other]
            for other in self.at(key[1])
            if before(self.recipe(other), self.recipe(key))
        ]
        return self.slots[key[1]].absolute + STEP * sum(earlier)


def before(first: Recipe, second: Recipe) -> bool:
    """Whether one recipe comes before the other inside a day: fresh work first."""
    return (first.order, first.id) < (second.order, second.id)


def fill(
    ask: Ask,
    slots: Sequence[Slot],
    almanac: Almanac,
    *,
    earlier: Sequence[HardUse],
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
    _spacing(week, earlier)
    _habits(week, almanac, habit)
    week.cp.minimize(sum(week.costs))
    return _solved(week)


def _fillers(ask: Ask, courses: Sequence[Course]) -> Iterator[Course]:
    """Easy recipes that may take the place of what does not fit; not wanted for themselves."""
    known = {course.recipe.id for course in courses}
    fixed = {asked.recipe for asked in ask.fingers}
    for recipe in ask.recipes:
        easy = not recipe.hard_on and recipe.rpe >= FILLER_RPE
        if easy and recipe.id not in known | fixed | {*FINGERBOARD, TEST}:
            yield Course(recipe, FILLERS, 0)


def _variables(week: _Week, almanac: Almanac) -> None:
    fixed = {asked.recipe for asked in week.ask.fingers}
    for c, course in enumerate(week.courses):
        recipe = course.recipe
        usual = course.minutes // course.count
        low = usual if recipe.id in fixed else recipe.least_minutes
        high = usual if recipe.id in fixed else recipe.most_minutes
        for s, slot in enumerate(week.slots):
            lowest, highest = -(-low // STEP), min(high, slot.minutes) // STEP
            if highest < lowest or not fits(recipe, slot, almanac, week.ask):
                continue
            used = week.cp.new_bool_var("")
            domain = cp_model.Domain.from_intervals([[0, 0], [lowest, highest]])
            steps = week.cp.new_int_var_from_domain(domain, "")
            week.cp.add(steps >= lowest * used)
            week.cp.add(steps <= highest * used)
            week.used[c, s], week.steps[c, s] = used, steps


def _room(week: _Week, days_left: int) -> None:
    """Slots hold what is in them; a few sessions a day, each of another kind; a rest day."""
    by_day: dict[int, list[Key]] = defaultdict(list)
    for s, slot in enumerate(week.slots):
        keys = list(week.at(s))
        week.cp.add(STEP * sum(week.steps[key] for key in keys) <= slot.minutes)
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


def _lengths(week: _Week) -> None:
    """Each course as often and, in all, as long as the menu says, as far as it goes."""
    loads = []
    for c, course in enumerate(week.courses):
        keys = list(week.of(c))
        steps = sum(week.steps[key] for key in keys)
        week.cp.add(sum(week.used[key] for key in keys) <= course.count)
        away = week.cp.new_int_var(0, 1_000, "")
        week.cp.add(away >= course.minutes // STEP - steps)
        week.cp.add(away >= steps - course.minutes // STEP)
        rpe = max(1, round(course.recipe.rpe))
        week.costs.append(LENGTH_COST * STEP * rpe * away)
        loads.append(round(10 * STEP * course.recipe.rpe) * steps)
    asked = round(10 * week.ask.loads.total)
    missing = week.cp.new_int_var(0, asked, "")
    week.cp.add(10 * missing >= asked - sum(loads))
    week.cp.add(sum(loads) <= round(OVER * asked))
    week.costs.append(MISSING_COST * missing)


def _spacing(week: _Week, earlier: Sequence[HardUse]) -> None:
    """Hours between hard uses of one tissue, start to start, this week and from the last."""
    hard = [key for key in week.used if week.recipe(key).hard_on]
    for key in hard:
        recipe = week.recipe(key)
        for use in earlier:
            if use.tissue in recipe.hard_on:
                gap = round(60 * max(use.spacing_hours, recipe.spacing_hours))
                _after(week, key, gap - use.ago)
    for i, first in enumerate(hard):
        for second in hard[i + 1 :]:
            _apart(week, first, second)


def _after(week: _Week, key: Key, least: int) -> None:
    """The session begins no sooner than `least` minutes after the first midnight."""
    slot = week.slots[key[1]]
    if slot.absolute >= least:
        return
    if slot.absolute + slot.minutes < least:
        week.cp.add(week.used[key] == 0)
    else:
        week.cp.add(week.start(key) >= least).only_enforce_if(week.used[key])


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
                STEP * solver.value(week.steps[key]),
            )
            for key, used in week.used.items()
            if solver.boolean_value(used)
        ),
        key=lambda use: use.start,
    )
