"""Judges of `session-fresh`, `session-hangs`, `session-return` and `session-rock`.

Free times are those of `plan_maker`; day 0 is a Monday, and a season opens on day 28 where one is
needed. Limits are those of shared/rules.toml.
"""

from __future__ import annotations

from typing import Any

import pytest
from plan_maker import a_year, absence, block, day, given, goal, injury, season, span, trip
from test_checker_sessions import (
    AEROBIC,
    DRILLS,
    FRIDAY,
    LIMIT,
    PERFORMANCE,
    SATURDAY,
    SUNDAY,
    THURSDAY,
    TUESDAY,
    judged,
    session,
    told,
)

from seasonplan.plan import Block, Session
from seasonplan.vocabulary import Kind, Phase, Spread
from seasonplan.year import Year

HANGS, LIGHT_HANGS, LINKS = "fingerboard-short", "fingerboard-often", "interval-circuits"
SEASON = {"rock": "season", "block": "performance-0"}


def out(n: int, recipe: str = "redpoint-day", **fields: Any) -> Session:
    """A project day on the rock of the season."""
    return session(recipe, n, "10:00", **(SEASON | fields))


def performing(weeks: int = 4, *, opens: int = 0) -> dict[str, Any]:
    """A year that is all one performance block, with a season from day `opens`."""
    days = 7 * weeks
    return {
        "year": a_year(weeks, seasons=[season(opens, days - opens)], goals=[goal()]),
        "blocks": [block(PERFORMANCE, 0, days)],
    }


# --- fresh ----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("recipe", "reported"),
    [
        (LIMIT, True),  # hard on the fingers
        ("legs-and-trunk", True),  # hard on legs and back
        ("uphill-intervals", True),
        (DRILLS, False),
        (AEROBIC, False),
        (LIGHT_HANGS, False),
    ],
)
def test_the_eve_of_a_project_day_holds_nothing_hard(recipe: str, reported: bool) -> None:
    case = performing()
    eve = "hard on the eve of a project day or trip"
    found = told("session-fresh", out(SATURDAY), session(recipe, FRIDAY, "18:00"), **case)
    assert found == ([eve] if reported else [])
    two_before = session(recipe, THURSDAY, "18:00")
    assert told("session-fresh", out(SATURDAY), two_before, **case) == []


def test_the_eve_of_an_easy_day_on_rock_may_be_hard() -> None:
    easy = out(SATURDAY, "easy-rock-day")
    since = out(SATURDAY - 4, "easy-rock-day")  # so that it opens nothing
    hard = session("legs-and-trunk", FRIDAY, "18:00")
    assert told("session-fresh", since, easy, hard, **performing()) == []


def test_the_eve_of_a_trip_holds_nothing_hard() -> None:
    year = a_year(4, trips=[trip(11, 3)])
    legs = session("legs-and-trunk", 10, "18:00")
    eve = "hard on the eve of a project day or trip"
    assert told("session-fresh", legs, year=year) == [eve]
    assert told("session-fresh", session(AEROBIC, 10, "18:00"), year=year) == []
    one_day = a_year(4, trips=[trip(11, 1)])
    assert told("session-fresh", legs, year=one_day) == []


@pytest.mark.parametrize(("number", "reported"), [(9, True), (8, False)])
@pytest.mark.parametrize("recipe", [LINKS, "legs-and-trunk"])
def test_the_last_two_days_before_a_trip_hold_nothing_hard(
    recipe: str, number: int, reported: bool
) -> None:
    case = {"year": a_year(4, trips=[trip(11, 3)])}
    found = told("session-fresh", session(recipe, number, "18:00"), **case)
    assert found == (["hard in the last days before a trip"] if reported else [])
    assert told("session-fresh", session(AEROBIC, number, "18:00"), **case) == []


def test_between_two_project_days_lies_rest_or_mobility() -> None:
    case, days = performing(), (out(FRIDAY), out(SUNDAY))
    between = session(AEROBIC, SATURDAY, "10:00")
    assert "between two project days" in told("session-fresh", *days, between, **case)
    soft = session("mobility", SATURDAY, "10:00")
    assert told("session-fresh", *days, soft, **case) == []
    assert told("session-fresh", days[0], between, **case) == []


def test_a_day_on_rock_holds_no_hangs() -> None:
    easy = out(SATURDAY, "easy-rock-day"), out(TUESDAY, "easy-rock-day")
    hang = session(LIGHT_HANGS, SATURDAY, "18:00")
    assert told("session-fresh", *easy, hang, **performing()) == ["hangs on a day on rock"]
    other = session(LIGHT_HANGS, SUNDAY, "18:00")
    assert told("session-fresh", *easy, other, **performing()) == []


