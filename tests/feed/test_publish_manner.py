"""Days as one event, first days of blocks and the way there, published and read back."""

# ruff: noqa: F401, F811  (imported fixtures: pytest finds them by their names)
from __future__ import annotations

from datetime import time, timedelta
from pathlib import Path
from typing import Any
from uuid import uuid5

import pytest
from folder_maker import KEY, SESSIONS, YEAR, planned, session
from plan_maker import day
from test_calendar_manner import at_places
from test_calendar_steady import edited
from test_publish import _password, calendar, events, folder, published, run, server, uid
from test_publish_answers import asked, entered
from test_publish_back import change, drag, read_back
from test_publish_carried import ring, triggers

from seasonplan.edits import MoveBlock, MoveSession, SkipSession


def longer(event: Any) -> None:
    event["DTEND"].dt += timedelta(hours=1)


MONDAY = f"day:{day(2)}"  # a day with two sessions


def test_a_day_moved_as_one_event_takes_all_its_sessions_along(folder: Path, calendar: str) -> None:
    published(folder, calendar, "--days")
    assert read_back(folder, calendar) == {}
    change(calendar, MONDAY, drag(days=1, hours=1))
    change(calendar, f"day:{day(1)}", drag(minutes=-30))
    change(calendar, f"day:{day(22)}", longer)
    assert read_back(folder, calendar) == {
        f"{day(2)}": (
            MoveSession(session="b", day=day(3), start=time(19, 0)),
            MoveSession(session="c", day=day(3), start=time(19, 30)),
        ),
        "a": (MoveSession(session="a", day=day(1), start=time(17, 30)),),
        "d": (MoveSession(session="d", day=day(22), start=time(18, 0), minutes=135),),
    }
    change(calendar, MONDAY, longer)
    told = asked(folder, calendar, "y\nn\nb\n")
    assert "“Routes on the wall” is on Tue 5 Jan 2027 at 17:30" in told
    assert "the training day Wed 6 Jan 2027 was changed in part" in told
    assert "1 event put back as planned" in told
    assert entered(folder)["a"][:2] == (day(1), time(17, 30))


def test_a_day_removed_there_skips_its_sessions(folder: Path, calendar: str) -> None:
    from served import client

    published(folder, calendar, "--days")
    with client(calendar) as there:
        there.calendar(url=calendar).event_by_uid(uid(MONDAY)).delete()
    skips = (SkipSession(session="b"), SkipSession(session="c"))
    assert read_back(folder, calendar) == {f"{day(2)}": skips}


def test_a_block_shown_on_its_first_day_can_be_moved_and_a_week_of_it_put_back(
    folder: Path, calendar: str
) -> None:
    published(folder, calendar, "--blocks", "weeks")
    assert read_back(folder, calendar) == {}
    change(calendar, "strength-1", drag(days=7))
    assert read_back(folder, calendar) == {"strength-1": (MoveBlock(block="strength-1", days=7),)}
    change(calendar, "base-1:week:2", drag(days=1))
    assert read_back(folder, calendar)["base-1"] == ()
    told = asked(folder, calendar, "b\nn\n")
    assert "1 event put back as planned" in told
    assert "base-1" not in read_back(folder, calendar)


def test_a_session_with_its_way_is_read_back_without_it(tmp_path: Path, calendar: str) -> None:
    folder = at_places(tmp_path)
    published(folder, calendar)
    assert read_back(folder, calendar) == {}
    change(calendar, "a", drag(hours=1))
    change(calendar, "r", lambda event: event["DTEND"].__setattr__(
        "dt", event["DTEND"].dt - timedelta(hours=1)))  # fmt: skip
    assert read_back(folder, calendar) == {
        "a": (MoveSession(session="a", day=day(1), start=time(19, 0)),),
        "r": (MoveSession(session="r", day=day(29), start=time(10, 0), minutes=180),),
    }


def test_an_alarm_of_a_person_is_no_move_when_the_plan_moves_the_session_next(
    folder: Path, calendar: str
) -> None:
    """It was left where it had been, as if the person had moved it."""
    published(folder, calendar)
    change(calendar, "a", ring(10))
    edited(folder, YEAR, sessions=(session("a", "route-volume", 1, "17:00", 90), *SESSIONS[1:]))
    facts = published(folder, calendar)
    assert (facts["written"], facts["left_alone"]) == (1, 0)
    event = events(calendar)[uid("a")]
    assert event["DTSTART"].dt.hour == 17 and triggers(event) == [10]


def test_another_manner_takes_away_what_it_does_not_show_and_nothing_else(
    folder: Path, calendar: str
) -> None:
    first = published(folder, calendar)
    facts = published(folder, calendar, "--days")
    assert (facts["deleted"], facts["written"]) == (len(SESSIONS), len(SESSIONS) - 1)
    assert facts["unchanged"] == first["written"] - len(SESSIONS)
    assert published(folder, calendar)["written"] == 0
