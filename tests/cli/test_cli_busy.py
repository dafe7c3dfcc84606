"""Busy calendars: sessions keep clear of them, what was left out is told, titles never kept."""

from __future__ import annotations

import json
import shutil
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from folder_maker import YEAR, planned
from page_lines import unbroken
from places import TESTS
from typer.testing import CliRunner

from seasonplan.busy.words import BusySpan
from seasonplan.cli.app import app
from seasonplan.cli.exits import Exit
from seasonplan.edits import ChangeSetting
from seasonplan.errors import BadInput
from seasonplan.ical.taken import meaning_of, taken_by_day, with_busy
from seasonplan.workspace.desk import Desk

YEARS = TESTS / "years"
STAMP = datetime(2026, 3, 1, 12, tzinfo=UTC)
VIENNA = ZoneInfo("Europe/Vienna")


def calendar(*events: str, stamp: str = "20260101T000000Z") -> bytes:
    """A calendar of events, each the lines between UID and END."""
    whole = "".join(
        f"BEGIN:VEVENT\r\nUID:{number}@work\r\nDTSTAMP:{stamp}\r\nSUMMARY:Secret review\r\n"
        f"{event}\r\nEND:VEVENT\r\n"
        for number, event in enumerate(events)
    )
    return f"BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:x\r\n{whole}END:VCALENDAR\r\n".encode()


TUESDAYS = (
    "DTSTART;TZID=Europe/Vienna:20260303T170000\r\nDTEND;TZID=Europe/Vienna:20260303T220000\r\n"
    "RRULE:FREQ=WEEKLY"
)


def folder_of(tmp_path: Path, *, busy: tuple[str, ...] = ("work.ics",)) -> Path:
    text = (YEARS / "twelve-weeks.toml").read_text(encoding="utf-8")
    (tmp_path / "year.toml").write_text(f"{text}\n[sessions]\nbusy = {json.dumps(busy)}\n")
    return tmp_path


def run(*arguments: object) -> Any:
    environment = {"COLUMNS": "80", "NO_COLOR": None}
    return CliRunner().invoke(app, [str(one) for one in arguments], env=environment)


# --- to minutes of days ---------------------------------------------------------------------


def span(start: str, end: str, **more: Any) -> BusySpan:
    first, last = (datetime.fromisoformat(one).replace(tzinfo=VIENNA) for one in (start, end))
    return BusySpan(start=first, end=last, **more)


@pytest.mark.parametrize(
    ("spans", "wanted"),
    [
        ([span("2027-01-05T09:00", "2027-01-05T10:30")], {5: ((540, 630),)}),
        ([span("2027-01-05T22:00", "2027-01-07T01:00")],
         {5: ((1320, 1440),), 6: ((0, 1440),), 7: ((0, 60),)}),
        ([span("2027-01-05T00:00", "2027-01-06T00:00", all_day=True)], {5: ((0, 1440),)}),
        ([span("2027-01-05T09:00:30", "2027-01-05T10:00:30")], {5: ((540, 601),)}),
        ([span("2027-01-05T10:00", "2027-01-05T11:00", tentative=True),
          span("2027-01-05T09:00", "2027-01-05T10:00")], {5: ((540, 660),)}),
        ([], {}),
    ],
)  # fmt: skip
def test_spans_become_minutes_of_days(
    spans: list[BusySpan], wanted: dict[int, tuple[tuple[int, int], ...]]
) -> None:
    assert taken_by_day(spans) == {date(2027, 1, day): each for day, each in wanted.items()}


def test_a_margin_lies_around_hours_and_over_midnight_and_not_around_whole_days() -> None:
    spans = [
        span("2027-01-05T22:00", "2027-01-05T23:50"),
        span("2027-01-07T00:00", "2027-01-08T00:00", all_day=True),
        span("2027-01-09T09:00", "2027-01-09T10:00"),
        span("2027-01-09T10:20", "2027-01-09T11:00"),
    ]
    taken = taken_by_day(spans, margin_minutes=15)
    assert {day.day: each for day, each in taken.items()} == {
        5: ((1305, 1440),), 6: ((0, 5),), 7: ((0, 1440),), 9: ((525, 675),),
    }  # fmt: skip


def test_tentative_time_that_is_free_leaves_what_is_certain_beside_it() -> None:
    maybe = span("2027-01-05T10:00", "2027-01-05T11:00", tentative=True)
    firm = span("2027-01-05T09:00", "2027-01-05T10:00")
    taken = taken_by_day([firm, maybe], tentative_is_free=True, margin_minutes=10)
    assert taken == {date(2027, 1, 5): ((530, 610),)}


