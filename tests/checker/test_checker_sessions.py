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
from seasonplan.plan import Block, Session, Shortfall
from seasonplan.recipes import recipes
from seasonplan.rules.findings import Finding
from seasonplan.rules.statements import book_of, standard_book
from seasonplan.vocabulary import Kind
from seasonplan.year import SessionWishes, Year
from seasonplan.year.place import Place

BASE, STRENGTH, PERFORMANCE, REST = Kind.BASE, Kind.STRENGTH, Kind.PERFORMANCE, Kind.REST
ASKED = {"aim": 1500}
DRILLS, AEROBIC, LONG = "technique-drills", "aerobic", "long-easy-climbing"
LIMIT = "limit-bouldering"
MONDAY, TUESDAY, WEDNESDAY, THURSDAY, FRIDAY, SATURDAY, SUNDAY = range(7)


def session(recipe: str, n: int, at: str, minutes: int | None = None, **fields: Any) -> Session:
    """A session on day number `n` as its recipe says; of its usual length where none is given."""
    known = recipes().get(recipe)
    values: dict[str, Any] = {
        "id": f"{recipe}@{n}-{at}", "block": "base-0", "minutes": minutes or 60, "rpe": 5,
    }  # fmt: skip
    if known is not None:
        values |= {
            "minutes": known.minutes if minutes is None else minutes, "rpe": known.rpe,
            "hangs": known.hangs[0] if known.hang_seconds else 0, "role": known.role,
            "active_share": known.active_share,
        }  # fmt: skip
    values |= fields
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
    late = session("redpoint-day", 13, "21:01", **tokyo)
    assert told("session-hours", late, year=year) == ["past midnight"]
    assert told("session-hours", session("redpoint-day", 13, "21:00", **tokyo), year=year) == []
    at_home = session(AEROBIC, TUESDAY, "18:00", **tokyo)
    assert told("session-hours", at_home, year=year) == ["on no trip"]


def test_the_way_to_the_wall_lies_in_free_time_too() -> None:
    """Ninety free minutes from 18:00 with a quarter of an hour each way leave an hour."""
    year = a_year(4, climber={"wall_travel_minutes": 15})
    assert told("session-hours", session(DRILLS, 1, "18:15", 60), year=year) == []
    for at, length in (("18:14", 60), ("18:15", 61)):
        late = session(DRILLS, 1, at, length)
        assert told("session-hours", late, year=year) == ["no free time"]
    assert told("session-hours", session(AEROBIC, 1, "18:00", 90), year=year) == []
    home = year.with_fields(sessions=SessionWishes(has=("home wall",)))
    assert told("session-hours", session(DRILLS, 1, "18:00", 75), year=home) == []


@pytest.mark.parametrize(
    ("climber", "n", "at", "minutes", "fine"),
    [
        ({}, SATURDAY, "10:00", 180, True),
        ({}, SATURDAY, "09:59", 180, False),
        ({}, TUESDAY, "18:00", 80, False),  # dark
        ({"rock_travel_minutes": 30}, SATURDAY, "10:30", 120, True),
        ({"rock_travel_minutes": 30}, SATURDAY, "10:29", 120, False),
        ({"rock_travel_minutes": 30}, SATURDAY, "10:30", 121, False),
        ({"rock_days": ["friday"]}, FRIDAY, "09:00", 435, True),  # named: from 9 until it is dark
        ({"rock_days": ["friday"]}, FRIDAY, "09:00", 436, False),
        ({"rock_days": ["friday"]}, FRIDAY, "08:59", 180, False),
        ({"rock_days": ["friday"]}, FRIDAY, "17:01", 180, False),
    ],
)
def test_days_on_rock_lie_in_daylight_free_or_named_with_the_way_there(
    climber: dict[str, Any], n: int, at: str, minutes: int, fine: bool
) -> None:
    year = a_year(4, climber=climber, seasons=[season(0, 28)])
    out = session("easy-rock-day", n, at, minutes, rock="season")
    assert told("session-hours", out, year=year) == ([] if fine else ["no free time"])


