"""Hours of daylight at a rock: as the sun has them where it lies, guessed by the zone elsewhere."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from plan_maker import a_year, season, trip

from seasonplan.body.almanac import Almanac
from seasonplan.body.daylight import daylight_at
from seasonplan.conditions.sun import Wall, daylight
from seasonplan.rules.tables import rock_day_table
from seasonplan.vocabulary import Discipline
from seasonplan.year import Year
from seasonplan.year.place import Place

STEP = 15  # minutes, rounded into the light; the plain formula and the fuller one differ by less


def at_karst(latitude: float, longitude: float, zone: str) -> Year:
    karst = Place(name="Karst", latitude=latitude, longitude=longitude)
    return a_year(climber={"time_zone": zone}, seasons=[season(0, 28)], places=(karst,))


@pytest.mark.parametrize(
    ("latitude", "longitude", "zone"),
    [
        (47.6, 14.2, "Europe/Vienna"), (60.0, 10.0, "Europe/Oslo"),
        (-33.9, 18.4, "Africa/Johannesburg"), (37.7, -119.6, "America/Los_Angeles"),
    ],
)  # fmt: skip
def test_light_is_that_of_the_sun_to_a_quarter_of_an_hour(
    latitude: float, longitude: float, zone: str
) -> None:
    """Against astral (within 0.02° of Reda & Andreas 2004)."""
    year = at_karst(latitude, longitude, zone)
    for n in range(0, 365, 24):
        on = date(2027, 1, 1) + timedelta(days=n)
        ((rises, sets),) = daylight(Wall(latitude, longitude), on, time_zone=zone)
        dawn, dusk = daylight_at(year, on, year.seasons[0])
        assert abs(dawn - STEP / 2 - 60 * rises.hour - rises.minute) <= STEP
        assert abs(dusk + STEP / 2 - 60 * sets.hour - sets.minute) <= STEP


def test_near_the_pole_it_is_light_all_day_in_june_and_not_at_all_in_december() -> None:
    year = at_karst(78.0, 15.0, "Europe/Oslo")
    dawn, dusk = daylight_at(year, date(2027, 6, 21), year.seasons[0])
    assert dusk == 24 * 60 and dawn <= 90  # midnight of the sun is later than that of the clock
    dawn, dusk = daylight_at(year, date(2027, 12, 21), year.seasons[0])
    assert dawn >= dusk
    assert not Almanac(year).rock_windows(date(2027, 12, 21), year.seasons[0])


def test_a_place_that_was_not_entered_has_the_light_of_a_middle_latitude_on_its_side() -> None:
    """47° by preference; clocks that go forward in January tell the south."""
    north, south = (a_year(climber={"time_zone": one}) for one in
                    ("Europe/Vienna", "Pacific/Auckland"))  # fmt: skip
    hours = {
        (one, on.month): (dusk - dawn) / 60
        for one, year in (("north", north), ("south", south))
        for on in (date(2027, 6, 21), date(2027, 12, 21))
        for dawn, dusk in [daylight_at(year, on)]
    }
    assert 15 <= hours["north", 6] <= 16 and 8 <= hours["north", 12] <= 9
    assert 15 <= hours["south", 12] <= 16 and 8 <= hours["south", 6] <= 9


def test_long_days_begin_earlier_and_none_before_it_is_light_there() -> None:
    """Hours by preference."""
    begins = rock_day_table().begins
    assert set(begins) == set(Discipline)
    assert begins[Discipline.MOUNTAIN] < begins[Discipline.ICE] < begins[Discipline.SPORT]
    year = a_year(climber={"rock_minutes": 300, "rock_travel_minutes": 60})
    for month in range(1, 13):
        on = date(2027, month, 21)
        for one in Discipline:
            rock = season(0, 28, discipline=one.value)
            ((first, last),) = Almanac(year).rock_windows(on, rock)
            dawn, dusk = daylight_at(year, on, rock)
            assert first == max(60 * begins[one], dawn - 60) and first + 60 >= dawn
            assert last == min(60 * rock_day_table().ends, dusk + 60)


def test_on_a_trip_the_light_is_that_of_its_own_clock() -> None:
    isle = Place(name="Isle", latitude=28.0, longitude=-16.6)
    year = a_year(trips=[trip(0, 7, time_zone="Atlantic/Canary")], places=(isle,))
    on = date(2027, 12, 21)
    ((rises, sets),) = daylight(Wall(28.0, -16.6), on, time_zone="Atlantic/Canary")
    ((first, last),) = Almanac(year).rock_windows(on, year.trips[0])
    assert first == 60 * rock_day_table().begins[Discipline.SPORT]
    assert 0 <= 60 * sets.hour + sets.minute - last <= 2 * STEP
    assert rises.hour < 9


def test_after_work_there_is_rock_in_june_and_none_in_december() -> None:
    year = a_year(climber={"minutes": {"tuesday": "17:00-21:00"}})
    rock = season(0, 28)
    june, december = date(2027, 6, 22), date(2027, 12, 21)
    assert Almanac(year).rock_windows(june, rock) == ((17 * 60, 20 * 60),)
    assert Almanac(year).rock_windows(december, rock) == ()
