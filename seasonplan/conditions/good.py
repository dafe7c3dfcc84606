"""Which days of a record were good by the climber's own meaning of the word.

A preference, not measured friction: one study of 11 climbers found no plain link between
temperature or humidity and the friction of chalked fingers (Amca et al. 2012).
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime, timedelta
from functools import lru_cache

from seasonplan.conditions.hours import Reading
from seasonplan.conditions.records import DayRecord, Record
from seasonplan.conditions.settings import least_hours_share
from seasonplan.conditions.sun import Wall, is_day, is_lit, wall_hours
from seasonplan.year.place import Good, Place

SAMPLE_YEAR = 2023  # the sun of one year stands for all: it differs by less than half a degree


def wall_of(place: Place) -> Wall:
    """The wall of a place; one that looks south where no aspect is given."""
    assert place.point is not None, "a place with records says where it lies"
    aspect = 180.0 if place.aspect is None else place.aspect
    return Wall(*place.point, aspect, place.steepness)


def verdicts(record: Record, good: Good, *, place: Place) -> dict[date, bool | None]:
    """For each day of the record: good, not good, or None where something needed is not known.

    A day is only judged when everything its verdict may hang on is known: judging it from the
    bad half alone would count bad days and lose good ones.
    """
    wall = wall_of(place)
    return {day: _verdict(day, record, good, wall) for day in record.days}


def lacking(day: date, record: Record, good: Good) -> tuple[date, ...]:
    """The days before a day, latest first, whose rain its verdict hangs on and is not known."""
    asked = good.dry_days_before if good.rain_below is not None else 0
    before = (day - timedelta(days=back) for back in range(1, asked + 1))
    return tuple(
        one for one in before if (row := record.days.get(one)) is None or row.mean.rain is None
    )


def _verdict(day: date, record: Record, good: Good, wall: Wall) -> bool | None:
    today = record.days[day]
    air = _hours_good if today.hours else _day_good
    marks = [*_dry(day, record, good), air(today, good, wall)]
    return None if None in marks else all(marks)


def _dry(day: date, record: Record, good: Good) -> Iterator[bool | None]:
    if good.rain_below is None:
        return
    for before in range(good.dry_days_before + 1):
        entry = record.days.get(day - timedelta(days=before))
        rain = entry.mean.rain if entry else None
        yield None if rain is None else rain < good.rain_below


def _day_good(today: DayRecord, good: Good, wall: Wall) -> bool | None:
    """A day of daily records: its highest temperature and mean air, and where the sun stood."""
    marks = [*_inside(today.mean, good, temperature=today.highest)]
    if good.asks_wall:
        hours = wall_hours(wall, _sample(today.day))
        marks.append(hours.sun >= good.sun_hours and hours.shade >= good.shade_hours)
    return None if None in marks else all(marks)


def _hours_good(today: DayRecord, good: Good, wall: Wall) -> bool | None:
    """A day of hourly records: enough daylight hours inside all bounds."""
    if _daylight_hours(wall, today.day) == 0:
        return False
    light = [(begin, air) for begin, air in today.hours if _light(wall, _middle(begin))[0]]
    judged = [(begin, _all_inside(air, good)) for begin, air in light]
    known = [(begin, mark) for begin, mark in judged if mark is not None]
    if len(known) < least_hours_share() * _daylight_hours(wall, today.day) or not known:
        return None
    fine = [_light(wall, _middle(begin))[1] for begin, mark in known if mark]
    sun = sum(fine)
    if not good.asks_wall:
        return len(fine) >= good.hours
    return sun >= good.sun_hours and len(fine) - sun >= good.shade_hours


def _all_inside(air: Reading, good: Good) -> bool | None:
    marks = list(_inside(air, good, temperature=air.temperature))
    return None if None in marks else all(marks)


def _inside(air: Reading, good: Good, *, temperature: float | None) -> Iterator[bool | None]:
    """Each bound that was set: kept, not kept, or not known."""
    if good.temperature is not None:
        low, high = good.temperature
        yield None if temperature is None else low <= temperature <= high
    for value, most in (
        (air.dew_point, good.highest_dew_point),
        (air.humidity, good.highest_humidity),
        (air.wind, good.highest_wind),
    ):
        if most is not None:
            yield None if value is None else value <= most


def _sample(day: date) -> date:
    return date(SAMPLE_YEAR, day.month, min(day.day, 28) if day.month == 2 else day.day)


def _middle(begin: datetime) -> datetime:
    """The middle of an hour, in the sample year."""
    middle = begin + timedelta(minutes=30)
    day = _sample(middle.date())
    return middle.replace(year=day.year, day=day.day)


@lru_cache(maxsize=65_536)
def _light(wall: Wall, when: datetime) -> tuple[bool, bool]:
    """Whether it is day, and whether the sun is on the wall."""
    return is_day(wall, when), is_lit(wall, when)


@lru_cache(maxsize=4096)
def _daylight(wall: Wall, day: date) -> float:
    hours = wall_hours(wall, day)
    return hours.sun + hours.shade


def _daylight_hours(wall: Wall, day: date) -> float:
    return _daylight(wall, _sample(day))
