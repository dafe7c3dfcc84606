"""Calendars found, made and read on two CalDAV servers of different makes, from their address."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from pathlib import Path
from urllib.parse import urljoin

import pytest
from folder_maker import SESSIONS, planned
from plan_maker import day
from served import PASSWORD, USER, client, plain_server, radicale, xandikos
from test_publish import events, run

from seasonplan.cli.exits import Exit
from seasonplan.feed.caldav.discover import Server
from seasonplan.feed.caldav.trouble import Denied, Unreachable
from seasonplan.feed.private import load_private
from seasonplan.feed.publish.passwords import BUSY_VARIABLE, VARIABLE
from seasonplan.workspace.desk import Desk

SECRET_TITLE = "Meet the surgeon"
BUSY = (
    "BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:x\r\nBEGIN:VEVENT\r\nUID:work\r\n"
    "DTSTAMP:20270101T000000Z\r\nDTSTART:{day}T160000Z\r\nDTEND:{day}T170000Z\r\n{more}"
    f"SUMMARY:{SECRET_TITLE}\r\nATTENDEE:mailto:kim@example.com\r\nBEGIN:VALARM\r\n"
    "ACTION:DISPLAY\r\nDESCRIPTION:x\r\nTRIGGER:-PT5M\r\nEND:VALARM\r\nEND:VEVENT\r\n"
    "END:VCALENDAR\r\n"
)


@pytest.fixture(scope="module")
def first(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    with radicale(tmp_path_factory.mktemp("radicale")) as url:
        yield url


@pytest.fixture(scope="module", params=["radicale", "xandikos"])
def server(
    first: str, request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[str]:
    """The address of a server, with nothing of a calendar in it."""
    if request.param == "radicale":
        yield urljoin(first, "/")
    else:
        with xandikos(tmp_path_factory.mktemp("xandikos")) as url:
            yield url


@pytest.fixture(autouse=True)
def _passwords(monkeypatch: pytest.MonkeyPatch) -> None:
    for name in (VARIABLE, BUSY_VARIABLE):
        monkeypatch.setenv(name, PASSWORD)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return planned(tmp_path)


def listed(folder: Path, server: str) -> dict[str, str]:
    """The calendars that are told there, by name."""
    ran = run("publish", folder, "--caldav", server, "--user", USER, "--list", "--json")
    assert ran.exit_code == Exit.FINE, ran.output
    return {one["name"]: one["url"] for one in json.loads(ran.stdout)}


# --- found and made ----------------------------------------------------------------------------


def test_from_address_and_login_a_calendar_is_made_listed_and_published_to(
    folder: Path, server: str
) -> None:
    before = listed(folder, server)
    ran = run("publish", folder, "--caldav", server, "--user", USER, "--make", "Kletter & Jahr")
    assert ran.exit_code == Exit.FINE and "Made the calendar “Kletter & Jahr”" in ran.output
    after = listed(folder, server)
    assert after.keys() - before.keys() == {"Kletter & Jahr"}
    url = after["Kletter & Jahr"]
    assert url.endswith("/kletter-jahr/") and len(events(url)) > len(SESSIONS)
    assert list(load_private(folder).collections) == [url]
    again = run("publish", folder)  # where it was published, without being told again
    assert again.exit_code == Exit.FINE and "0 events written, 0 removed" in again.output


def test_a_name_that_is_taken_gets_another_address_and_touches_nothing(server: str) -> None:
    there = Server(server, user=USER, password=PASSWORD)
    made = [there.make("Älter, later").url for _ in range(2)]
    there.close()
    assert [url.rsplit("/", 2)[1] for url in made] == ["alter-later", "alter-later-2"]


def test_listing_publishes_nothing_and_says_where_each_calendar_is(
    folder: Path, first: str
) -> None:
    ran = run("publish", folder, "--caldav", urljoin(first, "/"), "--user", USER, "--list")
    assert ran.exit_code == Exit.FINE and first in ran.stdout
    assert not load_private(folder).collections


def test_what_is_no_calendar_tells_how_to_find_one(folder: Path, first: str) -> None:
    ran = run("publish", folder, "--caldav", urljoin(first, "."), "--user", USER)
    home = run("publish", folder, "--caldav", urljoin(first, ".."), "--user", USER)
    assert ran.exit_code == Exit.FINE and home.exit_code == Exit.CANNOT_WRITE
    assert "--list tells the calendars of a server" in " ".join(home.output.split())


def test_a_wrong_password_finds_nothing_and_is_told(first: str) -> None:
    there = Server(urljoin(first, "/"), user=USER, password="wrong")
    with pytest.raises(Denied):
        there.calendars()
    there.close()


# --- where a server leads ------------------------------------------------------------------------


def test_a_password_is_not_carried_to_another_server_that_the_first_names() -> None:
    with plain_server() as first, plain_server() as second:
        first.says("/.well-known/caldav", b"", 302, Location=f"{second.base}/dav/")
        there = Server(f"{first.base}/", user=USER, password=PASSWORD)
        with pytest.raises(Unreachable) as no:
            there.home()
        there.close()
    assert "a password goes to whom it is meant for" in str(no.value)
    assert first.asked and not second.asked


@pytest.mark.parametrize("to", ["https://dav.example.org/x/", "http://[::1]:9/x/"])
def test_the_host_that_a_server_leads_to_is_named_where_it_is_a_plain_name(to: str) -> None:
    there = Server("https://example.org/", user=USER, password=PASSWORD)
    with pytest.raises(Unreachable) as no:
        there._led("https://example.org/", to)
    there.close()
    assert ("--caldav https://dav.example.org/" in no.value.do) is ("dav" in to)


# --- busy time -----------------------------------------------------------------------------------


@pytest.fixture
def appointments(first: str, request: pytest.FixtureRequest) -> Iterator[Callable[..., str]]:
    """Puts an appointment on day 1 at 17:00 in Vienna into a new calendar; its address."""
    url = f"{first.rsplit('/', 2)[0]}/{abs(hash(request.node.name))}/"
    with client(url) as made:
        assert made.mkcalendar(url).status == 201

        def put(more: str = "") -> str:
            text = BUSY.format(day=f"{day(1):%Y%m%d}", more=more)
            assert made.put(url + "work.ics", text).status in (201, 204)
            return url

        yield put


def test_busy_time_of_a_chosen_calendar_keeps_sessions_clear_and_no_title_is_kept(
    folder: Path, appointments: Callable[..., str]
) -> None:
    url = appointments()
    ran = run("busy", "add", "work", folder, "--caldav", url, "--user", USER)
    assert ran.exit_code == Exit.FINE, ran.output
    assert Desk(folder).taken == {day(1): ((17 * 60, 18 * 60),)}
    kept = (folder / "work.ics").read_text(encoding="utf-8")
    assert SECRET_TITLE not in kept and "kim@" not in kept and "VALARM" not in kept
    assert PASSWORD not in (folder / "feed.json").read_text(encoding="utf-8")
    again = run("busy", "fetch", folder)
    assert "nothing changed" in again.output
    appointments("STATUS:TENTATIVE\r\n")
    assert "it changed" in run("busy", "fetch", folder).output


def test_a_margin_around_appointments_and_tentative_time_as_free_are_choices(
    folder: Path, appointments: Callable[..., str]
) -> None:
    url = appointments("STATUS:TENTATIVE\r\n")
    run("busy", "add", "work", folder, "--caldav", url, "--user", USER)
    for path, value, taken in (
        ("sessions.busy_margin_minutes", 20, {day(1): ((17 * 60 - 20, 18 * 60 + 20),)}),
        ("sessions.tentative_is_free", True, {}),
    ):
        ran = run("edit", folder, "set", path, str(value).lower())
        assert ran.exit_code == Exit.FINE, ran.output
        desk = Desk(folder)
        assert desk.taken == taken and desk.stale  # another plan is asked for


def test_what_we_publish_into_a_calendar_is_not_busy_time_of_the_climber(
    folder: Path, appointments: Callable[..., str]
) -> None:
    url = appointments()
    assert run("publish", folder, "--caldav", url, "--user", USER).exit_code == Exit.FINE
    assert len(events(url)) > len(SESSIONS)
    run("busy", "add", "work", folder, "--caldav", url, "--user", USER)
    assert Desk(folder).taken == {day(1): ((17 * 60, 18 * 60),)}


def test_a_calendar_that_cannot_be_read_leaves_what_was_there(
    folder: Path, appointments: Callable[..., str], monkeypatch: pytest.MonkeyPatch
) -> None:
    run("busy", "add", "work", folder, "--caldav", appointments(), "--user", USER)
    kept = (folder / "work.ics").read_bytes()
    monkeypatch.setenv(BUSY_VARIABLE, "wrong")
    ran = run("busy", "fetch", folder)
    told = " ".join(ran.output.split())
    assert ran.exit_code == Exit.BAD_INPUT and "user and password were refused" in told
    assert (folder / "work.ics").read_bytes() == kept
