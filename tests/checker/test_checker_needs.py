"""The judge of what a session needs: a recipe for its kind of block, its things, its rock.

Free times are those of `plan_maker`; day 0 is a Monday.
"""

from __future__ import annotations

from typing import Any

import pytest
from plan_maker import a_year, block, day, given, injury, season, trip
from test_checker_sessions import (
    AEROBIC,
    DRILLS,
    LIMIT,
    PERFORMANCE,
    SATURDAY,
    STRENGTH,
    TUESDAY,
    session,
    told,
)

from seasonplan.plan import Session
from seasonplan.vocabulary import Kind, Phase, RockRole
from seasonplan.year import Outing


def needs(*sessions: Session, **fields: Any) -> list[str]:
    return told("session-needs", *sessions, **fields)


# --- things ---------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("recipe", "thing"),
    [
        ("fingerboard-often", "hangboard"), ("pulling-strength", "weights"),
        ("board-power", "board"), (DRILLS, "wall"), ("route-volume", "partner"),
    ],
)  # fmt: skip
def test_what_is_not_there_to_train_on_is_reported(recipe: str, thing: str) -> None:
    everything = ["hangboard", "wall", "board", "weights", "partner"]
    made = session(recipe, 1, "18:00", 60 if recipe in (DRILLS, "board-power") else None,
                   block="strength-0")  # fmt: skip
    blocks = [block(STRENGTH, 0, 28)]
    there = a_year(4, sessions={"has": everything})
    lacking = a_year(4, sessions={"has": [one for one in everything if one != thing]})
    assert needs(made, year=there, blocks=blocks) == []
    assert needs(made, year=lacking, blocks=blocks) == [thing]


def test_a_wall_away_from_home_is_not_gone_to_for_less_than_an_hour() -> None:
    short, hour = session(DRILLS, 1, "18:00", 59), session(DRILLS, 1, "18:00", 60)
    assert needs(short) == ["too short for the way to a wall"]
    assert needs(hour) == []
    home = a_year(4, sessions={"has": ["home wall"]})
    assert needs(short, year=home) == []


# --- the recipe -----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("made", "about"),
    [
        (session(LIMIT, 1, "18:00", 60), "kind of block"),
        (session("made-up", 1, "18:00", 60), "no such recipe"),
        (session(AEROBIC, 1, "18:00", 19), "minutes"),
        (session(AEROBIC, SATURDAY, "10:00", 91), "minutes"),
        (session(AEROBIC, 1, "18:00", rpe=3), "effort"),
        (session(AEROBIC, 1, "18:00", active_share=0.5), "what counts of its minutes"),
        (session(AEROBIC, 1, "18:00", role=RockRole.EASY), "what counts of its minutes"),
        (session(AEROBIC, 1, "18:00", hangs=1), "hangs"),
        (session("fingerboard-long", 1, "18:00", hangs=0), "hangs"),
        (session("fingerboard-long", 1, "18:00", hangs=15), "hangs"),  # at most 14
    ],
)
def test_a_session_that_is_not_as_its_recipe_says_is_reported(made: Session, about: str) -> None:
    assert needs(made) == [about]


@pytest.mark.parametrize(
    ("start", "minutes", "about"),
    [  # in the second week of January, by a clock that has noon at twelve: light from 7:45 to 16:15
        ("07:45", 180, []), ("07:44", 180, ["daylight"]),
        ("13:15", 180, []), ("13:16", 180, ["daylight"]),
    ],
)  # fmt: skip
def test_a_day_on_rock_is_between_dawn_and_dusk(start: str, minutes: int, about: list[str]) -> None:
    out = session("easy-rock-day", SATURDAY, start, minutes, rock="season")
    year = a_year(4, seasons=[season(0, 28)])
    assert needs(out, year=year) == about


@pytest.mark.parametrize(
    "made",
    [
        session(AEROBIC, 1, "18:00", 20),
        session(AEROBIC, SATURDAY, "10:00", 90),
        session("fingerboard-long", 1, "18:00", hangs=1),
        session("fingerboard-long", 1, "18:00", hangs=14),
        session("uphill-intervals", 1, "18:00"),
    ],
)
def test_a_session_at_the_limits_of_its_recipe_is_fine(made: Session) -> None:
    assert needs(made) == []


