"""How much the server lets one address ask, and how long it waits for a question."""

# ruff: noqa: F401, F811  (imported fixtures: pytest finds them by their names)
from __future__ import annotations

import socket
from concurrent.futures import ThreadPoolExecutor
from contextlib import suppress
from pathlib import Path
from urllib.parse import urlsplit

import pytest
from served import serving
from test_feed import SESSIONS_PART, folder

from seasonplan.feed import listen
from seasonplan.feed.limits import Allowance, Rate, network_of
from seasonplan.feed.parts import Part


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
