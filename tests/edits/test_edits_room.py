"""Room on a day beside other sessions, and rock that no goal asks for."""

from __future__ import annotations

import random
from dataclasses import replace
from datetime import date, time

import pytest
from draft_maker import SESSION, YEAR, draft, sessions
from plan_maker import day
from test_edits import done, no

from seasonplan.body.almanac import almanac_of
from seasonplan.edits import (
    AddSession,
    ChangeEntry,
    Draft,
    FreeSession,
    MoveSession,
    RemoveEntry,
    SkipSession,
)
from seasonplan.edits.room import DAY_MINUTES, LAST_START, clear_start, overlap
from seasonplan.edits.serving import idle, idle_text, serving
from seasonplan.plan import Session

HOUR = 60


# --- minutes --------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("start", "minutes", "found"),
    [
        (17 * HOUR, 60, None),  # ends as the first begins
        (17 * HOUR, 61, (18 * HOUR, 19 * HOUR)),
        (18 * HOUR + 15, 10, (18 * HOUR, 19 * HOUR)),  # inside
        (17 * HOUR, 180, (18 * HOUR, 19 * HOUR)),  # around both: the first
        (19 * HOUR, 60, None),  # begins as the first ends
        (18 * HOUR + 59, 60, (18 * HOUR, 19 * HOUR)),
        (20 * HOUR + 29, 1, (20 * HOUR, 20 * HOUR + 30)),
        (20 * HOUR + 30, 1, None),
    ],
)
def test_times_that_only_touch_do_not_overlap(
    start: int, minutes: int, found: tuple[int, int] | None
) -> None:
    taken = [(20 * HOUR, 20 * HOUR + 30), (18 * HOUR, 19 * HOUR)]
    assert overlap(taken, start, minutes) == found


def test_the_nearest_start_is_clear_and_no_nearer_one_is() -> None:
    """Against every minute of the day, tried one by one."""
    rng, checked = random.Random("room"), 0
    for _ in range(120):
        begins = [rng.randrange(0, DAY_MINUTES, 15) for _ in range(rng.randrange(5))]
        taken = [(one, min(DAY_MINUTES, one + rng.randrange(15, 300, 15))) for one in begins]
        start, minutes = rng.randrange(LAST_START), rng.randrange(10, 200, 5)
        toward = rng.choice((-1, 0, 1))
        clear = [
            one for one in range(LAST_START + 1)
            if (one - start) * toward >= 0
            and all(after <= one or one + minutes <= first for first, after in taken)
        ]  # fmt: skip
        nearest = min(clear, key=lambda one: (abs(one - start), one < start), default=None)
        assert clear_start(taken, start, minutes, toward=toward) == nearest
        checked += nearest is not None
    assert checked > 80


def test_a_session_may_begin_at_midnight_and_end_there() -> None:
    assert clear_start([(30, DAY_MINUTES)], 10 * HOUR, 30) == 0
    assert clear_start([(0, LAST_START - 5)], 10 * HOUR, 20) == LAST_START - 5
    assert clear_start([(29, DAY_MINUTES)], 10 * HOUR, 30) is None


def test_no_session_begins_in_the_last_quarter_of_an_hour() -> None:
    late = [(23 * HOUR, LAST_START)]
    assert clear_start(late, 23 * HOUR + 5, 10, toward=1) == LAST_START
    later = [(23 * HOUR, LAST_START + 1)]
    assert clear_start(later, 23 * HOUR + 5, 10, toward=1) is None


# --- on a day of the plan -------------------------------------------------------------------


def session(number: int, start: time, minutes: int, *, recipe: str = "legs-and-trunk") -> Session:
    return Session(
        id=f"base-1/{day(7)}/legs-{number}", block="base-1", recipe=recipe, day=day(7),
        start=start, minutes=minutes, rpe=5,
    )  # fmt: skip


def busy_monday(*others: Session) -> Draft:
    """The draft with sessions on Monday 11 January, beside that of Tuesday the 5th."""
    return draft(sessions=(*sessions(), *others))


def start_on_monday(before: Draft) -> time | None:
    (entry,) = [
        one for one in done(MoveSession(session=SESSION, day=day(7)), before).year.fixed_sessions
        if one.session == SESSION
    ]  # fmt: skip
    return entry.start


def test_a_session_comes_behind_all_that_it_would_lie_on() -> None:
    """25 minutes from 18:00."""
    assert start_on_monday(busy_monday(session(1, time(18), 30))) == time(18, 30)
    two = busy_monday(session(1, time(18), 30), session(2, time(18, 45), 60))
    assert start_on_monday(two) == time(19, 45)
    assert start_on_monday(busy_monday(session(1, time(18, 25), 30))) is None
    assert start_on_monday(busy_monday(session(1, time(17, 35), 25))) is None


def test_where_no_later_hour_is_clear_it_keeps_its_own() -> None:
    assert start_on_monday(busy_monday(session(1, time(17), 7 * HOUR))) is None


def test_what_the_climber_moved_skipped_or_added_counts_as_it_is_now() -> None:
    there = session(1, time(18), 30)
    before = busy_monday(there)
    assert start_on_monday(done(SkipSession(session=there.id), before)) is None
    moved = done(MoveSession(session=there.id, start=time(7)), before)
    assert start_on_monday(moved) is None
    away = done(MoveSession(session=there.id, day=day(8)), before)
    assert start_on_monday(away) is None
    longer = done(MoveSession(session=there.id, minutes=90), before)
    assert start_on_monday(longer) == time(19, 30)
    added = done(AddSession(recipe="mobility", day=day(7), start=time(18)), draft())
    assert start_on_monday(added) == time(18, 20)
    freed = done(FreeSession(session=f"mobility-{day(7)}"), added)
    assert start_on_monday(freed) is None


