"""Weeks composed before, kept for as long as nothing of theirs changes, whichever year asks.

A week is known by all that it was composed from: what its days allow, what it is for, and the
recipes. So an edit makes anew only the weeks that it touches. Bounded; the oldest go first.
"""

from __future__ import annotations

import threading
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from seasonplan.body.response import NOTHING, Dose, session_dose
from seasonplan.planner.compose import compose
from seasonplan.planner.frame import Frame
from seasonplan.planner.rock_day import RockDay
from seasonplan.planner.standing import Item
from seasonplan.planner.week_order import Order
from seasonplan.recipes import Recipe
from seasonplan.year import Year

MOST_FRAMES = 600  # what days allow, of some ten years; some twenty weeks are made from each


@dataclass(frozen=True, slots=True)
class Composed:
    """The sessions of a week, and the sums over them."""

    items: tuple[Item, ...]
    dose: Dose
    load: float
    first: date

    def on(self, first: date) -> Composed:
        """The same in a week that begins on another day."""
        move = first - self.first
        if not move:
            return self
        items = tuple(Item(item[0], item[1] + move, *item[2:]) for item in self.items)
        return Composed(items, self.dose, self.load, first)


@dataclass(frozen=True, slots=True)
class ComposedWeek:
    """A composed week: its sessions, what they give, its load, and what was aimed at."""

    items: tuple[Item, ...]
    dose: Dose
    load: float
    rock: float
    aim: float


_weeks: dict[object, dict[Order, Composed]] = {}
_lock = threading.Lock()


class Kept:
    """The weeks of one frame; `done` are sessions of its calendar week that are over."""

    def __init__(
        self, frame: Frame, *, book: Mapping[str, Recipe], book_key: str, done: Sequence[Item]
    ) -> None:
        self._frame, self._book, self._done = frame, book, done
        key = (book_key, _frame_key(frame), tuple((i.recipe.id, i.day) for i in done))
        self._known = _shelf(key)

    def composed(self, order: Order) -> Composed:
        """The week for an order, composed where it was not before."""
        found = self._known.get(order)
        if found is None:
            items = compose(self._frame, order, book=self._book, done=self._done)
            dose, load = sums(items)
            found = self._known[order] = Composed(items, dose, load, self._frame.span.first)
        return found.on(self._frame.span.first)


def sums(items: Sequence[Item]) -> tuple[Dose, float]:
    """The dose by quality and the load of some sessions."""
    doses = [session_dose(item, item.recipe) for item in items]
    dose = tuple(map(sum, zip(*doses, strict=True))) if doses else NOTHING
    return dose, sum(item.load for item in items)


def book_key(year: Year) -> str:
    """What tells the recipes of one climber from another's."""
    return repr(year.recipes)


def _shelf(key: object) -> dict[Order, Composed]:
    """The weeks of a frame, which is now the last to go; searches may run in several threads."""
    with _lock:
        found = _weeks.pop(key, None)
        while len(_weeks) >= MOST_FRAMES:
            _weeks.pop(next(iter(_weeks)), None)
        found = _weeks[key] = {} if found is None else found
        return found


def _frame_key(frame: Frame) -> object:
    """All of a frame that a week depends on, its date left out where no rock is near."""
    first = frame.span.first
    here = [day.rock for day in frame.days if day.rock is not None]
    rock = tuple(_rock_key(r) for r in (*frame.rock_before, *here, *frame.rock_after))
    return (
        first if rock or frame.trip_begins else first.weekday(),
        rock,
        tuple(
            (day.free, day.allowed, day.rest, day.easy, day.fingers, day.away)
            for day in frame.days
        ),
        frame.trip_begins,
        frame.open_after,
        frame.since_free,
        frame.wall_travel,
        frame.home_wall,
        frame.from_50,
        frame.most_hard,
        frame.spared,
        frame.fresh_days,
    )  # fmt: skip


def _rock_key(rock: RockDay) -> object:
    easier = rock.easier.id if rock.easier else None
    return (
        rock.day, rock.entry, rock.role, rock.recipe.id, easier, rock.start, rock.minutes,
        rock.worth, rock.counts, rock.away, rock.first,
    )  # fmt: skip