def test_a_recipe_may_want_daylight() -> None:
    year = a_year(4, recipes={"uphill-intervals": {"needs": ["daylight"]}})
    for n, hour, about in ((1, "18:00", ["daylight"]), (SATURDAY, "10:00", [])):
        assert needs(session("uphill-intervals", n, hour), year=year) == about


# --- rock -----------------------------------------------------------------------------------------


PERFORMING = [block(PERFORMANCE, 0, 28)]


def out(recipe: str = "redpoint-day", n: int = SATURDAY, **fields: Any) -> Session:
    values = {"block": "performance-0", "rock": "season"} | fields
    return session(recipe, n, "10:00", 150, **values)


@pytest.mark.parametrize(
    ("fields", "about"),
    [
        ({}, []),
        ({"discipline": "boulder"}, ["rock"]),
        ({"chance": 0.0}, ["rock"]),
        ({"rock_days": ["sunday"]}, ["rock"]),
        ({"injured": True}, ["rock"]),
        ({"name": "Other"}, ["rock"]),
    ],
)
def test_rock_is_in_condition_of_the_discipline_and_can_be_gone_to(
    fields: dict[str, Any], about: list[str]
) -> None:
    climber = {"rock_days": fields.pop("rock_days", [])}
    hurt = injury(-2, easy=7, building=14, full=21)
    injuries = [hurt] if fields.pop("injured", False) else []
    year = a_year(4, seasons=[season(0, 28, **fields)], climber=climber, injuries=injuries)
    assert needs(out(), year=year, blocks=PERFORMING) == about


def test_while_a_part_comes_back_days_on_rock_are_easy_few_and_apart() -> None:
    """A finger that builds from day 7 on: two easy days in seven, not on following ones."""
    hurt = injury(0, easy=0, building=7, full=28)
    climber = {"rock_days": ["tuesday", "thursday", "saturday", "sunday"]}
    year = a_year(4, seasons=[season(0, 28)], climber=climber, injuries=[hurt])

    def easy(n: int) -> Session:
        return out("easy-rock-day", n, block="return-7", role=RockRole.EASY)

    blocks = [given(Kind.RETURN, 7, 21, entry="finger", phase=Phase.BUILDING)]
    assert needs(easy(8), easy(12), easy(15), year=year, blocks=blocks) == []
    assert needs(easy(12), easy(13), year=year, blocks=blocks) == [
        "following days on rock while hurt"
    ]
    assert needs(easy(8), easy(10), easy(12), year=year, blocks=blocks) == [
        "days on rock in seven while hurt"
    ]
    project = out(n=12, block="return-7")
    assert "project while hurt" in needs(project, year=year, blocks=blocks)


def test_a_day_too_short_for_the_way_is_no_day_on_rock() -> None:
    """Ninety minutes on a Tuesday; a day on rock needs 150."""
    year = a_year(4, seasons=[season(0, 28)])
    found = needs(out(n=TUESDAY), year=year, blocks=PERFORMING)
    assert found == ["rock"]


def test_an_easy_day_may_go_to_a_wished_outing_of_its_discipline() -> None:
    def wish(discipline: str) -> Outing:
        return Outing(name="Slabs", first=day(0), last=day(13), discipline=discipline)

    inside = out("easy-rock-day", SATURDAY, block="base-0", rock="slabs")
    late = out("easy-rock-day", 14 + SATURDAY, block="base-0", rock="slabs")
    year = a_year(4, outings=[wish("sport")])
    assert needs(inside, year=year) == []
    assert needs(late, year=year) == ["rock"]
    assert needs(inside, year=a_year(4, outings=[wish("ice")])) == ["rock"]


def test_on_trips_sessions_are_of_the_trip_and_its_discipline() -> None:
    year = a_year(4, trips=[trip(11, 3)], sessions={"has": ["hangboard"]})

    def away(recipe: str) -> list[str]:
        return needs(session(recipe, 11, "09:00"), year=year)

    assert away("redpoint-day") == []
    assert away("boulder-project-day") == ["discipline"]
    assert away("fingerboard-often") == ["kind of block"]
