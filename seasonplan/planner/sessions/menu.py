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

# Prices and worths say what a week gives up first, in units of load. Set by hand; no source.
STEP = 5  # minutes
SCALE = 100  # parts of a unit of load that are counted
MOST_HARD, MOST_EASY = 2, 3  # sessions of one recipe in a week
SHORT_COST, QUALITY_COST = 3, 1  # for each unit of load (RPE x minutes)
BOARD_WORTH = 6  # for each unit of load of the finger dose
SESSION_COST = 15
ROCK_WORTH = 400
TEST_WORTH = 2_000
EFFORT = 0.02  # deterministic seconds
GAP, NEAR = 0.03, 150  # content within this share, or so much cost, of the best
FINGERBOARD = ("fingerboard-often", "fingerboard-long")


@dataclass(frozen=True, slots=True)
class Course:
    """One recipe of a week: how many sessions, minutes of all together, and of a single one."""

    recipe: Recipe
    count: int
    minutes: int
    least: int
    most: int

    @property
    def on_board(self) -> bool:
        """Whether it is the finger dose."""
        return self.recipe.id in FINGERBOARD


def menu(ask: Ask, slots: Sequence[Slot], almanac: Almanac) -> list[Course]:
    """The recipes of a week; the finger dose and a test that is due come first."""
    cp = cp_model.CpModel()
    costs: list[cp_model.LinearExprT] = []
    counts: list[cp_model.IntVar] = []
    minutes: list[cp_model.LinearExpr] = []
    ranges = []
    for recipe in ask.recipes:
        often = _how_often(recipe, ask, slots, almanac)
        least, most = _length(recipe, ask, often)
        on_board = ask.board is not None and recipe.id == ask.board.recipe.id
        step = 1 if on_board else STEP
        count = cp.new_int_var(0, often, "")
        total = ask.board.minutes if ask.board and on_board else often * most
        length = step * cp.new_int_var(0, min(total, often * most) // step, "")
        cp.add(length >= least * count)
        cp.add(length <= most * count)
        counts.append(count)
        minutes.append(length)
        ranges.append((least, most))
        costs.append(_wish(recipe, ask, slots, almanac) * count)
        if on_board:
            costs.append(-round(BOARD_WORTH * recipe.rpe) * length)
    _fit_slots(cp, ask, slots, (counts, minutes, [least for least, _ in ranges]))
    if ask.rules.active("session-spacing"):
        _fit_tissues(cp, ask, counts)
    costs += _dose(cp, ask, minutes)
    cp.minimize(sum(costs))
    solver = _solver()
    if solver.solve(cp) not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return []
    return [
        Course(recipe, solver.value(count), solver.value(length), least, most)
        for recipe, count, length, (least, most) in zip(
            ask.recipes, counts, minutes, ranges, strict=True
        )
        if solver.value(count)
    ]


def _solver() -> cp_model.CpSolver:
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.max_deterministic_time = EFFORT
    solver.parameters.relative_gap_limit = GAP
    solver.parameters.absolute_gap_limit = NEAR
    return solver


def _length(recipe: Recipe, ask: Ask, often: int) -> tuple[int, int]:
    """Shortest and longest of `often` sessions; those of the finger dose share it out."""
    if ask.board is not None and recipe.id == ask.board.recipe.id and often:
        return ask.board.lengths(often)
    return recipe.least_minutes, recipe.most_minutes


def _how_often(recipe: Recipe, ask: Ask, slots: Sequence[Slot], almanac: Almanac) -> int:
    days = len({slot.offset for slot in slots if fits(recipe, slot, almanac)})
    places = min(days, ask.most_days)
    if ask.board is not None and recipe.id == ask.board.recipe.id:
        return min(places, ask.board.count)
    if recipe.id in FINGERBOARD:
        return 0
    if recipe.id == TEST:
        return min(places, int(ask.test))
    return min(places, MOST_HARD if recipe.hard_on else MOST_EASY)


def fits(recipe: Recipe, slot: Slot, almanac: Almanac) -> bool:
    """Whether a recipe could lie in a free time: long enough, light, rock to go to."""
    if slot.minutes < recipe.least_minutes:
        return False
    if Need.ROCK in recipe.needs:
        return slot.light and rock_here(recipe, almanac, slot.day) > 0
    return slot.light or Need.DAYLIGHT not in recipe.needs


def _wish(recipe: Recipe, ask: Ask, slots: Sequence[Slot], almanac: Almanac) -> int:
    """Cost of one session of a recipe; below 0 where it is wanted."""
    if recipe.id == TEST:
        return -TEST_WORTH
    if Need.ROCK in recipe.needs and ask.block.kind is Kind.PERFORMANCE:
        chances = [rock_here(recipe, almanac, slot.day) for slot in slots if slot.light]
        return -round(ROCK_WORTH * max(chances, default=0.0))
    return SESSION_COST


def _fit_slots(
    cp: cp_model.CpModel,
    ask: Ask,
    slots: Sequence[Slot],
    chosen: tuple[list[cp_model.IntVar], list[cp_model.LinearExpr], list[int]],
) -> None:
    """No more than the free times hold, and of long sessions no more than there is room for.

    `chosen` are counts, minutes and least lengths of the recipes.
    """
    counts, minutes, lengths = chosen
    by_day: dict[int, int] = {}
    for slot in slots:
        by_day[slot.offset] = by_day.get(slot.offset, 0) + slot.minutes
    days = sorted(by_day, key=lambda day: -by_day[day])[: ask.most_days]
    open_slots = [slot for slot in slots if slot.offset in days]
    cp.add(sum(minutes) <= sum(slot.minutes for slot in open_slots))
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
    cp: cp_model.CpModel, ask: Ask, minutes: list[cp_model.LinearExpr]
) -> list[cp_model.LinearExprT]:
    """Cost of load below what is asked and of each quality's distance from its own."""
    load = {
        q: sum(
            round(SCALE * recipe.rpe * recipe.qualities.get(q, 0.0)) * length
            for recipe, length in zip(ask.recipes, minutes, strict=True)
        )
        for q in Quality
    }
    asked = round(SCALE * ask.loads.total)
    short = cp.new_int_var(0, asked // SCALE + 1, "")
    cp.add(sum(load.values()) <= asked + asked // 50)
    cp.add(SCALE * short >= asked - sum(load.values()))
    costs: list[cp_model.LinearExprT] = [SHORT_COST * short]
    for q in Quality:
        away = cp.new_int_var(0, asked // SCALE + 10_000, "")
        cp.add(SCALE * away >= round(SCALE * ask.loads.of(q)) - load[q])
        cp.add(SCALE * away >= load[q] - round(SCALE * ask.loads.of(q)))
        costs.append(QUALITY_COST * away)
    return costs
