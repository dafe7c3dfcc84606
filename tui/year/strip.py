"""What a held block would cost on every date, and the figure where the hand is.

Knows no desk, no keys and no drawing.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta

from seasonplan.days import Span
from seasonplan.explain.held_told import Ease, ease, figure
from seasonplan.plan import Block
from seasonplan.planner.held import NEAR_DAYS, Held, Hold, Place
from seasonplan.year import Year
from tui.year.lanes import Lane, Mark
from tui.year.named import block_title

LABELS = {Hold.WHOLE: "begins on", Hold.START: "begins on", Hold.END: "ends on"}
WAITING = "Looking at every date…"
NO_YEAR = "No plan is possible as the year stands: nothing can be priced."


@dataclass(frozen=True, slots=True)
class Priced:
    """The strip of one block held in one way."""

    held: Held
    hold: Hold
    year: Year
    days: Mapping[date, Ease]

    @classmethod
    def of(cls, held: Held, hold: Hold, year: Year) -> Priced:
        days: dict[date, tuple[int, Ease]] = {}
        for place in held.places(hold):
            told, middle = ease(place, held.priced.best_points), place.moving(hold)
            for off in range(-NEAR_DAYS, NEAR_DAYS + 1):
                day = middle + timedelta(days=off)
                if day not in days or abs(off) < days[day][0]:
                    days[day] = abs(off), told
        return cls(held, hold, year, {day: told for day, (_, told) in days.items()})

    def at(self, span: Span) -> Strip:
        """The strip with the hand on some days."""
        place = self.held.at(span, self.hold)
        exact = place is not None and place.span == span
        told = figure(self.held, place, self.hold, exact=exact)
        day = span.last if self.hold is Hold.END else span.first
        marks = () if place is None else self._marks(place)
        return Strip(self.days, day, told, LABELS[self.hold], marks, place)

    def _marks(self, place: Place) -> tuple[Mark, ...]:
        """The best year with the block there, as the lane of the plan shows it."""
        rock = self.held.priced.rock_days_through(place.number)
        return tuple(
            _mark(number, block, self.year, rock)
            for number, block in enumerate(self.held.priced.year_through(place.number))
        )


def _mark(number: int, block: Block, year: Year, rock: frozenset[date]) -> Mark:
    days = frozenset(day for day in rock if day in block.span)
    name = block_title(block, year)
    return Mark(Lane.PLAN, f"~{number}", block.span, name, block.kind, block.pinned, rock=days)


@dataclass(frozen=True, slots=True)
class Strip:
    """What is drawn while a block is held. `plan`: the blocks of the year as it would be then."""

    days: Mapping[date, Ease]
    day: date
    told: str
    label: str
    plan: tuple[Mark, ...] = ()
    place: Place | None = None
