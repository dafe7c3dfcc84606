"""Each judge of sessions on sessions made by hand: what it lets pass, and what it reports.

Free times of the year of `plan_maker`: Tuesday and Thursday 18:00-19:30, Wednesday 18:00-19:00,
Saturday 10:00-13:00, Sunday 10:00-12:30. Day 0 is a Monday.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date, time
from typing import Any

import pytest
from plan_maker import a_year, block, day, injury, season, span, trip

from seasonplan.checker import SESSION_JUDGES, check_sessions
from seasonplan.findings import Finding
from seasonplan.plan import Block, Loads, Session, Shortfall
from seasonplan.recipes import recipes
from seasonplan.rules import book_of, standard_book
from seasonplan.vocabulary import Kind
from seasonplan.year import Year

BASE, STRENGTH, PERFORMANCE, REST = Kind.BASE, Kind.STRENGTH, Kind.PERFORMANCE, Kind.REST
ASKED = {"minutes": 375, "loads": Loads(endurance=1500), "training_days": 5}
DRILLS, AEROBIC, LONG = "technique-drills", "aerobic", "long-easy-climbing"
MONDAY, TUESDAY, WEDNESDAY, THURSDAY, FRIDAY, SATURDAY, SUNDAY = range(7)


def session(recipe: str, n: int, at: str, minutes: int | None = None, **fields: Any) -> Session:
    """A session on day number `n`; of the recipe's usual length where none is given."""
    known = recipes().get(recipe)
    values = {
        "id": f"{recipe}@{n}-{at}",
        "block": "base-0",
        "minutes": minutes if minutes is not None else known.minutes if known else 60,
        "rpe": known.rpe if known else 5,
    } | fields
    return Session(recipe=recipe, day=day(n), start=time.fromisoformat(at), **values)


def week(n: int) -> list[Session]:
    """1500 of load in the week that begins on day `n`, with a Monday and a Friday off."""
    return [
        session(DRILLS, n + TUESDAY, "18:00", 60),
        session(AEROBIC, n + WEDNESDAY, "18:00", 60),
        session(DRILLS, n + THURSDAY, "18:00", 75),
        session(LONG, n + SATURDAY, "10:00", 90),
        session(AEROBIC, n + SATURDAY, "11:30", 45),
        session(AEROBIC, n + SUNDAY, "10:00", 45),
    ]


def month() -> list[Session]:
    return [each for n in range(0, 28, 7) for each in week(n)]


def base(days: int = 28, **fields: Any) -> Block:
    return block(BASE, 0, days, week=ASKED | fields)


def judged(
    code: str,
    *sessions: Session,
    year: Year | None = None,
    blocks: Sequence[Block] = (),
    shortfalls: Sequence[Shortfall] = (),
    taken: Mapping[date, Sequence[tuple[int, int]]] | None = None,
) -> list[Finding]:
    """The findings of one code."""
    year = year or a_year(4)
    found = check_sessions(
        year, blocks or [base()], sessions, shortfalls, book=book_of(year), taken=taken or {}
    )
    return [finding for finding in found if finding.code == code]


def told(code: str, *sessions: Session, **fields: Any) -> list[str]:
    return [finding.about for finding in judged(code, *sessions, **fields)]


# --- the whole ------------------------------------------------------------------------------------


def test_every_session_rule_has_a_judge_and_every_judge_a_rule() -> None:
    about_sessions = {rule.code for rule in standard_book() if rule.about == "sessions"}
    assert SESSION_JUDGES.keys() == about_sessions


def test_sound_sessions_have_no_hard_finding() -> None:
    year = a_year(4)
    found = check_sessions(year, [base()], month(), (), book=book_of(year))
    assert [f for f in found if f.strength == "hard"] == []


def test_a_session_rule_that_is_switched_off_is_not_judged() -> None:
    at_night = session(AEROBIC, TUESDAY, "23:00", 45)
    assert told("session-hours", at_night) == ["no free time"]
    off = a_year(4, rules={"session-hours": {"on": False}})
    assert told("session-hours", at_night, year=off) == []


