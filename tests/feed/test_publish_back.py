"""What a person moves in the phone's calendar, read back from a real CalDAV server."""

# ruff: noqa: F401, F811  (imported fixtures: pytest finds them by their names)
from __future__ import annotations

import json
from collections.abc import Callable
from datetime import UTC, time, timedelta
from pathlib import Path
from typing import Any

import icalendar
from folder_maker import SESSIONS, session
from plan_maker import day
from served import PASSWORD, USER, client
from test_feed import replanned
from test_publish import (
    FOREIGN,
    _password,
    calendar,
    events,
    folder,
    published,
    run,
    server,
    uid,
)

from seasonplan.cli.accepted import accepted
from seasonplan.cli.exits import Exit
from seasonplan.edits import ChangeEntry, MoveBlock, MoveSession, ResizeBlock, SkipSession
from seasonplan.feed.caldav.remote import Remote
from seasonplan.feed.private import load_private
from seasonplan.feed.publish.back import wishes
from seasonplan.workspace.desk import Desk


def change(url: str, name: str, edit: Callable[[Any], None]) -> None:
    """As when a person drags an event in the calendar of the phone."""
    with client(url) as there:
        event = there.calendar(url=url).event_by_uid(uid(name))
        with event.edit_icalendar_instance() as whole:
            edit(whole.walk("VEVENT")[0])
        event.save()


def drag(**by: float) -> Callable[[Any], None]:
    def edit(event: Any) -> None:
        for key in ("DTSTART", "DTEND"):
            event[key].dt += timedelta(**by)

    return edit


def read_back(folder: Path, url: str) -> dict[str, Any]:
    """The edits that the moves in a calendar mean, by what was moved."""
    year, plan = accepted(folder)
    remote = Remote(url, user=USER, password=PASSWORD)
    known = load_private(folder).collections[url]
    found = {wish.id: wish.edits for wish in wishes(remote, year, plan, known)}
    remote.close()
    return found


def test_a_session_moved_in_the_calendar_becomes_an_edit_and_nothing_else_does(
    folder: Path, calendar: str
) -> None:
    published(folder, calendar)
    assert read_back(folder, calendar) == {}
    change(calendar, "a", drag(days=1, hours=1))
    change(calendar, "b", drag(minutes=-30))
    change(calendar, "f", drag(days=2))
    assert read_back(folder, calendar) == {
        "a": (MoveSession(session="a", day=day(2), start=time(19, 0)),),
        "b": (MoveSession(session="b", day=day(2), start=time(17, 30)),),
        "f": (MoveSession(session="f", day=day(38), start=time(9, 0)),),
    }


def test_a_session_dragged_in_another_zone_is_read_by_the_clock_of_its_own(
    folder: Path, calendar: str
) -> None:
    published(folder, calendar)

    def to_utc(event: Any) -> None:
        for key in ("DTSTART", "DTEND"):  # as some programs write what was dragged
            moment = event[key].dt.astimezone(UTC)
            del event[key]
            event.add(key, moment + timedelta(hours=1))

    change(calendar, "a", to_utc)
    assert read_back(folder, calendar) == {
        "a": (MoveSession(session="a", day=day(1), start=time(19, 0)),)
    }


def test_moved_and_stretched_blocks_and_trips_become_edits(folder: Path, calendar: str) -> None:
    published(folder, calendar)
    change(calendar, "strength-1", drag(days=2))

    def stretch(event: Any) -> None:
        event["DTEND"].dt += timedelta(days=3)

    change(calendar, "base-1", stretch)
    change(calendar, "trip:isle", drag(days=-1))
    assert read_back(folder, calendar) == {
        "base-1": (ResizeBlock(block="base-1", first=day(0), last=day(23)),),
        "strength-1": (MoveBlock(block="strength-1", days=2),),
        "isle": (ChangeEntry(id="isle", values={"first": day(34), "last": day(40)}),),
    }


def test_a_session_removed_in_the_calendar_becomes_a_skip(folder: Path, calendar: str) -> None:
    published(folder, calendar)
    with client(calendar) as there:
        there.calendar(url=calendar).event_by_uid(uid("c")).delete()
    assert read_back(folder, calendar) == {"c": (SkipSession(session="c"),)}
    assert published(folder, calendar)["left_alone"] == 1
    assert uid("c") not in events(calendar)
    published(folder, calendar, "--over")
    assert uid("c") in events(calendar)


def test_publishing_leaves_a_moved_event_alone_until_it_is_told_to_put_it_back(
    folder: Path, calendar: str
) -> None:
    published(folder, calendar)
    change(calendar, "a", drag(hours=1))
    later = session("a", "route-volume", 1, "17:00", 90)
    replanned(folder, sessions=(later, *SESSIONS[1:]))
    assert published(folder, calendar)["left_alone"] == 1
    assert events(calendar)[uid("a")]["DTSTART"].dt.hour == 19
    published(folder, calendar, "--over")
    assert events(calendar)[uid("a")]["DTSTART"].dt.hour == 17


def test_an_alarm_that_a_person_added_is_no_move_and_stays(folder: Path, calendar: str) -> None:
    published(folder, calendar)

    def ring(event: Any) -> None:
        alarm = icalendar.Alarm()
        alarm.add("action", "DISPLAY")
        alarm.add("description", "x")
        alarm.add("trigger", timedelta(minutes=-10))
        event.add_component(alarm)

    change(calendar, "a", ring)
    assert read_back(folder, calendar) == {}
    assert published(folder, calendar)["left_alone"] == 0
    assert len(events(calendar)[uid("a")].walk("VALARM")) == 1


def test_a_move_that_is_accepted_is_in_the_year_and_then_in_the_plan(
    folder: Path, calendar: str
) -> None:
    published(folder, calendar)
    change(calendar, "a", drag(hours=1))
    change(calendar, "b", drag(hours=2))
    asked = run("publish", folder, "--caldav", calendar, "--read-back", text="y\nn\n")
    assert asked.exit_code == Exit.FINE, asked.output
    told = " ".join(asked.stderr.split())
    assert (
        "“Routes on the wall” is on Tue 5 Jan 2027 at 19:00; planned was Tue 5 Jan 2027 at 18:00"
        in told
    )
    (wish,) = Desk(folder).year.fixed_sessions
    assert (wish.session, wish.start) == ("a", time(19, 0))


def test_a_move_that_cannot_be_is_told_and_changes_nothing(folder: Path, calendar: str) -> None:
    published(folder, calendar)
    before = (folder / "year.toml").read_bytes()
    change(calendar, "a", drag(days=40))
    ran = run("publish", folder, "--caldav", calendar, "--read-back", "--yes", "--json")
    (fact,) = json.loads(ran.stdout)
    assert fact["taken"] is False and "outside base-1" in fact["why"]
    assert (folder / "year.toml").read_bytes() == before


def test_what_a_server_makes_of_our_files_is_read_with_suspicion() -> None:
    from seasonplan.ical.back import times

    assert dict(times(FOREIGN.encode(), "UTC")).keys() == {"dentist"}
    for bad in (
        b"", b"<html>", b"BEGIN:VCALENDAR", FOREIGN.replace("DTSTART", "X-DTSTART").encode(),
        FOREIGN.replace("20270105T090000Z", "tomorrow").encode(),
        FOREIGN.replace("SUMMARY", "RRULE:FREQ=SECONDLY\r\nSUMMARY").encode(),
        FOREIGN.replace("SUMMARY:", "SUMMARY:" + "x" * 300_000).encode(), b"\xff\xfe" * 50,
    ):  # fmt: skip
        assert dict(times(bad, "UTC")) == {}
