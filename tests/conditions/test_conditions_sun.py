"""The sun on the wall: against the NREL example, against pvlib, over hemispheres and clocks."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta, timezone
from math import acos, degrees

import pytest
from late import Late

from seasonplan.conditions.sun import (
    Wall,
    daylight,
    incidence_cosine,
    is_lit,
    sun_at,
    sun_spells,
    wall_hours,
)

pd, pvlib = Late("pandas"), Late("pvlib")
JUNE, DECEMBER = date(2025, 6, 21), date(2025, 12, 21)
VIENNA = "Europe/Vienna"


def minutes(when: datetime) -> float:
    return when.hour * 60 + when.minute + when.second / 60


# --- NREL ------------------------------------------------------------------------------------


def test_the_sun_stands_where_the_nrel_example_puts_it() -> None:
    """Reda & Andreas 2004, NREL/TP-560-34302: azimuth 194.3402°, sunrise 06:12:43, sunset
    17:20:19, which is that of the day in UTC, so of the evening before; zenith 50.1280° without
    refraction and incidence 25.187° (30° slope turned 10° east) as pvlib works them out."""
    when = datetime(2003, 10, 17, 12, 30, 30, tzinfo=timezone(timedelta(hours=-7)))
    slope = Wall(39.742476, -105.1786, aspect=170, steepness=30)
    elevation, azimuth = sun_at(slope, when)
    assert 90 - elevation == pytest.approx(50.1280, abs=0.02)
    assert azimuth == pytest.approx(194.3402, abs=0.02)
    assert degrees(acos(incidence_cosine(slope, elevation, azimuth))) == pytest.approx(
        25.187, abs=0.03
    )
    ((rise, _),) = daylight(slope, date(2003, 10, 17), time_zone="Etc/GMT+7")
    ((_, fall),) = daylight(slope, date(2003, 10, 16), time_zone="Etc/GMT+7")
    assert minutes(rise) == pytest.approx(6 * 60 + 12 + 43 / 60, abs=0.1)
    assert minutes(fall) == pytest.approx(17 * 60 + 20 + 19 / 60, abs=0.1)


# --- pvlib -------------------------------------------------------------------------------------

WALLS = [
    Wall(47.2, 11.4, aspect=0, steepness=90),
    Wall(47.2, 11.4, aspect=250, steepness=120),
    Wall(-33.9, 18.4, aspect=180, steepness=90),
    Wall(-33.9, 18.4, aspect=20, steepness=70),
    Wall(0.5, -78.0, aspect=90, steepness=95),
    Wall(68.0, 15.0, aspect=330, steepness=80),
]


@pytest.mark.parametrize("wall", WALLS, ids=str)
def test_sun_and_shade_are_those_of_a_general_solar_library(wall: Wall) -> None:
    """pvlib's angle of incidence, but for the moments within 0.1° of an edge."""
    times = pd.date_range("2024-01-03", "2025-01-01", freq="97min", tz="UTC")
    sun = pvlib.solarposition.get_solarposition(times, wall.latitude, wall.longitude)
    angle = pvlib.irradiance.aoi(wall.steepness, wall.aspect, sun["zenith"], sun["azimuth"])
    lit = (angle < 90) & (sun["elevation"] > -0.833)
    clear = ((angle - 90).abs() > 0.1) & ((sun["elevation"] + 0.833).abs() > 0.1)
    wrong = [
        when
        for when, wanted, sure in zip(times, lit, clear, strict=True)
        if sure and is_lit(wall, when.to_pydatetime()) is not bool(wanted)
    ]
    assert not wrong
    assert lit.sum() > 100


# --- walls ---------------------------------------------------------------------------------------


def test_a_north_wall_has_sun_twice_a_day_in_summer_and_none_in_winter() -> None:
    wall = Wall(47.2, 11.4, aspect=0)
    morning, evening = sun_spells(wall, JUNE, time_zone=VIENNA)
    assert morning[1].hour < 12 < evening[0].hour
    assert sun_spells(wall, DECEMBER, time_zone=VIENNA) == ()


def test_in_the_south_it_is_the_south_wall_and_december() -> None:
    wall = Wall(-33.9, 18.4, aspect=180)
    zone = "Africa/Johannesburg"
    assert len(sun_spells(wall, DECEMBER, time_zone=zone)) == 2
    assert sun_spells(wall, JUNE, time_zone=zone) == ()


def test_an_east_wall_has_the_morning_and_a_west_wall_the_evening() -> None:
    ((_, east_until),) = sun_spells(Wall(47.2, 11.4, aspect=90), JUNE, time_zone=VIENNA)
    ((west_from, _),) = sun_spells(Wall(47.2, 11.4, aspect=270), JUNE, time_zone=VIENNA)
    assert abs(west_from - east_until) < timedelta(minutes=2)  # both at solar noon


def test_an_overhang_that_looks_south_loses_the_high_sun() -> None:
    upright = wall_hours(Wall(47.2, 11.4, aspect=180, steepness=90), JUNE)
    overhang = wall_hours(Wall(47.2, 11.4, aspect=180, steepness=130), JUNE)
    assert overhang.sun < upright.sun - 3
    assert upright.sun + upright.shade == pytest.approx(overhang.sun + overhang.shade)


@pytest.mark.parametrize("change", [date(2025, 3, 30), date(2025, 10, 26)])
def test_a_clock_change_moves_the_clock_and_not_the_sun(change: date) -> None:
    wall = Wall(47.2, 11.4, aspect=180)
    ((before, _),) = sun_spells(wall, change - timedelta(days=1), time_zone=VIENNA)
    ((after, _),) = sun_spells(wall, change, time_zone=VIENNA)
    moved = after.astimezone(UTC) - before.astimezone(UTC)
    assert abs(moved - timedelta(days=1)) < timedelta(minutes=3)
    assert abs(minutes(after) - minutes(before)) > 55


def test_the_sun_that_never_sets_is_one_spell() -> None:
    wall = Wall(71, 25, aspect=0)
    ((rise, fall),) = daylight(wall, JUNE, time_zone="Europe/Oslo")
    assert fall.astimezone(UTC) - rise.astimezone(UTC) == timedelta(days=1)
    assert daylight(wall, DECEMBER, time_zone="Europe/Oslo") == ()


def test_spells_and_hours_agree() -> None:
    cases = 0
    for wall in WALLS[:5]:
        for day in (JUNE, DECEMBER, date(2025, 3, 10)):
            spells = sun_spells(wall, day, time_zone="Etc/UTC")
            total = sum((last - first).total_seconds() / 3600 for first, last in spells)
            if len(spells) and spells[0][0].hour + spells[-1][1].hour:
                cases += 1
            assert wall_hours(wall, day).sun == pytest.approx(total, abs=0.4)
    assert cases >= 9