def test_findings_name_their_sessions_blocks_and_days() -> None:
    one, other = session(DRILLS, 1, "18:00", 60), session(AEROBIC, 1, "18:30", 60)
    (found,) = judged("session-hours", one, other)
    assert (found.sessions, found.blocks, found.span) == (
        (one.id, other.id), ("base-0",), span(1, 1),
    )  # fmt: skip


def test_the_order_in_which_sessions_are_handed_over_changes_nothing() -> None:
    year = a_year(4)
    spoiled = [*month()[3:], session(LONG, 8, "17:00", 95), session("nothing-known", 9, "18:00")]
    there = check_sessions(year, [base()], spoiled, (), book=book_of(year))
    back = check_sessions(year, [base()], spoiled[::-1], (), book=book_of(year))
    assert there == back
    assert {"session-hours", "session-needs", "session-dose"} <= {f.code for f in there}


# --- hours ----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("n", "at", "minutes"),
    [
        (TUESDAY, "17:59", 60), (TUESDAY, "18:31", 60), (MONDAY, "18:00", 20),
        (SATURDAY, "09:00", 45), (SATURDAY, "12:30", 45),
    ],
)  # fmt: skip
def test_a_session_outside_free_hours_is_reported(n: int, at: str, minutes: int) -> None:
    assert told("session-hours", session(AEROBIC, n, at, minutes)) == ["no free time"]


def test_a_session_that_fills_a_free_time_to_the_minute_is_fine() -> None:
    assert told("session-hours", session(AEROBIC, TUESDAY, "18:00", 90)) == []


@pytest.mark.parametrize(
    ("busy", "about"),
    [
        ((18 * 60, 18 * 60 + 30), []),
        ((18 * 60, 18 * 60 + 31), ["no free time"]),
        ((19 * 60 + 15, 24 * 60), []),
        ((19 * 60 + 14, 19 * 60 + 16), ["no free time"]),
    ],
)
def test_busy_time_is_not_free(busy: tuple[int, int], about: list[str]) -> None:
    one = session(AEROBIC, TUESDAY, "18:30", 45)
    assert told("session-hours", one, taken={day(TUESDAY): [busy]}) == about


def test_absences_and_days_off_training_are_not_free() -> None:
    one = session(AEROBIC, TUESDAY, "18:30", 45)
    half = {"name": "Away", "first": day(1), "last": day(1), "left": 0.5}
    assert told("session-hours", one, year=a_year(4, absences=[half])) == ["no free time"]
    none = {"name": "Away", "first": day(0), "last": day(3), "climbing": False}
    assert told("session-hours", one, year=a_year(4, trips=[none])) == ["no free time"]


def test_sessions_that_overlap_are_reported_and_sessions_that_touch_are_not() -> None:
    first = session(DRILLS, SATURDAY, "10:00", 60)
    assert told("session-hours", first, session(AEROBIC, SATURDAY, "11:00", 60)) == []
    assert told("session-hours", first, session(AEROBIC, SATURDAY, "10:59", 60)) == ["overlap"]


def test_a_session_of_no_block_or_on_days_of_another_is_reported() -> None:
    stray = session(AEROBIC, TUESDAY, "18:00", block="base-9")
    assert told("session-hours", stray) == ["no such block on that day"]
    blocks = [base(14), block(REST, 14, 14)]
    late = session(AEROBIC, 14 + TUESDAY, "18:00")
    assert told("session-hours", late, blocks=blocks) == ["no such block on that day"]


def test_trip_sessions_lie_on_trip_days_by_the_clock_of_the_trip() -> None:
    year = a_year(4, trips=[trip(12, 3, time_zone="Asia/Tokyo")])
    tokyo = {"zone": "Asia/Tokyo"}
    on_trip = session("redpoint-day", 13, "09:00", **tokyo)
    assert told("session-hours", on_trip, year=year) == []
    assert told("session-hours", session("redpoint-day", 13, "09:00"), year=year) == [
        "not by the clock of the trip"
    ]
    assert told("session-hours", session("redpoint-day", 13, "21:00", **tokyo), year=year) == [
        "past midnight"
    ]
    at_home = session(AEROBIC, TUESDAY, "18:00", **tokyo)
    assert told("session-hours", at_home, year=year) == ["on no trip"]


# --- order and rest day ---------------------------------------------------------------------------


