"""A calendar server under an authority of one's own, and what is told when one cannot be used."""

# ruff: noqa: F401, F811  (imported fixtures: pytest finds them by their names)
from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from served import (
    PASSWORD,
    USER,
    authority,
    client,
    free_port,
    plain_server,
    radicale,
)
from test_feed_fetch import needs_openssl
from test_publish import FOREIGN, _password, folder, run

from seasonplan.cli.exits import Exit
from seasonplan.feed.caldav.remote import Remote, Unreachable
from seasonplan.feed.private import load_private

pytestmark = needs_openssl


@pytest.fixture(scope="module")
def tls(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path, Path]:
    return authority(tmp_path_factory.mktemp("tls"), "IP:127.0.0.1")


@pytest.fixture(scope="module")
def secure(tls: tuple[Path, Path, Path], tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """A calendar on a server whose certificate is signed by an authority of its own."""
    with radicale(tmp_path_factory.mktemp("secure"), tls=tls) as url:
        yield url


@pytest.fixture(autouse=True)
def _usual_authorities(monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("SSL_CERT_FILE", "REQUESTS_CA_BUNDLE"):
        monkeypatch.delenv(name, raising=False)


def published(folder: Path, url: str, *options: object) -> Any:
    return run("publish", folder, "--caldav", url, "--user", USER, *options)


def told(ran: Any) -> str:
    return " ".join(ran.stderr.split())


def count(url: str, ca: Path) -> int:
    with client(url, ca=ca) as there:
        return len(there.calendar(url=url).events())


def test_an_own_authority_is_named_once_and_known_from_then_on(
    folder: Path, secure: str, tls: tuple[Path, Path, Path]
) -> None:
    refused = published(folder, secure)
    assert refused.exit_code == Exit.CANNOT_WRITE
    assert "its certificate is signed by nobody that is trusted here" in told(refused)
    assert "--ca FILE" in told(refused) and "run it again" not in told(refused)
    assert published(folder, secure, "--ca", tls[2]).exit_code == Exit.FINE
    assert count(secure, tls[2]) > 10
    again = run("publish", folder)
    assert again.exit_code == Exit.FINE and "0 events written" in told(again)
    assert load_private(folder).collections[secure].ca == str(tls[2])
    assert published(folder, secure, "--take-down").exit_code == Exit.FINE
    assert count(secure, tls[2]) == 0


@pytest.mark.parametrize("name", ["SSL_CERT_FILE", "REQUESTS_CA_BUNDLE"])
def test_an_own_authority_is_taken_from_the_usual_variables(
    folder: Path, secure: str, tls: tuple[Path, Path, Path], name: str,
    monkeypatch: pytest.MonkeyPatch,
) -> None:  # fmt: skip
    monkeypatch.setenv(name, str(tls[2]))
    assert published(folder, secure).exit_code == Exit.FINE
    assert published(folder, secure, "--take-down").exit_code == Exit.FINE


def test_an_authority_that_is_no_certificate_is_told(
    folder: Path, secure: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    for file in (folder / "none.pem", folder / "year.toml"):
        ran = published(folder, secure, "--ca", file)
        assert ran.exit_code == Exit.BAD_INPUT
        assert "wanted the certificate of an authority" in told(ran) and file.name in told(ran)
    monkeypatch.setenv("SSL_CERT_FILE", str(folder / "gone.pem"))
    assert "SSL_CERT_FILE" in told(published(folder, secure))


def test_another_authority_does_not_open_the_door(
    folder: Path, secure: str, tmp_path_factory: pytest.TempPathFactory
) -> None:
    other = authority(tmp_path_factory.mktemp("other"), "IP:127.0.0.1")[2]
    ran = published(folder, secure, "--ca", other)
    assert ran.exit_code == Exit.CANNOT_WRITE and "signed by nobody" in told(ran)


def test_a_certificate_for_another_name_is_told_as_that(
    folder: Path, secure: str, tls: tuple[Path, Path, Path]
) -> None:
    elsewhere = secure.replace("127.0.0.1", "localhost")
    assert "for another name" in told(published(folder, elsewhere, "--ca", tls[2]))


def test_a_certificate_that_is_over_is_told_as_that(
    folder: Path, tmp_path_factory: pytest.TempPathFactory
) -> None:
    import ssl

    over = authority(tmp_path_factory.mktemp("over"), "IP:127.0.0.1", days=-1)
    context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    context.load_cert_chain(over[0], over[1])
    with plain_server(context) as web:
        ran = published(folder, f"{web.base}/cal/", "--ca", over[2])
    assert "no longer valid" in told(ran)


# --- what is told ---------------------------------------------------------------------------


def answered(status: int, **headers: str) -> Unreachable:
    """What is made of a server that answers so."""
    with plain_server() as web:
        web.says("/cal/a.ics", FOREIGN.encode(), status, **headers)
        remote = Remote(f"{web.base}/cal/", user=USER, password=PASSWORD)
        with pytest.raises(Unreachable) as caught:
            remote.read("a.ics")
        remote.close()
    return caught.value


@pytest.mark.parametrize(
    ("status", "why", "again"),
    [
        (403, "may not do that there", False),
        (409, "no such collection", False),
        (405, "no calendar server answers there", False),
        (302, "leads elsewhere", False),
        (507, "no room", False),
        (500, "answered 500", True),
    ],
)
def test_what_a_server_answers_is_told_by_its_cause(status: int, why: str, again: bool) -> None:
    headers = {"location": "http://127.0.0.1:9/x"} if status == 302 else {}
    error = answered(status, **headers)
    assert why in error.why and ("run it again" in error.do) is again


@pytest.mark.parametrize(
    ("path", "why"),
    [
        (f"{USER}/nowhere/", "there is no such collection"),
        (f"{USER}/", "that is no calendar collection"),
        ("somebody/climbing/", "may not do that there"),
    ],
)
def test_a_wrong_path_is_told_as_that_and_nothing_is_noted(
    folder: Path, secure: str, tls: tuple[Path, Path, Path], path: str, why: str
) -> None:
    base = secure.removesuffix(f"{USER}/climbing/")
    ran = published(folder, base + path, "--ca", tls[2])
    assert ran.exit_code in (Exit.CANNOT_WRITE, Exit.BAD_INPUT)
    assert why in told(ran) and "run it again" not in told(ran)
    assert len(ran.stderr.splitlines()) <= 3
    assert not any(one.events for one in load_private(folder).collections.values())


def test_a_calendar_that_may_only_be_read_is_told_as_that(
    folder: Path, tmp_path_factory: pytest.TempPathFactory
) -> None:
    server = tmp_path_factory.mktemp("readonly")
    with radicale(server):
        pass  # the calendar is made
    rights = server / "rights"
    rights.write_text(f"[all]\nuser: {USER}\ncollection: .*\npermissions: Rr\n")
    options = ("--rights-type", "from_file", "--rights-file", str(rights))
    with radicale(server, *options, make=False) as url:
        ran = published(folder, url)
    assert ran.exit_code == Exit.BAD_INPUT
    assert "may not do that there" in told(ran) and "of your own" in told(ran)


def test_nobody_there_and_no_such_name_are_two_things(folder: Path) -> None:
    ran = published(folder, f"http://127.0.0.1:{free_port()}/x/")
    assert "nothing listens there" in told(ran)
    ran = published(folder, "https://calendar.invalid/x/")  # RFC 2606: never a name
    assert "its name is not known" in told(ran)
