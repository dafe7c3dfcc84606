"""Fetching a calendar of somebody else: who may be asked, what may come."""

from __future__ import annotations

import gzip
import shutil
import socket
import ssl
import subprocess
import threading
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from served import Plain, Reply, plain_server
from test_cli_busy import TUESDAYS, calendar

from seasonplan.feed.fetch.fetch import FetchFailed, FetchLimits, Trust, fetch

PRIVATE = Trust(allow_private=True)
GOOD = calendar(TUESDAYS)


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