def test_a_place_may_have_a_way_of_its_own() -> None:
    """Longer to this rock than usual, and to this wall; the usual way holds for the others."""
    at = {"latitude": 47.0, "longitude": 13.0}
    karst = Place(name="Karst", travel_minutes=60, **at)
    barn = Place(name="Barn", what="wall", travel_minutes=20, **at)
    climber = {"rock_travel_minutes": 10, "wall_travel_minutes": 10}
    year = a_year(4, climber=climber, seasons=[season(0, 28)], places=(karst, barn))
    for start, fine in (("11:00", True), ("10:59", False)):
        out = session("easy-rock-day", SATURDAY, start, 60, rock="season")
        assert told("session-hours", out, year=year) == ([] if fine else ["no free time"])
    for start, fine in (("18:20", True), ("18:19", False)):
        inside = session(DRILLS, TUESDAY, start, 50)
        assert told("session-hours", inside, year=year) == ([] if fine else ["no free time"])


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


def test_seven_days_running_without_one_off_are_reported() -> None:
    year, seven = daily(7)
    (found,) = judged("session-rest-day", *seven, year=year)
    assert (found.found, found.limit, found.span) == (7, 6, span(0, 7))
    assert judged("session-rest-day", *seven[:6], year=year) == []


def test_any_seven_days_are_counted_not_only_calendar_weeks() -> None:
    year, _ = daily(0)
    hours = ["18:00"] * 5 + ["10:00"] * 2
    running = [session(AEROBIC, n, hours[n % 7]) for n in range(3, 10)]
    (found,) = judged("session-rest-day", *running, year=year)
    assert found.span == span(3, 7)
    off = [one for one in running if one.day != day(6)]
    assert judged("session-rest-day", *off, year=year) == []


def test_a_day_with_nothing_but_rest_written_down_is_a_day_off() -> None:
    year, six = daily(6)
    rest = session("rest-day", 6, "10:00", 0)
    assert judged("session-rest-day", *six, rest, year=year) == []


def test_days_on_a_trip_are_not_counted() -> None:
    year, seven = daily(7)
    away = year.with_fields(trips=(trip(3, 2),))
    assert judged("session-rest-day", *seven, year=away) == []


def test_the_rest_day_follows_the_limit_of_its_rule() -> None:
    year, five = daily(5)
    strict = year.with_fields(rules={"rest-day": {"limit": 4}})
    assert len(judged("session-rest-day", *five, year=strict)) == 1
    off = year.with_fields(rules={"rest-day": {"on": False}})
    assert judged("session-rest-day", *daily(7)[1], year=off) == []


# --- wishes and what is over ----------------------------------------------------------------------


def test_what_the_climber_moved_is_told_softly_but_not_where_it_harms() -> None:
    name = "base-0/2027-01-04/fingerboard-long-1"
    late = session("fingerboard-long", TUESDAY, "23:00", id=name)
    wish = {"session": name, "day": late.day, "start": late.start}
    hurt = [injury(-2, easy=7, building=14, full=21)]
    for wishes, strength in (([], "hard"), ([wish], "soft")):
        year = a_year(4, injuries=hurt, fixed_sessions=wishes)
        (hours,) = judged("session-hours", late, year=year)
        (care,) = judged("session-care", late, year=year)
        assert (hours.strength, care.strength) == (strength, "hard")


def test_a_week_from_which_the_climber_took_a_session_is_short_by_wish() -> None:
    gone = {"session": "base-0/2027-01-04/long-easy-climbing-1", "skip": True}
    there = [*week(0)[:3], *month()[6:]]
    for wishes, strength in (([], "hard"), ([gone], "soft")):
        year = a_year(4, fixed_sessions=wishes)
        (found,) = judged("session-dose", *there, year=year)
        assert (found.about, found.strength) == ("load", strength)


def test_what_the_climber_took_from_one_week_excuses_no_other() -> None:
    gone = {"session": "base-0/2027-01-11/long-easy-climbing-1", "skip": True}
    there = [*week(0)[:3], *month()[6:]]
    (found,) = judged("session-dose", *there, year=a_year(4, fixed_sessions=[gone]))
    assert (found.span, found.strength) == (span(0, 7), "hard")


def test_nothing_is_asked_of_days_and_weeks_that_had_begun() -> None:
    year = a_year(4)
    late = [session(AEROBIC, n, "23:00", 45) for n in (TUESDAY, WEDNESDAY)]
    found = check_sessions(year, [base()], late, (), book=book_of(year), today=day(WEDNESDAY))
    assert [f.span for f in found if f.code == "session-hours"] == [span(WEDNESDAY, 1)]
    assert [f.span.first for f in found if f.code == "session-dose"] == [day(7), day(14), day(21)]
