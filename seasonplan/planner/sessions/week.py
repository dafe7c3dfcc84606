"""The model of one week and what goes in and out of it. Adds no rule and solves nothing.

Enforces `session-order`: inside a free time sessions stand in one order, and start one after the
other.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from ortools.sat.python import cp_model

from seasonplan.planner.sessions.ask import Ask
from seasonplan.planner.sessions.menu import Course
from seasonplan.planner.sessions.slots import Slot
from seasonplan.recipes import Recipe
from seasonplan.vocabulary import Tissue

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
class Week:
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
