"""Weeks composed before, kept for as long as nothing of theirs changes, whichever year asks.

A week is known by all that it was composed from: what its days allow, what it is for, and the
recipes. So an edit makes anew only the weeks that it touches. Bounded; the oldest go first.
"""

from __future__ import annotations

import threading
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, fields
from datetime import date, timedelta
from functools import cached_property
from operator import attrgetter

from seasonplan.body.response import NOTHING, Dose, session_dose
from seasonplan.planner.compose import compose
from seasonplan.planner.frame import DayFrame, Frame
from seasonplan.planner.menus import Course
from seasonplan.planner.standing import Item
from seasonplan.planner.week_order import Order
from seasonplan.recipes import Recipe

MOST_FRAMES = 600  # what days allow, of some ten years; some twenty weeks are made from each


@dataclass(frozen=True)
class ComposedWeek:
    """A composed week: its sessions as they were `placed`, and those of the days they are moved to,
    what they give, its load, and what was aimed at."""

    first: date
    placed: tuple[Item, ...]
    dose: Dose
    load: float
    aim: float
    moved: timedelta = timedelta()

    @cached_property
    def items(self) -> tuple[Item, ...]:
        """Its sessions, in order."""
        return self._on_their_days(self.placed)

    @cached_property
    def on_rock(self) -> tuple[Item, ...]:
        """Its days on rock."""
        return self._on_their_days([item for item in self.placed if item.role is not None])

    def _on_their_days(self, some: Sequence[Item]) -> tuple[Item, ...]:
        moved = self.moved
        return tuple(one._replace(day=one.day + moved) if moved else one for one in some)

    @classmethod
    def of(cls, first: date, items: Sequence[Item], *, aim: float) -> ComposedWeek:
        """Those sessions with the sums over them."""
        doses = [session_dose(item, item.recipe) for item in items]
        dose = tuple(map(sum, zip(*doses, strict=True))) if doses else NOTHING
        return cls(first, tuple(items), dose, sum(item.load for item in items), aim)

    @property
    def minutes(self) -> int:
        return sum(item.minutes for item in self.placed)

    @cached_property
    def hard_seconds(self) -> int:
        """Seconds of hard hangs."""
        return sum(i.hangs * i.recipe.hang_seconds for i in self.placed if i.recipe.hard_hangs)

    @cached_property
    def hard_sessions(self) -> int:
        """Sessions that use something hard."""
        return sum(bool(item.recipe.hard_on) for item in self.placed)

    def as_hard(self, courses: Sequence[Course], book: Mapping[str, Recipe]) -> tuple[Course, ...]:
        """Courses without the hard sessions that this week does not hold."""
        here = {item.recipe.id for item in self.placed}
        new = {one.id for one in book.values() if one.hard_on and one.id not in here}
        known = [tuple(name for name in one if name not in new) for one in courses]
        return tuple(one for one in known if one)

    def on(self, first: date) -> ComposedWeek:
        """The same in a week that begins on another day."""
        move = first - self.first
        if not move:
            return self
        return ComposedWeek(first, self.placed, self.dose, self.load, self.aim, move)


_Shelf = tuple[Frame, dict[Order, ComposedWeek]]  # weeks of the first of some frames alike
_weeks: dict[object, _Shelf] = {}
_lock = threading.Lock()


class Kept:
    """The weeks of one frame; `done` are sessions of its calendar week that are over, `book_key`
    tells the recipes of one climber from another's."""

    def __init__(
        self, frame: Frame, *, book: Mapping[str, Recipe], book_key: str, done: Sequence[Item]
    ) -> None:
        self._first, self._book, self._done = frame.span.first, book, done
        key = (book_key, _frame_key(frame), tuple((i.recipe.id, i.day) for i in done))
        self._shelf = _shelf(key, frame)

    def composed(self, order: Order) -> ComposedWeek:
        """The week for an order, composed where it was not before."""
        frame, known = self._shelf
        found = known.get(order)
        if found is None:
            items = compose(frame, order, book=self._book, done=self._done)
            found = known[order] = ComposedWeek.of(frame.span.first, items, aim=order.aim)
        return found.on(self._first)


def _shelf(key: object, frame: Frame) -> _Shelf:
    """Weeks of frames alike, which are now the last to go; searches may run in several threads."""
    with _lock:
        found = _weeks.pop(key, None) or (frame, {})
        while len(_weeks) >= MOST_FRAMES:
            _weeks.pop(next(iter(_weeks)), None)
        _weeks[key] = found
        return found


def _all_but(record: type, *names: str) -> attrgetter[tuple[object, ...]]:
    """Reads every field of a record but those."""
    return attrgetter(*(one.name for one in fields(record) if one.name not in names))


# the level is in the order; days, rock and recipes are told apart by less than all of them
_of_frame = _all_but(Frame, "span", "days", "level", "rock_near", "trips_begin", "before_share")
_of_day = _all_but(DayFrame, "day", "rock")
_of_rock = attrgetter("recipe.id", "role", "away", "first", "fresh")
_of_own_rock = attrgetter("entry", "start", "minutes")


def _frame_key(frame: Frame) -> object:
    """All of a frame that a week depends on, its date left out: of rock near it how far away it is,
    of its own which day is worth more."""
    first = frame.span.first
    own = [day.rock for day in frame.days if day.rock is not None]
    rock = tuple(((r.day - first).days, _of_rock(r)) for r in (*frame.rock_near, *own))
    worths, counts = (_ranks([getattr(r, name) for r in own]) for name in ("worth", "counts"))
    easier = tuple(r.easier and r.easier.id for r in own)
    trips = tuple((begins - first).days for begins in frame.trips_begin)
    days = tuple(map(_of_day, frame.days)), tuple(map(_of_own_rock, own))
    return first.weekday(), _of_frame(frame), days, trips, rock, worths, counts, easier


def _ranks(some: Sequence[float]) -> tuple[int, ...]:
    """The rank of each, from 1; 0 for nothing."""
    order = sorted({0.0, *some})
    return tuple(map(order.index, some))
