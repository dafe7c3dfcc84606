"""On which day a session stands, as a coach would lay it: common practice, no source."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date

import pytest
from coached import composed, sport_season, week_of, year_text

from seasonplan.planner.climbing import hard_climbing
from seasonplan.planner.standing import Item
from seasonplan.vocabulary import Emphasis, Kind, RockRole

LONG_SATURDAY = {"monday": 90, "wednesday": 120, "friday": 90, "saturday": 180}
SATURDAY = 5
STUDENT = {"monday": 90, "tuesday": 90, "wednesday": 60, "thursday": 90, "saturday": 180,
           "sunday": 150}  # fmt: skip


def days_of(week: Sequence[Item], *recipes: str) -> set[date]:
    return {item.day for item in week if item.recipe.id in recipes}


@pytest.mark.parametrize("born", [1992, 2013])
@pytest.mark.parametrize("discipline", ["sport", "boulder"])
@pytest.mark.parametrize("emphasis", [Emphasis.ENDURANCE, Emphasis.MOVEMENT])
def test_the_one_long_day_of_a_week_holds_hard_climbing(
    emphasis: Emphasis, discipline: str, born: int
) -> None:
    """It stood on short evenings, and the long day held pulls alone."""
    week = week_of(LONG_SATURDAY, 1500, Kind.BASE, emphasis, born=born, discipline=discipline)
    hard = {item.day.weekday() for item in week if hard_climbing(item.recipe)}
    assert SATURDAY in hard


@pytest.mark.parametrize("load", [1700, 1850])
def test_two_days_of_hard_tries_leave_a_day_for_pulls(load: int) -> None:
    """Drills on a free evening took the day from them: they lie beside hard days."""
    spread = """
        spread = "light, often"
        [[goal]]
        name = "Grey Door"
        place = "Larchfold"
        discipline = "boulder"
        grade = "7A"
    """
    week = composed(year_text(STUDENT, spread, load=load), Kind.STRENGTH, Emphasis.POWER)
    assert len(days_of(week, "limit-bouldering")) == 2
    assert days_of(week, "pulling-strength")


@pytest.mark.parametrize("routine", [LONG_SATURDAY, STUDENT])
@pytest.mark.parametrize("emphasis", [Emphasis.ENDURANCE, Emphasis.FINGERS, Emphasis.MOVEMENT])
@pytest.mark.parametrize("discipline", ["sport", "boulder"])
def test_a_base_week_of_the_young_holds_pressing(
    discipline: str, emphasis: Emphasis, routine: Mapping[str, int]
) -> None:
    week = week_of(routine, 1400, Kind.BASE, emphasis, born=2013, discipline=discipline)
    assert days_of(week, "antagonists")


def test_a_project_of_a_light_week_is_no_longer_than_in_a_normal_one() -> None:
    """Alone in its week it was 150 minutes where one beside an easy day had 120."""
    climber = 'birth_year = 1957\nrock_days = ["tuesday", "thursday"]\nrock_minutes = 240'
    routine = {"monday": 60, "wednesday": 90, "friday": 60, "saturday": 90}
    text = year_text(routine, sport_season("03-08", "05-30"), weeks=14, load=700, climber=climber)
    normal, light = (
        composed(text, Kind.PERFORMANCE, Emphasis.FINGERS, light=light, nth=6)
        for light in (False, True)
    )
    of_normal, of_light = (
        [one.minutes for one in some if one.role is RockRole.PROJECT] for some in (normal, light)
    )
    assert of_light == of_normal == [120]
    assert sum(one.role is not None for one in normal) == 2
