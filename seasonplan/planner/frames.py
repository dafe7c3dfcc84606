"""What a week's days allow, before it is known what the week is for.

One frame for each cell: free times less busy calendars, rock that could be gone to, what the body
allows, days to keep free. Enforces `session-hours`, `session-needs`, `session-care`,
`session-rest-day`, `rest-day` and `session-return`.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence, Set
from datetime import date, timedelta
from functools import cached_property
from itertools import combinations, pairwise

from seasonplan.body.little_time import is_off, share_left
from seasonplan.body.newcomer import begins_anew
from seasonplan.body.response import from_50
from seasonplan.body.wall import least_on_wall
from seasonplan.days import ONE_DAY, Span
from seasonplan.injury import RampStep, just_happened
from seasonplan.planner.care import harms, is_there, is_young, ramps
from seasonplan.planner.frame import DayFrame, Frame, at_the_limit
from seasonplan.planner.grid import Cell
from seasonplan.planner.levels import Levels
from seasonplan.planner.rock_day import Dates, RockDay
from seasonplan.recipes import Need, Recipe
from seasonplan.rules.tables import composing
from seasonplan.vocabulary import RockRole, Tissue
from seasonplan.year import wall_way

SHORTEST_MINUTES = 10
NEAR_DAYS = 4  # around a week, in which rock and trips count for its sessions
FINGERS, LOAD = composing().fingers, composing().load
LOOK_BACK_DAYS = 28  # for the last day kept free


class Frames:
    """The frames of a year."""

    def __init__(self, dates: Dates, levels: Levels, rock: Mapping[date, RockDay]) -> None:
        self._almanac, self._rules, self._book = dates.almanac, dates.rules, dates.book
        self._levels, self._rock = levels, rock
        self._taken = dates.taken if self._rules.active("session-hours") else {}
        self._cares_of_return = self._rules.active("session-return") is not None
        self._allowed: dict[object, frozenset[str]] = {}
        self._finger_days: dict[date, frozenset[date]] = {}
        self._kept_free: dict[date, frozenset[int]] = {}
        self._trips = sorted(
            trip.first
            for trip in self._almanac.year.trips
            if trip.climbing and trip.span.length > 1
        )

    def frame(self, cell: Cell) -> Frame:
        """The frame of a cell."""
        days = tuple(map(self._day, cell.span.days()))
        near = timedelta(days=max(NEAR_DAYS, self._fresh_days, self._reach_days))
        around = Span(cell.span.first - near, cell.span.after + near).days()
        steps = self._steps(cell.span)
        spared = frozenset(tissue for step in steps for tissue in step.tissues)
        return Frame(
            span=cell.span,
            days=days,
            level=self._levels.of(cell.span.first),
            rock_near=tuple(
                self._rock[day] for day in around if day in self._rock and day not in cell.span
            ),
            trips_begin=tuple(
                f for f in self._trips if cell.span.first < f <= cell.span.after + near
            ),
            since_free=self._since_free(cell.span.first),
            open_after=tuple(
                self._open(cell.span.after + n * ONE_DAY) for n in range(self._reach_days)
            ),
            wall_travel=wall_way(self._almanac.year),
            least_wall=least_on_wall(self._almanac, cell.span.first),
            from_50=from_50(self._almanac.year, cell.span.first),
            most_hard=self._most_hard(cell.span, steps, spared),
            spared=spared,
            fresh_days=self._fresh_days,
            before_share=self._before_share(cell.span.first),
            after_little=self._after_little(cell.span.first),
        )

    def _after_little(self, day: date) -> bool:
        """Whether both weeks before that of a day were off or left hardly any time, or it is one of
        the first of who did next to nothing before the year."""
        if begins_anew(self._almanac.year, day):
            return True
        almanac, week = self._almanac, self._almanac.week_of(day)
        before = [Span(week - timedelta(weeks=n), week - timedelta(weeks=n - 1)) for n in (1, 2)]
        return all(
            one.first in almanac.span
            and (is_off(almanac, one) or share_left(almanac, one) < composing().load.lost_below)
            for one in before
        )

    def _before_share(self, day: date) -> float:
        """How much of a day's week the week before could hold, 1 at most, by the calendar alone."""
        week = self._almanac.week_of(day)
        before = week - timedelta(weeks=1)
        if before not in self._almanac.span:
            return 1.0
        now, then = (
            sum(b - a for day in _week(first) for a, b in self._free(day))
            * self._levels.of(first).share
            for first in (week, before)
        )
        return min(1.0, then / now) if now else 1.0

    @cached_property
    def _reach_days(self) -> int:
        """The most days that any recipe keeps clear after it."""
        return max((recipe.days_after(from_50=True) for recipe in self._book.values()), default=0)

    @cached_property
    def _fresh_days(self) -> int:
        rule = self._rules.active("session-fresh")
        return int(rule.number) if rule else 0

    def _most_hard(self, span: Span, steps: Sequence[RampStep], spared: Set[Tissue]) -> int | None:
        """Sessions that may use hard what has just come back, less the rock of the same calendar
        week around these days."""
        if not steps:
            return None
        most = min(step.hard_a_week for step in steps)
        around = set(_week(self._almanac.week_of(span.first))) - {*span.days()}
        rock = [self._rock[day] for day in around if day in self._rock]
        return max(0, most - sum(bool(r.recipe.hard_on & spared) for r in rock))

    def _steps(self, span: Span) -> list[RampStep]:
        if self._rules.active("injury-caps") is None:
            return []
        return [step for day in span.days() for step in ramps(self._almanac, day)]

    def _open(self, day: date) -> bool:
        """Whether a day can hold a session at home."""
        return (
            day in self._almanac.span
            and bool(self._almanac.minutes(day))
            and day.weekday() not in self._resting(day)
        )

    def _day(self, day: date) -> DayFrame:
        away = any(trip.climbing and day in trip.span for trip in self._almanac.year.trips)
        free = self._home(day, days=LOAD.home_rest_days, trip_of=LOAD.long_trip_days)
        free |= any(just_happened(hurt.happened, day) for hurt in self._almanac.year.injuries)
        return DayFrame(
            day=day,
            free=self._free(day),
            rock=self._rock.get(day),
            allowed=self._allows(day),
            rest=free or day.weekday() in self._resting(day),
            easy=self._levels.easy_until(day) or self._after_trip(day),
            fingers=not self._after_trip(day) and not self._kept_off_fingers(day),
            away=away,
            kept_free=free,
        )

    # --- time -------------------------------------------------------------------------------

    def _free(self, day: date) -> tuple[tuple[int, int], ...]:
        busy = sorted(self._taken.get(day, ()))
        found = []
        for start, end in self._almanac.windows(day):
            at = start
            for begins, ends in busy:
                if begins < end and ends > at:
                    found.append((at, begins))
                    at = ends
            found.append((at, end))
        return tuple((a, b) for a, b in found if b - a >= SHORTEST_MINUTES)

    # --- rest days ----------------------------------------------------------------------------

    def _resting(self, day: date) -> frozenset[int]:
        """The weekdays to keep free in the calendar week of a day.

        Where rock takes the usual one, another is kept; where that would leave too few in some
        seven days, one more.
        """
        rule = self._rules.active("rest-day")
        if rule is None:
            return frozenset()
        week = self._almanac.week_of(day)
        if week not in self._kept_free:
            most = int(rule.number)
            own = frozenset(self._rest_weekdays(week, most))
            own = self._enough_free(week, own, most)
            self._kept_free[week] = own
        return self._kept_free[week]

    def _since_free(self, first: date) -> int | None:
        """Days between a day and the last one kept free before it; None where none is kept."""
        if self._rules.active("rest-day") is None:
            return None
        before = (first - ONE_DAY * n for n in range(1, LOOK_BACK_DAYS))
        days = (n for n, d in enumerate(before) if d.weekday() in self._resting(d))
        return next(days, 0)

    def _enough_free(self, week: date, own: frozenset[int], most: int) -> frozenset[int]:
        """Those weekdays, and more where seven days that end in the week would hold too many."""
        before = [week - n * ONE_DAY for n in range(6, 0, -1)]
        days = [*(day for day in before if day in self._almanac.span), *_week(week)]
        for last in _week(week):
            seven = [day for day in days if 0 <= (last - day).days < 7]
            while True:
                used = [d for d in seven if self._trains(d, own if d >= week else self._resting(d))]
                here = [d for d in reversed(used) if d >= week and d not in self._rock]
                if len(used) <= most or not here:
                    break
                own |= {min(here, key=self._almanac.minutes).weekday()}
        return own

    def _trains(self, day: date, free: frozenset[int]) -> bool:
        """Whether a day may hold a session, with these weekdays kept free."""
        at_home = day.weekday() not in free and self._almanac.minutes(day) > 0
        return day in self._rock or at_home

    def _rest_weekdays(self, week: date, most: int) -> list[int]:
        """The weekdays with the least time that no rock takes; of equals the eve of a project day,
        else the one furthest from days on rock, else the last of the week.

        Rock of the weeks around counts too, so that the day stays the same; not that on trips.
        """
        around = [
            day for n in range(-7, 14)
            if (day := week + timedelta(days=n)) in self._rock
            and (n in range(7) or not self._rock[day].away)
        ]  # fmt: skip
        used = {d.weekday() for d in around}
        tried = {d.weekday() for d in around if self._rock[d].role is RockRole.PROJECT}
        order = [(self._almanac.week_begins + 6 - n) % 7 for n in range(7)]
        minutes = self._almanac.year.climber.minutes

        def lean(weekday: int) -> tuple[float, ...]:
            eve = (weekday + 1) % 7 in tried
            away = min((min((weekday - u) % 7, (u - weekday) % 7) for u in used), default=0)
            return (minutes.on(weekday), not eve, -away)

        return [w for w in sorted(order, key=lean) if w not in used][: max(0, 7 - most)]

    def _after_trip(self, day: date) -> bool:
        return self._home(day, days=FINGERS.after_trip_days, trip_of=FINGERS.after_trip_of_days)

    def _home(self, day: date, *, days: int, trip_of: int) -> bool:
        """Whether a day is among the first after a climbing trip of so many days."""
        return any(
            0 <= (day - trip.span.after).days < days
            for trip in self._almanac.year.trips
            if trip.climbing and trip.span.length >= trip_of
        )

    # --- what the body and the house allow ------------------------------------------------------

    def _allows(self, day: date) -> frozenset[str]:
        steps = tuple(one.from_day for one in ramps(self._almanac, day))
        gently = self._cares_of_return and self._levels.hangs_light(day)
        young = is_young(self._almanac, day, rules=self._rules)
        key = (self._almanac.hurts(day), young, steps, gently)
        if key not in self._allowed:
            free = self._rules.active("session-needs") is None
            self._allowed[key] = frozenset(
                recipe.id
                for recipe in self._book.values()
                if (free or is_there(recipe, self._almanac.year))
                and not harms(recipe, self._almanac, day, rules=self._rules)
                and not (gently and _too_hard_at_first(recipe))
            )
        return self._allowed[key]

    def _kept_off_fingers(self, day: date) -> bool:
        """Whether a day of the first week back is none of the few that load the fingers."""
        back = self._levels.first_week_back(day) if self._cares_of_return else None
        if back is None:
            return False
        begins, row = back
        if begins not in self._finger_days:
            self._finger_days[begins] = self._chosen_for_fingers(begins, row.finger_days[0])
        return day not in self._finger_days[begins]

    def _chosen_for_fingers(self, begins: date, count: int) -> frozenset[date]:
        """The days for finger work in the seven from `begins` on: apart, not the very first."""
        open_days = [day for day in _week(begins) if day not in self._rock and self._open(day)]
        some = combinations(open_days, min(count, len(open_days)))
        return frozenset(max(some, key=lambda days: _apart_and_late(tuple(days), begins)))


def _week(first: date) -> list[date]:
    return [first + n * ONE_DAY for n in range(7)]


def _apart_and_late(some: Sequence[date], begins: date) -> tuple[int, int]:
    """Two days between are enough; then the later first day, up to the third of the week."""
    gaps = [(b - a).days for a, b in pairwise(some)]
    first = (some[0] - begins).days if some else 0
    return min([*gaps, 3]), -abs(first - 2)


def _too_hard_at_first(recipe: Recipe) -> bool:
    """Whether it is for no day of the first week after long days off: hard hangs, and at home what
    uses the fingers as hard as can be."""
    hard_hangs = bool(recipe.hang_seconds) and recipe.hard_on_fingers
    return hard_hangs or (at_the_limit(recipe) and Need.ROCK not in recipe.needs)