OPENING = "hard fingers before a season or trip"


@pytest.mark.parametrize(("days", "reported"), [(5, False), (4, True), (2, True)])
def test_hard_finger_work_keeps_four_days_from_the_first_tries_of_a_season(
    days: int, reported: bool
) -> None:
    case = performing(8, opens=28)
    first, tries = out(28 + SATURDAY, "easy-rock-day"), out(35 + SATURDAY, "redpoint-day")
    hard = session(HANGS, 35 + SATURDAY - days, "18:00")
    assert told("session-fresh", first, hard, **case) == []
    found = judged("session-fresh", first, tries, hard, **case)
    assert [(f.about, f.found, f.limit) for f in found] == (
        [(OPENING, days, 4)] if reported else []
    )


def test_a_season_opens_only_once_and_only_in_its_first_week() -> None:
    case = performing(8, opens=28)
    easy, tries = out(28 + SATURDAY, "easy-rock-day"), out(35 + SATURDAY, "redpoint-day")
    before, later = (session(HANGS, n + SATURDAY - 3, "18:00") for n in (28, 42))
    again = out(42 + SATURDAY, "redpoint-day")
    assert told("session-fresh", before, easy, tries, later, again, **case) == []
    hard, late = session(HANGS, 42 + SATURDAY - 3, "18:00"), out(35 + SATURDAY, "easy-rock-day")
    assert told("session-fresh", late, hard, again, **case) == []


@pytest.mark.parametrize(("days", "reported"), [(14, False), (15, True)])
def test_a_season_opens_where_there_was_no_rock_for_fourteen_days(
    days: int, reported: bool
) -> None:
    """shared/weeks.toml, fresh_after_days; the earlier day was on other rock. Open from day 28."""
    first = 28 + SATURDAY
    spoken = out(28 - days, "easy-rock-day", rock="other"), out(first, "easy-rock-day")
    tries, hard = out(first + 7, "redpoint-day"), session(HANGS, first + 4, "18:00")
    found = told("session-fresh", *spoken, tries, hard, **performing(8, opens=28))
    assert (OPENING in found) is reported


def test_hard_finger_work_keeps_four_days_from_a_trip() -> None:
    year = a_year(4, trips=[trip(12, 3)])
    assert told("session-fresh", session(HANGS, 8, "18:00"), year=year) == [OPENING]
    assert told("session-fresh", session(HANGS, 7, "18:00"), year=year) == []


# --- hangs ----------------------------------------------------------------------------------------


def test_hangs_twice_a_day_are_reported() -> None:
    one, other = session(LIGHT_HANGS, 1, "18:00"), session(LIGHT_HANGS, 1, "19:00")
    (found,) = judged("session-hangs", one, other)
    assert (found.about, found.found, found.limit) == ("hangs twice a day", 2, 1)
    assert judged("session-hangs", one, session(LIGHT_HANGS, 2, "18:00")) == []


def test_all_that_is_done_on_the_hangboard_counts_as_hangs() -> None:
    both = session(LIGHT_HANGS, 1, "18:00"), session("intermittent-hangs", 1, "19:00")
    assert told("session-hangs", *both) == ["hangs twice a day"]


def test_a_test_counts_as_hangs() -> None:
    both = session(LIGHT_HANGS, 1, "18:00"), session("test-day", 1, "19:00")
    assert told("session-hangs", *both) == ["hangs twice a day"]


def test_one_day_in_seven_is_without_finger_work() -> None:
    six = [session(LIGHT_HANGS, n, "18:00") for n in range(6)]
    assert told("session-hangs", *six) == []
    (found,) = judged("session-hangs", *six, session(LIGHT_HANGS, 6, "10:00"))
    assert (found.about, found.found, found.span) == (
        "a day without finger work", 7, span(0, 7),
    )  # fmt: skip


@pytest.mark.parametrize(
    ("spread", "most"),
    [(Spread.LIGHT, 2), (Spread.SHORT_AND_HARD, 3)],
)
def test_hard_finger_days_running_are_two_or_three_by_the_split(spread: Spread, most: int) -> None:
    year = a_year(4, sessions={"spread": spread})
    running = [session(HANGS, n, "18:00") for n in range(most + 1)]
    assert told("session-hangs", *running[:-1], year=year) == []
    (found,) = judged("session-hangs", *running, year=year)
    assert (found.about, found.found, found.limit) == ("hard finger days running", most + 1, most)


def test_a_day_between_ends_a_row_of_hard_finger_days() -> None:
    days = [session(HANGS, n, "18:00") for n in (0, 1, 3, 4)]
    year = a_year(4, sessions={"spread": Spread.LIGHT})
    assert told("session-hangs", *days, year=year) == []


