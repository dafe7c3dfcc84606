"""The judge of how a part comes back: days running, days, weeks, and the first hard hangs.

Day 0 is a Monday. A finger is hurt on day 7, off until 13, easy until 34, building until 55, full
from 56 on; hard hangs are allowed again from 84 on. Numbers of `[back]` in shared/injuries.toml:
common practice, no source.
"""

from __future__ import annotations

from typing import Any

import pytest
from plan_maker import a_year, block, day, given, injury, season
from test_checker_sessions import AEROBIC, DRILLS, judged, session

from seasonplan.body.response import body_of
from seasonplan.plan import Block, Session
from seasonplan.vocabulary import Kind, Phase
from seasonplan.year import Year

CODE = "session-return"
HOLDS, HANGS, EASY = "return-fingers", "season-fingers", "easy-climbing"
RUNNING = "days running that load what comes back"
LOAD, CLIMBING = "load of a week while a part comes back", "climbing while a part comes back"
FIRST = "first hard hangs after an injury"


def a_finger(part: str = "finger", **fields: Any) -> Year:
    hurt = dict(injury(7, easy=14, building=35, full=56)) | {"part": part}
    return a_year(16, injuries=[{k: v for k, v in hurt.items() if k != "id"}], **fields)


def blocks(**week: Any) -> list[Block]:
    back = {"entry": "finger"}
    return [
        block(Kind.BASE, 0, 7, id="base-9"),
        given(Kind.INJURED, 7, 7, phase=Phase.OFF, **back),
        given(Kind.RETURN, 14, 21, phase=Phase.EASY, **back),
        block(Kind.RETURN, 35, 21, phase=Phase.BUILDING, week=week, **back),
        block(Kind.BASE, 56, 56, id="base-0"),
    ]


def reports(
    *sessions: Session, year: Year | None = None, since: int = 0, **week: Any
) -> list[tuple[Any, ...]]:
    """What is found from day `since` on."""
    found = judged(CODE, *sessions, year=year or a_finger(), blocks=blocks(**week))
    return [(one.about, one.found, one.limit) for one in found if one.span.first >= day(since)]


def climbs(n: int, *minutes: int) -> list[Session]:
    """Climbing on every second day from day `n` on."""
    days = range(n, n + 14, 2)
    return [session(DRILLS, d, "18:00", m) for d, m in zip(days, minutes, strict=False)]


