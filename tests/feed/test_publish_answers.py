"""What a person is asked of each event they changed in the phone, and what each answer does."""

# ruff: noqa: F401, F811  (imported fixtures: pytest finds them by their names)
from __future__ import annotations

import json
from datetime import date, time, timedelta
from pathlib import Path
from typing import Any

import pytest
from folder_maker import SESSIONS, YEAR, planned, session
from plan_maker import day
from served import client
from test_feed import replanned
from test_publish import _password, calendar, events, folder, published, run, server, uid
from test_publish_back import change, drag, read_back

from seasonplan.cli.exits import Exit
from seasonplan.edits import ChangeEntry, MoveSession
from seasonplan.workspace.desk import Desk


def asked(folder: Path, url: str, answers: str, *options: object) -> str:
    """What is told while these answers are given, on one line."""
    ran = run("publish", folder, "--caldav", url, "--read-back", *options, text=answers)
    assert ran.exit_code == Exit.FINE, ran.output
    return " ".join(ran.stderr.split())


def entered(folder: Path) -> dict[str, tuple[date | None, time | None, int | None, bool]]:
    return {
        one.session: (one.day, one.start, one.minutes, one.skip)
        for one in Desk(folder).year.fixed_sessions
    }


def test_a_session_dragged_to_where_another_is_can_be_put_back_and_is_not_entered_elsewhere(
    folder: Path, calendar: str
) -> None:
    """Two sessions at one hour cannot be done; another hour is offered, not entered unasked."""
    published(folder, calendar)
    change(calendar, "a", drag(days=1))
    told = asked(folder, calendar, "y\nb\n")
    assert "“Routes on the wall” is on Wed 6 Jan 2027 at 18:00;" in told
    assert "“Light holds” is there from 18:00 to 18:30. 19:00 is the nearest hour" in told
    assert "1 event put back as planned" in told
    assert entered(folder) == {} and read_back(folder, calendar) == {}


def test_a_move_by_the_hour_alone_keeps_the_day_that_is_shown(folder: Path, calendar: str) -> None:
    published(folder, calendar)
    Desk(folder).change(MoveSession(session="a", day=day(3)))
    change(calendar, "a", drag(hours=1))
    asked(folder, calendar, "y\n")
    assert entered(folder)["a"][:2] == (day(1), time(19, 0))


def test_a_lengthened_session_is_entered_with_its_length_and_then_is_no_move(
    folder: Path, calendar: str
) -> None:
    published(folder, calendar)

    def longer(event: Any) -> None:
        event["DTEND"].dt += timedelta(minutes=45)

    change(calendar, "a", longer)
    told = asked(folder, calendar, "y\n")
    assert "at 18:00 for 135 min; planned was Tue 5 Jan 2027 at 18:00 for 90 min" in told
    assert entered(folder) == {"a": (day(1), time(18, 0), 135, False)}
    longest = session("a", "route-volume", 1, "18:00", 135)
    replanned(folder, sessions=(longest, *SESSIONS[1:]))
    assert published(folder, calendar)["left_alone"] == 0
    assert read_back(folder, calendar) == {}


def test_a_length_that_was_entered_is_not_lost_by_a_later_move(folder: Path, calendar: str) -> None:
    (folder / "year.toml").write_text(
        YEAR + '\n[[session]]\nsession = "a"\nminutes = 90\n', encoding="utf-8"
    )
    published(folder, calendar)
    change(calendar, "a", drag(hours=1))
    asked(folder, calendar, "y\n")
    assert entered(folder) == {"a": (day(1), time(19, 0), 90, False)}


def test_a_dated_season_that_is_moved_gets_its_dates_and_a_yearly_one_is_only_put_back(
    tmp_path: Path, calendar: str
) -> None:
    yearly = """
[[season]]
name = "Every spring"
place = "Karst"
discipline = "sport"
first = "02-20"
last = "02-26"
chance = 0.3
"""
    folder = planned(tmp_path, year=YEAR + yearly)
    published(folder, calendar)
    change(calendar, "season:winter-sun:2027-02-01", drag(days=2))
    change(calendar, "season:every-spring:2027-02-20", drag(days=2))
    found = read_back(folder, calendar)
    assert found["winter-sun"] == (
        ChangeEntry(id="winter-sun", values={"first": date(2027, 2, 3), "last": date(2027, 2, 9)}),
    )
    assert found["every-spring"] == ()
    told = asked(folder, calendar, "y\nb\n")
    assert "“Winter sun” is Wed 3 Feb 2027 to Tue 9 Feb 2027" in told and "comes every year" in told
    season = Desk(folder).year.seasons[0]
    assert (season.first, season.last) == (date(2027, 2, 3), date(2027, 2, 9))
    back = events(calendar)[uid("season:every-spring:2027-02-20")]
    assert back["DTSTART"].dt == date(2027, 2, 20)