@pytest.mark.parametrize("name", [HANGS, "fingerboard-long", "season-fingers", "test-day"])
def test_few_and_long_is_three_hard_hang_sessions_a_week_at_most(name: str) -> None:
    three = [session(HANGS, n, "18:00") for n in (0, 2, 4)]
    next_week = session(name, 7, "10:00")
    assert told("session-hangs", *three, next_week) == []
    (found,) = judged("session-hangs", *three, session(name, 6, "10:00"))
    assert (found.about, found.found, found.limit) == ("hard hangs in a week", 4, 3)
    often = a_year(4, sessions={"spread": Spread.SHORT_AND_HARD})
    assert told("session-hangs", *three, session(name, 6, "10:00"), year=often) == []


def test_few_and_long_has_a_day_between_two_hard_hang_sessions() -> None:
    (found,) = judged("session-hangs", session(HANGS, 6, "10:00"), session(HANGS, 7, "18:00"))
    assert (found.about, found.found, found.limit) == ("days between hard hangs", 0, 1)
    assert told("session-hangs", session(HANGS, 6, "10:00"), session(HANGS, 8, "18:00")) == []
    light = session(HANGS, 6, "10:00"), session(LIGHT_HANGS, 7, "18:00")
    assert told("session-hangs", *light) == []


def test_the_split_of_one_kind_of_block_holds_for_its_rows() -> None:
    year = a_year(4, sessions={"spread_for": {"base": "short and hard, often"}})
    running = [session(HANGS, n, "18:00") for n in range(3)]
    assert told("session-hangs", *running, year=year) == []
    others = {"spread": "light, often", "spread_for": {"strength": "short and hard, often"}}
    other = a_year(4, sessions=others)
    assert told("session-hangs", *running, year=other) == ["hard finger days running"]


# --- after days off -------------------------------------------------------------------------------


def back(days: int) -> dict[str, Any]:
    """Days off that end on the eve of day 14, a Monday."""
    year = a_year(6, absences=[absence(14 - days, days)])
    blocks = [
        block(Kind.BASE, 0, 14 - days), given(Kind.ABSENCE, 14 - days, days, entry="away"),
        block(Kind.BASE, 14, 28, id="base-0"),
    ]  # fmt: skip
    return {"year": year, "blocks": blocks}


def test_the_first_days_after_days_off_hold_nothing_hard() -> None:
    hard = [session("uphill-intervals", n, "18:00") for n in (14, 17, 18)]
    found = judged("session-return", *hard, **back(7))
    assert [(f.about, f.span.first, f.found, f.limit) for f in found] == [
        ("hard after days off", hard[0].day, 7, 6), ("hard after days off", hard[1].day, 7, 6),
    ]  # fmt: skip
    easy = session(LIMIT, 18, "18:00"), session("route-volume", 15, "18:00")
    assert told("session-return", *easy, **back(7)) == []


def test_a_project_day_is_too_hard_for_the_first_days_after_days_off() -> None:
    case = back(7)
    seasons = a_year(6, absences=case["year"].absences, seasons=[season(14, 28)], goals=[goal()])
    blocks = [*case["blocks"][:2], block(PERFORMANCE, 14, 28)]
    ask = {"year": seasons, "blocks": blocks}
    assert told("session-return", out(17), **ask) == ["hard after days off"]
    assert told("session-return", out(17, "easy-rock-day"), out(18), **ask) == []


def test_the_first_seven_days_after_days_off_hold_two_days_with_finger_work() -> None:
    three = [session(LIGHT_HANGS, n, "18:00") for n in (14, 16, 18)]
    (found,) = judged("session-return", *three, **back(7))
    assert (found.about, found.found, found.limit) == ("finger days in the first week", 3, 2)
    assert told("session-return", *three[:2], **back(7)) == []
    over = [*three[:2], session(LIGHT_HANGS, 21, "18:00")]
    assert told("session-return", *over, **back(7)) == []
    wall = [*three[:2], session(LIMIT, 19, "18:00")]  # boulders at the limit load fingers too
    assert told("session-return", *wall, **back(7)) == ["finger days in the first week"]


def test_hangs_are_light_in_the_seven_days_after_ten_days_off() -> None:
    hard = "hard hangs in the first week back"
    assert told("session-return", session(HANGS, 20, "18:00"), **back(10)) == [hard]
    assert told("session-return", session(HANGS, 21, "18:00"), **back(10)) == []
    assert told("session-return", session(HANGS, 20, "18:00"), **back(9)) == []