def load(n: int, minutes: int) -> list[Session]:
    """Four sessions from day `n` on that load no finger, of effort 4."""
    return [session(AEROBIC, n + d, "18:00", minutes // 4) for d in range(4)]


# --- days -----------------------------------------------------------------------------------------


@pytest.mark.parametrize(("first", "most"), [(21, 1), (42, 2)])
def test_a_phase_has_so_many_days_running_with_load_on_what_comes_back(
    first: int, most: int
) -> None:
    """One in easy, two in building."""
    some = [session(HOLDS, first, "18:00"), session(EASY, first + 1, "18:00")]
    some.append(session(HOLDS, first + 2, "18:00"))
    assert reports(*some[:most]) == []
    assert reports(*some[: most + 1]) == [(RUNNING, most + 1, most)]
    assert reports(some[0], some[2]) == []


def test_the_edge_of_a_week_ends_no_row_and_that_of_a_return_does() -> None:
    assert reports(session(HOLDS, 27, "18:00"), session(EASY, 28, "18:00")) == [(RUNNING, 2, 1)]
    assert reports(*(session(EASY, n, "18:00") for n in (54, 55, 56, 57))) == []
    assert reports(*(session(EASY, n, "18:00") for n in (34, 35))) == []  # a row of two in building


@pytest.mark.parametrize(("part", "held"), [("shoulder", True), ("knee", False), ("back", False)])
def test_holds_load_arms_and_climbing_loads_all(part: str, held: bool) -> None:
    holds = [session(HOLDS, n, "18:00") for n in (21, 22)]
    easy = [session(EASY, n, "18:00") for n in (21, 22)]
    legs = [session(AEROBIC, n, "18:00") for n in (21, 22)]
    assert reports(*holds, year=a_finger(part)) == ([(RUNNING, 2, 1)] if held else [])
    assert reports(*easy, year=a_finger(part)) == [(RUNNING, 2, 1)]
    assert reports(*legs, year=a_finger(part)) == []


def test_a_day_holds_one_climb() -> None:
    twice = "climbing twice a day while a part comes back"
    one, other = session(EASY, 21, "10:00"), session(DRILLS, 21, "18:00")
    assert reports(one, other) == [(twice, 2, 1)]
    assert reports(one, session(HOLDS, 21, "18:00")) == []


def test_a_climb_at_home_is_no_longer_than_75_minutes_and_one_on_rock_may_be() -> None:
    long = "long climbing while a part comes back"
    assert reports(session(EASY, 42, "10:00", 80)) == [(long, 80, 75)]
    assert reports(session(EASY, 42, "10:00", 75)) == []
    rock = session("easy-rock-day", 42, "10:00", 150, rock="season")
    assert reports(rock, year=a_finger(seasons=[season(40, 10)])) == []


# --- weeks ----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("before", "now", "limit"),
    [
        ((60,), (75, 75), None),  # 150 minutes at any time
        ((60,), (75, 75, 30), 150),
        ((60, 60), (60, 60, 45), None),  # 45 minutes more
        ((60, 60), (60, 60, 75), 165),
        ((75, 75, 75, 75), (75, 75, 75, 75, 60), None),  # a fifth more
        ((75, 75, 75, 75), (75, 75, 75, 75, 75), 360),
    ],
)
def test_climbing_rises_by_steps(
    before: tuple[int, ...], now: tuple[int, ...], limit: float | None
) -> None:
    one = [
        session(DRILLS, 35 + n, "18:00", m) for n, m in zip((0, 1, 3, 4, 6), before, strict=False)
    ]
    other = [
        session(DRILLS, 42 + n, "18:00", m) for n, m in zip((1, 2, 4, 5, 6), now, strict=False)
    ]
    found = [one for one in reports(*one, *other, since=42) if one[0] == CLIMBING]
    assert found == ([] if limit is None else [(CLIMBING, sum(now), pytest.approx(limit))])


def test_climbing_rises_from_the_fuller_of_two_weeks() -> None:
    weeks = [*climbs(21, 75, 75, 60), *climbs(28, 60), *climbs(35, 75, 75, 75)]
    assert [one for one in reports(*weeks, since=35) if one[0] == CLIMBING] == []
    assert [one[1:] for one in reports(*weeks[3:], since=35) if one[0] == CLIMBING] == [(225, 150)]


def test_days_on_rock_alone_are_let_be() -> None:
    year = a_finger(seasons=[season(40, 14)])
    rock = [session("easy-rock-day", n, "10:00", 150, rock="season") for n in (43, 46)]
    assert reports(*rock, year=year) == []
    assert [one[:2] for one in reports(*rock, session(EASY, 48, "18:00", 45), year=year)] == [
        (CLIMBING, 345)
    ]


def test_load_rises_by_a_tenth_of_a_usual_week_from_what_the_week_before_holds() -> None:
    """Half of a usual week, 500 of 1000 or so, at any time; the aim says nothing."""
    for before, now, told_of in ((200, 400, True), (300, 320, False), (20, 60, False)):
        found = reports(*load(35, before), *load(42, now), since=42, aim=9999.0)
        assert [one[0] for one in found] == ([LOAD] if told_of else [])


def test_a_light_week_is_no_measure_of_load() -> None:
    some = [*load(28, 320), *load(35, 100), *load(42, 340)]
    assert [one[0] for one in reports(*some, since=42)] == [LOAD]
    light = blocks()
    weeks = list(light[3].weeks)
    weeks[0] = type(weeks[0])(**{**dict(weeks[0]), "deload": True})
    light[3] = Block(**{**dict(light[3]), "weeks": tuple(weeks)})
    found = judged(CODE, *some, year=a_finger(), blocks=light)
    assert [one for one in found if one.span.first >= day(42)] == []


@pytest.mark.parametrize(("weeks", "most"), [(1, 225), (2, 270), (3, 324), (4, 388.8)])
def test_the_first_weeks_after_full_rise_by_the_same_steps(weeks: int, most: float) -> None:
    last = climbs(49, 60, 60, 60)
    now = [session(DRILLS, 49 + 7 * weeks + n, "18:00", 75) for n in range(6)]
    found = [one[1:] for one in reports(*last, *now, since=56) if one[0] == CLIMBING]
    assert found == [(450, pytest.approx(most))]
    fifth = [session(DRILLS, 84 + n, "18:00", 75) for n in range(6)]
    assert [one for one in reports(*last, *fifth, since=56) if one[0] == CLIMBING] == []


@pytest.mark.parametrize("weeks", [1, 4, 5, 8])
def test_load_goes_on_by_steps_until_it_is_what_it_was(weeks: int) -> None:
    """In the fifth week it went from 1515 to 3645: a tenth of a usual week more for each."""
    body = body_of(a_finger())
    usual, last, now = max(body.usual, body.top), load(49, 200), load(49 + 7 * weeks, 1600)
    most = max(0.4 * usual, 4 * 200) + weeks * 0.1 * usual
    assert reports(*last, *now, since=56) == [(LOAD, 6400, pytest.approx(most))]


# --- hangs ----------------------------------------------------------------------------------------


def test_hard_hangs_begin_with_one_session_after_four_weeks_without() -> None:
    """56 s are a session (shared/menus.toml); six hangs of this one are 42 s."""
    one, other = (session(HANGS, n, "18:00", hangs=6) for n in (84, 87))
    assert reports(one) == []
    assert reports(one, other) == [(FIRST, 84, 56)]
    assert reports(session(HANGS, 91, "18:00"), session(HANGS, 93, "18:00")) == []
    long = session("fingerboard-long", 84, "18:00", hangs=8)
    assert reports(long) == [(FIRST, 80, 56)]


def test_hangs_that_were_barred_for_less_begin_as_ever() -> None:
    hurt = dict(injury(7, easy=7, building=7, full=34)) | {"part": "back"}
    year = a_year(16, injuries=[{k: v for k, v in hurt.items() if k != "id"}])
    some = [session(HANGS, n, "18:00", hangs=6) for n in (35, 37)]
    assert [one for one in reports(*some, year=year) if one[0] == FIRST] == []


@pytest.mark.parametrize("rule", [CODE, "injury-caps"])
def test_nothing_is_asked_where_a_rule_is_off(rule: str) -> None:
    some = [session(EASY, n, "18:00", 90) for n in range(21, 28)]
    assert reports(*some)
    assert reports(*some, year=a_finger(rules={rule: {"on": False}})) == []
