"""What a person adds to our events on a real CalDAV server, through everything we write there."""

# ruff: noqa: F401, F811  (imported fixtures: pytest finds them by their names)
from __future__ import annotations

from datetime import timedelta
from pathlib import Path
from typing import Any

import icalendar
import pytest
from folder_maker import SESSIONS, YEAR, planned, session
from served import client
from test_calendar_steady import edited, reminding
from test_feed import replanned
from test_publish import _password, calendar, events, published, run, server, uid
from test_publish_back import change, drag, read_back

from seasonplan.cli.exits import Exit
from seasonplan.ical.carried import alarm_in, carried


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return planned(tmp_path, year_text=YEAR)


def ring(minutes: int) -> Any:
    """A person sets an alarm in the phone, and gives the event a colour."""

    def edit(event: Any) -> None:
        alarm = icalendar.Alarm()
        alarm.add("action", "AUDIO")
        alarm.add("trigger", timedelta(minutes=-minutes))
        event.add_component(alarm)
        event.add("color", "crimson")
        event.add("x-of-the-phone", "kept; as, it is")
        event["CATEGORIES"] = icalendar.prop.vCategory(["Session", "With Kim"])

    return edit


def triggers(event: Any) -> list[int]:
    found = (alarm.decoded("TRIGGER").total_seconds() for alarm in event.walk("VALARM"))
    return sorted(round(-seconds / 60) for seconds in found)


def test_a_persons_alarm_survives_ten_edits_whatever_they_change(
    folder: Path, calendar: str
) -> None:
    published(folder, calendar)
    change(calendar, "a", ring(10))
    set_there = events(calendar)[uid("a")]["X-OF-THE-PHONE"]
    texts = [YEAR.replace("1990", f'1990\nname = "Ada {n}"') for n in range(7)]
    for text in texts:  # of nothing that is shown
        edited(folder, text)
        assert published(folder, calendar)["written"] == 0
    for n, start in enumerate(("17:00", "17:30", "18:00")):  # of the event itself
        moved = session("a", "route-volume", 1, start, 90 - 10 * n)
        edited(folder, texts[0], sessions=(moved, *SESSIONS[1:]))
        assert published(folder, calendar)["written"] == 1
    event = events(calendar)[uid("a")]
    # three of ours, above the one of the person's program
    assert (event["DTSTART"].dt.hour, event["SEQUENCE"]) == (18, 4)
    assert triggers(event) == [10]
    assert (event["COLOR"], event["X-OF-THE-PHONE"]) == ("crimson", set_there)
    lists = event["CATEGORIES"] if isinstance(event["CATEGORIES"], list) else [event["CATEGORIES"]]
    assert sorted(str(cat) for one in lists for cat in one.cats) == ["Session", "With Kim"]


def test_our_reminder_stands_beside_a_persons_and_leaves_without_it(
    folder: Path, calendar: str
) -> None:
    published(folder, calendar)
    change(calendar, "a", ring(10))
    for options, minutes in (
        (("--alarm", 30), [10, 30]), (("--alarm", 45), [10, 45]), ((), [10, 45]),
        (("--no-alarm",), [10]),
    ):  # fmt: skip
        published(folder, calendar, *options)
        assert triggers(events(calendar)[uid("a")]) == minutes
    assert triggers(events(calendar)[uid("b")]) == []


def test_the_reminder_of_the_year_reaches_the_calendar_without_a_new_plan(
    folder: Path, calendar: str
) -> None:
    sessions = len(SESSIONS)
    for minutes, written in ((20, None), (45, sessions), (None, sessions), (None, 0)):
        reminding(folder, minutes)
        facts = published(folder, calendar)
        assert written is None or facts["written"] == written
        wanted = [minutes] if minutes is not None else []
        assert triggers(events(calendar)[uid("a")]) == wanted


def test_our_reminder_that_a_person_took_away_or_changed_is_not_put_there_again(
    folder: Path, calendar: str
) -> None:
    published(folder, calendar, "--alarm", 30)

    def without(event: Any) -> None:
        event.subcomponents.clear()

    def later(event: Any) -> None:
        event.walk("VALARM")[0]["TRIGGER"] = icalendar.prop.vDuration(timedelta(minutes=-15))

    change(calendar, "a", without)
    change(calendar, "b", later)
    changed = tuple(one.model_copy(update={"rpe": 9.0}) for one in SESSIONS[:2])
    replanned(folder, sessions=(*changed, *SESSIONS[2:]))
    published(folder, calendar)
    found = events(calendar)
    assert "9" in found[uid("a")]["DESCRIPTION"] and "9" in found[uid("b")]["DESCRIPTION"]
    assert triggers(found[uid("a")]) == [] and triggers(found[uid("b")]) == [15]
    assert triggers(found[uid("c")]) == [30]


