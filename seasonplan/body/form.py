"""How a goal's form runs through a year: change since the start, morning by morning. A model.

Where finger strength is what the climber lacks most for a goal, its value is told instead. The
line is what the planner counts with; the range around it is that of drawn climbers (`lives`).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from functools import cached_property

from seasonplan.body import response, worth
from seasonplan.body.almanac import Opportunity
from seasonplan.body.lives import Lives, Range, quantiles
from seasonplan.plan import Block, Session
from seasonplan.recipes import Recipe
from seasonplan.vocabulary import Quality
from seasonplan.year import Goal, Year

FORM, FINGERS = "form", "finger strength"
LEAST_RANGE = 0.06  # a year that changes less than this is drawn as calm as it is
ENDURANCES = (Quality.ENDURANCE, Quality.POWER_ENDURANCE)


@dataclass(frozen=True)
class Forms:
    """The form of every goal under some blocks and sessions; of weeks missed in part as much counts
    as was `done`, a share by their first day."""

    year: Year
    blocks: Sequence[Block]
    sessions: Sequence[Session]
    book: Mapping[str, Recipe]
    done: Mapping[date, float] = field(default_factory=dict)

    @cached_property
    def _body(self) -> response.Body:
        return response.body_of(self.year)

    @cached_property
    def _done(self) -> tuple[response.Training, ...]:
        return response.trainings(self.blocks, self.sessions, self.book, self.done)

    @cached_property
    def _mornings(self) -> Mapping[date, response.Morning]:
        return response.mornings(self.year, self._done, self._body) if self.blocks else {}

    @cached_property
    def _curves(self) -> Mapping[str, Mapping[date, float]]:
        return {goal.id: self._curve(goal) for goal in self.year.goals}

    def _curve(self, goal: Goal) -> Mapping[date, float]:
        if self.measure(goal) == FINGERS:
            return {
                day: one.value(Quality.FINGER_STRENGTH, self._body) - 1
                for day, one in self._mornings.items()
            }
        weights = worth.weights(goal)
        return {day: one.form(weights, self._body) for day, one in self._mornings.items()}

    def measure(self, goal: Goal) -> str:
        """What is told for a goal: form, or finger strength where that limits it most."""
        asked = dict(zip(response.QUALITIES, worth.demands(goal), strict=True))
        own = dict(zip(response.QUALITIES, self._body.rating, strict=True))
        behind = {quality: asked[quality] - own[quality] for quality in asked}
        others = max(0.0, *(behind[quality] for quality in ENDURANCES))
        return FINGERS if behind[Quality.FINGER_STRENGTH] > others else FORM

    def curve(self, goal: Goal) -> Mapping[date, float]:
        """The change since the start on every morning; nothing without a plan."""
        return self._curves[goal.id]

    @cached_property
    def _ranges(self) -> Mapping[date, list[Range]]:
        """The range of every goal's change on each morning, goals in the order of the year."""
        import numpy as np

        if not self.blocks or not self.year.goals:
            return {}
        lives = Lives(self.year, self._done)
        by_goal = np.array([self._weights(goal) for goal in self.year.goals]).T
        begun = np.log1p(lives.start)
        found = {}
        for day, levels in lives.mornings():
            tired = [self._tired(goal, day) for goal in self.year.goals]
            found[day] = quantiles(np.exp((np.log1p(levels) - begun) @ by_goal - tired) - 1)
        return found

    def _weights(self, goal: Goal) -> tuple[float, ...]:
        if self.measure(goal) == FINGERS:
            return tuple(float(one is Quality.FINGER_STRENGTH) for one in response.QUALITIES)
        return worth.weights(goal)

    def _tired(self, goal: Goal, day: date) -> float:
        """What fatigue takes from the logarithm of a goal's measure; nothing from a test value."""
        if self.measure(goal) == FINGERS:
            return 0.0
        return self._mornings[day].worn(self._body)

    def ranges(self, goal: Goal) -> Mapping[date, Range]:
        """Where the change lies for eight climbers of ten, on every morning.

        Its middle is that of `curve`, which it always holds.
        """
        at = self.year.goals.index(goal)
        curve = self.curve(goal)
        return {
            day: Range(low=min(every[at].low, curve[day]), middle=curve[day],
                       high=max(every[at].high, curve[day]))
            for day, every in self._ranges.items()
        }  # fmt: skip

    def on(self, chance: Opportunity) -> float | None:
        """The mean change on the days of a goal, the likelier ones counting more."""
        curve = self.curve(chance.goal)
        shares = {day: share for day, share in chance.chances.items() if day in curve}
        total = sum(shares.values())
        if not total:
            return None
        return sum(share * curve[day] for day, share in shares.items()) / total

    @cached_property
    def ends(self) -> tuple[float, float]:
        """The lowest and highest change for any goal, with room where little changes."""
        values = [value for curve in self._curves.values() for value in curve.values()] or [0.0]
        low, high = min(*values, 0.0), max(*values, 0.0)
        spare = max(0.0, LEAST_RANGE - (high - low)) / 2
        return low - spare, high + spare
