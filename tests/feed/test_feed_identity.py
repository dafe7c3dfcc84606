"""Identity over real replans, and the file that takes back what was imported once."""

from __future__ import annotations

import json
import re
import shutil
import uuid
from datetime import UTC, datetime, timedelta
from itertools import pairwise
from pathlib import Path
from typing import Any

import icalendar
import pytest
from folder_maker import SESSIONS, blocks, planned, session
from places import TESTS
from test_clients import READERS, Read
from test_feed import replanned
from typer.testing import CliRunner

from seasonplan.cli.accepted import accepted
from seasonplan.cli.app import app
from seasonplan.cli.exits import Exit
from seasonplan.edits import AddEntry
from seasonplan.errors import Misuse
from seasonplan.feed.contents import calendar_texts
from seasonplan.ical import ALL, Layer, cancel_bytes, event_files
from seasonplan.workspace.desk import Desk

YEARS = TESTS / "years"
FIRST = datetime(2026, 1, 1, 12, tzinfo=UTC)


def files(folder: Path) -> dict[str, bytes]:
    year, plan = accepted(folder)
    return event_files(year, plan, layers=ALL, texts=calendar_texts(year, plan, layers=ALL))


def told(content: bytes) -> bytes:
    """An event without the properties that tell of its history."""
    return re.sub(rb"\r\n(DTSTAMP|LAST-MODIFIED|SEQUENCE):[^\r]*", b"", content)


def number(content: bytes) -> int:
    return int(icalendar.Calendar.from_ical(content).walk("VEVENT")[0]["SEQUENCE"])


@pytest.fixture(scope="module")
def history(tmp_path_factory: pytest.TempPathFactory) -> list[dict[str, bytes]]:
    """The events of a year after each of four plans: made, an absence entered, undone, again."""
    folder = tmp_path_factory.mktemp("twelve")
    shutil.copy(YEARS / "twelve-weeks.toml", folder / "year.toml")
    desk, out = Desk(folder), []
    away = {"name": "Away", "first": "2026-04-06", "last": "2026-04-09"}
    for step in range(4):
        stamp = FIRST + timedelta(days=step)
        if step == 1:
            desk.change(AddEntry(section="absence", values=away))
        if step == 2:
            desk.undo(stamp=stamp)
        else:
            desk.make_plan("test", stamp=stamp)
        out.append(files(folder))
    return out


def test_an_event_that_says_the_same_after_a_replan_is_the_same_to_the_byte(
    history: list[dict[str, bytes]],
) -> None:
    same = [
        uid for uid, content in history[0].items()
        if uid in history[1] and told(content) == told(history[1][uid])
    ]  # fmt: skip
    assert len(same) > 20
    changed = [uid for uid in same if history[0][uid] != history[1][uid]]
    # what names goals or entries counts every change of the year: one too many does no harm
    kinds = {re.search(rb"\nCATEGORIES:(\w+)", history[0][uid])[1] for uid in changed}  # type: ignore[index]
    assert kinds <= {b"Performance", b"Season", b"Trip", b"Absence", b"Window", b"Session"}
    assert len(same) - len(changed) > 15


def test_an_event_that_changes_has_a_higher_number_and_one_that_does_not_keeps_its_own(
    history: list[dict[str, bytes]],
) -> None:
    changed = kept = 0
    for before, after in pairwise(history):
        for uid in before.keys() & after.keys():
            if told(before[uid]) != told(after[uid]):
                assert number(after[uid]) > number(before[uid])
                changed += 1
            else:
                assert number(after[uid]) >= number(before[uid])
                kept += 1
    assert changed >= 2 and kept > 50


def test_a_plan_made_again_without_news_changes_no_byte(history: list[dict[str, bytes]]) -> None:
    assert history[3] == history[2]


def test_identities_are_random_names_that_say_nothing(history: list[dict[str, bytes]]) -> None:
    uids = {uid for events in history for uid in events}
    assert len(uids) > 30
    for uid in uids:
        assert uuid.UUID(uid).version == 5 and "@" not in uid


def test_a_session_at_the_same_instant_in_another_zone_is_written_by_the_other_clock(
    tmp_path: Path,
) -> None:
    folder = planned(tmp_path)
    files(folder)
    at_home = session("a", "route-volume", 1, "18:00", 90)
    abroad = session("a", "route-volume", 1, "17:00", 90, zone="Atlantic/Madeira")
    written = []
    for one in (at_home, abroad, at_home):
        replanned(folder, sessions=(one,))
        (content,) = (c for c in files(folder).values() if b"CATEGORIES:Session" in c)
        written.append(content)
    assert b"DTSTART;TZID=Europe/Vienna:20270105T180000\r\n" in written[0]
    assert b"DTSTART;TZID=Atlantic/Madeira:20270105T170000\r\n" in written[1]
    assert told(written[2]) == told(written[0])


