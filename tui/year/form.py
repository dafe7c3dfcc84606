"""How a goal's form runs through a year: change since the start, morning by morning. A model.

Where finger strength is what the climber lacks most for a goal, its value is told instead. Reads
a year and its sessions; draws nothing.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from functools import cached_property

from seasonplan.body import response, worth
from seasonplan.body.almanac import Opportunity
from seasonplan.plan import Block, Session
from seasonplan.recipes import Recipe
from seasonplan.vocabulary import Quality
from seasonplan.year import Goal, Year

FORM, FINGERS = "form", "finger strength"
LEAST_RANGE = 0.06  # a year that changes less than this is drawn as calm as it is
ENDURANCES = (Quality.ENDURANCE, Quality.POWER_ENDURANCE)


@dataclass(frozen=True)
class Forms:
    """The form of every goal under some blocks and sessions."""

    year: Year
    blocks: Sequence[Block]
    sessions: Sequence[Session]
    book: Mapping[str, Recipe]

    @cached_property
    def _body(self) -> response.Body:
        return response.body_of(self.year)

    @cached_property
    def _mornings(self) -> Mapping[date, response.Morning]:
        if not self.blocks:
            return {}
        done = response.trainings(self.blocks, self.sessions, self.book)
        return response.mornings(self.year, done, self._body)

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


def change_text(share: float) -> str:
    """Such as "+4 %", "-1 %", "±0 %"."""
    percent = round(100 * share)
    return f"{percent:+d} %" if percent else "±0 %"