def repeat(event: Any) -> None:
    event.add("rrule", {"freq": "weekly", "count": 3})


def cancel(event: Any) -> None:
    event.add("status", "CANCELLED")


def whole_day(event: Any) -> None:
    for key in ("DTSTART", "DTEND"):
        moment = event[key].dt
        del event[key]
        event.add(key, moment.date() + timedelta(days=key == "DTEND"))


@pytest.mark.parametrize("what", [repeat, cancel, whole_day])
def test_what_no_edit_can_follow_is_put_back_when_asked_and_then_is_as_planned(
    folder: Path, calendar: str, what: Any
) -> None:
    before = published(folder, calendar)
    change(calendar, "a", what)
    assert published(folder, calendar)["left_alone"] == 1
    assert read_back(folder, calendar) == {"a": ()}
    told = asked(folder, calendar, "n\n")
    assert "b puts this one back" in told and "y takes it over" not in told
    assert published(folder, calendar)["left_alone"] == 1
    told = asked(folder, calendar, "b\n")
    assert "1 event put back as planned" in told
    event = events(calendar)[uid("a")]
    assert event["DTSTART"].dt.hour == 18 and "RRULE" not in event and "STATUS" not in event
    again = published(folder, calendar)
    assert (again["left_alone"], again["unchanged"]) == (0, before["written"])


def test_what_the_year_refuses_can_be_put_back_in_the_same_breath(
    folder: Path, calendar: str
) -> None:
    published(folder, calendar)
    change(calendar, "a", drag(days=40))
    change(calendar, "b", drag(hours=1))
    told = asked(folder, calendar, "y\nb\nn\n")
    assert "is outside base-1" in told and "1 event put back" in told
    found = events(calendar)
    assert found[uid("a")]["DTSTART"].dt.date() == day(1)
    assert found[uid("b")]["DTSTART"].dt.hour == 19  # left, and nothing else was touched
    assert entered(folder) == {}


def test_a_block_or_trip_that_was_removed_is_told_and_put_back(folder: Path, calendar: str) -> None:
    published(folder, calendar)
    with client(calendar) as there:
        for name in ("strength-1", "trip:isle"):
            there.calendar(url=calendar).event_by_uid(uid(name)).delete()
    told = asked(folder, calendar, "b\nb\n")
    assert "“Strength block” was removed; planned was" in told and "“Isle” was removed" in told
    assert {uid("strength-1"), uid("trip:isle")} <= events(calendar).keys()
    assert published(folder, calendar)["left_alone"] == 0


def test_all_that_can_be_is_taken_over_and_the_rest_put_back_without_a_question(
    folder: Path, calendar: str
) -> None:
    published(folder, calendar)
    change(calendar, "a", drag(hours=1))
    change(calendar, "b", repeat)
    change(calendar, "c", drag(days=40))
    ran = run("publish", folder, "--caldav", calendar, "--read-back", "--yes", "--over", "--json")
    facts = {fact["id"]: fact for fact in json.loads(ran.stdout)}
    assert {name: (one["taken"], one["put_back"]) for name, one in facts.items()} == {
        "a": (True, False), "b": (False, True), "c": (False, True),
    }  # fmt: skip
    assert entered(folder).keys() == {"a"}


def test_who_stops_in_the_middle_has_what_they_answered_before(folder: Path, calendar: str) -> None:
    published(folder, calendar)
    for name in ("a", "b", "c"):
        change(calendar, name, drag(hours=2))
    ran = run("publish", folder, "--caldav", calendar, "--read-back", text="y\nb\n")
    assert "What you answered before holds" in ran.stderr
    assert "nothing was changed" not in ran.stderr
    assert entered(folder).keys() == {"a"}
    found = events(calendar)
    assert found[uid("b")]["DTSTART"].dt.hour == 18  # put back
    assert found[uid("c")]["DTSTART"].dt.hour == 20  # left


def test_questions_name_things_as_their_owner_does(folder: Path, calendar: str) -> None:
    published(folder, calendar)
    for name in ("a", "strength-1", "trip:isle"):
        change(calendar, name, drag(days=1))
    told = asked(folder, calendar, "n\nn\nn\n")
    for title in ("“Routes on the wall”", "“Strength block”", "“Isle”"):
        assert f"In your calendar {title} is " in told
    assert "strength-1" not in told
