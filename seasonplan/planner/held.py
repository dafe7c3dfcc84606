"""A block of a plan held in the hand: each place it could stand, and the best year with it there.

The best path through each candidate is known before the hand moves, so each place is a look into a
table. Knows no screen and no sentence.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from enum import Enum
from functools import cached_property
from typing import TYPE_CHECKING

from seasonplan.days import Span
from seasonplan.plan import Revision
from seasonplan.planner.accepted import Accepted
from seasonplan.vocabulary import Kind

if TYPE_CHECKING:
    from seasonplan.planner.prices import PricedYear
    from seasonplan.planner.rock_day import Taken
    from seasonplan.rules.statements import RuleBook
    from seasonplan.year import Year

NEAR_DAYS = 3  # a place that begins so near is meant: blocks begin and end with weeks
LENGTH_DAYS = 6  # by so much a place may be longer or shorter than the block
TIE_POINTS, TIE_DAYS = 0.005, 0.05


class Hold(Enum):
    """What of a block is held."""

    WHOLE = "whole"
    START = "start"
    END = "end"


@dataclass(frozen=True, slots=True)
class Place:
    """Days on which a block could stand; what the best year with it there has more than the plan,
    below 0 less."""

    number: int
    span: Span
    points: float
    rock_days: int
    good_days: float

    @property
    def tie(self) -> bool:
        """Whether that year is as good as the plan."""
        return abs(self.points) < TIE_POINTS and abs(self.good_days) < TIE_DAYS

    def moving(self, hold: Hold) -> date:
        """The day by which the place is found: the last where the end is held, else the first."""
        return self.span.last if hold is Hold.END else self.span.first


def priced_year(
    year: Year, revision: Revision, *, book: RuleBook, today: date | None = None,
    taken: Taken | None = None,
) -> PricedYear | None:  # fmt: skip
    """A plan with the best year through each candidate; None where the year has no plan at all."""
    from seasonplan.body.response import as_tested
    from seasonplan.planner.prices import PricedYear
    from seasonplan.planner.run import Found, best_plan

    accepted = Accepted.of(revision, today) if today is not None else None
    tested = as_tested(year, revision.ratings)
    found = best_plan(tested, book=book, accepted=accepted, taken=taken, confirm=False)
    return PricedYear(found.search, revision.blocks) if isinstance(found, Found) else None


class Held:
    """The places of a block of some kind that stands on some days."""

    def __init__(self, priced: PricedYear, kind: Kind, span: Span) -> None:
        self.priced, self._kind, self._span = priced, kind, span
        self._places: dict[Hold, tuple[Place, ...]] = {}

    def places(self, hold: Hold) -> tuple[Place, ...]:
        """One place for each day to which the hand can bring the block, in order."""
        if hold not in self._places:
            best: dict[date, tuple[tuple[float, float], Place]] = {}
            for place in self._all:
                if self._fits(place, hold):
                    off = -abs(place.span.length - self._span.length)
                    rank = (float(off) if hold is Hold.WHOLE else 0.0, place.points)
                    day = place.moving(hold)
                    if day not in best or rank > best[day][0]:
                        best[day] = rank, place
            self._places[hold] = tuple(place for _, (_, place) in sorted(best.items()))
        return self._places[hold]

    def at(self, span: Span, hold: Hold) -> Place | None:
        """The place that is meant by some days; None where the block cannot stand near them."""
        day = span.last if hold is Hold.END else span.first
        near = [p for p in self.places(hold) if abs((p.moving(hold) - day).days) <= NEAR_DAYS]
        return min(near, key=lambda place: abs((place.moving(hold) - day).days), default=None)

    def ties(self, hold: Hold) -> int:
        """How many other places are as good as the plan."""
        stand = self.priced.spans_of(self._kind)
        return sum(place.tie and place.span not in stand for place in self.places(hold))

    def _fits(self, place: Place, hold: Hold) -> bool:
        if hold is Hold.WHOLE:
            return abs(place.span.length - self._span.length) <= LENGTH_DAYS
        if hold is Hold.START:
            return abs((place.span.after - self._span.after).days) <= NEAR_DAYS
        return abs((place.span.first - self._span.first).days) <= NEAR_DAYS

    @cached_property
    def _all(self) -> tuple[Place, ...]:
        return tuple(Place(*one) for one in self.priced.stands(self._kind))
