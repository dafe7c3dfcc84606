"""The block that is being dragged or moved by keys: where it is, and what each date would cost.

Stateful; the prices come from elsewhere and may come late. Draws and posts nothing.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from seasonplan.days import Span
from seasonplan.planner.held import Hold, Place
from tui.year.brush import Ghost
from tui.year.grip import Grip, dragged
from tui.year.lanes import Lane, Mark
from tui.year.strip import LABELS, NO_YEAR, WAITING, Priced, Strip

HOLDS = {Grip.WHOLE: Hold.WHOLE, Grip.START: Hold.START, Grip.END: Hold.END}


@dataclass
class Holding:
    """A mark held by one of its parts, and the days it has now. `start`: where the hand began."""

    mark: Mark
    grip: Grip
    start: date
    by_keys: bool = False
    span: Span | None = None
    priced: Priced | None = None
    known: bool = False  # whether prices came, or that there are none

    @property
    def hold(self) -> Hold:
        return HOLDS[self.grip]

    @property
    def can_be_priced(self) -> bool:
        return self.mark.lane is Lane.PLAN and bool(self.mark.kind and self.mark.kind.chosen)

    @property
    def ghost(self) -> Ghost | None:
        moved = self.span if self.span != self.mark.span else None
        return Ghost(self.mark, moved) if moved else None

    @property
    def strip(self) -> Strip | None:
        """What is drawn of it; nothing before it was moved."""
        if not self.can_be_priced or not (self.by_keys or self.ghost):
            return None
        span = self.span or self.mark.span
        if self.priced is not None:
            return self.priced.at(span)
        day = span.last if self.hold is Hold.END else span.first
        return Strip({}, day, NO_YEAR if self.known else WAITING, LABELS[self.hold])

    @property
    def place(self) -> Place | None:
        """The place that is meant, where it is known."""
        return self.priced.held.at(self.span or self.mark.span, self.hold) if self.priced else None

    def drag_to(self, day: date) -> None:
        self.span = dragged(self.mark.span, day - self.start, self.grip) or self.span

    def step(self, by: int) -> None:
        """To the next place in that direction; where none is known, by a week."""
        now = self.span or self.mark.span
        places = self.priced.held.places(self.hold) if self.priced else ()
        ahead = [one for one in places if (one.span.first - now.first).days * by > 0]
        if ahead:
            self.span = (ahead[0] if by > 0 else ahead[-1]).span
        elif not places:
            self.span = now.shifted(7 * by)

    def shift(self, days: int) -> None:
        """By some days."""
        self.span = (self.span or self.mark.span).shifted(days)


def by_keys(mark: Mark) -> Holding:
    """A mark taken up by a key."""
    return Holding(mark, Grip.WHOLE, mark.span.first, by_keys=True, span=mark.span)