def test_inside_one_free_time_fresh_work_comes_first() -> None:
    late = [session(LONG, SATURDAY, "10:00", 60), session(DRILLS, SATURDAY, "11:00", 60)]
    assert told("session-order", *late) == ["order"]
    fresh = [session(DRILLS, SATURDAY, "10:00", 60), session(LONG, SATURDAY, "11:00", 60)]
    assert told("session-order", *fresh) == []


def test_what_lies_in_two_free_times_may_come_in_any_order() -> None:
    late = [session(LONG, SATURDAY, "10:00", 60), session(DRILLS, SATURDAY, "11:30", 60)]
    between = {day(SATURDAY): [(11 * 60, 11 * 60 + 30)]}
    assert told("session-order", *late, taken=between) == []
    assert told("session-order", *late) == ["order"]


def daily(days: int) -> tuple[Year, list[Session]]:
    """A routine with an hour every day, and a session on the first `days` of each week."""
    minutes = dict.fromkeys(
        ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday"), 60
    )
    year = a_year(4, climber={"minutes": minutes})
    hours = ["18:00"] * 5 + ["10:00"] * 2
    return year, [session(AEROBIC, n, hours[n]) for n in range(days)]


def test_a_week_without_a_day_off_is_reported() -> None:
    year, seven = daily(7)
    (found,) = judged("session-rest-day", *seven, year=year)
    assert (found.found, found.limit, found.span) == (7, 6, span(0, 7))
    assert judged("session-rest-day", *seven[:6], year=year) == []


def test_the_rest_day_follows_the_limit_of_its_rule() -> None:
    year, five = daily(5)
    strict = year.with_fields(rules={"rest-day": {"limit": 4}})
    assert len(judged("session-rest-day", *five, year=strict)) == 1
    off = year.with_fields(rules={"rest-day": {"on": False}})
    assert judged("session-rest-day", *daily(7)[1], year=off) == []


# --- spacing --------------------------------------------------------------------------------------


def test_two_hard_uses_of_a_tissue_too_near_are_reported_with_the_hours() -> None:
    """boulder-mileage wants 24 hours, interval-circuits 48: the longer holds."""
    one = session("boulder-mileage", TUESDAY, "18:00", 60)
    near = session("interval-circuits", WEDNESDAY, "18:00", 60)
    (found,) = judged("session-spacing", one, near)
    assert (found.found, found.limit, found.about) == (24, 48, "fingers, skin")
    later = session("interval-circuits", THURSDAY, "18:00", 60)
    assert judged("session-spacing", one, later) == []


def test_spacing_looks_past_sessions_between_and_over_the_edge_of_a_week() -> None:
    one = session("interval-circuits", SUNDAY, "11:00", 60)
    light = session(AEROBIC, SUNDAY, "12:00", 30)
    other = session("interval-circuits", 7 + MONDAY, "18:00", 60)
    assert [f.found for f in judged("session-spacing", one, light, other)] == [31]


def test_light_uses_and_other_tissues_need_no_hours_between() -> None:
    light = [session(LONG, TUESDAY, "18:00", 45), session(LONG, TUESDAY, "18:45", 45)]
    assert judged("session-spacing", *light) == []
    apart = [
        session("boulder-mileage", TUESDAY, "18:00", 45),
        session("legs-and-trunk", 1, "18:45"),
    ]
    assert judged("session-spacing", *apart) == []


def test_days_on_a_trip_need_no_hours_between_but_home_and_trip_do() -> None:
    year = a_year(4, trips=[trip(11, 3)])
    days = [session("redpoint-day", n, "09:00") for n in (11, 12)]
    assert judged("session-spacing", *days, year=year) == []
    eve = session("interval-circuits", 10, "18:00", 60)  # Thursday, 15 hours before
    assert [f.found for f in judged("session-spacing", eve, *days, year=year)] == [15, 39]


# --- care -----------------------------------------------------------------------------------------


HURT = injury(-2, easy=7, building=14, full=21)


@pytest.mark.parametrize(
    ("n", "recipe", "reported"),
    [
        (1, LONG, True),  # off: stress 1 on the fingers
        (1, AEROBIC, False),
        (8, LONG, False),  # easy: stress 1
        (8, "boulder-mileage", True),  # stress 2
        (15, "boulder-mileage", True),  # building
        (22, "boulder-mileage", False),  # healthy
    ],
)
def test_what_is_hurt_is_kept_clear_of(n: int, recipe: str, reported: bool) -> None:
    year = a_year(4, injuries=[HURT])
    assert bool(told("session-care", session(recipe, n, "18:00", 45), year=year)) is reported