# 31 October 2027, from memory of EU 2000/84/EC: 03:00 summer time becomes 02:00
def test_an_event_inside_the_hour_that_comes_twice_takes_that_hour() -> None:
    begins = datetime(2027, 10, 31, 0, 30, tzinfo=UTC)
    ends = begins + timedelta(minutes=40)  # 02:30 to 02:10, by the clock
    taken = taken_by_day([BusySpan(start=begins.astimezone(VIENNA), end=ends.astimezone(VIENNA))])
    assert taken == {date(2027, 10, 31): ((120, 180),)}


@pytest.mark.parametrize(("minutes", "until"), [(45, 135), (75, 165), (105, 180), (150, 180)])
def test_an_event_that_ends_when_the_hour_comes_again_takes_all_of_it(
    minutes: int, until: int
) -> None:
    """From 01:30: to 02:15 and 02:45 the first time, 02:15 and 03:00 the second."""
    begins = datetime(2027, 10, 30, 23, 30, tzinfo=UTC)
    ends = begins + timedelta(minutes=minutes)
    taken = taken_by_day([BusySpan(start=begins.astimezone(VIENNA), end=ends.astimezone(VIENNA))])
    assert taken == {date(2027, 10, 31): ((90, until),)}


# --- planning around them -------------------------------------------------------------------


def test_no_session_lies_where_a_calendar_is_busy(tmp_path: Path) -> None:
    folder = folder_of(tmp_path)
    (folder / "work.ics").write_bytes(calendar(TUESDAYS))
    desk = Desk(folder)
    desk.make_plan("test", stamp=STAMP)
    assert desk.plan is not None
    sessions = desk.plan.current.sessions
    assert len(sessions) > 10
    assert not [one for one in sessions if one.day.weekday() == 1]
    assert "Secret" not in (folder / "plan.json").read_text()


def test_what_was_left_out_is_told_once_without_its_title(tmp_path: Path) -> None:
    folder = folder_of(tmp_path)
    bad = "DTSTART:20260399T170000Z\r\nDTEND:20260303T220000Z"
    free = "DTSTART:20260305T170000Z\r\nDTEND:20260305T220000Z\r\nTRANSP:TRANSPARENT"
    maybe = "DTSTART:20260305T170000Z\r\nDTEND:20260305T180000Z\r\nSTATUS:TENTATIVE"
    (folder / "work.ics").write_bytes(calendar(bad, bad, free, maybe))
    ran = run("plan", folder)
    assert ran.exit_code == Exit.FINE, ran.output
    told = unbroken(ran.stderr)
    assert told.count("left out (2 in all)") == 1
    assert "work.ics,line4:" in told.replace(" ", "")  # the path may be broken over lines
    assert "1 time only marked as tentative; counted as taken." in told
    assert "marked free" not in told and "Secret" not in ran.output


def test_a_calendar_that_is_named_later_is_told_of_at_once_and_by_replan(tmp_path: Path) -> None:
    folder = folder_of(tmp_path, busy=())
    assert run("plan", folder).exit_code == Exit.FINE
    (folder / "work.ics").write_bytes(calendar("DTSTART:20260399T170000Z"))
    named = run("edit", folder, "set", "sessions.busy", "work.ics")
    again = run("replan", folder, "--look")
    for ran in (named, again):
        assert ran.exit_code == Exit.FINE, ran.output
        assert "left out: its DTSTART cannot be read." in unbroken(ran.stderr)
    assert "left out" not in run("edit", folder, "set", "sessions.alarm_minutes", "5").stderr


# --- files that are not there or no calendars -----------------------------------------------


def test_every_busy_file_that_cannot_be_read_is_named_with_its_line(tmp_path: Path) -> None:
    folder = folder_of(tmp_path, busy=("work.ics", "none.ics", "dir"))
    (folder / "work.ics").write_bytes(calendar(TUESDAYS))
    (folder / "dir").mkdir()
    with pytest.raises(BadInput) as caught:
        _ = Desk(folder).busy
    faults = caught.value.faults
    line = (folder / "year.toml").read_text().splitlines().index("[sessions]") + 2
    assert [(fault.key, fault.line) for fault in faults] == [
        ("sessions.busy.2", line), ("sessions.busy.3", line),
    ]  # fmt: skip
    assert "'none.ics'" in faults[0].found and faults[0].file.endswith("year.toml")


def test_a_file_that_is_no_calendar_is_refused_when_planning(tmp_path: Path) -> None:
    folder = folder_of(tmp_path)
    (folder / "work.ics").write_text("<html>")
    ran = run("plan", folder)
    assert ran.exit_code == Exit.BAD_INPUT and "a web page" in ran.stderr
    assert not (folder / "plan.json").exists()


def test_a_huge_file_is_not_read_to_its_end(tmp_path: Path) -> None:
    folder = folder_of(tmp_path)
    with (folder / "work.ics").open("wb") as file:
        file.truncate(11_000_000)
    ran = run("plan", folder)
    assert ran.exit_code == Exit.BAD_INPUT and "at most 10 MB" in ran.stderr


