"""How much a week may hold by the calendar alone: load level, weeks back after days off, hangs.

The load rises by a step in each week that can be filled, stays in every fourth and while it comes
back after an injury, and falls by one in a week away; so no week depends on the plan. Of weeks that
are over the diary says how far they were done: after one that was missed in part it stays, after
one missed in most it falls, from what was really borne before; weeks missed in most count as days
off. Hard hangs are as `hang_levels` says. Enforces `load-step`, `missed-weeks` and `build-back`
(loads).
"""

from __future__ import annotations

from collections.abc import Mapping
from copy import copy
from dataclasses import dataclass, replace
from datetime import date, timedelta
from functools import cached_property
from math import log

from seasonplan.body.almanac import Almanac
from seasonplan.body.little_time import MOST_OF_A_WEEK, OFF, is_off, share_left
from seasonplan.body.newcomer import weeks_of_light_holds, weeks_to_most
from seasonplan.body.response import Body, body_of
from seasonplan.days import Span, runs
from seasonplan.diary import as_days_off
from seasonplan.injury import back_table
from seasonplan.planner.hang_levels import HangLevel
from seasonplan.planner.menus import finger_table
from seasonplan.rules.tables import (
    DaysOff,
    after_days_off,
    composing,
    days_off_table,
    response_table,
    table,
)
from seasonplan.vocabulary import Kind, Phase

LIMITS = composing().load
STEADY_EVERY = LIMITS.steady_every  # weeks: one in so many the load does not rise
EASY_DAYS = int(table("blocks")["days_off"]["easy_days"])  # the first, in which nothing is hard
BACK = back_table()
STEPS_BACK = round((1 - BACK.first_share) / BACK.most_step)  # after the first week of a return
FULL_EFFORT = composing().fit.full_rpe  # mean of a week whose free minutes are all used


@dataclass(frozen=True, slots=True)
class WeekLevel:
    """What a calendar week may hold: load (RPE x minutes), hard hanging seconds, finger days.

    `hang_share`: of the hangs of a session, on the way back from an injury. `share`: of a normal
    week, less than whole as load comes back after days off; `back` are its finger days then.
    """

    load: float
    hang_seconds: float
    finger_days: int
    back: int | None = None
    share: float = 1.0
    hang_share: float = 1.0


