"""What a week should hold, before it is known when: how often each recipe and how long in all.

A small exact model without hours. It knows how many free times are long enough for what and
how often a tissue can be used hard, so that what it asks can usually be placed.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from ortools.sat.python import cp_model

from seasonplan.almanac import Almanac
from seasonplan.planner.sessions.ask import TEST, Ask, rock_here
from seasonplan.planner.sessions.slots import Slot
from seasonplan.recipes import Need, Recipe
from seasonplan.vocabulary import Kind, Quality, Tissue

STEP = 5  # minutes
MOST_HARD, MOST_EASY = 2, 3  # sessions of one recipe in a week
SHORT_COST, QUALITY_COST = 3, 1  # for each unit of load (RPE x minutes)
SESSION_COST = 15
ROCK_WORTH = 400
TEST_WORTH = 500
EFFORT = 0.02  # deterministic seconds
GAP = 0.03
FINGERBOARD = ("fingerboard-often", "fingerboard-long")


@dataclass(frozen=True, slots=True)
class Course:
    """One recipe of a week: how many sessions, and minutes of all together."""

    recipe: Recipe
    count: int
    minutes: int


def menu(ask: Ask, slots: Sequence[Slot], almanac: Almanac) -> list[Course]:
    """The recipes of a week; the finger dose and a test that is due come first."""
    cp = cp_model.CpModel()
    costs: list[cp_model.LinearExprT] = []
    counts, steps = [], []
    for recipe in ask.recipes:
        least, most = _length(recipe, ask)
        often = _how_often(recipe, ask, slots, almanac)
        count = cp.new_int_var(0, often, "")
        minutes = cp.new_int_var(0, often * most // STEP, "")
        cp.add(STEP * minutes >= least * count)
        cp.add(STEP * minutes <= most * count)
        counts.append(count)
        steps.append(minutes)
        costs.append(_wish(recipe, ask, slots, almanac) * count)
    _fit_slots(cp, ask, slots, (counts, steps))
    _fit_tissues(cp, ask, counts)
    costs += _dose(cp, ask, steps)
    cp.minimize(sum(costs))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.max_deterministic_time = EFFORT
    solver.parameters.relative_gap_limit = GAP
    if solver.solve(cp) not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return []
    return [
        Course(recipe, solver.value(count), STEP * solver.value(minutes))
        for recipe, count, minutes in zip(ask.recipes, counts, steps, strict=True)
        if solver.value(count)
    ]


def _length(recipe: Recipe, ask: Ask) -> tuple[int, int]:
    """Shortest and longest; the fingerboard sessions of the dose have a fixed length."""
    for fixed in ask.fingers:
        if fixed.recipe == recipe.id:
            return fixed.minutes, fixed.minutes
    return recipe.least_minutes, recipe.most_minutes


def _how_often(recipe: Recipe, ask: Ask, slots: Sequence[Slot], almanac: Almanac) -> int:
    places = len({slot.offset for slot in slots if fits(recipe, slot, almanac, ask)})
    for fixed in ask.fingers:
        if fixed.recipe == recipe.id:
            return min(places, fixed.count)
    if recipe.id in FINGERBOARD:
        return 0
    if recipe.id == TEST:
        return min(places, int(ask.test))
    return min(places, MOST_HARD if recipe.hard_on else MOST_EASY)


def fits(recipe: Recipe, slot: Slot, almanac: Almanac, ask: Ask) -> bool:
    """Whether a recipe could lie in a free time: long enough, light, rock to go to."""
    if slot.minutes < _length(recipe, ask)[0]:
        return False
    if Need.ROCK in recipe.needs:
        return slot.light and rock_here(recipe, almanac, slot.day) > 0
    return slot.light or Need.DAYLIGHT not in recipe.needs


def _wish(recipe: Recipe, ask: Ask, slots: Sequence[Slot], almanac: Almanac) -> int:
    """Cost of one session of a recipe; below 0 where it is wanted."""
    if recipe.id == TEST:
        return -TEST_WORTH
    if any(fixed.recipe == recipe.id for fixed in ask.fingers):
        return -round(SHORT_COST * recipe.load(recipe.minutes))
    if Need.ROCK in recipe.needs and ask.block.kind is Kind.PERFORMANCE:
        chances = [rock_here(recipe, almanac, slot.day) for slot in slots if slot.light]
        return -round(ROCK_WORTH * max(chances, default=0.0))
    return SESSION_COST


def _fit_slots(
    cp: cp_model.CpModel,
    ask: Ask,
    slots: Sequence[Slot],
    chosen: tuple[list[cp_model.IntVar], list[cp_model.IntVar]],
) -> None:
    """No more than the free times hold, and of long sessions no more than there is room for."""
    counts, steps = chosen
    by_day: dict[int, int] = {}
    for slot in slots:
        by_day[slot.offset] = by_day.get(slot.offset, 0) + slot.minutes
    days = sorted(by_day, key=lambda day: -by_day[day])[: ask.most_days]
    open_slots = [slot for slot in slots if slot.offset in days]
    cp.add(STEP * sum(steps) <= sum(slot.minutes for slot in open_slots))
    lengths = [_length(recipe, ask)[0] for recipe in ask.recipes]
    for length in {length for length in lengths if length}:
        room = sum(slot.minutes // length for slot in open_slots)
        cp.add(sum(c for c, own in zip(counts, lengths, strict=True) if own >= length) <= room)


def _fit_tissues(cp: cp_model.CpModel, ask: Ask, counts: list[cp_model.IntVar]) -> None:
    """Hard uses of one tissue as often as their spacing lets them be."""
    days = ask.span.length
    for tissue in Tissue:
        hard = [
            (count, recipe)
            for count, recipe in zip(counts, ask.recipes, strict=True)
            if tissue in recipe.hard_on
        ]
        if hard:
            spacing = max(24.0, min(recipe.spacing_hours for _, recipe in hard))
            cp.add(sum(count for count, _ in hard) <= -(-days * 24 // round(spacing)))


def _dose(
    cp: cp_model.CpModel, ask: Ask, steps: list[cp_model.IntVar]
) -> list[cp_model.LinearExprT]:
    """Cost of load below what is asked and of each quality's distance from its own."""
    load = {
        q: sum(
            round(10 * STEP * recipe.rpe * recipe.qualities.get(q, 0.0)) * minutes
            for recipe, minutes in zip(ask.recipes, steps, strict=True)
        )
        for q in Quality
    }
    asked = round(10 * ask.loads.total)
    short = cp.new_int_var(0, asked, "")
    cp.add(sum(load.values()) <= asked + asked // 50)
    cp.add(10 * short >= asked - sum(load.values()))
    costs: list[cp_model.LinearExprT] = [SHORT_COST * short]
    for q in Quality:
        away = cp.new_int_var(0, 10 * asked + 100_000, "")
        cp.add(10 * away >= round(10 * ask.loads.of(q)) - load[q])
        cp.add(10 * away >= load[q] - round(10 * ask.loads.of(q)))
        costs.append(QUALITY_COST * away)
    return costs
