"""Busy calendars by subscription: who may be asked, what may come, what is kept."""

from __future__ import annotations

import gzip
import json
import re
import shutil
import socket
import ssl
import subprocess
import threading
from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from folder_maker import planned
from served import Plain, Reply, plain_server
from test_cli_busy import TUESDAYS, calendar
from typer.testing import CliRunner

from seasonplan.cli.app import app
from seasonplan.cli.exits import Exit
from seasonplan.errors import BadInput
from seasonplan.feed.fetch import busy
from seasonplan.feed.fetch.busy import Came, Outcome
from seasonplan.feed.fetch.fetch import FetchFailed, FetchLimits, Trust, fetch
from seasonplan.feed.private import Subscription, load_private
from seasonplan.workspace.desk import Desk

PRIVATE = Trust(allow_private=True)
NOW = datetime(2027, 1, 2, 12, tzinfo=UTC)
GOOD = calendar(TUESDAYS)
OTHER = calendar(TUESDAYS.replace("T17", "T16"))


@pytest.fixture
def web() -> Iterator[Plain]:
    with plain_server() as told:
        yield told


def failed(url: str, trust: Trust = PRIVATE, **limits: Any) -> str:
    """Why nothing came."""
    with pytest.raises(FetchFailed) as caught:
        fetch(url, trust=trust, limits=FetchLimits(**limits))
    return str(caught.value)


# --- what may come --------------------------------------------------------------------------


def test_a_calendar_comes_with_its_tags_and_is_asked_for_by_them(web: Plain) -> None:
    def answer(asked: Any) -> Reply:
        has_it = asked.get("If-None-Match") == '"1"'
        headers = {"ETag": '"1"', "Last-Modified": "Fri, 01 Jan 2027 00:00:00 GMT"}
        return Reply(304, headers, b"") if has_it else Reply(200, headers, GOOD)

    web.answers["/a.ics"] = answer
    first = fetch(f"{web.base}/a.ics", trust=PRIVATE)
    assert first.content == GOOD
    again = fetch(
        f"{web.base}/a.ics", etag=first.etag, last_modified=first.last_modified, trust=PRIVATE
    )
    assert again.content is None
    assert web.asked[1][1]["if-modified-since"] == "Fri, 01 Jan 2027 00:00:00 GMT"
    assert "seasonplan" in web.asked[0][1]["user-agent"]


def test_a_packed_calendar_is_unpacked(web: Plain) -> None:
    url = web.says("/a.ics", gzip.compress(GOOD, mtime=0), content_encoding="gzip")
    assert fetch(url, trust=PRIVATE).content == GOOD


def test_too_much_is_not_read_to_its_end_packed_or_not(web: Plain) -> None:
    plain = web.says("/plain", b"x" * 30_000)
    packed = web.says("/packed", gzip.compress(b"x" * 50_000_000, mtime=0), content_encoding="gzip")
    assert "larger than" in failed(plain, file_bytes=20_000)
    assert "larger than" in failed(packed, file_bytes=20_000)


@pytest.mark.parametrize(
    ("content", "status", "headers", "why"),
    [
        (b"gone", 404, {}, "answered 404"),
        (b"oops", 500, {}, "answered 500"),
        (b"", 304, {}, "answered 304"),
        (b"", 204, {}, "answered 204"),
        (GOOD, 200, {"content_encoding": "br"}, "packed in a way"),
        (GOOD, 200, {"content_encoding": "gzip"}, "connection failed"),
        (gzip.compress(GOOD, mtime=0)[:-20], 200, {"content_encoding": "gzip"}, "broke off"),
        (GOOD, 200, {"content_length": "99999"}, "broke off|failed"),
        (b"", 302, {"location": "ftp://x/"}, "no web address"),
        (b"", 302, {"location": "http://[::1"}, "failed|no web address"),
    ],
)
def test_whatever_is_wrong_is_told_in_a_few_words(
    web: Plain, content: bytes, status: int, headers: dict[str, str], why: str
) -> None:
    url = web.says("/secret-1234", content, status, **headers)
    with pytest.raises(FetchFailed, match=why) as caught:
        fetch(url, trust=PRIVATE)
    assert "1234" not in str(caught.value)


def test_redirects_are_followed_five_times_and_no_more(web: Plain) -> None:
    for number in range(6):
        web.says(f"/{number}", b"", 302, location=f"/{number + 1}")
    web.says("/6", GOOD)
    assert fetch(f"{web.base}/1", trust=PRIVATE).content == GOOD
    assert "led on more than 5" in failed(f"{web.base}/0")


def drip(seconds: float) -> tuple[str, Callable[[], None]]:
    """A server that sends a byte now and then, for ever; how to end it."""
    listening = socket.create_server(("127.0.0.1", 0))
    ended = threading.Event()

    def serve() -> None:
        line, _ = listening.accept()
        with line:
            try:
                line.sendall(b"HTTP/1.1 200 OK\r\nX: ")
                while not ended.wait(seconds):
                    line.sendall(b"x")
            except OSError:
                return

    thread = threading.Thread(target=serve)
    thread.start()

    def end() -> None:
        ended.set()
        thread.join(30)
        listening.close()

    return f"http://127.0.0.1:{listening.getsockname()[1]}/", end