@pytest.mark.parametrize(("weeks", "light"), [(7, 7), (8, 21)])
def test_after_eight_weeks_off_hangs_are_light_for_three(weeks: int, light: int) -> None:
    """It was the second week after eighteen weeks away."""
    year = a_year(weeks + 6, absences=[absence(7, 7 * weeks)])
    for since, told_of in ((light - 1, True), (light, False)):
        hangs = session(HANGS, 7 + 7 * weeks + since, "18:00")
        found = told("session-return", hangs, year=year)
        assert found == ["hard hangs in the first week back"] * told_of


@pytest.mark.parametrize(("left", "told_of"), [(0.3, True), (0.8, False)])
def test_weeks_of_little_time_count_as_the_days_off_that_they_miss(
    left: float, told_of: bool
) -> None:
    year = a_year(8, absences=[absence(14, 21, left=left)])
    hangs, hard = session(HANGS, 41, "18:00"), session("uphill-intervals", 37, "18:00")
    assert (
        told("session-return", hangs, year=year) == ["hard hangs in the first week back"] * told_of
    )
    assert told("session-return", hard, year=year) == ["hard after days off"] * told_of


def test_four_days_off_are_no_days_off() -> None:
    year = a_year(6, absences=[absence(10, 4)])
    assert told("session-return", session("interval-circuits", 14, "18:00"), year=year) == []
    first = a_year(6, absences=[absence(0, 4)])
    assert told("session-return", session("interval-circuits", 4, "18:00"), year=first) == []


def test_after_an_injury_the_steps_of_the_part_come_instead() -> None:
    hurt = injury(3, easy=10, building=12, full=14)
    blocks = [
        block(Kind.BASE, 0, 3, id="base-9"),
        given(Kind.INJURED, 3, 7, entry="finger", phase=Phase.OFF),
        given(Kind.RETURN, 10, 2, entry="finger", phase=Phase.EASY),
        given(Kind.RETURN, 12, 2, entry="finger", phase=Phase.BUILDING),
        block(Kind.BASE, 14, 14, id="base-0"),
    ]
    year = a_year(4, injuries=[hurt])
    hard = session("uphill-intervals", 14, "18:00")
    assert told("session-return", hard, year=year, blocks=blocks) == []


# --- rock -----------------------------------------------------------------------------------------


def used(*days: int, weeks: int = 4, **case: Any) -> list[tuple[str, float | None]]:
    case = case or performing(weeks)
    sessions = [out(n, "easy-rock-day") for n in days]
    found = judged("session-rock", *sessions, **case)
    assert all(f.strength == "soft" for f in found)
    return [(f.about, f.found) for f in found]


def test_a_block_that_leaves_out_weeks_with_rock_is_told() -> None:
    saturdays = [7 * n + SATURDAY for n in range(4)]
    assert used(*saturdays) == []
    assert used(*saturdays[:3]) == [("weeks", 75)]
    assert used(saturdays[0], saturdays[0] + 1, *saturdays[1:3]) == [("weeks", 75)]
    assert used() == [("weeks", 0)]


def test_weeks_of_lead_in_and_without_any_rock_owe_none() -> None:
    saturdays = [7 * n + SATURDAY for n in (1, 2, 3)]
    without = performing(4, opens=7)
    assert used(*saturdays, **without) == []
    case = performing(4)
    whole = case["blocks"][0]
    first = block(PERFORMANCE, 0, 7, week={"lead_in": True}).weeks
    led = Block(**{**dict(whole), "weeks": (*first, *whole.weeks[1:])})
    assert used(*saturdays, year=case["year"], blocks=[led]) == []


def test_blocks_of_other_kinds_owe_no_rock() -> None:
    year: Year = performing()["year"]
    assert used(year=year, blocks=[block(Kind.BASE, 0, 28)]) == []


def test_a_day_with_too_little_time_at_the_rock_owes_none() -> None:
    """The least day on that rock lasts 60 minutes, and the way half an hour."""
    for until, told_of in ((11 * 60, []), (12 * 60 - 1, []), (12 * 60, [("weeks", 75)])):
        case = performing()
        climber = {"rock_days": ["saturday"], "rock_travel_minutes": 30}
        year = a_year(4, climber=climber, seasons=case["year"].seasons, goals=[goal()])
        rest = {day(SATURDAY): [(0, 10 * 60), (until, 24 * 60)]}
        saturdays = [7 * n + SATURDAY for n in (1, 2, 3)]
        sessions = [out(n, "easy-rock-day") for n in saturdays]
        found = judged("session-rock", *sessions, year=year, blocks=case["blocks"], taken=rest)
        assert [(f.about, f.found) for f in found] == told_of
