"""Light weeks and lead-ins as a coach would read them. Common practice, no source."""

from __future__ import annotations

import re
from datetime import date

import pytest
from coached import (
    DAILY,
    EVENINGS,
    OTHERS,
    RECIPES,
    SOME,
    composed,
    planned,
    sport_season,
    year_text,
)

from seasonplan.planner.climbing import hard_climbing
from seasonplan.planner.menus import finger_table
from seasonplan.vocabulary import Emphasis, Kind

WEEKENDS = {"saturday": 120, "sunday": 180}
BUSY = {"monday": 90, "thursday": 30, "friday": 60, "sunday": 180}
BLOCKS = (
    (Kind.BASE, Emphasis.ENDURANCE), (Kind.BASE, Emphasis.FINGERS),
    (Kind.BASE, Emphasis.POWER_ENDURANCE), (Kind.STRENGTH, Emphasis.FINGERS),
)  # fmt: skip


def test_a_light_week_holds_no_kind_of_hard_session_that_a_normal_one_does_not() -> None:
    """The user saw weighted pulls in light weeks alone: there was room for them nowhere else."""
    asked = 0
    for routine in (EVENINGS, SOME, OTHERS, DAILY, WEEKENDS, BUSY):
        for load in (700, 1300, 1900):
            text = year_text(routine, "", weeks=20, load=load)
            for kind, emphasis in BLOCKS:
                light, normal = (
                    {i.recipe.id for i in composed(text, kind, emphasis, light=one, nth=9)
                     if i.recipe.hard_on and not i.recipe.hang_seconds}
                    for one in (True, False)
                )  # fmt: skip
                assert light <= normal, (routine, load, kind, emphasis)
                asked += bool(light)
    assert asked > 30


TRIP = re.sub(
    r'"(2027-.+)"', r"\1", sport_season("2027-06-05", "2027-06-16").replace("season", "trip")
)


@pytest.mark.parametrize("load", [950, 1000, 1050])
def test_a_lead_in_is_less_but_as_hard(load: int) -> None:
    """The user saw hangs, an easy hour and hangs before an onsight trip, and Saturday empty."""
    days = {"monday": 60, "wednesday": 90, "thursday": 60, "saturday": 150}
    climber = "birth_year = 1974\nlevel = { finger_strength = 2, endurance = 4 }"
    _, made = planned(year_text(days, TRIP, weeks=18, load=load, climber=climber))
    weeks = [w for b in made.blocks for w in b.weeks if w.lead_in and w.span.length == 7]
    assert weeks and all(week.span.after <= date(2027, 6, 5) for week in weeks)
    some = [s for s in made.sessions if s.day in weeks[0].span]
    assert any(hard_climbing(RECIPES[one.recipe]) for one in some) and any(s.hangs for s in some)


def test_who_hung_thrice_a_week_hangs_as_much_in_weeks_that_build() -> None:
    """The user, who had hung 210 s a week, read of fingers 3 % weaker after a year of hangs."""
    text = year_text(DAILY, "", weeks=20, load=2400)
    found = {
        told: composed(
            text.replace("hard_finger_sessions = 1", f"hard_finger_sessions = {told}"),
            Kind.STRENGTH, Emphasis.FINGERS, nth=9,
        )
        for told in (1, 2, 3)
    }  # fmt: skip
    seconds = {
        told: sum(i.hangs * i.recipe.hang_seconds for i in week if i.recipe.hard_hangs)
        for told, week in found.items()
    }
    assert seconds[1] == seconds[2] < seconds[3] <= finger_table().most_seconds


@pytest.mark.parametrize(("daily", "most"), [(False, 2), (True, 5)])
def test_weak_fingers_that_hung_daily_hold_lightly_on_more_days(daily: bool, most: int) -> None:
    """The user hung daily last year and was given two light sessions a week."""
    days = dict.fromkeys(("monday", "tuesday", "wednesday", "thursday", "friday"), 25)
    text = year_text(days, "", weeks=12, load=400, has=["hangboard"])
    text = text.replace("hard_finger_sessions = 1", "hard_finger_sessions = 0")
    text = text.replace("[sessions]", f"hung_daily = {str(daily).lower()}\n        [sessions]")
    week = composed(text, Kind.BASE, Emphasis.ENDURANCE, nth=2)
    held = sum(item.recipe.id == "fingerboard-often" for item in week)
    assert held <= most and (held > 2) is daily
