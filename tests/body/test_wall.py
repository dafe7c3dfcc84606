"""How long a session on a wall takes at least (custom of this project, no source)."""

from __future__ import annotations

from datetime import timedelta

import pytest
from coached import year_text

from seasonplan.body.almanac import Almanac
from seasonplan.body.wall import least_on_wall
from seasonplan.year.toml import read_year


@pytest.mark.parametrize(
    ("minutes", "way", "has", "least"),
    [
        (45, 0, "wall", 40),
        (60, 0, "wall", 60),
        (90, 0, "wall", 60),
        (90, 20, "wall", 40),  # 50 minutes are left beside the way
        (100, 20, "wall", 60),
        (45, 0, "home wall", 0),
    ],
)
def test_a_wall_takes_an_hour_or_less_for_who_never_has_one(
    minutes: int, way: int, has: str, least: int
) -> None:
    climber = f"wall_travel_minutes = {way}"
    text = year_text({"tuesday": 30, "thursday": minutes}, "", climber=climber, has=(has,))
    almanac = Almanac(read_year(text, file="year.toml"))
    assert least_on_wall(almanac, almanac.span.first) == least


@pytest.mark.parametrize(("load", "least"), [(300, 40), (900, 60)])
def test_who_does_little_stays_less_long(load: int, least: int) -> None:
    """One hour took the whole week of who did 200: two short sessions are more."""
    almanac = Almanac(read_year(year_text({"thursday": 90}, "", load=load), file="year.toml"))
    assert least_on_wall(almanac, almanac.span.first) == least


def test_in_weeks_that_are_cut_short_it_is_less() -> None:
    """Exams left slots of half an hour to 54 minutes, and so 34 days without climbing."""
    exams = """
        [[absence]]
        name = "Exams"
        first = 2027-03-10
        last = 2027-03-21
        left = 0.5
    """
    almanac = Almanac(read_year(year_text({"thursday": 90}, exams), file="year.toml"))
    days = [almanac.span.first + timedelta(weeks=n, days=2) for n in range(4)]
    assert [least_on_wall(almanac, day) for day in days] == [60, 40, 40, 60]
