"""An event that shows the same stays as it is, to the byte; what shows something else counts on."""

from __future__ import annotations

import re
import shutil
from datetime import UTC, datetime, timedelta
from itertools import pairwise
from pathlib import Path
from typing import Any

import icalendar
import pytest
from folder_maker import SESSIONS, YEAR, planned, session
from places import TESTS
from served import NOW, serving
from test_feed import replanned
from test_feed_identity import told
from typer.testing import CliRunner

from seasonplan.cli.accepted import accepted
from seasonplan.cli.app import app
from seasonplan.cli.exits import Exit
from seasonplan.edits import AddEntry, AnEdit, ChangeEntry, ChangeSetting
from seasonplan.feed.contents import Wish, contents_of, files_by, shown_by
from seasonplan.feed.parts import Part
from seasonplan.ical import cancel_bytes
from seasonplan.ical.shown import Shown, highest
from seasonplan.workspace.desk import Desk

YEARS = TESTS / "years"
FIRST = datetime(2026, 1, 1, 12, tzinfo=UTC)


def run(*arguments: object) -> Any:
    environment = {"COLUMNS": "100", "NO_COLOR": None}
    return CliRunner().invoke(app, [str(one) for one in arguments], env=environment)


def exported(folder: Path, *options: object) -> dict[str, bytes]:
    """The bytes of each exported event, by UID."""
    ran = run("export", folder, *options)
    assert ran.exit_code == Exit.FINE, ran.output
    content = (folder / "seasonplan.ics").read_bytes()
    found = re.findall(rb"BEGIN:VEVENT\r\n.*?END:VEVENT\r\n", content, re.DOTALL)
    return {re.search(rb"\nUID:([^\r]+)", one)[1].decode(): one for one in found}  # type: ignore[index]


def number(event: bytes) -> int:
    return int(re.search(rb"\nSEQUENCE:(\d+)", event)[1])  # type: ignore[index]


def edited(folder: Path, text: str, **changes: Any) -> None:
    """The year changed by hand, and a further revision made of it."""
    (folder / "year.toml").write_text(text, encoding="utf-8")
    replanned(folder, year_text=text, year_digest=Desk(folder)._meaning, **changes)


@pytest.fixture(scope="module")
def planned_anew(tmp_path_factory: pytest.TempPathFactory) -> list[dict[str, bytes]]:
    """The exported events after each of some edits and the plan made of them."""
    folder = tmp_path_factory.mktemp("twelve")
    shutil.copy(YEARS / "twelve-weeks.toml", folder / "year.toml")
    desk = Desk(folder)
    goal = desk.year.goals[0].id
    away = {"name": "Away", "first": "2026-04-06", "last": "2026-04-09"}
    edits: list[AnEdit | None] = [
        None,
        ChangeSetting(path="climber.name", value="Ada"),
        ChangeEntry(id=goal, values={"name": "Another name"}),
        AddEntry(section="absence", values=away),
        ChangeSetting(path="climber.name", value="Robin"),
    ]
    out = []
    for step, edit in enumerate(edits):
        if edit:
            desk.change(edit)
        desk.make_plan("test", stamp=FIRST + timedelta(days=step))
        out.append(exported(folder))
    return out


def test_many_edits_change_no_byte_of_an_event_that_shows_the_same(
    planned_anew: list[dict[str, bytes]],
) -> None:
    same = changed = 0
    for before, after in pairwise(planned_anew):
        for uid in before.keys() & after.keys():
            if told(before[uid]) == told(after[uid]):
                assert before[uid] == after[uid]
                same += 1
            else:
                assert number(after[uid]) == number(before[uid]) + 1
                changed += 1
    assert same > 100 and changed >= 2


def test_the_name_of_the_climber_is_in_no_event_and_changes_none(
    planned_anew: list[dict[str, bytes]],
) -> None:
    assert planned_anew[1] == planned_anew[0] and planned_anew[4] == planned_anew[3]


