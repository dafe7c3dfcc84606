"""What to do where the rock is wet or too warm, by what there is at home and by age."""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import product

import pytest

from seasonplan.recipes import Home, Recipe, Step, session_text, standard_recipes

BOOK = standard_recipes()
OUTSIDE = [recipe for recipe in BOOK.values() if recipe.role is not None]
HOMES = [Home(wall, hangs, grown) for wall, hangs, grown in product((True, False), repeat=3)]


def wet(recipe: Recipe, home: Home) -> str:
    return session_text(
        recipe, step=Step(), light=False, minutes=recipe.minutes, hangs=0, home=home
    ).wet


@pytest.mark.parametrize("recipe", OUTSIDE, ids=lambda recipe: recipe.id)
def test_who_has_no_wall_is_sent_to_none_on_a_wet_day(recipe: Recipe) -> None:
    for home in HOMES:
        told = wet(recipe, home)
        assert told and len(told) <= 300 and "{" not in told and "|" not in told
        if not home.wall:
            assert "indoor" not in told and "wall" not in told
        if not home.wall and not home.hangs:
            assert not re.search(r"hangs|repeaters", told.lower()) or "tools" in told


def test_without_a_wall_a_wet_project_day_becomes_what_there_is_at_home() -> None:
    for name in ("redpoint-day", "onsight-mileage", "boulder-project-day"):
        assert wet(BOOK[name], Home(wall=False)).startswith("Repeaters at home, or the next hangs")
        assert wet(BOOK[name], Home(wall=False, hangs=False)).startswith("Pull-ups and presses")
    assert wet(BOOK["easy-rock-day"], Home(wall=False)).startswith("An easy walk of 45 to 75 min")


def test_on_a_trip_a_wet_day_sends_to_no_wall_and_brings_nothing_forward() -> None:
    """All 108 project days of trips in 19 years asked for an indoor link, at home."""
    for name in ("redpoint-day", "onsight-mileage", "boulder-project-day", "easy-rock-day"):
        for home in HOMES:
            told = wet(BOOK[name], replace(home, away=True))
            assert not re.search(r"indoor|wall|\b[Hh]angs?\b|Pull|this week|weekend", told), told
            assert "walk" in told
    change = "next easy day or day off of the trip"
    assert change in wet(BOOK["redpoint-day"], Home(away=True))
    assert change not in wet(BOOK["easy-boulder-day"], Home(away=True))


def test_the_young_get_no_third_day_of_fingers_for_wet_weekends() -> None:
    for name in ("redpoint-day", "boulder-project-day"):
        assert "a week with three finger days" in wet(BOOK[name], Home())
        young = wet(BOOK[name], Home(grown=False))
        assert "three finger days" not in young and "not more finger days" in young