class Levels:
    """The levels of every calendar week of a year, by its first day."""

    def __init__(
        self,
        almanac: Almanac,
        *,
        done: Mapping[date, float] | None = None,
        borne: Mapping[date, float] | None = None,
        back: bool = True,
        hurt: bool = True,
    ) -> None:
        """`done` is the share of its planned load to which a week was done, by its first day, where
        it was missed in part; `borne` the most that was really done in any of the weeks shortly
        before such a week; `back`: `build-back` is on, `hurt`: `injury-caps` is.
        """
        self._almanac = almanac
        self._done, self._borne, self._builds_back = done or {}, borne or {}, back
        self.body: Body = body_of(almanac.year)
        self.off_ends = self._ends_of_days_off()
        self._levels = self._walk(hurt=hurt)

    def bounded(self, caps: Mapping[date, float]) -> Levels:
        """The same with bounds on the load of single weeks, by their first day."""
        other = copy(self)
        other._levels = {
            week: replace(level, load=min(level.load, caps[week])) if week in caps else level
            for week, level in self._levels.items()
        }
        return other

    def of(self, day: date) -> WeekLevel:
        """The level of the calendar week of a day."""
        return self._levels[self._almanac.week_of(day)]

    @property
    def hangs_begin(self) -> date:
        """The first day of the first week that holds hard hangs beside climbing."""
        least = finger_table().least_load
        found = (w for w, one in self._levels.items() if one.hang_seconds > 0 and one.load >= least)
        return next(found, self._almanac.span.after)

    @property
    def most_begins(self) -> date:
        """The first day on which fingers may be used to the most."""
        first, *_ = self._levels
        return max(first + timedelta(weeks=weeks_to_most(self._almanac.year)), self.hangs_begin)

    def easy_until(self, day: date) -> bool:
        """Whether a day lies in the first days after days off."""
        return any(ends <= day < ends + timedelta(days=EASY_DAYS) for ends in self.off_ends)

    def after_missed(self, week: date) -> bool:
        """Whether a week that begins then is held against what was really done before it."""
        return any(0 < (week - missed).days <= 7 * LIMITS.rise_weeks for missed in self._done)

    def first_week_back(self, day: date) -> tuple[date, DaysOff] | None:
        """Since when training is back, and how it comes back, in the first seven days of it."""
        return next(
            ((ends, row) for ends, row in self.off_ends.items() if (day - ends).days in range(7)),
            None,
        )

    def hangs_light(self, day: date) -> bool:
        """Whether training has just come back after so many days off that hangs are light."""
        return any(0 <= (day - e).days < row.light_days for e, row in self.off_ends.items())

    def _ends_of_days_off(self) -> dict[date, DaysOff]:
        """The day on which training begins again after days off, and how it comes back."""
        year = self._almanac.span
        off = runs(day for day in year.days() if self._kind(day) in OFF)
        ended = {span.after: span.length for span in off if span.after in year}
        little = as_days_off(self._cut, below=LIMITS.cut_below, weeks=LIMITS.cut_weeks).items()
        cut = {day: days for day, days in little if self._kind(day) not in (*OFF, Kind.TRIP)}
        off_until = cut | ended | as_days_off(self._done)  # missed in most: as off
        rows = {day: row for day, days in off_until.items() if (row := after_days_off(days))}
        return rows | self._back_from_long_trips()

    @cached_property
    def _cut(self) -> dict[date, float]:
        """Weeks of which absences leave less, by their first day: the share that is left."""
        weeks = self._almanac.weeks()
        return {w.first: left for w in weeks if (left := share_left(self._almanac, w)) < 1}

    def _back_from_long_trips(self) -> dict[date, DaysOff]:
        """The same after long climbing trips, as after half as many days off, five at least."""
        trips = [trip for trip in self._almanac.year.trips if trip.climbing]
        long = [trip.span for trip in trips if trip.span.length >= LIMITS.long_trip_days]
        least = days_off_table()[0].days
        rows = {span.after: after_days_off(max(least, span.length // 2)) for span in long}
        gone = (*OFF, Kind.TRIP)
        return {d: row for d, row in rows.items() if row and self._kind(d) not in gone}

    @cached_property
    def weeks_back(self) -> frozenset[date]:
        """The first days of weeks in which the load is less as it comes back by steps, and of the
        weeks of little time before them."""
        if not self._builds_back:
            return frozenset()
        little = {first for first, left in self._cut.items() if left < LIMITS.cut_below}
        return frozenset(first for first, one in self._levels.items() if one.share < 1) | little

    def _weeks_back(self) -> dict[date, tuple[float, int]]:
        """Share and finger days of the weeks back, by their first day; a few days use up none."""
        found: dict[date, tuple[float, int]] = {}
        to_come: list[tuple[float, int]] = []
        for week in self._almanac.weeks():
            begins = next((day for day in week.days() if day in self.off_ends), None)
            if begins is not None:
                row = self.off_ends[begins]
                to_come = list(zip(row.shares, row.finger_days, strict=False))
            if to_come:
                found[week.first] = to_come[0]
            if begins is None or (week.after - begins).days >= MOST_OF_A_WEEK:
                to_come = to_come[1:]
        return found

    def _walk(self, *, hurt: bool) -> dict[date, WeekLevel]:
        response, body = response_table(), self.body
        most = log(max(body.top / body.usual, 1.0)) / log(response.load_step)
        hangs = HangLevel(self._almanac, self._first_hangs(), hurt=hurt)
        k, trained, weeks_back = 0.0, 0, self._weeks_back()
        off: float | None = None  # the step before a part bore nothing: what it lets be goes on
        was: float | None = None  # the same until training is back: building leads up to it
        back = 0  # weeks since a part bears something again, while the load is held below the level
        season = 0.0  # steps of a season: what comes after it begins where it began
        found = {}
        for week in self._almanac.weeks():
            share_back, days_back = weeks_back.get(week.first, (1.0, None))
            hangs.begin(week, next(filter(None, map(self.off_ends.get, week.days())), None))
            rock = any(day in self._almanac.rock_days for day in week.days())
            season = season if rock else 0.0
            bears_none = self._days_in(week, Kind.INJURED) == week.length
            off = (k if off is None else off) if bears_none else None
            was = off if was is None else was
            back = 0 if bears_none else back
            found[self._almanac.week_of(week.first)] = WeekLevel(
                load=body.usual * response.load_step ** (k + season if off is None else off),
                hang_seconds=max(0.0, hangs.seconds),
                hang_share=hangs.share,
                finger_days=self._finger_days(hangs.weeks, days_back),
                back=days_back,
                share=share_back if self._builds_back else 1.0,
            )
            hangs.end(week)
            share = self._done.get(week.first, 1.0)
            if share < 1 and week.first in self._borne:
                k = min(k, log(self._borne[week.first] / body.usual) / log(response.load_step))
            if is_off(self._almanac, week) or share < LIMITS.lost_below:
                k = max(-5.0, k - response.off_a_week)
                hangs.lose(week)
                continue
            share = min(share, self._cut.get(week.first, 1.0))
            if self._days_in(week, Kind.RETURN) >= MOST_OF_A_WEEK:
                back += 1
                if was is not None and self._builds(week):
                    k = max(k, min(was, k + 1))
                continue  # a part comes back: hangs stay
            if share < LIMITS.held_below:
                continue  # too little is done: load and hangs stay
            was = None
            trained += 1
            now = k + season
            held = 0 < back <= STEPS_BACK  # the level stays until the load is there again
            back += held
            rises = trained % STEADY_EVERY and not held
            if rises and self._fills(week, body.usual * response.load_step**now):
                season += rock * (min(most, now + 1) - now)
                k = k if rock else min(most, k + 1)
            light = any(map(self.hangs_light, week.days()))
            hangs.gain(week, light=light, weeks=LIMITS.season_hung if rock else 1)
        return found

    def _builds(self, week: Span) -> bool:
        """Whether all that is hurt in a week is in its last phase."""
        phases = {phase for day in week.days() for _, phase in self._almanac.hurts(day)}
        return phases == {Phase.BUILDING}

    def _days_in(self, week: Span, kind: Kind) -> int:
        return sum(self._kind(day) is kind for day in week.days())

    def _kind(self, day: date) -> Kind | None:
        return self._almanac.given_kinds.get(day)

    def _fills(self, week: Span, load: float) -> bool:
        """Whether the free minutes of a week could hold most of such a load."""
        minutes = sum(self._almanac.minutes(day) for day in week.days())
        whole = self._almanac.year.climber.minutes.week * week.length / 7
        return minutes >= response_table().filled * min(whole, load / FULL_EFFORT)

    def _first_hangs(self) -> float:
        """Hard seconds of the first week; below none for who did no hard finger session before."""
        hung, told = finger_table(), self._almanac.year.before.hard_finger_sessions
        if weeks := weeks_of_light_holds(self._almanac.year):
            return (1 - weeks) * hung.a_session
        sessions = 1.0 if told is None else told
        return max(hung.first_seconds, sessions * response_table().usual_session_seconds)

    def _finger_days(self, weeks_hung: float, back: int | None) -> int:
        """Days a week with hangs in the split that hangs often: more by and by."""
        hung = finger_table()
        known = self._almanac.year.before.hung_daily
        days = hung.days_if_known if known else hung.days_if_new
        most = days[min(int(weeks_hung), len(days) - 1)]
        return min(most, back) if back else most
