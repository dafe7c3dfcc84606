"""Busy calendars by subscription: what is kept of them, and when they are asked for."""

# ruff: noqa: F401, F811  (an imported fixture: pytest finds it by its name)

from __future__ import annotations

import json
import re
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from folder_maker import planned
from served import Plain
from test_cli_busy import TUESDAYS, calendar
from test_feed_fetch import GOOD, web
from typer.testing import CliRunner

from seasonplan.cli.app import app
from seasonplan.cli.exits import Exit
from seasonplan.errors import BadInput
from seasonplan.feed.fetch import busy
from seasonplan.feed.fetch.busy import Came, Outcome
from seasonplan.feed.fetch.fetch import FetchFailed, FetchLimits, Trust, fetch
from seasonplan.feed.private import Subscription, load_private
from seasonplan.workspace.desk import Desk

NOW = datetime(2027, 1, 2, 12, tzinfo=UTC)
OTHER = calendar(TUESDAYS.replace("T17", "T16"))


# --- what is kept ---------------------------------------------------------------------------


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return planned(tmp_path)


def fetched(folder: Path, web: Plain) -> None:
    """A calendar that was fetched once, and is good."""
    url = web.says("/a.ics", GOOD)
    busy.subscribe(folder, "work", Subscription(url=url, allow_private=True))
    refreshed(folder)


def refreshed(folder: Path, **more: Any) -> Outcome:
    year = Desk(folder).year
    return busy.refresh(
        folder, "work.ics", span=year.span, time_zone="Europe/Vienna", now=NOW, **more
    )


def test_the_first_good_calendar_is_kept_for_its_owner_alone(folder: Path, web: Plain) -> None:
    url = web.says("/secret-1234.ics", GOOD, etag='"1"')
    busy.subscribe(folder, "work", Subscription(url=url, allow_private=True))
    assert refreshed(folder) == Outcome("work.ics", Came.CHANGED)
    kept = folder / "work.ics"
    assert kept.read_bytes() == GOOD
    for path in (kept, folder / "feed.json"):
        assert path.stat().st_mode & 0o777 == 0o600
    assert refreshed(folder) == Outcome("work.ics", Came.SAME)
    assert web.asked[1][1]["if-none-match"] == '"1"'


@pytest.mark.parametrize(
    ("content", "status"),
    [
        (b"", 200),
        (b"<!doctype html><p>Sign in", 200),
        (b"BEGIN:VCALENDAR\r\n", 503),
        (b"\x1f\x8b\x08rubbish", 200),
        (b"BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:x\r\nEND:VCALENDAR\r\n", 200),
        (b"BEGIN:VCALENDAR\r\n" + b"BEGIN:X\r\n" * 9_000, 200),
        (b"", 404),
    ],
)
def test_the_last_good_calendar_stays_whatever_comes_instead(
    folder: Path, web: Plain, content: bytes, status: int
) -> None:
    fetched(folder, web)
    web.says("/a.ics", content, status)
    outcome = refreshed(folder)
    assert outcome.came is Came.KEPT and outcome.why
    assert (folder / "work.ics").read_bytes() == GOOD
    assert load_private(folder).busy["work.ics"].failures == 1
    web.says("/a.ics", OTHER)
    assert refreshed(folder).came is Came.CHANGED
    assert load_private(folder).busy["work.ics"].failures == 0


def test_a_calendar_that_became_empty_is_taken_when_one_says_so(folder: Path, web: Plain) -> None:
    fetched(folder, web)
    empty = b"BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:x\r\nEND:VCALENDAR\r\n"
    web.says("/a.ics", empty)
    assert refreshed(folder).came is Came.KEPT
    assert refreshed(folder, even_empty=True).came is Came.CHANGED
    assert (folder / "work.ics").read_bytes() == empty


LISTED = (
    b"BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:x\r\nBEGIN:VFREEBUSY\r\nUID:fb\r\n"
    b"DTSTAMP:20270101T000000Z\r\nFREEBUSY:20270105T170000Z/PT1H\r\nEND:VFREEBUSY\r\n"
    b"END:VCALENDAR\r\n"
)


@pytest.mark.parametrize("end", range(1, 40, 3))
def test_a_calendar_that_was_cut_off_anywhere_near_its_end_is_not_taken(
    folder: Path, web: Plain, end: int
) -> None:
    fetched(folder, web)
    cut = OTHER.rstrip()[:-end]
    web.says("/a.ics", cut)  # with a length that is right: nothing else tells that it is cut
    outcome = refreshed(folder, even_empty=True)
    assert outcome.came is Came.KEPT and "no END:VCALENDAR" in outcome.why
    assert (folder / "work.ics").read_bytes() == GOOD


def test_what_some_programs_put_after_the_end_is_no_cut(folder: Path, web: Plain) -> None:
    fetched(folder, web)
    web.says("/a.ics", OTHER.rstrip().replace(b"END:VCALENDAR", b"end:vcalendar \n\n\0"))
    assert refreshed(folder).came is Came.CHANGED


@pytest.mark.parametrize(
    "content",
    [
        re.sub(rb"DTSTART", b"X-START", GOOD),
        re.sub(rb"(DTSTART[^:]*:)\d+", rb"\1soon", GOOD),
        LISTED.replace(b"PT1H", b"soon"),
    ],
)
def test_a_calendar_of_which_nothing_can_be_read_any_more_replaces_none(
    folder: Path, web: Plain, content: bytes
) -> None:
    fetched(folder, web)
    web.says("/a.ics", content)
    outcome = refreshed(folder)
    assert outcome.came is Came.KEPT and "could be read before" in outcome.why
    assert (folder / "work.ics").read_bytes() == GOOD
    assert refreshed(folder, even_empty=True).came is Came.CHANGED


