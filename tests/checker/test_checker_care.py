"""Judges of what sessions do to a body: `session-spacing` and `session-care`.

Free times are those of `plan_maker`; day 0 is a Monday.
"""

from __future__ import annotations

from typing import Any

import pytest
from plan_maker import a_year, injury, season
from test_checker_sessions import (
    AEROBIC,
    FRIDAY,
    LIMIT,
    LONG,
    MONDAY,
    SATURDAY,
    SUNDAY,
    THURSDAY,
    TUESDAY,
    WEDNESDAY,
    judged,
    session,
    told,
)

from seasonplan.plan import Session

CIRCUITS = "interval-circuits"  # wants no day after it, limit bouldering one


# --- spacing --------------------------------------------------------------------------------------


def spaced(*sessions: Session, **fields: Any) -> list[tuple[float | None, float | None]]:
    """(whole days between, days wanted) of each pair that is too near."""
    year = a_year(4, **fields)
    return [(f.found, f.limit) for f in judged("session-spacing", *sessions, year=year)]


def test_two_hard_uses_of_a_tissue_too_near_are_reported_in_whole_days() -> None:
    one = session(LIMIT, TUESDAY, "18:00")
    near, later = session(CIRCUITS, WEDNESDAY, "18:00"), session(CIRCUITS, THURSDAY, "18:00")
    (found,) = judged("session-spacing", one, near)
    assert (found.found, found.limit) == (0, 1)
    assert "fingers" in found.about
    assert spaced(one, later) == []


def test_what_comes_first_says_how_long_to_wait() -> None:
    light_first = session("route-volume", TUESDAY, "18:00"), session(LIMIT, WEDNESDAY, "18:00")
    assert spaced(*light_first) == []
    assert spaced(session(LIMIT, TUESDAY, "18:00"), session(LIMIT, WEDNESDAY, "18:00")) == [(0, 1)]


def test_between_two_sessions_of_power_endurance_lies_a_day() -> None:
    """Links (effort 7) and linked boulders (8) stood on following evenings. Common practice."""
    linked = "boulder-intervals"
    both = session(CIRCUITS, TUESDAY, "18:00"), session(linked, WEDNESDAY, "18:00")
    assert spaced(*both) == [(0, 1)]
    assert spaced(both[0], session(linked, THURSDAY, "18:00")) == []
    assert spaced(both[0], session("fingerboard-short", WEDNESDAY, "18:00")) == []


def test_two_hard_uses_on_one_day_are_always_too_near() -> None:
    routes = "route-volume"
    both = session(routes, SATURDAY, "10:00"), session(routes, SATURDAY, "11:30")
    assert spaced(*both) == [(0, 0)]


def test_hard_hangs_and_the_climbing_after_them_on_a_day_are_one_use() -> None:
    """Common practice, no source; the other way round, or with a test, they are two."""
    hung = session("fingerboard-long", SATURDAY, "10:00")
    assert spaced(hung, session(LIMIT, SATURDAY, "11:00")) == []
    assert spaced(session(LIMIT, SATURDAY, "08:00"), hung) == [(0, 1)]
    assert spaced(hung, session("test-day", SATURDAY, "11:00")) == [(0, 1)]
    assert spaced(hung, session(LIMIT, SATURDAY + 1, "11:00")) == [(0, 1)]


def test_tries_at_the_limit_come_after_eight_hangs_at_most() -> None:
    """A preference (shared/weeks.toml, day); other climbing comes after any number."""
    for hangs, found in ((8, []), (9, [(0, 1)])):
        hung = session("fingerboard-long", SATURDAY, "10:00", hangs=hangs)
        assert spaced(hung, session(LIMIT, SATURDAY, "11:00")) == found
        assert spaced(hung, session(CIRCUITS, SATURDAY, "11:00")) == []


def test_pulls_on_ice_tools_come_after_six_hangs_at_most() -> None:
    """A preference (shared/weeks.toml, day); other pulls come after any number."""
    for hangs, found in ((6, []), (7, [(0, 1)])):
        hung = session("fingerboard-long", SATURDAY, "10:00", hangs=hangs)
        assert spaced(hung, session("tool-hangs", SATURDAY, "11:00")) == found
        assert spaced(hung, session("pulling-strength", SATURDAY, "11:00")) == []