# --- when the plan is old -------------------------------------------------------------------


def test_a_plan_is_old_when_a_busy_calendar_changes_and_not_when_it_is_exported_anew(
    tmp_path: Path,
) -> None:
    year = YEAR + '\n[sessions]\nbusy = ["work.ics"]\n'
    (tmp_path / "work.ics").write_bytes(calendar(TUESDAYS))
    folder = planned(tmp_path, year=year)
    assert not Desk(folder).stale
    (folder / "work.ics").write_bytes(calendar(TUESDAYS, stamp="20270101T111111Z"))
    assert not Desk(folder).stale
    (folder / "work.ics").write_bytes(calendar(TUESDAYS.replace("T17", "T16")))
    assert Desk(folder).stale


def test_a_year_without_busy_calendars_has_the_digest_of_the_year_alone() -> None:
    assert with_busy("abc", []) == "abc"
    assert with_busy("abc", ["1"]).startswith("abc+") != with_busy("abc", ["2"])


def test_a_title_folded_over_lines_means_nothing() -> None:
    one = calendar(TUESDAYS).replace(b"Secret review", b"Sec\r\n ret talk\r\n DTSTART:x")
    assert meaning_of(one) == meaning_of(calendar(TUESDAYS))
    assert meaning_of(one) != meaning_of(calendar(TUESDAYS + ";COUNT=3"))


@pytest.mark.parametrize(
    ("was", "now", "same"),
    [
        (b"DTSTART", b"X-ROOM:4\r\nATTENDEE:mailto:a@b.example\r\nSEQUENCE:7\r\nDTSTART", True),
        (b"END:VEVENT", b"BEGIN:VALARM\r\nTRIGGER:-PT5M\r\nEND:VALARM\r\nEND:VEVENT", True),
        (b"VERSION:2.0", b"VERSION:2.0\r\nX-WR-CALNAME:Work\r\nMETHOD:PUBLISH", True),
        (b"VERSION:2.0", b"VERSION:2.0\r\nX-WR-TIMEZONE:Asia/Tokyo", False),
        (b"END:VEVENT", b"TRANSP:TRANSPARENT\r\nEND:VEVENT", False),
        (b"END:VEVENT", b"STATUS:CANCELLED\r\nEND:VEVENT", False),
    ],
)
def test_what_is_said_beside_the_hours_means_nothing(was: bytes, now: bytes, same: bool) -> None:
    one = calendar(TUESDAYS)
    assert was in one
    assert (meaning_of(one.replace(was, now, 1)) == meaning_of(one)) is same


def test_the_order_of_events_means_nothing() -> None:
    head, *events = calendar(TUESDAYS).split(b"BEGIN:VEVENT")
    event, _, tail = events[0].partition(b"END:VCALENDAR")
    other = event.replace(b"20260303", b"20260304")
    one, two = (b"BEGIN:VEVENT" + part for part in (event, other))
    first, second = (
        head + a + b + b"END:VCALENDAR" + tail for a, b in ((one, two), (two, one))
    )  # fmt: skip
    assert meaning_of(first) == meaning_of(second) != meaning_of(calendar(TUESDAYS))


def test_the_desk_reads_a_copy_of_the_folder_the_same(tmp_path: Path) -> None:
    folder = folder_of(tmp_path)
    (folder / "work.ics").write_bytes(calendar(TUESDAYS))
    again = Path(shutil.copytree(folder, tmp_path.parent / f"{tmp_path.name}-copy"))
    assert Desk(folder).taken == Desk(again).taken
    assert len(Desk(folder).taken) == 12


def test_a_plan_can_be_read_where_its_busy_calendar_is_gone(tmp_path: Path) -> None:
    """What to do today is told, with what is missing; nothing new is planned without it."""
    year = YEAR + '\n[sessions]\nbusy = ["work.ics"]\n'
    (tmp_path / "work.ics").write_bytes(calendar(TUESDAYS))
    folder = planned(tmp_path, year=year)
    (folder / "work.ics").unlink()
    day = str(Desk(folder).year.span.first)
    for command in ("today", "week", "show"):
        ran = run(command, folder, *(["--today", day] if command == "today" else []))
        assert ran.exit_code == Exit.FINE, ran.stderr
    assert "work.ics" in run("today", folder, "--today", day).stderr
    assert run("plan", folder, "--again", "--today", day).exit_code == Exit.BAD_INPUT
    desk = Desk(folder)
    assert desk.stale and desk.plan is not None
    assert desk.change(ChangeSetting(path="climber.name", value="Ada")).year.climber.name == "Ada"
    desk.change(ChangeSetting(path="sessions.busy", value=[]))
    assert desk.busy_trouble is None
