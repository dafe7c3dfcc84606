"""Whose courses a week takes where goals differ."""

from __future__ import annotations

from datetime import date, timedelta

from seasonplan.body.almanac import Almanac
from seasonplan.days import WEEKDAYS
from seasonplan.planner.menus import Serving
from seasonplan.vocabulary import Discipline
from seasonplan.year import Climber, Goal, Horizon, Routine, Season, Year

FIRST = date(2027, 3, 1)
SPORT_FIRST, ICE_FIRST = date(2027, 9, 4), date(2027, 12, 11)


def serving(**priorities: int) -> Serving:
    """Sport in September, ice in December, both all days of five weeks."""
    seasons = [("sport", SPORT_FIRST), ("ice", ICE_FIRST)]
    year = Year(
        horizon=Horizon(first=FIRST, weeks=52),
        climber=Climber(
            time_zone="Europe/Vienna", minutes=Routine(**dict.fromkeys(WEEKDAYS, "10:00-16:00"))
        ),
        goals=tuple(
            Goal(name=f"{name} goal", place=name, discipline=name, grade="6a",
                 priority=priorities.get(name, 1))
            for name, _ in seasons
        ),
        seasons=tuple(
            Season(name=name, place=name, discipline=name, chance=0.6, first=first,
                   last=first + timedelta(days=34))
            for name, first in seasons
        ),
    )  # fmt: skip
    return Serving(Almanac(year))


def test_tools_are_swung_only_in_weeks_that_serve_the_ice() -> None:
    made = serving()
    for name, day, tools in [
        ("base endurance", date(2027, 6, 7), False),  # the sport goal is next
        ("performance fingers", date(2027, 9, 6), False),
        ("base endurance", date(2027, 10, 18), True),  # it is over
        ("lead-in", date(2027, 11, 29), True),
    ]:
        assert any("tool-hangs" in course for course in made.courses(name, day)) is tools, day


def test_the_goal_that_counts_most_is_served_once_it_is_sixteen_weeks_ahead() -> None:
    made = serving(ice=1, sport=2)
    near = ICE_FIRST - timedelta(weeks=16) + timedelta(days=1)
    assert made.discipline(near, next_rock=False) is Discipline.ICE
    assert made.discipline(near - timedelta(days=1), next_rock=False) is Discipline.SPORT


def test_who_tries_a_project_now_trains_for_it_whatever_counts_more_later() -> None:
    made = serving(ice=1, sport=2)
    assert made.discipline(date(2027, 9, 6), next_rock=True) is Discipline.SPORT


def test_when_no_rock_is_ahead_the_first_goal_decides() -> None:
    assert serving(ice=1, sport=2).discipline(date(2028, 2, 1), next_rock=False) is Discipline.ICE
    assert serving(ice=2, sport=1).discipline(date(2028, 2, 1), next_rock=True) is Discipline.SPORT