@pytest.mark.parametrize(("born", "broken"), [(1978, False), (1977, True), (1960, True)])
def test_from_fifty_on_long_hangs_want_a_day_more(born: int, broken: bool) -> None:
    """48 hours, from 50 years on 72: in 2027 somebody born in 1977 turns 50."""
    hangs = session("fingerboard-long", TUESDAY, "18:00")
    then = session("fingerboard-long", THURSDAY, "18:00")
    assert spaced(hangs, then, climber={"birth_year": born}) == ([(1, 2)] if broken else [])


def test_spacing_looks_past_sessions_between_and_over_the_edge_of_a_week() -> None:
    one = session(LIMIT, SUNDAY, "11:00")
    light = session(AEROBIC, SUNDAY, "12:00", 30)
    other = session(CIRCUITS, 7 + MONDAY, "18:00")
    assert spaced(one, light, other) == [(0, 1)]


def test_light_uses_and_other_tissues_need_no_days_between() -> None:
    light = session(LONG, TUESDAY, "18:00", 45), session(LONG, TUESDAY, "18:45", 45)
    assert spaced(*light) == []
    hangs = session("fingerboard-short", TUESDAY, "18:00")
    assert spaced(hangs, session("legs-and-trunk", TUESDAY, "18:45")) == []


def test_days_on_rock_keep_a_rhythm_of_their_own_but_home_and_rock_do_not() -> None:
    year = {"seasons": [season(0, 28)]}
    days = [session("redpoint-day", n, "10:00", rock="season") for n in (SATURDAY, SUNDAY)]
    assert spaced(*days, **year) == []
    assert spaced(session(LIMIT, FRIDAY, "18:00"), *days, **year) == [(0, 1)]
    assert spaced(*days, session(CIRCUITS, 7 + MONDAY, "18:00"), **year) == [(0, 1)]


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
        (22, "boulder-mileage", True),  # full: a first step of two weeks without hard use
        (22, LONG, False),
        (35, "boulder-mileage", False),  # the second step, two weeks later
        (35, LIMIT, True),  # maximal work comes back last
        (49, LIMIT, False),  # the third step
    ],
)
def test_what_is_hurt_is_kept_clear_of(n: int, recipe: str, reported: bool) -> None:
    """The steps back after full are those of shared/injuries.toml."""
    year = a_year(8, injuries=[HURT])
    assert bool(told("session-care", session(recipe, n, "18:00", 45), year=year)) is reported


@pytest.mark.parametrize(
    ("n", "recipe", "reported"),
    [
        (1, "return-fingers", True),  # off: no hangs at all
        (8, "return-fingers", False),  # easy
        (8, "fingerboard-often", True),
        (15, "fingerboard-often", False),  # building
        (15, "fingerboard-short", True),
        (22, "fingerboard-often", False),  # full, first step
        (22, "fingerboard-short", True),
        (49, "fingerboard-short", False),
    ],
)
def test_a_hurt_finger_hangs_only_what_its_phase_names(n: int, recipe: str, reported: bool) -> None:
    year = a_year(8, injuries=[HURT])
    assert bool(told("session-care", session(recipe, n, "18:00"), year=year)) is reported


def often(*sessions: Session, **fields: Any) -> list[tuple[tuple[str, ...], float, float]]:
    """What is said of hard uses in a week: the sessions, how many, and how many may be."""
    year = a_year(8, injuries=[HURT], **fields)
    found = judged("session-care", *sessions, year=year)
    return [
        (one.sessions, one.found, one.limit)
        for one in found
        if one.about == "hard use of what has just come back in a week"
    ]