def test_a_goal_by_another_name_changes_what_names_it_and_nothing_else(
    planned_anew: list[dict[str, bytes]],
) -> None:
    before, after = planned_anew[1], planned_anew[2]
    changed = {uid for uid in before if before[uid] != after.get(uid)}
    named = {uid for uid, event in after.items() if b"Another name" in event.replace(b"\r\n ", b"")}
    assert changed == named and named


def test_the_revisions_alone_tell_the_same_where_no_list_was_kept(tmp_path: Path) -> None:
    folder = planned(tmp_path, year_text=YEAR)
    before = files_by(*accepted(folder), Wish(), {})
    edited(folder, YEAR.replace("birth_year = 1990", 'birth_year = 1990\nname = "Ada"'))
    assert files_by(*accepted(folder), Wish(), {}) == before
    edited(folder, YEAR.replace('place = "Isle"', 'place = "Islet"'))
    after = files_by(*accepted(folder), Wish(), {})
    changed = {uid for uid in before if before[uid] != after[uid]}
    assert {b"Islet" in after[uid] for uid in changed} == {True} and changed


@pytest.mark.parametrize("options", [("--alarm", 30), ("--free",)])
def test_an_alarm_or_other_busyness_is_a_change_of_sessions_and_of_them_alone(
    tmp_path: Path, options: tuple[object, ...]
) -> None:
    folder = planned(tmp_path)
    before, after, back = exported(folder), exported(folder, *options), exported(folder)
    sessions = {uid for uid, event in before.items() if b"CATEGORIES:Session" in event}
    assert len(sessions) == len(SESSIONS)
    for uid, event in before.items():
        if uid in sessions:
            assert [number(one[uid]) for one in (before, after, back)] == [0, 1, 2]
            assert told(back[uid]) == told(event)
        else:
            assert after[uid] == back[uid] == event


def test_a_calendar_that_shows_the_same_is_the_same_to_who_asks_again(tmp_path: Path) -> None:
    folder = planned(tmp_path)
    with serving(folder, now=lambda: NOW) as served:
        first = served.get(served.url(Part.ALL))
        edited(folder, YEAR.replace("birth_year = 1990", 'birth_year = 1990\nname = "Ada"'))
        again = served.get(served.url(Part.ALL), if_none_match=first.headers["etag"])
        assert again.status == 304
        edited(folder, YEAR, sessions=SESSIONS[1:])
        gone = served.get(served.url(Part.ALL), if_none_match=first.headers["etag"])
    # RFC 7986 5.4: LAST-MODIFIED of the calendar counts deletions
    head = re.compile(rb"LAST-MODIFIED:(\w+)")
    assert gone.status == 200
    assert head.search(gone.content)[1] > head.search(first.content)[1]  # type: ignore[index]


def test_a_stamp_never_goes_back_though_the_clock_does(tmp_path: Path) -> None:
    folder = planned(tmp_path)
    year, plan = accepted(folder)
    known: dict[str, Shown] = {}
    for hours, wish in ((0, Wish()), (-9, Wish(alarm_minutes=5)), (-99, Wish())):
        before = known
        known = shown_by(year, plan, wish, before=before, now=NOW + timedelta(hours=hours))
        for uid, one in known.items():
            if uid in before and before[uid] != one:
                assert one.stamp > before[uid].stamp
    assert {one.sequence for one in known.values()} == {0, 2}


def test_what_is_taken_back_is_newer_than_all_that_was_ever_shown_of_it(tmp_path: Path) -> None:
    folder = planned(tmp_path)
    exported(folder, "--alarm", 5)
    exported(folder, "--alarm", 6)
    last = exported(folder, "--alarm", 7)
    replanned(folder, sessions=SESSIONS[1:])
    assert run("export", folder, "--cancelled-since", 1).exit_code == Exit.FINE
    (event,) = icalendar.Calendar.from_ical((folder / "cancelled.ics").read_bytes()).walk("VEVENT")
    assert event["SEQUENCE"] == number(last[str(event["UID"])]) + 1 == 3
    assert cancel_bytes(*accepted(folder), since=1, known=highest([]))


