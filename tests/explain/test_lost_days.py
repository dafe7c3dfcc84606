"""What an injury takes: days on rock that hold no project because of it, until when."""

from __future__ import annotations

from datetime import UTC, datetime, time
from typing import Any

import pytest
from plan_maker import a_year, day, goal, injury, season, trip

from seasonplan.explain.agenda import Agenda
from seasonplan.explain.lost_days import lost_lines, lost_text
from seasonplan.explain.notes import warnings
from seasonplan.explain.prospects import outlook_lines
from seasonplan.plan import Proof, Revision, Score, Session
from seasonplan.recipes import standard_recipes
from seasonplan.vocabulary import RockRole
from seasonplan.year import Injury, Year

HURT = injury(14, easy=28, building=49, full=84)  # ten weeks, from Monday to Monday
WEEKEND = {"rock_days": ["saturday", "sunday"], "rock_minutes": 300}


def in_season(*injuries: Injury, **fields: Any) -> Year:
    """Sixteen weeks on whose weekends the climber can go, a good day one time in two."""
    values: dict[str, Any] = {
        "climber": WEEKEND, "seasons": [season(0, 112)], "goals": [goal()],
        "injuries": injuries or [HURT],
    }  # fmt: skip
    return a_year(20, **(values | fields))


def on_rock(n: int, role: RockRole, recipe: str = "easy-rock-day") -> Session:
    return Session(
        id=str(n), block="return-1", recipe=recipe, day=day(n), start=time(9), minutes=90,
        rpe=4.0, rock="season", role=role,
    )  # fmt: skip


def revision(*sessions: Session, made: str = "2027-01-01") -> Revision:
    return Revision(
        number=1, stamp=datetime.fromisoformat(made).replace(tzinfo=UTC), cause="",
        year_digest="", blocks=(), score=Score(points=0.0, occasions=(), costs=()),
        proof=Proof(optimal=True, gap=0.0, bound=0.0), sessions=sessions,
    )  # fmt: skip


def test_the_days_it_takes_are_told_with_the_good_ones_and_their_end() -> None:
    """Full from 29 March; for a fortnight more it bears no project."""
    assert lost_text(HURT, in_season()) == (
        "“Finger” takes 24 days at “Season” on which you could go, 12 good ones among them by "
        "chance: no project on them until Sun 11 Apr 2027."
    )


def test_the_easy_days_of_a_plan_and_its_first_project_after_it_are_told() -> None:
    easy = [on_rock(n, RockRole.EASY) for n in (33, 40)]
    projects = [on_rock(n, RockRole.PROJECT) for n in (5, 117, 110)]
    told = lost_text(HURT, in_season(), [*easy, *projects])
    assert told.endswith(
        " 2 of them hold an easy day. The first project day after it is Sat 24 Apr 2027."
    )
    assert lost_text(HURT, in_season(), easy[:1]).endswith(" 1 of them holds an easy day.")


@pytest.mark.parametrize(
    "fields",
    [
        {"seasons": [season(98, 14)]}, {"goals": []}, {"goals": [goal(place="Isle")]},
        {"seasons": [season(0, 112, chance=0.0)]}, {"climber": {"rock_days": ["monday"]},
        "seasons": [season(14, 6), season(98, 7, name="Later")], "trips": [trip(14, 7)]},
    ],
)  # fmt: skip
def test_nothing_is_told_where_no_day_is_lost(fields: dict[str, Any]) -> None:
    assert lost_text(HURT, in_season(**fields)) == ""


def test_a_part_without_days_takes_them_until_some_are_named() -> None:
    waiting = Injury(name="Knee", part="knee", happened=day(98))
    assert lost_text(waiting, in_season(waiting)).endswith(
        "4 days at “Season” on which you could go, 2 good ones among them by chance: no project on "
        "them until you name the days of its return."
    )


def test_a_day_that_two_injuries_take_is_told_of_the_one_that_forbids_more() -> None:
    knee = {**dict(injury(28, easy=42, building=49, full=84)), "part": "knee", "name": "Knee"}
    other = Injury(**{key: value for key, value in knee.items() if key != "id"})
    year = in_season(HURT, other)
    assert "takes 20 days" in lost_text(HURT, year)
    assert "takes 4 days" in lost_text(other, year)


def test_they_stand_among_what_a_plan_lets_one_expect_until_the_injury_is_over() -> None:
    """Full from 29 March, and bearing projects a fortnight later."""
    year = in_season()
    assert lost_lines(revision(), year) == outlook_lines(revision(), year)
    assert len(lost_lines(revision(made="2027-04-11"), year)) == 1
    assert lost_lines(revision(made="2027-04-12"), year) == []


def test_a_plan_from_before_the_injury_still_holds_projects_and_no_easy_day() -> None:
    year = in_season()
    projects = [on_rock(n, RockRole.PROJECT) for n in (5, 33, 40, 110)]
    told = lost_text(HURT, year, projects, known=False)
    assert told.endswith(" 2 of them still hold a project, until you plan anew.")
    assert "still" not in lost_text(HURT, year, projects)
    assert "easy day" not in lost_text(HURT, year, projects)


def test_onsight_days_at_a_project_say_which_injury_bars_redpoints() -> None:
    """ "No project until" 11 April was followed by three days with no redpoint and no word why."""
    year = in_season()
    there = [on_rock(n, RockRole.PROJECT, "onsight-mileage") for n in (103, 110)]
    redpoint = on_rock(117, RockRole.PROJECT, "redpoint-day")
    assert lost_text(HURT, year, [*there, redpoint]).endswith(
        " What your goal asks for is barred for longer: on Sat 17 Apr 2027 and Sat 24 Apr 2027 "
        "stands “Onsight day” instead. The first day of what your goal asks for is Sat 1 May 2027."
    )
    agenda = Agenda(year, revision(*there, redpoint), book=standard_recipes())
    why = "“Finger” still bars what your goal asks for"
    assert [why in agenda.on(one.day).remarks for one in (*there, redpoint)] == [True, True, False]
    onsight = in_season(goals=[goal(style="onsight")])
    assert "barred" not in lost_text(HURT, onsight, there)


def test_a_goal_whose_days_an_injury_takes_says_that_it_is_the_injury() -> None:
    """It said to look at its season and weekdays, of an injury that was entered just then."""
    short = [season(33, 30)]
    told = warnings(in_season(seasons=short))
    assert told == [
        "“Line” gets no day that counts: 10 days on which you could go, and “Finger” on each of "
        "them. What is planned there then is easy, and serves no goal."
    ]
    assert warnings(in_season(injury(140, easy=141, building=142, full=143), seasons=short)) == []
    elsewhere = {"rock_days": ["monday"], "rock_minutes": 300}
    told = warnings(in_season(seasons=[season(33, 2)], climber=elsewhere))
    assert "on none of those days are you free and healthy" in told[0]