# --- taken back -----------------------------------------------------------------------------


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A plan of which a session, a block and the hour of another session are gone by now."""
    folder = planned(tmp_path)
    later = session("a", "route-volume", 1, "17:00", 90)
    replanned(folder, sessions=(later, *SESSIONS[2:]), blocks=blocks()[:-1])
    return folder


def run(*arguments: object) -> Any:
    return CliRunner().invoke(app, [str(one) for one in arguments], env={"COLUMNS": "100"})


# RFC 5546 3.2.5: METHOD:CANCEL, STATUS:CANCELLED, the same UID, a higher SEQUENCE, an ORGANIZER
def test_what_is_gone_is_taken_back_and_nothing_else(folder: Path) -> None:
    year, plan = accepted(folder)
    raw = cancel_bytes(year, plan, since=1)
    assert raw is not None
    calendar = icalendar.Calendar.from_ical(raw)
    assert calendar["METHOD"] == "CANCEL" and b"\r\nNAME:" not in raw
    events = {str(e["SUMMARY"]): e for e in calendar.walk("VEVENT")}
    assert len(events) == 2 and "Rest block" in events
    before = event_files(*accepted_then(folder))
    for event in events.values():
        assert event["STATUS"] == "CANCELLED" and "ORGANIZER" in event
        assert event["SEQUENCE"] == number(before[str(event["UID"])]) + 1
        assert event.decoded("DTSTAMP") == plan.current.stamp
        then = icalendar.Calendar.from_ical(before[str(event["UID"])]).walk("VEVENT")[0]
        assert event["DTSTART"].dt == then["DTSTART"].dt


def accepted_then(folder: Path) -> Any:
    """Year and plan as they were at the first revision."""
    from seasonplan.plan import Plan

    year, plan = accepted(folder)
    return year, Plan(calendar_key=plan.calendar_key, revisions=plan.revisions[:1])


@pytest.mark.parametrize("reader", READERS)
def test_every_program_reads_the_file_that_takes_back(folder: Path, reader: Any) -> None:
    year, plan = accepted(folder)
    raw = cancel_bytes(year, plan, since=1)
    assert raw is not None
    seen: list[Read] = reader(raw)
    assert len(seen) == 2 and {"Rest block"} < {event.title for event in seen}


def test_the_file_is_exported_on_request_and_never_without_need(folder: Path) -> None:
    ran = run("export", folder, "--cancelled-since", 1, "--json")
    assert ran.exit_code == Exit.FINE, ran.output
    assert json.loads(ran.stdout)["events"] == 2
    assert (folder / "cancelled.ics").read_bytes().count(b"STATUS:CANCELLED\r\n") == 2
    nothing = run("export", folder, "--cancelled-since", 2, "--out", folder / "none.ics")
    assert nothing.exit_code == Exit.FINE and "Nothing of plan 2 is gone" in nothing.stderr
    assert not (folder / "none.ics").exists()
    unknown = run("export", folder, "--cancelled-since", 9)
    assert unknown.exit_code == Exit.BAD_INPUT and "1 to 2" in unknown.stderr


def test_a_layer_that_was_never_shared_is_not_taken_back(folder: Path) -> None:
    year, plan = accepted(folder)
    assert cancel_bytes(year, plan, since=1, layers=frozenset({Layer.TRIPS})) is None
    with pytest.raises(Misuse):
        cancel_bytes(year, plan, since=3)


def test_an_event_that_comes_back_after_it_was_taken_back_is_newer_than_that(
    folder: Path,
) -> None:
    year, plan = accepted(folder)
    raw = cancel_bytes(year, plan, since=1)
    assert raw is not None
    cancelled = {str(e["UID"]): e for e in icalendar.Calendar.from_ical(raw).walk("VEVENT")}
    replanned(folder, sessions=SESSIONS, blocks=blocks())
    back = event_files(*accepted(folder))
    assert cancelled
    for uid, event in cancelled.items():
        again = icalendar.Calendar.from_ical(back[uid]).walk("VEVENT")[0]
        # RFC 5546 2.1.4: a higher number wins, else the later stamp
        assert (again["SEQUENCE"], again.decoded("DTSTAMP")) > (
            event["SEQUENCE"], event.decoded("DTSTAMP"),
        )  # fmt: skip
