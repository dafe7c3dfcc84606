"""Years that end before the rock they train for: their last weeks lead up to it all the same."""

from __future__ import annotations

from functools import cache

import pytest
from plan_maker import a_year, goal, season, trip
from planned import codes_of, judged, planned

from seasonplan.planner.fill import Filled
from seasonplan.rules.findings import SCORE
from seasonplan.vocabulary import Emphasis, Kind

WEAK = {"level": {"power_endurance": 2, "finger_strength": 4}}


@cache
def ends_before(days: int) -> Filled:
    """The plan of ten weeks, so many days after which a season opens."""
    year = a_year(10, climber=WEAK, goals=[goal(priority=1)], seasons=[season(70 + days, 42)])
    made = planned(year)
    assert made is not None
    assert SCORE not in codes_of(judged(year, made))
    return made


@pytest.mark.parametrize("days", [5, 19])
def test_shortly_before_a_season_power_endurance_is_built_that_lasts_till_then(days: int) -> None:
    last = ends_before(days).blocks[-1]
    assert (last.kind, last.emphasis) == (Kind.BASE, Emphasis.POWER_ENDURANCE)


def test_eight_weeks_before_a_season_what_lasts_longer_comes_first() -> None:
    trained = [block.emphasis for block in ends_before(56).blocks]
    assert Emphasis.FINGERS in trained and Emphasis.POWER_ENDURANCE not in trained


def test_without_the_season_the_last_weeks_are_others() -> None:
    made = planned(a_year(10, climber=WEAK, goals=[goal(priority=1)]))
    assert made is not None
    assert all(block.emphasis is not Emphasis.POWER_ENDURANCE for block in made.blocks)


def test_a_trip_with_days_of_its_own_after_the_year_is_led_up_to_as_well() -> None:
    year = a_year(
        10, climber=WEAK, goals=[goal(place="Isle", priority=1)], trips=[trip(75, 14)]
    )  # fmt: skip
    made = planned(year)
    assert made is not None and codes_of(judged(year, made)) == set()
    assert made.blocks[-1].emphasis is Emphasis.POWER_ENDURANCE