def test_what_is_put_back_keeps_a_persons_alarm_too(folder: Path, calendar: str) -> None:
    published(folder, calendar)
    change(calendar, "a", ring(10))
    change(calendar, "a", drag(hours=2))
    published(folder, calendar, "--over")
    event = events(calendar)[uid("a")]
    assert event["DTSTART"].dt.hour == 18 and triggers(event) == [10]


def test_a_lost_list_overwrites_nothing_that_a_person_moved(folder: Path, calendar: str) -> None:
    published(folder, calendar)
    change(calendar, "a", drag(hours=2))
    change(calendar, "b", ring(10))
    later = session("c", "technique-drills", 2, "19:30", 30, rpe=4.0)
    replanned(folder, sessions=(*SESSIONS[:2], later, *SESSIONS[3:]))
    (folder / "feed.json").unlink()
    facts = published(folder, calendar)
    assert (facts["left_alone"], facts["foreign"]) == (1, 0)
    found = events(calendar)
    assert found[uid("a")]["DTSTART"].dt.hour == 20
    assert triggers(found[uid("b")]) == [10]
    assert found[uid("c")]["DTSTART"].dt.hour == 19  # where we had put it ourselves
    assert read_back(folder, calendar).keys() == {"a"}
    run("publish", folder, "--read-back", text="b\n")
    assert events(calendar)[uid("a")]["DTSTART"].dt.hour == 18


def test_an_event_of_ours_that_a_person_repeats_is_ours_after_the_list_is_lost(
    folder: Path, calendar: str
) -> None:
    published(folder, calendar)
    change(calendar, "a", lambda event: event.add("rrule", {"freq": "weekly", "count": 3}))
    (folder / "feed.json").unlink()
    facts = published(folder, calendar)
    assert (facts["left_alone"], facts["foreign"]) == (1, 0)
    assert "RRULE" in events(calendar)[uid("a")]


OURS = (
    b"BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:x\r\nBEGIN:VEVENT\r\nSUMMARY:Routes\r\n"
    b"DTSTART:20270105T090000Z\r\nUID:1\r\nBEGIN:VALARM\r\nACTION:DISPLAY\r\n"
    b"DESCRIPTION:Routes\r\nTRIGGER:-PT1H\r\nEND:VALARM\r\nEND:VEVENT\r\nEND:VCALENDAR\r\n"
)


@pytest.mark.parametrize(
    "there",
    [
        b"", b"<html>", b"BEGIN:VCALENDAR", OURS, OURS.replace(b"-PT1H", b"-PT60M"),
        OURS.replace(b"UID:1", b"UID:1\r\nRRULE:FREQ=DAILY\r\nSTATUS:CANCELLED\r\nDURATION:PT1H"),
        OURS + OURS, OURS.replace(b"UID:1", b"UID:1\r\nX-LONG:" + b"x" * 300_000),
        OURS.replace(b"UID:1", b"UID:1\r\nX-\x00ODD:\x07"), b"\xff\xfe" * 50,
        OURS.replace(b"END:VEVENT", b""), OURS.replace(b"UID:1", b"UID:1\r\nX;TZID=A:20270105T1"),
    ],
)  # fmt: skip
def test_nothing_is_carried_over_that_is_ours_or_makes_no_sense(there: bytes) -> None:
    assert carried(OURS, there, wrote="-PT1H") == OURS


def test_long_lines_of_a_person_are_folded_and_come_before_the_alarms() -> None:
    there = OURS.replace(b"UID:1", b"UID:1\r\nX-NOTE:" + "ü".encode() * 200)
    made = carried(OURS, there, wrote="-PT1H")
    assert max(map(len, made.split(b"\r\n"))) <= 75
    (event,) = icalendar.Calendar.from_ical(made).walk("VEVENT")
    assert event["X-NOTE"] == "ü" * 200 and alarm_in(made) == "-PT1H"
    assert made.index(b"X-NOTE") < made.index(b"BEGIN:VALARM")


def numbered(content: bytes, number: int | str) -> bytes:
    return content.replace(b"UID:1", f"UID:1\r\nSEQUENCE:{number}".encode())


@pytest.mark.parametrize(
    ("there", "written"), [(0, 3), (2, 3), (3, 4), (7, 8), ("nine", 3), ("9" * 12, 3)]
)
def test_a_number_that_a_persons_program_raised_is_topped(there: int | str, written: int) -> None:
    assert f"\r\nSEQUENCE:{written}\r\n".encode() in carried(
        numbered(OURS, 3), numbered(OURS, there), wrote=""
    )