def test_a_hurt_knee_is_stressed_by_what_stresses_the_whole_body() -> None:
    knee = {**dict(HURT), "part": "knee", "name": "Knee"}
    year = a_year(4, injuries=[{k: v for k, v in knee.items() if k not in ("id", "phases")}])
    legs = session("legs-and-trunk", 8, "18:00")
    assert told("session-care", legs, year=year) == [
        "stresses whole_body by 2, and 1 is the most while hurt"
    ]
    assert told("session-care", session("fingerboard-often", 8, "18:00"), year=year) == []
    board = session("fingerboard-long", 8, "18:00")
    assert told("session-care", board, year=year) == ["maximal finger loading while hurt"]


@pytest.mark.parametrize(("born", "reported"), [(2012, True), (2009, False), (None, False)])
def test_the_young_load_no_finger_to_the_most(born: int | None, reported: bool) -> None:
    """In 2027 somebody born in 2012 may be 14, somebody born in 2009 is 17 at least."""
    year = a_year(4, climber={"birth_year": born} if born else {})
    board = session("fingerboard-long", 1, "18:00")
    assert bool(told("session-care", board, year=year)) is reported
    off = year.with_fields(rules={"young-fingers": {"on": False}})
    assert told("session-care", board, year=off) == []


# --- needs ----------------------------------------------------------------------------------------


def test_what_is_not_there_to_train_on_is_reported() -> None:
    year = a_year(4, sessions={"has": ["wall"]})
    board = session("fingerboard-often", 1, "18:00")
    assert told("session-needs", board, year=year) == ["hangboard"]
    assert told("session-needs", session(DRILLS, 1, "18:00"), year=year) == []


@pytest.mark.parametrize(
    ("made", "about"),
    [
        (session("limit-bouldering", 1, "18:00", 60), "kind of block"),
        (session("made-up", 1, "18:00", 60), "no such recipe"),
        (session(DRILLS, 1, "18:00", 25), "minutes"),
        (session(DRILLS, SATURDAY, "10:00", 80), "minutes"),
        (session(DRILLS, 1, "18:00", rpe=3), "effort"),
        (session("uphill-intervals", 1, "18:00"), "daylight"),
        (session("onsight-mileage", SATURDAY, "10:00", 150), "rock"),
    ],
)
def test_sessions_are_of_a_recipe_for_the_block(made: Session, about: str) -> None:
    assert told("session-needs", made) == [about]


def test_daylight_is_there_at_weekends() -> None:
    assert told("session-needs", session("uphill-intervals", SATURDAY, "10:00")) == []


@pytest.mark.parametrize(
    ("fields", "about"),
    [
        ({}, []),
        ({"discipline": "boulder"}, ["rock"]),
        ({"chance": 0.0}, ["rock"]),
        ({"rock_days": ["sunday"]}, ["rock"]),
        ({"injured": True}, ["rock"]),
    ],
)
def test_rock_is_in_condition_of_the_discipline_and_can_be_gone_to(
    fields: dict[str, Any], about: list[str]
) -> None:
    rock_days = fields.pop("rock_days", [])
    injuries = [HURT] if fields.pop("injured", False) else []
    year = a_year(
        4, seasons=[season(0, 28, **fields)], climber={"rock_days": rock_days}, injuries=injuries
    )
    day_out = session("onsight-mileage", SATURDAY, "10:00", 150)
    assert told("session-needs", day_out, year=year) == about


def test_on_trips_sessions_are_of_the_trip_and_its_discipline() -> None:
    year = a_year(4, trips=[trip(11, 3)], sessions={"has": ["hangboard"]})
    assert told("session-needs", session("redpoint-day", 11, "09:00"), year=year) == []
    assert told("session-needs", session("boulder-project-day", 11, "09:00"), year=year) == [
        "discipline"
    ]
    assert told("session-needs", session("fingerboard-often", 11, "09:00"), year=year) == [
        "kind of block"
    ]
