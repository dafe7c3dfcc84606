"""When the sun is up on a day at a rock, in minutes after midnight by the clock there.

By the latitude and longitude of the place where they were entered. Else for a middle latitude, with
noon where the zone has it, south of the equator where its clocks are put forward in January; so
about half an hour may be wrong, or more far from that latitude. A flat horizon.
"""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta
from functools import lru_cache
from math import acos, ceil, cos, degrees, floor, radians, sin
from zoneinfo import ZoneInfo

from seasonplan.rules.tables import table
from seasonplan.year import Outing, Season, Trip, Window, Year
from seasonplan.year.way import rock_place

DAY = 24 * 60
NOON = DAY // 2
STEP = 15  # minutes: inside the light, to a quarter of an hour
MINUTES_A_DEGREE = 4  # the sun moves a degree of longitude in so many
AXIS_DEGREES = 23.45

Rock = Season | Window | Trip | Outing


def daylight_at(year: Year, day: date, rock: Rock | None = None) -> tuple[int, int]:
    """When light comes and goes at that rock; without one, or an unknown one, about home."""
    named = None if rock is None or isinstance(rock, Outing) else rock.place
    place = rock_place(year, named) if named else None
    zone = year.climber.time_zone
    if isinstance(rock, Trip):
        zone = rock.time_zone or zone
    return _light(day, zone, place.point if place else None)


@lru_cache(maxsize=4096)
def _light(day: date, zone: str, point: tuple[float, float] | None) -> tuple[int, int]:
    local = ZoneInfo(zone)
    noon = datetime.combine(day, time(12), tzinfo=local)
    ahead = _minutes(noon.utcoffset())
    if point is None:
        latitude = _middle_latitude(day.year, local)
        meridian = ahead - _minutes(noon.dst())
    else:
        latitude, meridian = point[0], MINUTES_A_DEGREE * point[1]
    number = (day - date(day.year, 1, 1)).days + 1
    half = _half_day(latitude, number)
    middle = NOON + ahead - meridian - _sundial_minutes(number)
    dawn, dusk = ceil((middle - half) / STEP), floor((middle + half) / STEP)
    return max(0, STEP * dawn), min(DAY, STEP * dusk)


def _minutes(span: timedelta | None) -> float:
    return span.total_seconds() / 60 if span else 0.0


def _middle_latitude(year: int, zone: ZoneInfo) -> float:
    latitude = float(table("conditions")["sun"]["latitude"])
    january = datetime(year, 1, 15, 12, tzinfo=UTC).astimezone(zone)
    return -latitude if january.dst() else latitude


def _half_day(latitude: float, number: int) -> float:
    """Minutes from sunrise to noon on a day of the year; none, or half a day, near the poles."""
    tilt = radians(AXIS_DEGREES * sin(radians(360 / 365 * (number + 284))))
    horizon = radians(float(table("conditions")["sun"]["horizon_degrees"]))
    north = radians(min(max(latitude, -89.9), 89.9))
    turn = (sin(horizon) - sin(north) * sin(tilt)) / (cos(north) * cos(tilt))
    return MINUTES_A_DEGREE * degrees(acos(min(1.0, max(-1.0, turn))))


def _sundial_minutes(number: int) -> float:
    """How far a sundial is ahead of the clock on a day of the year."""
    turn = radians(360 / 365 * (number - 81))
    return 9.87 * sin(2 * turn) - 7.53 * cos(turn) - 1.5 * sin(turn)
