"""One week's sessions by CP-SAT: which recipes, in which free times, for how long."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from ortools.sat.python import cp_model

from seasonplan.almanac import Almanac
from seasonplan.planner.sessions.ask import TEST, WEEKLY_MOST, Ask, rock_here
from seasonplan.planner.sessions.slots import Slot
from seasonplan.recipes import Need, Recipe
from seasonplan.vocabulary import Kind, Quality, Tissue

STEP = 5  # minutes
MOST_IN_A_DAY = 3
OVER = 1.05  # a week holds at most this share of the load asked
UNDER_COST, QUALITY_COST = 3, 1  # for each unit of load (RPE x minutes)
MISSED_FINGERS = 4
HABIT_COST = 25
SESSION_COST = 12
ROCK_WORTH = 500
EFFORT = 0.06  # deterministic seconds for one week
GAP = 0.02


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


Habit = frozenset[tuple[str, int, int]]  # recipe, weekday, start of the slot


@dataclass
class _Week:
    """The model of one week and its variables by (recipe number, slot number)."""

    ask: Ask
    slots: Sequence[Slot]
    cp: cp_model.CpModel = field(default_factory=cp_model.CpModel)
    used: dict[tuple[int, int], cp_model.IntVar] = field(default_factory=dict)
    steps: dict[tuple[int, int], cp_model.IntVar] = field(default_factory=dict)
    costs: list[cp_model.LinearExprT] = field(default_factory=list)

    def at(self, slot: int) -> Iterator[tuple[int, int]]:
        return (key for key in self.used if key[1] == slot)

    def of(self, recipe: int) -> Iterator[tuple[int, int]]:
        return (key for key in self.used if key[0] == recipe)

    def start(self, key: tuple[int, int]) -> cp_model.LinearExprT:
        """Start in minutes since the first midnight: after what comes earlier in the slot."""
        recipe = self.ask.recipes[key[0]]
        earlier = [
            self.steps[other]
            for other in self.at(key[1])
            if before(self.ask.recipes[other[0]], recipe)
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
    if not slots or not ask.recipes or days_left <= 0:
        return []
    week = _Week(ask, slots)
    _variables(week, almanac)
    if not week.used:
        return []
    _room(week, days_left)
    _counts(week)
    _fingers(week)
    _spacing(week, earlier)
    _dose(week)
    _habits(week, almanac, habit)
    week.cp.minimize(sum(week.costs))
    return _solved(week)


def _variables(week: _Week, almanac: Almanac) -> None:
    fixed = {asked.recipe: asked.minutes for asked in week.ask.fingers}
    for r, recipe in enumerate(week.ask.recipes):
        low = fixed.get(recipe.id, recipe.least_minutes)
        high = fixed.get(recipe.id, recipe.most_minutes)
        for s, slot in enumerate(week.slots):
            if low > slot.minutes or not _fits(recipe, slot, almanac):
                continue
            used = week.cp.new_bool_var("")
            lowest, highest = -(-low // STEP), min(high, slot.minutes) // STEP
            if highest < lowest:
                lowest = highest
            domain = cp_model.Domain.from_intervals([[0, 0], [lowest, highest]])
            steps = week.cp.new_int_var_from_domain(domain, "")
            week.cp.add(steps >= lowest).only_enforce_if(used)
            week.cp.add(steps == 0).only_enforce_if(~used)
            week.used[r, s], week.steps[r, s] = used, steps


def _fits(recipe: Recipe, slot: Slot, almanac: Almanac) -> bool:
    if Need.ROCK in recipe.needs:
        return slot.light and rock_here(recipe, almanac, slot.day) > 0
    return slot.light or Need.DAYLIGHT not in recipe.needs


def _room(week: _Week, days_left: int) -> None:
    """Slots hold what is in them; a few sessions a day; a rest day in the week."""
    by_day: dict[int, list[tuple[int, int]]] = defaultdict(list)
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
        week.cp.add(sum(week.used[key] for key in keys) <= MOST_IN_A_DAY * day)
        for r in {key[0] for key in keys}:
            week.cp.add(sum(week.used[key] for key in keys if key[0] == r) <= 1)
    week.cp.add(sum(trained) <= min(days_left, week.ask.most_days))


def _counts(week: _Week) -> None:
    """No recipe too often; the test session just once where it is due, else never."""
    often = {asked.recipe: asked.count for asked in week.ask.fingers}
    board = {"fingerboard-often", "fingerboard-long"}
    for r, recipe in enumerate(week.ask.recipes):
        keys = [week.used[key] for key in week.of(r)]
        if not keys:
            continue
        if recipe.id == TEST:
            most = int(week.ask.test)
            week.costs.append(-ROCK_WORTH * sum(keys))
        elif recipe.id in often or recipe.id in board:
            most = often.get(recipe.id, 0)
        else:
            most = WEEKLY_MOST[bool(recipe.hard_on)]
        week.cp.add(sum(keys) <= most)
        week.costs.append(SESSION_COST * sum(keys))


def _fingers(week: _Week) -> None:
    """The finger dose comes before anything else."""
    number = {recipe.id: r for r, recipe in enumerate(week.ask.recipes)}
    for asked in week.ask.fingers:
        if asked.recipe in number:
            recipe = week.ask.recipes[number[asked.recipe]]
            done = sum(week.used[key] for key in week.of(number[asked.recipe]))
            worth = round(MISSED_FINGERS * recipe.load(asked.minutes))
            week.costs.append(worth * (asked.count - done))


def _spacing(week: _Week, earlier: Sequence[HardUse]) -> None:
    """Hours between hard uses of one tissue, start to start, this week and from the last."""
    hard = [key for key in week.used if week.ask.recipes[key[0]].hard_on]
    for key in hard:
        recipe = week.ask.recipes[key[0]]
        for use in earlier:
            if use.tissue in recipe.hard_on:
                hours = max(use.spacing_hours, recipe.spacing_hours)
                week.cp.add(week.start(key) + use.ago >= round(60 * hours)).only_enforce_if(
                    week.used[key]
                )
    for i, first in enumerate(hard):
        for second in hard[i + 1 :]:
            _apart(week, first, second)


def _apart(week: _Week, first: tuple[int, int], second: tuple[int, int]) -> None:
    one, other = week.ask.recipes[first[0]], week.ask.recipes[second[0]]
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
        week.cp.add_bool_or([~both[0], ~both[1]])
    else:
        week.cp.add(week.start(second) - week.start(first) >= gap).only_enforce_if(both)


def _dose(week: _Week) -> None:
    """Load within its limits, near what each quality asks."""
    asked = week.ask.loads
    load = {
        q: sum(
            round(10 * STEP * recipe.rpe * recipe.qualities.get(q, 0.0)) * week.steps[key]
            for r, recipe in enumerate(week.ask.recipes)
            for key in week.of(r)
        )
        for q in Quality
    }
    total = sum(load.values())
    limit = round(10 * asked.total)
    week.cp.add(total <= round(OVER * limit))
    under = week.cp.new_int_var(0, limit, "")
    week.cp.add(under >= limit - total)
    costs = [UNDER_COST * under]
    for q in Quality:
        away = week.cp.new_int_var(0, 20 * limit + 10_000, "")
        target = round(10 * asked.of(q))
        week.cp.add(away >= target - load[q])
        week.cp.add(away >= load[q] - target)
        costs.append(QUALITY_COST * away)
    scaled = week.cp.new_int_var(0, 100 * limit + 100_000, "")
    week.cp.add(10 * scaled >= sum(costs))
    week.costs.append(scaled)


def _habits(week: _Week, almanac: Almanac, habit: Habit) -> None:
    """The same thing on the same weekday and hour as last week; rock when rock is good."""
    for key, used in week.used.items():
        recipe, slot = week.ask.recipes[key[0]], week.slots[key[1]]
        known = (recipe.id, slot.day.weekday(), slot.start) in habit
        week.cp.add_hint(used, known)
        if known:
            week.costs.append(-HABIT_COST * used)
        if Need.ROCK in recipe.needs and week.ask.block.kind is Kind.PERFORMANCE:
            worth = round(ROCK_WORTH * rock_here(recipe, almanac, slot.day))
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
                week.ask.recipes[key[0]],
                week.slots[key[1]],
                int(solver.value(week.start(key))),
                STEP * solver.value(week.steps[key]),
            )
            for key, used in week.used.items()
            if solver.boolean_value(used)
        ),
        key=lambda use: use.start,
    )
