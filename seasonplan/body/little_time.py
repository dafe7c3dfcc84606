"""Weeks with little or no time: of days off in most, or with a share of it left by absences."""

from __future__ import annotations

from datetime import date, timedelta

from seasonplan.body.almanac import Almanac
from seasonplan.days import Span, runs
from seasonplan.rules.tables import after_days_off, composing, light_hangs_from
from seasonplan.vocabulary import Kind

LITTLE = composing().load
MOST_OF_A_WEEK, WEEK = 4, 7  # days
OFF = (Kind.ABSENCE, Kind.INJURED)


def is_off(almanac: Almanac, week: Span) -> bool:
    """Whether most days of a week are off: away, or with something that bears nothing."""
    kinds = map(almanac.given_kinds.get, week.days())
    return sum(kind in OFF for kind in kinds) >= MOST_OF_A_WEEK


def share_left(almanac: Almanac, week: Span) -> float:
    """Share of the usual minutes that absences in part leave of a week, days off and away left out;
    1 where there is no other, or none has any time."""
    here = (day for day in week.days() if not almanac.is_given(day))
    home = [day for day in here if day not in almanac.trip_days and almanac.left(day) > 0]
    usual = sum(almanac.year.climber.minutes.on(day.weekday()) for day in home)
    return sum(map(almanac.minutes, home)) / usual if usual else 1.0


def long_off_until(almanac: Almanac) -> tuple[date, ...]:
    """The days after so many days off that hangs are light for weeks."""
    off = runs(day for day, kind in almanac.given_kinds.items() if kind in OFF)
    rows = [(span.after, after_days_off(span.length)) for span in off]
    return tuple(after for after, row in rows if row and row.light_days > WEEK)


def is_little(almanac: Almanac, day: date) -> bool:
    """Whether the calendar week of a day is one of little time."""
    first = almanac.week_of(day)
    return share_left(almanac, Span(first, first + timedelta(weeks=1))) < LITTLE.cut_below


def as_good_as_rest(almanac: Almanac) -> tuple[Span, ...]:
    """Weeks of little time in a row, in which as many days are missed as want light hangs after; of
    no more weeks than count as days off."""
    if not almanac.year.absences:
        return ()
    weeks = [week for week in almanac.weeks() if share_left(almanac, week) < LITTLE.cut_below]
    found = []
    for run in runs(day for week in weeks for day in week.days()):
        inside = [week for week in weeks if week.first in run]
        missed = sorted(week.length * (1 - share_left(almanac, week)) for week in inside)
        if sum(missed[-LITTLE.cut_weeks :]) >= light_hangs_from():
            found.append(run)
    return tuple(found)
