"""When the sun stands on a wall, from where it is, which way it looks and how steep it is.

Flat horizon: trees, ridges and clouds are not known. The sun's place comes from astral
(within 0.02° of the NREL algorithm, Reda & Andreas 2004; a test compares them).
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from functools import lru_cache
from itertools import pairwise
from math import cos, radians, sin
from zoneinfo import ZoneInfo

from seasonplan.conditions.settings import horizon_degrees
from seasonplan.days import ONE_DAY

STEP = timedelta(minutes=10)
EDGE = timedelta(seconds=1)
Spell = tuple[datetime, datetime]


@dataclass(frozen=True, slots=True)
class Wall:
    """Degrees: `aspect` 0 north, 90 east; `steepness` 90 upright, more overhangs."""

    latitude: float
    longitude: float
    aspect: float = 180.0
    steepness: float = 90.0


@dataclass(frozen=True, slots=True)
class WallHours:
    """Hours of a day with the sun on the wall, and hours of daylight without."""

    sun: float
    shade: float


def sun_at(wall: Wall, when: datetime) -> tuple[float, float]:
    """Elevation of the sun without the bending of its light, and its azimuth, in degrees."""
    from astral import Observer
    from astral.sun import zenith_and_azimuth

    observer = Observer(wall.latitude, wall.longitude, 0.0)
    zenith, azimuth = zenith_and_azimuth(observer, when.astimezone(UTC), with_refraction=False)
    return 90.0 - zenith, azimuth


def is_day(wall: Wall, when: datetime) -> bool:
    """Whether the sun is up, in front of the wall or behind it."""
    return sun_at(wall, when)[0] > horizon_degrees()


def is_lit(wall: Wall, when: datetime) -> bool:
    """Whether the sun is up and in front of the wall."""
    elevation, azimuth = sun_at(wall, when)
    return elevation > horizon_degrees() and incidence_cosine(wall, elevation, azimuth) > 0


def incidence_cosine(wall: Wall, elevation: float, azimuth: float) -> float:
    """Cosine of the angle between sun and the wall's outward direction; above 0 is in front."""
    height, tilt = radians(elevation), radians(wall.steepness)
    return sin(height) * cos(tilt) + cos(height) * sin(tilt) * cos(radians(azimuth - wall.aspect))


def sun_spells(wall: Wall, day: date, *, time_zone: str) -> tuple[Spell, ...]:
    """When the sun is on the wall on a local day, to the second; none, one or two spells."""
    return tuple(_spells(lambda when: is_lit(wall, when), day, ZoneInfo(time_zone)))


def daylight(wall: Wall, day: date, *, time_zone: str) -> tuple[Spell, ...]:
    """When the sun is up on a local day; all day or never beyond the polar circles."""
    return tuple(_spells(lambda when: is_day(wall, when), day, ZoneInfo(time_zone)))


def _spells(holds: Callable[[datetime], bool], day: date, zone: ZoneInfo) -> Iterator[Spell]:
    """The parts of a local day in which something holds, in local time."""
    begin, after = (
        datetime(d.year, d.month, d.day, tzinfo=zone).astimezone(UTC) for d in (day, day + ONE_DAY)
    )
    times = [begin]
    while times[-1] < after:
        times.append(min(times[-1] + STEP, after))
    states = [holds(time) for time in times]
    edges = [
        _edge(holds, early, late)
        for (early, late), (was, is_now) in zip(pairwise(times), pairwise(states), strict=True)
        if was is not is_now
    ]
    edges = ([begin] if states[0] else []) + edges + ([after] if states[-1] else [])
    for first, last in zip(edges[::2], edges[1::2], strict=True):
        yield first.astimezone(zone), last.astimezone(zone)


def _edge(holds: Callable[[datetime], bool], early: datetime, late: datetime) -> datetime:
    """The instant between two at which something begins or ends to hold."""
    was = holds(early)
    while late - early > EDGE:
        middle = early + (late - early) / 2
        if holds(middle) is was:
            early = middle
        else:
            late = middle
    return late


@lru_cache(maxsize=4096)
def wall_hours(wall: Wall, day: date) -> WallHours:
    """Hours of sun and of shaded daylight from one solar midnight to the next."""
    noon = datetime(day.year, day.month, day.day, 12, tzinfo=UTC)
    noon -= timedelta(hours=wall.longitude / 15)
    steps = int(timedelta(days=1) / STEP)
    middles = [noon + STEP * (n - steps / 2 + 0.5) for n in range(steps)]
    up = [when for when in middles if is_day(wall, when)]
    lit = sum(is_lit(wall, when) for when in up)
    hours = STEP / timedelta(hours=1)
    return WallHours(lit * hours, (len(up) - lit) * hours)