def test_only_the_host_first_named_may_lie_in_a_private_network(web: Plain) -> None:
    """A link to one's own server must not lead on to another machine at home."""
    resolve = {"cal.example": "127.0.0.1", "router.example": "127.0.0.1"}
    trust = Trust(allow_private=True, resolve=lambda host, port: [resolve[host]])
    port = web.base.rpartition(":")[2]
    web.says("/good", GOOD)
    web.says("/same", b"", 302, location=f"http://cal.example:{port}/good")
    web.says("/led", b"", 302, location=f"http://router.example:{port}/good")
    assert fetch(f"http://cal.example:{port}/same", trust=trust).content == GOOD
    assert "not encrypted" in failed(f"http://cal.example:{port}/led", trust)
    secure = f"https://router.example:{port}/good"
    web.says("/led", b"", 302, location=secure)
    assert "unusual port" in failed(f"http://cal.example:{port}/led", trust)
    web.says("/led", b"", 302, location="https://router.example/good")
    assert "private network" in failed(f"http://cal.example:{port}/led", trust)
    assert [path for path, _ in web.asked] == ["/same", "/good", *["/led"] * 3]


def test_a_server_that_drips_is_cut_off() -> None:
    url, end = drip(0.02)
    try:
        assert failed(url, seconds=0.5, pause_seconds=0.4)
    finally:
        end()


# --- certificates ---------------------------------------------------------------------------

needs_openssl = pytest.mark.skipif(
    shutil.which("openssl") is None, reason="openssl makes the certificate: not installed"
)


def certificate(folder: Path, name: str) -> tuple[Path, Path]:
    cert, key = folder / "cert.pem", folder / "key.pem"
    subprocess.run(
        [
            "openssl", "req", "-x509", "-newkey", "ec", "-pkeyopt", "ec_paramgen_curve:prime256v1",
            "-nodes", "-days", "2", "-subj", f"/CN={name}", "-addext", f"subjectAltName=DNS:{name}",
            "-keyout", key, "-out", cert,
        ],
        check=True, capture_output=True,
    )  # fmt: skip
    return cert, key


@needs_openssl
def test_a_certificate_must_be_trusted_and_be_for_the_name(tmp_path: Path) -> None:
    cert, key = certificate(tmp_path, "cal.example")
    serving = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    serving.load_cert_chain(cert, key)
    trusting = ssl.create_default_context(cafile=str(cert))
    here: Any = {"allow_private": True, "resolve": lambda *_: ["127.0.0.1"]}
    with plain_server(serving) as web:
        web.says("/a.ics", GOOD)
        port = web.base.rpartition(":")[2]
        good = Trust(authorities=trusting, **here)
        assert fetch(f"https://cal.example:{port}/a.ics", trust=good).content == GOOD
        assert "certificate" in failed(f"https://other.example:{port}/a.ics", good)
        assert "certificate" in failed(f"https://cal.example:{port}/a.ics", Trust(**here))


# --- what is kept ---------------------------------------------------------------------------


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return planned(tmp_path)


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
    url = web.says("/a.ics", GOOD)
    busy.subscribe(folder, "work", Subscription(url=url, allow_private=True))
    refreshed(folder)
    web.says("/a.ics", content, status)
    outcome = refreshed(folder)
    assert outcome.came is Came.KEPT and outcome.why
    assert (folder / "work.ics").read_bytes() == GOOD
    assert load_private(folder).busy["work.ics"].failures == 1
    web.says("/a.ics", OTHER)
    assert refreshed(folder).came is Came.CHANGED
    assert load_private(folder).busy["work.ics"].failures == 0


def test_a_calendar_that_became_empty_is_taken_when_one_says_so(folder: Path, web: Plain) -> None:
    url = web.says("/a.ics", GOOD)
    busy.subscribe(folder, "work", Subscription(url=url, allow_private=True))
    refreshed(folder)
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
    url = web.says("/a.ics", GOOD)
    busy.subscribe(folder, "work", Subscription(url=url, allow_private=True))
    refreshed(folder)
    cut = OTHER.rstrip()[:-end]
    web.says("/a.ics", cut)  # with a length that is right: nothing else tells that it is cut
    outcome = refreshed(folder, even_empty=True)
    assert outcome.came is Came.KEPT and "no END:VCALENDAR" in outcome.why
    assert (folder / "work.ics").read_bytes() == GOOD


def test_what_some_programs_put_after_the_end_is_no_cut(folder: Path, web: Plain) -> None:
    url = web.says("/a.ics", GOOD)
    busy.subscribe(folder, "work", Subscription(url=url, allow_private=True))
    refreshed(folder)
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
    url = web.says("/a.ics", GOOD)
    busy.subscribe(folder, "work", Subscription(url=url, allow_private=True))
    refreshed(folder)
    web.says("/a.ics", content)
    outcome = refreshed(folder)
    assert outcome.came is Came.KEPT and "could be read before" in outcome.why
    assert (folder / "work.ics").read_bytes() == GOOD
    assert refreshed(folder, even_empty=True).came is Came.CHANGED


def test_a_calendar_whose_events_are_all_over_is_taken(folder: Path, web: Plain) -> None:
    url = web.says("/a.ics", GOOD)
    busy.subscribe(folder, "work", Subscription(url=url, allow_private=True))
    refreshed(folder)
    web.says("/a.ics", re.sub(rb":2027", b":2019", re.sub(rb"RRULE[^\n]*\n", b"", GOOD)))
    assert refreshed(folder).came is Came.CHANGED


def test_a_list_of_busy_times_is_a_calendar_too(folder: Path, web: Plain) -> None:
    url = web.says("/a.ics", GOOD)
    busy.subscribe(folder, "work", Subscription(url=url, allow_private=True))
    refreshed(folder)
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