def test_a_session_without_minutes_takes_no_room() -> None:
    assert start_on_monday(busy_monday(session(1, time(18), 0))) is None


def test_a_session_is_in_its_own_way_nowhere() -> None:
    longer = done(MoveSession(session=SESSION, start=time(18, 10), minutes=60))
    assert longer.year.fixed_sessions[0].start == time(18, 10)
    again = done(MoveSession(session=SESSION, start=time(18, 20)), longer)
    assert again.year.fixed_sessions[0].start == time(18, 20)


@pytest.mark.parametrize(
    ("start", "says"),
    [
        (time(18, 5), "18:30 is the nearest hour with room for 25 min."),
        (time(17, 50), "17:35 is the nearest hour with room for 25 min."),
        (time(18, 29), "18:30 is the nearest hour with room for 25 min."),
    ],
)
def test_an_hour_inside_another_session_is_refused_with_the_nearest(start: time, says: str) -> None:
    before = busy_monday(session(1, time(18), 30))
    refused = no(MoveSession(session=SESSION, day=day(7), start=start), before)
    assert refused.why == "“Legs and trunk” is there from 18:00 to 18:30."
    assert refused.would_work == says


def test_a_full_day_says_so_and_midnight_is_24_o_clock() -> None:
    before = busy_monday(session(1, time(0), 24 * HOUR, recipe="own-thing"))
    refused = no(MoveSession(session=SESSION, day=day(7), start=time(18)), before)
    assert refused.why == "“own-thing” is there from 00:00 to 24:00."
    assert refused.would_work == "No hour of that day has room."


@pytest.mark.parametrize(("start", "free"), [(time(17, 40), True), (time(17, 41), False)])
def test_an_added_session_is_as_long_as_usual_where_nothing_is_said(
    start: time, free: bool
) -> None:
    """Mobility lasts 20 minutes."""
    edit = AddSession(recipe="mobility", day=day(7), start=start)
    before = busy_monday(session(1, time(18), 30))
    if free:
        assert done(edit, before).year.fixed_sessions[0].minutes == 20
    else:
        assert "“Legs and trunk” is there" in no(edit, before).why


def test_a_day_of_the_year_is_one_of_its_days() -> None:
    for at, fine in ((day(0), True), (day(-1), False), (day(83), True), (day(84), False)):
        edit = AddSession(recipe="mobility", day=at, start=time(6))
        if fine:
            assert done(edit).year.fixed_sessions[0].day == at
        else:
            assert "is outside your year." in no(edit).why


# --- rock that no goal asks for -------------------------------------------------------------

EASTER = """\
[[season]]
name = "Easter"
place = "Larchfold"
discipline = "boulder"
first = 2027-03-20
last = 2027-03-27
chance = 0.5
"""


def test_rock_serves_the_goals_of_its_place_and_discipline_or_those_that_name_it() -> None:
    assert idle(almanac_of(draft().year)) == ()
    more = draft(YEAR + EASTER)
    (rock,) = idle(almanac_of(more.year))
    assert rock.id == "easter"
    assert (
        idle_text(rock, more.year.goals)
        == "“Easter” serves no goal: none is at “Larchfold” for boulder."
    )
    there = draft(YEAR + EASTER.replace("Larchfold", "Karst").replace("boulder", "sport"))
    (other,) = idle(almanac_of(there.year))
    assert (other.id, idle_text(other, there.year.goals)) == (
        "easter",
        "“Easter” serves no goal: “Long Crack” is at “Karst” for sport, but its `served_by` "
        "names others.",
    )
    free = done(ChangeEntry(id="long-crack", values={"served_by": None}), there)
    assert [one.id for one in idle(almanac_of(free.year))] == ["isle"]


def test_a_trip_without_climbing_is_no_rock_and_a_year_without_goals_has_none_idle() -> None:
    bare = done(RemoveEntry(id="long-crack"), draft(YEAR + EASTER))
    assert idle(almanac_of(bare.year)) == ()


@pytest.mark.parametrize(
    ("named", "serves"),
    [
        (["winter-sun", "isle"], ["winter-sun", "isle", "easter"]),
        (None, ["winter-sun", "easter"]),  # what served it by its place, said from now on
    ],
)
def test_a_goal_goes_there_too_and_where_it_went_before(
    named: list[str] | None, serves: list[str]
) -> None:
    before = done(ChangeEntry(id="long-crack", values={"served_by": named}), draft(YEAR + EASTER))
    almanac = almanac_of(before.year)
    rock = next(one for one in idle(almanac) if one.id == "easter")
    after = done(serving(before.year.goals[0], rock, almanac), before)
    assert list(after.year.goals[0].served_by) == serves
    assert rock.id not in {one.id for one in idle(almanac_of(after.year))}


def test_a_day_that_was_said_before_the_first_of_today_is_refused_with_today() -> None:
    at = replace(draft(), today=date(2027, 1, 5))
    refused = no(MoveSession(session=SESSION, day=day(0)), at)
    assert refused.why == "Mon 4 Jan 2027 is over."
    assert refused.would_work == "A day from Tue 5 Jan 2027 on works."
