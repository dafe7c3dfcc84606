"""One week's sessions by CP-SAT: the courses of the menu put into the free times.

Enforces `session-rest-day` and, upward, `session-dose`, from which `session-progression` follows.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence

from ortools.sat.python import cp_model

from seasonplan.almanac import Almanac
from seasonplan.planner.sessions.apart import keep_apart
from seasonplan.planner.sessions.ask import TEST, Ask, rock_here
from seasonplan.planner.sessions.menu import FINGERBOARD, SCALE, STEP, Course, fits, menu
from seasonplan.planner.sessions.slots import Slot
from seasonplan.planner.sessions.week import Habit, HardUse, Key, Use, Week
from seasonplan.recipes import Need
from seasonplan.reference import usual_hours

# Prices and worths say what gives way first where hours are short. Set by hand; no source.
MOST_IN_A_DAY = 3
MISSING_COST = 10  # for each unit of load that is not placed
LENGTH_COST = 2  # for each unit of load by which a course is longer or shorter than asked
DUE_COST = 25  # the same for the finger dose and a test that is due
HABIT_WORTH = 120
ROCK_WORTH = 300
FILLERS, FILLER_RPE = 2, 4  # how often an easy recipe may fill in, and its least effort
EFFORT = 0.05  # deterministic seconds for one week
GAP = 0.03


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
    week = Week(ask, [*courses, *_fillers(ask, courses)], slots)
    _variables(week, almanac)
    if not week.used:
        return []
    _room(week, days_left)
    _lengths(week)
    _in_daylight(week)
    if ask.rules.active("session-spacing"):
        keep_apart(week, around)
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


def _variables(week: Week, almanac: Almanac) -> None:
    for c, course in enumerate(week.courses):
        for s, slot in enumerate(week.slots):
            if fits(course.recipe, slot, almanac):
                _variable(week, (c, s))


def _variable(week: Week, key: Key) -> None:
    """Whether and how long. Room is taken in steps, so that what follows begins at a round time."""
    lengths = _lengths_in(week.courses[key[0]], week.slots[key[1]])
    if not lengths:
        return
    used = week.cp.new_bool_var("")
    domain = cp_model.Domain.from_values([0, *lengths])
    minutes = week.cp.new_int_var_from_domain(domain, "")
    week.cp.add(minutes >= lengths[0] * used)
    week.cp.add(minutes <= lengths[-1] * used)
    week.used[key] = used
    week.minutes[key] = week.room[key] = minutes
    if any(length % STEP for length in lengths):
        most = min(week.slots[key[1]].minutes // STEP, -(-lengths[-1] // STEP))
        week.room[key] = STEP * week.cp.new_int_var(0, most, "")
        week.cp.add(week.room[key] >= minutes)
        week.cp.add(week.room[key] <= minutes + STEP - 1)


def _lengths_in(course: Course, slot: Slot) -> list[int]:
    """Lengths a session of a course may have; shares of the finger dose rather longer than less."""
    if course.on_board:
        longer = range(course.most + STEP, course.recipe.most_minutes + 1, STEP)
        lengths = list(dict.fromkeys((course.least, course.most, *longer)))
    else:
        lengths = list(range(-(-course.least // STEP) * STEP, course.most + 1, STEP))
    return [length for length in lengths if length <= slot.minutes]


def _room(week: Week, days_left: int) -> None:
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


def _in_daylight(week: Week) -> None:
    """What needs light begins while it is light."""
    dusk = 60 * usual_hours()["daylight_ends"]
    for key, used in week.used.items():
        slot = week.slots[key[1]]
        if Need.DAYLIGHT in week.recipe(key).needs and slot.end > dusk:
            last = slot.absolute - slot.start + dusk - 1
            week.cp.add(week.start(key) <= last).only_enforce_if(used)


def _lengths(week: Week) -> None:
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
        week.costs.append(
            (DUE_COST if course.on_board or course.recipe.id == TEST else LENGTH_COST) * rpe * away
        )
        loads.append(round(SCALE * course.recipe.rpe) * minutes)
    asked = round(SCALE * week.ask.loads.total)
    missing = week.cp.new_int_var(0, asked // SCALE + 1, "")
    week.cp.add(SCALE * missing >= asked - sum(loads))
    rule = week.ask.rules.active("session-dose")
    if rule is not None:
        week.cp.add(sum(loads) <= round(asked * (1 + rule.number / 100)))
    week.costs.append(MISSING_COST * missing)


def _habits(week: Week, almanac: Almanac, habit: Habit) -> None:
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


def _solved(week: Week) -> list[Use]:
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = 1
    solver.parameters.max_deterministic_time = EFFORT
    solver.parameters.relative_gap_limit = GAP
    solver.parameters.linearization_level = 2
    solver.parameters.cp_model_probing_level = 0  # in models so small it costs more than it gives
    solver.parameters.symmetry_level = 0
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
