"""What the days of one week allow, and what they are kept for.

Knows neither how that came about (`frames`) nor what stands there yet (`standing`).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from functools import cached_property
from math import inf
from typing import Any, NamedTuple

from seasonplan.days import ONE_DAY, Span
from seasonplan.planner.levels import WeekLevel
from seasonplan.planner.rock_day import RockDay
from seasonplan.recipes import Need, Recipe
from seasonplan.rules.tables import composing, table, usual_hours
from seasonplan.vocabulary import RockRole, Tissue

DAY = composing().day
HARDEST = 3  # stress
EASY_RPE = float(table("blocks")["days_off"]["easy_rpe"])  # at most, in the first days back
DAWN, DUSK = (60 * usual_hours()[name] for name in ("daylight_begins", "daylight_ends"))


def at_the_limit(recipe: Recipe) -> bool:
    """Whether it uses the fingers as hard as can be."""
    return recipe.stresses.get(Tissue.FINGERS, 0) == HARDEST


@dataclass(frozen=True)
class DayFrame:
    """One day: free times at home, rock that could be gone to, and the recipes the body allows.

    `rest`: keep free. `easy`: nothing above the effort of first days back, after a trip too.
    `fingers`: finger work may stand here. `away`: on a climbing trip. `kept_free`: as one is just
    back from a long one, or something has just happened.
    """

    day: date
    free: tuple[tuple[int, int], ...]
    rock: RockDay | None
    allowed: frozenset[str]
    rest: bool = False
    easy: bool = False
    fingers: bool = True
    away: bool = False
    kept_free: bool = False

    @cached_property
    def minutes(self) -> int:
        """Of the longest free time."""
        return max((end - start for start, end in self.free), default=0)

    @cached_property
    def all_minutes(self) -> int:
        return sum(end - start for start, end in self.free)

    @cached_property
    def most_items(self) -> int:
        """Sessions that it should hold at most."""
        return DAY.most_if_long if self.all_minutes >= DAY.long_minutes else DAY.most


class Fit(NamedTuple):
    """What a session of a recipe takes: at `least` so many minutes, `travel` minutes there and as
    many back, `takes` with both; whole days (`gap`) before the next hard use of a tissue; whether
    it uses hard what has just come back (`spared`)."""

    least: int
    travel: int
    takes: int
    gap: int
    spared: bool


@dataclass(frozen=True)
class Frame:
    """The days of a cell; `rock_near` are the days on rock shortly before and after it.

    `trips_begin`: when climbing trips near it do. `open_after`: whether the first days
    after it, as many as hard work may reach, can hold a session at home. `since_free`: days since
    the last one kept free before it, None where none is kept. `most_hard`: sessions of its calendar
    week that may use hard what has just come back, the tissues `spared`. `fresh_days`: before a
    season or trip without hard finger work. `before_share`: how much of it the week before could
    hold. `after_little`: the two weeks before held hardly any time, or nothing was done before
    the year.
    """

    span: Span
    days: tuple[DayFrame, ...]
    level: WeekLevel
    rock_near: tuple[RockDay, ...]
    trips_begin: tuple[date, ...]
    open_after: tuple[bool, ...]
    since_free: int | None = None
    wall_travel: int = 0
    least_wall: int = 0
    from_50: bool = False
    most_hard: int | None = None
    spared: frozenset[Tissue] = frozenset()
    fresh_days: int = 0
    before_share: float = 1.0
    after_little: bool = False

    def fit(self, recipe: Recipe) -> Fit:
        """What a session of a recipe takes in these days."""
        found = self._fits.get(recipe.id)
        if found is None:
            found = self._fits[recipe.id] = self._fit(recipe)
        return found

    def _fit(self, recipe: Recipe) -> Fit:
        """A wall that is not at home wants a session of some length, and a way there and back."""
        on_wall = Need.WALL in recipe.needs
        least = max(recipe.least_minutes, self.least_wall if on_wall else 0)
        travel = self.wall_travel if on_wall else 0
        gap = recipe.days_after(from_50=self.from_50)
        return Fit(least, travel, least + 2 * travel, gap, bool(recipe.hard_on & self.spared))

    @cached_property
    def _fits(self) -> dict[str, Fit]:
        return {}

    def usable(self, book: Mapping[str, Recipe]) -> frozenset[str]:
        """Recipes that some day can hold."""
        most: dict[frozenset[str], int] = {}
        for day in self.days:
            most[day.allowed] = max(day.minutes, most.get(day.allowed, 0))
        return frozenset(
            n for some, minutes in most.items() for n in some if self.fit(book[n]).takes <= minutes
        )

    @cached_property
    def longest(self) -> int:
        """Minutes of the longest free time of its days."""
        return max((day.minutes for day in self.days), default=0)

    @cached_property
    def days_home(self) -> int:
        """Days that are neither on a climbing trip nor kept free."""
        return sum(not (day.away or day.kept_free) for day in self.days)

    @cached_property
    def has_rock(self) -> bool:
        return any(day.rock for day in self.days)

    @cached_property
    def free_minutes(self) -> float:
        return float(sum(day.all_minutes for day in self.days))

    def shortly_before_trip(self, day: date) -> bool:
        """Whether it is one of the last days before a trip, which hold nothing hard."""
        return any(0 < (begins - day).days <= DAY.before_trips for begins in self.trips_begin)

    def ground(self, taken: Mapping[int, RockDay], *, in_a_row: int) -> Ground:
        """What its days are kept for with those days on rock, looked at once."""
        key = (in_a_row, *((n, r.role, r.first, r.fresh) for n, r in taken.items()))
        if key not in self._grounds:
            self._grounds[key] = Ground(self, taken, in_a_row=in_a_row)
        return self._grounds[key]

    @cached_property
    def _grounds(self) -> dict[object, Ground]:
        return {}


class Ground:
    """What the days of a frame are kept for, by the days on rock that its block takes.

    `projects`: days of project rock, by number from the first of the frame, around it too. `eased`:
    days with nothing but easy sessions, between projects or after two days on rock.
    """

    def __init__(self, frame: Frame, taken: Mapping[int, RockDay], *, in_a_row: int) -> None:
        """`in_a_row` is how many days running may use the fingers hard."""
        self._frame = frame
        self._days = frame.days
        self._in_a_row = in_a_row
        first = frame.span.first
        near = {(r.day - first).days: r for r in frame.rock_near} | dict(taken)
        self.projects = {n for n, rock in near.items() if rock.role is RockRole.PROJECT}
        starts = {(begins - first).days for begins in frame.trips_begin}
        opens = {n for n, rock in near.items() if rock.first}
        fresh = {n for n, rock in near.items() if rock.fresh or (rock.first and rock.away)}
        week = range(len(frame.days))
        self._rock = set(taken)
        self.eased = {
            n for n in week if {n - 1, n + 1} <= self.projects or {n - 1, n - 2} <= near.keys()
        }  # fmt: skip
        eves = {n - 1 for n in self.projects | starts}
        before_trips = {n for n in week if frame.shortly_before_trip(first + n * ONE_DAY)}
        third, fourth = self._rows_after_rest()
        self._fresh = {n - back for n in fresh | starts for back in range(1, frame.fresh_days + 1)}
        self._not_hard = eves | before_trips | fourth
        self._no_limit = self._fresh | third | set(week if frame.after_little else ())
        most = [  # effort of each day
            (self.eased, DAY.easy_rpe), ({n for n in week if self._days[n].easy}, EASY_RPE),
            (eves, DAY.eve_planned_rpe), ({n + 1 for n in opens}, DAY.easy_rpe),
        ]  # fmt: skip
        self._most_rpe = [min([inf, *(rpe for some, rpe in most if n in some)]) for n in week]
        self._open: dict[str, tuple[int, ...]] = {}
        self.menus: dict[object, Any] = {}  # what is served from them (`courses`)

    def _rows_after_rest(self) -> tuple[set[int], set[int]]:
        """Days without hard work in the split that hangs often, so that no row is too long: each
        fourth since the last day kept free. Before them those that may be the last of a row which
        began in the week before."""
        since_free, most = self._frame.since_free, self._in_a_row
        last, barred = set[int](), set[int]()
        if most < 3 or since_free is None:
            return last, barred
        row = since_free % (most + 1)
        for n, day in enumerate(self._days):
            row = 0 if day.rest else row + 1
            if row == most > n + 1:
                last.add(n)
            if row > most:
                barred.add(n)
                row = 0
        return last, barred

    def open(self, recipe: Recipe) -> tuple[int, ...]:
        """The days on which a recipe may stand at all, in order."""
        found = self._open.get(recipe.id)
        if found is None:
            week = range(len(self._days))
            some = (n for n in week if self._may(n, recipe) and self._clear_of_next_week(n, recipe))
            found = self._open[recipe.id] = tuple(some)
        return found

    def _clear_of_next_week(self, n: int, recipe: Recipe) -> bool:
        """Hard work on the last days must not reach into days that next week may use hard."""
        if not recipe.hard_on:
            return True
        reach = self._frame.fit(recipe).gap
        if (self._in_a_row <= 2 and recipe.hard_on_fingers) or recipe.drains:
            reach = max(reach, 1)
        to_end = len(self._days) - 1 - n
        return not any(self._frame.open_after[: max(0, reach - to_end)])

    def _may(self, n: int, recipe: Recipe) -> bool:
        day = self._days[n]
        if day.rest or day.away or recipe.id not in day.allowed or n in self._rock:
            return False
        if day.minutes < self._frame.fit(recipe).takes:
            return False
        if recipe.rpe > self._most_rpe[n] or (recipe.hard_on and n in self._not_hard):
            return False
        if at_the_limit(recipe) and n in self._no_limit:
            return False
        if recipe.hard_hangs and n in self._fresh:
            return False
        return day.fingers or not (recipe.hang_seconds or recipe.hard_on_fingers)