def test_after_full_the_hard_uses_of_a_calendar_week_are_counted() -> None:
    """Day 21 is that of full; from 35 on twice a week, from 63 on as often as one likes
    (shared/injuries.toml). Days 49 to 55 are a week from Monday on."""
    one, two, three = (session(CIRCUITS, 49 + n, "18:00") for n in (0, 2, 4))
    assert often(one, two) == []
    assert often(one, two, three) == [((one.id, two.id, three.id), 3, 2)]
    assert often(one, two, session(CIRCUITS, 56, "18:00")) == []  # of the next week
    assert often(one, two, session(LONG, 53, "18:00")) == []  # not hard
    hangs = session("fingerboard-long", 53, "18:00")
    assert often(one, two, hangs) == [((one.id, two.id, hangs.id), 3, 2)]
    assert often(one, two, three, rules={"injury-caps": {"on": False}}) == []


def test_once_the_steps_are_over_nothing_is_counted() -> None:
    some = [session(CIRCUITS, 49 + n, "18:00") for n in (-35, -33, -31)]
    year = a_year(8, injuries=[injury(-60, easy=-50, building=-40, full=-29)])  # over on day 13
    assert told("session-care", *some, year=year) == []


def test_days_on_rock_count_and_alone_are_let_be() -> None:
    rock = [
        session("onsight-mileage", 49 + n, "10:00", rock="season", role="project")
        for n in (0, 2, 4)
    ]
    seasons = {"seasons": [season(42, 14)]}
    assert often(*rock, **seasons) == []
    both = [*rock[:2], session(CIRCUITS, 53, "18:00")]
    assert [found for _, found, _ in often(*both, **seasons)] == [3]


def test_the_uses_of_all_it_pulls_with_are_counted_together() -> None:
    """An elbow is used hard by pulling as well as by what the fingers hold."""
    elbow = {k: v for k, v in dict(HURT).items() if k not in ("id", "phases")} | {"part": "elbow"}
    some = [
        session(CIRCUITS, 49, "18:00"), session("pulling-strength", 51, "18:00"),
        session(CIRCUITS, 53, "18:00"),
    ]  # fmt: skip
    year = a_year(8, injuries=[elbow])
    assert [f.found for f in judged("session-care", *some, year=year)] == [3]
    assert often(*some) == []  # of a finger pulling is no hard use


def test_without_the_rule_on_injuries_the_young_are_still_kept_from_the_most() -> None:
    off = {"rules": {"injury-caps": {"on": False}}}
    year = a_year(8, injuries=[HURT], **off)
    board = session("fingerboard-long", 8, "18:00")
    assert told("session-care", board, year=year) == []
    young = a_year(8, injuries=[HURT], climber={"birth_year": 2012}, **off)
    assert told("session-care", board, year=young) == ["for grown climbers only"]


def test_a_hurt_knee_is_stressed_by_what_stresses_knees_and_by_no_hangs_unless_it_is_off() -> None:
    knee = {**dict(HURT), "part": "knee", "name": "Knee"}
    year = a_year(4, injuries=[{k: v for k, v in knee.items() if k not in ("id", "phases")}])
    legs = session("legs-and-trunk", 8, "18:00")
    assert told("session-care", legs, year=year) == [
        "stresses knees by 2, and 1 is the most while hurt"
    ]
    assert told("session-care", session("fingerboard-often", 8, "18:00"), year=year) == []
    board = session("fingerboard-long", 8, "18:00")
    assert told("session-care", board, year=year) == []
    off = a_year(
        4,
        injuries=[
            {
                **dict(year.injuries[0]),
                "easy_from": injury(-2, easy=12, building=14, full=21).easy_from,
            }
        ],
    )
    assert told("session-care", board, year=off) == ["maximal finger loading while hurt"]


@pytest.mark.parametrize(
    ("born", "reported"), [(2012, True), (2009, True), (2008, False), (None, False)]
)
def test_the_young_load_no_finger_to_the_most(born: int | None, reported: bool) -> None:
    """In 2027 somebody born in 2012 may be 14, somebody born in 2009 may be 17."""
    year = a_year(4, climber={"birth_year": born} if born else {})
    board = session("fingerboard-long", 1, "18:00")
    assert bool(told("session-care", board, year=year)) is reported
    off = year.with_fields(rules={"young-fingers": {"on": False}})
    assert told("session-care", board, year=off) == []
