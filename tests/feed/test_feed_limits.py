"""How much the server lets one address ask, and how long it waits for a question."""

# ruff: noqa: F401, F811  (imported fixtures: pytest finds them by their names)
from __future__ import annotations

import socket
import ssl
import sys
from concurrent.futures import ThreadPoolExecutor
from contextlib import ExitStack, suppress
from http.client import HTTPConnection
from pathlib import Path
from urllib.parse import urlsplit

import pytest
from served import serving
from test_feed import SESSIONS_PART, folder
from test_feed_fetch import certificate, needs_openssl

from seasonplan.feed.parts import Part
from seasonplan.feed.serve import listen
from seasonplan.feed.serve.limits import MOST_WAITING, Allowance, Rate, Waiting, network_of


def test_a_guesser_is_slowed_down_and_the_phone_behind_the_same_address_is_not(
    folder: Path,
) -> None:
    with serving(folder, misses=Allowance(Rate(3, 0))) as served:
        guesses = [served.get(f"{served.base}/{n}/all.ics").status for n in range(6)]
        assert guesses == [404, 404, 404, 429, 429, 429]
        assert served.get(served.url(SESSIONS_PART)).status == 200


def test_whole_answers_are_counted_and_unchanged_ones_are_not(folder: Path) -> None:
    with serving(folder, bodies=Allowance(Rate(2, 0))) as served:
        url = served.url(SESSIONS_PART)
        tag = served.get(url).headers["etag"]
        assert served.get(url).status == 200
        too_much = served.get(url)
        assert too_much.status == 429 and int(too_much.headers["retry-after"]) > 0
        assert {served.get(url, if_none_match=tag).status for _ in range(20)} == {304}


def test_an_allowance_grows_again_and_forgets_the_oldest() -> None:
    now = [0.0]
    allowance = Allowance(Rate(1, 0.5), now=lambda: now[0])
    assert [allowance.take("a"), allowance.take("a"), allowance.take("b")] == [True, False, True]
    now[0] = 2.0
    assert allowance.take("a")
    for number in range(3_000):
        allowance.take(f"client {number}")
    assert len(allowance._left) <= 1_000


# RFC 4291 2.5.4, RFC 6177: a site has at least a /64
def test_the_addresses_of_one_machine_count_as_one() -> None:
    assert network_of("2001:db8::1") == network_of("2001:db8::ffff:2") != network_of("2001:db9::1")
    assert network_of("::ffff:192.0.2.7") == network_of("192.0.2.7") != network_of("192.0.2.8")


def test_who_never_finishes_asking_is_hung_up_on(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(listen, "HEAD_SECONDS", 0.3)
    with serving(folder) as served:
        parts = urlsplit(served.base)
        with socket.create_connection((parts.hostname, parts.port), timeout=30) as line:
            line.sendall(b"GET / HTTP/1.1\r\nHost: x\r\n")
            with suppress(ConnectionResetError):
                assert line.recv(100) == b""
        assert served.get(served.page).status == 200


def waiting(base: str, count: int, *, at: str) -> list[socket.socket]:
    """So many connections from the address `at` that say nothing."""
    parts = urlsplit(base)
    return [
        socket.create_connection((parts.hostname, parts.port), timeout=30, source_address=(at, 0))
        for _ in range(count)
    ]


def ended(lines: list[socket.socket], *, within: float) -> int:
    """How many of them the server has ended by then."""
    for line in lines:
        line.settimeout(within)
        within = 0.05
    count = 0
    for line in lines:
        with suppress(TimeoutError):
            try:
                count += line.recv(1) == b""
            except ConnectionResetError:
                count += 1
    return count


def answer_to(at: str, base: str, context: ssl.SSLContext | None = None) -> bytes:
    """What an address is answered that asks for nothing that is there."""
    (line,) = waiting(base, 1, at=at)
    with ExitStack() as stack:
        stack.enter_context(suppress(ConnectionError))
        asking = context.wrap_socket(line, server_hostname="localhost") if context else line
        stack.enter_context(asking)
        asking.sendall(b"GET /x/all.ics HTTP/1.1\r\nHost: x\r\n\r\n")
        return asking.recv(20)
    return b""


@needs_openssl
@pytest.mark.skipif(sys.platform != "linux", reason="one machine has one address here")
@pytest.mark.parametrize("secure", [False, True])
def test_one_address_cannot_hold_all_connections_by_saying_nothing(
    folder: Path, tmp_path: Path, secure: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(listen, "HEAD_SECONDS", 600)  # nobody else hangs up on them
    tls: dict[str, Path] = {}
    context = None
    if secure:
        cert, key = certificate(tmp_path, "localhost")
        tls, context = {"cert": cert, "key": key}, ssl.create_default_context(cafile=str(cert))
    with serving(folder, tls=tls) as served:
        silent = waiting(served.base, 3 * MOST_WAITING, at="127.0.0.2")
        assert ended(silent, within=2) == 2 * MOST_WAITING
        assert answer_to("127.0.0.2", served.base, None) == b""  # it has had its share
        assert answer_to("127.0.0.3", served.base, context).startswith(b"HTTP/1.1 404")
        for line in silent:
            line.close()
        answers = (answer_to("127.0.0.2", served.base, context) for _ in range(100))
        assert any(one.startswith(b"HTTP/1.1 404") for one in answers)


def test_who_waits_too_long_without_asking_is_ended_when_another_comes() -> None:
    now = [0.0]
    queue = Waiting(most=1, now=lambda: now[0])
    (silent, far), (other, _) = socket.socketpair(), socket.socketpair()
    assert queue.take(silent, ("192.0.2.1", 1)) and not queue.take(other, ("192.0.2.1", 2))
    now[0] = listen.HEAD_SECONDS + 1
    assert queue.take(other, ("192.0.2.1", 2))
    assert far.recv(1) == b""
    queue.asked(("192.0.2.1", 2))
    now[0] += 1_000
    assert queue.take(silent, ("192.0.2.1", 3)) and other.send(b"x") == 1  # it had asked
    for line in (silent, far, other, _):
        line.close()


def test_connections_that_ask_again_and_again_are_not_counted_as_waiting(folder: Path) -> None:
    with serving(folder) as served:
        parts = urlsplit(served.base)
        lines = [HTTPConnection(parts.hostname or "", parts.port) for _ in range(MOST_WAITING + 5)]
        for line in lines:
            line.request("GET", "/x/all.ics")
            assert line.getresponse().read()
        for line in lines:
            line.close()
        assert served.get(served.page).status == 200


def test_a_head_without_end_is_refused(folder: Path) -> None:
    with serving(folder) as served:
        parts = urlsplit(served.base)
        with socket.create_connection((parts.hostname, parts.port), timeout=30) as line:
            line.sendall(b"GET / HTTP/1.1\r\nX: ")
            with suppress(ConnectionError):
                for _ in range(1_000):  # 10 MB, were it not hung up on
                    line.sendall(b"a" * 10_000)
                raise AssertionError("the server took it all")
        assert served.get(served.page).status == 200


def test_five_hundred_conditional_requests_of_ten_clients_are_answered_304(folder: Path) -> None:
    with serving(folder) as served:

        def client(number: int) -> list[int]:
            url = served.url(list(Part)[number % len(Part)])
            first = served.get(url)
            again = [served.get(url, if_none_match=first.headers["etag"]) for _ in range(49)]
            return [first.status, *(reply.status for reply in again)]

        with ThreadPoolExecutor(10) as pool:
            answers = [status for one in pool.map(client, range(10)) for status in one]
        assert answers.count(304) == 490 and answers.count(200) == 10
        assert served.shelf.built == 1