def test_a_calendar_whose_events_are_all_over_is_taken(folder: Path, web: Plain) -> None:
    fetched(folder, web)
    web.says("/a.ics", re.sub(rb":2027", b":2019", re.sub(rb"RRULE[^\n]*\n", b"", GOOD)))
    assert refreshed(folder).came is Came.CHANGED


def test_a_list_of_busy_times_is_a_calendar_too(folder: Path, web: Plain) -> None:
    fetched(folder, web)
    web.says("/a.ics", LISTED)
    assert refreshed(folder).came is Came.CHANGED
    web.says("/a.ics", LISTED.replace(b"FREEBUSY:20270105T170000Z/PT1H\r\n", b""))
    assert refreshed(folder).came is Came.CHANGED  # nothing is busy, and that is readable


def test_a_lost_file_is_fetched_whole_again(folder: Path, web: Plain) -> None:
    url = web.says("/a.ics", GOOD, etag='"1"')
    busy.subscribe(folder, "work", Subscription(url=url, allow_private=True))
    refreshed(folder)
    (folder / "work.ics").unlink()
    refreshed(folder)
    assert "if-none-match" not in web.asked[1][1]
    assert (folder / "work.ics").read_bytes() == GOOD


def test_after_failures_one_looks_less_often_but_every_day() -> None:
    for failures, hours in ((0, 1), (1, 2), (3, 8), (9, 24), (99, 24)):
        known = Subscription(url="https://a.example/", checked=NOW, failures=failures)
        assert not busy.due(known, NOW + timedelta(hours=hours) - timedelta(seconds=1))
        assert busy.due(known, NOW + timedelta(hours=hours))
    assert busy.due(Subscription(url="https://a.example/"), NOW)


@pytest.mark.parametrize(
    "name", ["../work", "year.toml", "", "a/b", ".hidden", "seasonplan", "Wörk"]
)
def test_a_name_that_could_be_another_file_is_refused(folder: Path, name: str) -> None:
    with pytest.raises(BadInput):
        busy.subscribe(folder, name, Subscription(url="https://a.example/"))


def test_a_file_of_the_climber_is_not_taken_over(folder: Path) -> None:
    (folder / "work.ics").write_bytes(OTHER)
    with pytest.raises(BadInput, match="there already"):
        busy.subscribe(folder, "work", Subscription(url="https://a.example/"))


# --- on the command line --------------------------------------------------------------------


def run(*arguments: object, text: str | None = None) -> Any:
    environment = {"COLUMNS": "100", "NO_COLOR": None}
    return CliRunner().invoke(app, [str(one) for one in arguments], env=environment, input=text)


def test_a_calendar_is_added_listed_fetched_and_dropped_and_its_link_never_shown(
    folder: Path, web: Plain
) -> None:
    url = web.says("/secret-1234.ics", GOOD)
    added = run("busy", "add", "work", folder, "--allow-private", text=f"{url}\n")
    assert added.exit_code == Exit.FINE, added.output
    desk = Desk(folder)
    assert desk.year.sessions.busy == ("work.ics",) and desk.taken
    web.says("/secret-1234.ics", OTHER)
    fetched = run("busy", "fetch", folder, "--json")
    assert json.loads(fetched.stdout) == [{"file": "work.ics", "came": "changed", "why": ""}]
    assert run("busy", "fetch", folder, "--due", "--json").stdout.strip() == "[]"
    listed = run("busy", "list", folder)
    assert "work.ics: from http://127.0.0.1/…" in listed.stdout, "as it is asked: unencrypted"
    dropped = run("busy", "drop", "work", folder)
    for ran in (added, fetched, listed, dropped):
        assert "1234" not in ran.output
    assert "1234" not in (folder / "year.toml").read_text() and not load_private(folder).busy
    assert (folder / "work.ics").read_bytes() == OTHER


def test_a_secret_link_can_come_from_the_environment_or_an_answer(
    folder: Path, web: Plain, monkeypatch: pytest.MonkeyPatch
) -> None:
    url = web.says("/secret-1234.ics", GOOD)
    asked = run("busy", "add", "work", folder, "--allow-private", text=f"{url}\n")
    assert asked.exit_code == Exit.FINE and "1234" not in asked.output
    monkeypatch.setenv("SEASONPLAN_BUSY_URL", url)
    taken = run("busy", "add", "home", folder, "--allow-private")
    assert taken.exit_code == Exit.FINE and "1234" not in taken.output
    assert {one.url for one in load_private(folder).busy.values()} == {url}


def test_a_calendar_that_cannot_be_had_is_not_added(folder: Path) -> None:
    before = (folder / "year.toml").read_bytes()
    ran = run("busy", "add", "work", folder, "--url", "https://127.0.0.1/secret-1234.ics")
    assert ran.exit_code == Exit.BAD_INPUT
    assert "it leads into a private network" in ran.stderr and "1234" not in ran.output
    assert (folder / "year.toml").read_bytes() == before and not load_private(folder).busy


def test_a_broken_private_file_is_told_without_what_is_in_it(folder: Path) -> None:
    (folder / "feed.json").write_text('{"busy": {"a": {"url": 1234}}}')
    ran = run("busy", "list", folder)
    assert ran.exit_code == Exit.BAD_INPUT
    assert "feed.json" in ran.stderr and "1234" not in ran.output