def test_a_list_that_cannot_be_read_costs_no_calendar(tmp_path: Path) -> None:
    folder = planned(tmp_path)
    (folder / "feed.json").write_text("{", encoding="utf-8")
    assert len(exported(folder)) > 8


# --- reminders ------------------------------------------------------------------------------


def reminding(folder: Path, minutes: int | None) -> None:
    """The year's own reminder, changed on disk without a new plan."""
    wish = f"\n[sessions]\nalarm_minutes = {minutes}\n" if minutes is not None else ""
    (folder / "year.toml").write_text(YEAR + wish, encoding="utf-8")


def alarms(content: bytes) -> set[int]:
    found = icalendar.Calendar.from_ical(content).walk("VALARM")
    return {round(-one.decoded("TRIGGER").total_seconds() / 60) for one in found}


def test_the_reminder_of_the_year_is_in_every_calendar_and_needs_no_new_plan(
    tmp_path: Path,
) -> None:
    folder = planned(tmp_path, year_text=YEAR)
    for minutes in (20, 45, None):
        reminding(folder, minutes)
        wanted = {minutes} if minutes is not None else set()
        assert not Desk(folder).stale
        assert set().union(*map(alarms_of_one, exported(folder).values())) == wanted
        with serving(folder) as served:
            assert alarms(served.get(served.url(Part.SESSIONS)).content) == wanted
        made = contents_of(*accepted(folder), wish=Wish(), now=NOW, seen={})
        assert alarms(made.parts[Part.ALL].content) == wanted
        files = files_by(*accepted(folder), Wish(), {})
        assert set().union(*map(alarms, files.values())) == wanted


def alarms_of_one(event: bytes) -> set[int]:
    return alarms(b"BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:x\r\n" + event + b"END:VCALENDAR\r\n")


def test_a_server_that_runs_follows_a_changed_reminder(tmp_path: Path) -> None:
    folder = planned(tmp_path, year_text=YEAR)
    with serving(folder) as served:
        assert alarms(served.get(served.url(Part.ALL)).content) == set()
        reminding(folder, 25)
        assert alarms(served.get(served.url(Part.ALL)).content) == {25}
        reminding(folder, None)
        (folder / "year.toml").write_text("[year", encoding="utf-8")  # half an edit
        assert served.get(served.url(Part.ALL)).status == 200


def test_each_road_can_ask_for_another_reminder_or_none(tmp_path: Path) -> None:
    folder = planned(tmp_path, year_text=YEAR)
    reminding(folder, 20)
    for options, minutes in ((("--alarm", 5), {5}), (("--no-alarm",), set()), ((), {20})):
        events = exported(folder, *options)
        assert set().union(*map(alarms_of_one, events.values())) == minutes
    both = run("export", folder, "--alarm", 5, "--no-alarm")
    assert both.exit_code == 2 and "wanted one of them" in " ".join(both.output.split())
    target = tmp_path / "web"
    target.mkdir()
    for options, minutes in (
        ((), {20}), (("--alarm", 5), {5}), ((), {5}), (("--no-alarm",), set()), ((), set()),
        (("--year-alarm",), {20}),
    ):  # fmt: skip
        ran = run("publish", folder, "--folder", target, *options)
        assert ran.exit_code == Exit.FINE, ran.output
        (file,) = target.glob("*/all.ics")
        assert alarms(file.read_bytes()) == minutes, options


def test_a_session_moved_in_the_plan_counts_on_from_what_was_shown(tmp_path: Path) -> None:
    folder = planned(tmp_path)
    first = exported(folder)
    replanned(folder, sessions=(session("a", "route-volume", 1, "17:00", 90), *SESSIONS[1:]))
    folder.joinpath("year.toml").touch()
    second = exported(folder)
    changed = {uid for uid in first if first[uid] != second[uid]}
    assert [number(second[uid]) for uid in changed] == [1]
