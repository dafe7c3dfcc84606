"""`seasonplan serve` as a person runs it: a process of its own, its link, its log, its files."""

from __future__ import annotations

import json
import re
import shutil
import signal
import socket
import ssl
import subprocess
import sys
import urllib.request
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

import pytest
from folder_maker import planned
from served import ask, free_port
from test_feed_fetch import certificate, needs_openssl
from typer.testing import CliRunner

from seasonplan.cli.app import app
from seasonplan.cli.exits import Exit
from seasonplan.cli.screen import Screen
from seasonplan.cli.serve import _show_links
from seasonplan.feed.address import address_of, new_secret
from seasonplan.feed.pages.page import link
from seasonplan.feed.pages.subscribe import offered
from seasonplan.feed.parts import Part
from seasonplan.feed.private import change_private, load_private
from seasonplan.feed.serve import listen


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return planned(tmp_path)


@contextmanager
def running(folder: Path, *options: object, errors: list[str] | None = None) -> Iterator[Any]:
    """The facts that `seasonplan serve --json` tells first."""
    process = subprocess.Popen(
        [
            sys.executable, "-c", "from seasonplan.cli import main; main()", "serve", str(folder),
            "--port", "0", "--json", *map(str, options),
        ],
        stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
    )  # fmt: skip
    assert process.stdout is not None
    lines: list[str] = []
    while not lines or not lines[-1].startswith("}"):
        line = process.stdout.readline()
        assert line, process.communicate(timeout=30)[1]
        lines.append(line)
    try:
        yield json.loads("".join(lines))
    finally:
        process.terminate()
        told = process.communicate(timeout=30)
        if errors is not None:
            errors += told


def run(*arguments: object) -> Any:
    return CliRunner().invoke(app, [str(one) for one in arguments], env={"COLUMNS": "100"})


def test_the_link_is_told_once_and_stays_good_over_a_restart(folder: Path) -> None:
    told: list[str] = []
    with running(folder, errors=told) as facts:
        path = urlsplit(facts["page"]).path
        assert ask(facts["page"]).status == 200
        for url in facts["calendars"].values():
            assert ask(url).content.startswith(b"BEGIN:VCALENDAR\r\n")
    with running(folder, errors=told) as again:
        assert again["page"] is None
        first = ask(again["base"] + path)
        assert first.status == 200
    secrets = [
        path.strip("/"),
        *(urlsplit(u).path.split("/")[1] for u in facts["calendars"].values()),
    ]
    assert len(secrets) == 5
    for text in (*told, *(p.read_text() for p in folder.iterdir())):
        assert not [secret for secret in secrets if secret in text]
    assert "200 GET page" in "".join(told), "the log is there"
    assert (folder / "feed.json").stat().st_mode & 0o777 == 0o600


def test_a_new_address_ends_the_old_one_even_of_a_server_that_runs(folder: Path) -> None:
    with running(folder) as facts:
        with running(folder, "--new-address") as anew:
            assert ask(anew["page"]).status == 200
            assert ask(anew["base"] + urlsplit(facts["page"]).path).status == 404
        assert ask(facts["page"]).status == 404
        assert ask(facts["base"] + urlsplit(anew["page"]).path).status == 200


def test_dates_stay_over_a_restart(folder: Path) -> None:
    port = free_port()  # another would be another link in every event
    with running(folder, "--port", port) as facts:
        before = {part: ask(url).headers for part, url in facts["calendars"].items()}
    with running(folder, "--port", port) as again:
        for part, url in facts["calendars"].items():
            now = ask(again["base"] + urlsplit(url).path).headers
            for name in ("etag", "last-modified"):
                assert now[name] == before[part][name]


def test_only_this_machine_is_let_in_unless_lan_is_said(folder: Path) -> None:
    own = listen.own_address()
    if own.startswith("127."):
        pytest.skip("this machine has no address but its own")
    with running(folder) as facts:
        assert urlsplit(facts["base"]).hostname == "127.0.0.1"
        with socket.socket() as probe:
            probe.settimeout(5)
            assert probe.connect_ex((own, urlsplit(facts["base"]).port or 0)) != 0


def test_numbers_go_on_where_the_server_before_left_them(folder: Path) -> None:
    secret = new_secret()
    change_private(folder, lambda kept: kept.with_fields(address=address_of(secret)))
    numbers = []
    for options in ((), ("--alarm", 5), ("--alarm", 5), ("--no-alarm",)):
        with running(folder, *options) as facts:
            content = ask(link(facts["base"], secret, Part.SESSIONS)).content
        numbers.append({int(one) for one in re.findall(rb"\nSEQUENCE:(\d+)", content)})
    assert numbers == [{0}, {1}, {1}, {2}]


def damage(folder: Path) -> None:
    (folder / "feed.json").write_text('{"address": 7}', encoding="utf-8")


def lose(folder: Path) -> None:
    (folder / "feed.json").unlink()


def take_away(folder: Path) -> None:
    folder.rename(folder.with_name("elsewhere"))


# RFC 9110 15.6.4 and 10.2.3. Calendar programs take 404 or 410 for the end of a calendar.
@pytest.mark.parametrize("harm", [damage, lose, take_away])
def test_what_cannot_be_read_now_is_never_said_not_to_be_there(
    tmp_path: Path, harm: Callable[[Path], None]
) -> None:
    (tmp_path / "year").mkdir()
    folder, errors = planned(tmp_path / "year"), list[str]()
    with running(folder, errors=errors) as facts:
        kept = (folder / "feed.json").read_bytes()
        url = facts["calendars"]["all"]
        assert ask(url).status == 200
        harm(folder)
        for path in (url, facts["page"], f"{facts['base']}/nobody/all.ics"):
            reply = ask(path)
            assert reply.status == 503 and int(reply.headers["retry-after"]) > 0
        if harm is take_away:
            folder.with_name("elsewhere").rename(folder)
        (folder / "feed.json").write_bytes(kept)
        assert ask(url).status == 200
    told = " ".join(errors[1].split())
    assert told.count("Nobody is served until this is mended") == 1
    assert "feed.json" in told


@needs_openssl
def test_with_a_certificate_the_feed_is_encrypted(folder: Path, tmp_path_factory: Any) -> None:
    cert, key = certificate(tmp_path_factory.mktemp("tls"), "localhost")
    trusting = ssl.create_default_context(cafile=str(cert))
    with running(folder, "--cert", cert, "--key", key, "--name", "localhost") as facts:
        assert facts["page"].startswith("https://localhost:")
        with urllib.request.urlopen(
            facts["calendars"]["all"], context=trusting, timeout=30
        ) as answer:
            assert answer.read().startswith(b"BEGIN:VCALENDAR\r\n")
        with socket.create_connection(("127.0.0.1", urlsplit(facts["page"]).port), 30) as plain:
            plain.sendall(b"GET / HTTP/1.1\r\nHost: x\r\n\r\n")
            assert b"200" not in plain.recv(1_000)


@needs_openssl
def test_with_a_certificate_the_terminal_shows_no_link_that_could_go_unencrypted(
    folder: Path, tmp_path_factory: Any
) -> None:
    cert, key = certificate(tmp_path_factory.mktemp("tls"), "localhost")
    process = subprocess.Popen(
        [
            sys.executable, "-c", "from seasonplan.cli import main; main()", "serve", str(folder),
            "--port", "0", "--plain", "--cert", cert, "--key", key, "--name", "localhost",
        ],
        stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
    )  # fmt: skip
    assert process.stdout is not None
    seen = ""
    while "ask without encryption" not in seen:
        seen += process.stdout.readline() or pytest.fail(str(process.communicate()[1]))
    process.send_signal(signal.SIGINT)
    process.communicate(timeout=30)
    assert "webcal://" not in seen
    assert len(re.findall(r"https://localhost:\d+/\S+\.ics", seen)) == 4


# seen: a code of 21 lines for a phone, beside "only this machine is let in"
@pytest.mark.parametrize(("base", "drawn"), [("127.0.0.1", False), ("192.168.2.9", True)])
def test_a_code_is_drawn_only_where_a_phone_is_let_in(
    base: str, drawn: bool, capsys: pytest.CaptureFixture[str]
) -> None:
    screen = Screen(plain=False, colour=False, unicode=True, width=80)
    _show_links(f"http://{base}:8642", new_secret(), screen)
    told = capsys.readouterr().out
    assert ("█" in told) is drawn and f"http://{base}:8642/" in told


@pytest.mark.parametrize("host", ["192.168.178.123", "a-machine.with.a.long.name.example.org"])
@pytest.mark.parametrize("plain", [False, True])
def test_each_link_stands_alone_on_its_line_and_is_never_broken(
    host: str, *, plain: bool, capsys: pytest.CaptureFixture[str]
) -> None:
    screen = Screen(plain=plain, colour=not plain, unicode=not plain, width=60)
    base, secret = f"http://{host}:8642", new_secret()
    _show_links(base, secret, screen)
    links = [f"{base}/{secret}/", *(offered(link(base, secret, part)) for part in Part)]
    assert [one for one in capsys.readouterr().out.splitlines() if host in one] == links


def test_files_that_are_no_certificate_are_told(folder: Path) -> None:
    for cert in (folder / "none.pem", folder / "year.toml"):
        ran = run("serve", folder, "--cert", cert, "--key", cert)
        assert ran.exit_code == Exit.BAD_INPUT and "wanted a certificate in PEM form" in ran.stderr


@pytest.mark.skipif(shutil.which("openssl") is None, reason="openssl makes the key")
def test_a_key_with_a_password_is_told_and_nobody_is_asked(folder: Path, tmp_path: Path) -> None:
    cert, key = certificate(tmp_path, "localhost")
    shut = tmp_path / "shut.pem"
    subprocess.run(
        ["openssl", "ec", "-in", key, "-aes256", "-passout", "pass:x", "-out", shut],
        check=True, capture_output=True,
    )  # fmt: skip
    ran = run("serve", folder, "--cert", cert, "--key", shut)
    assert ran.exit_code == Exit.BAD_INPUT and "password" in ran.stderr


def test_a_port_that_is_taken_is_told(folder: Path) -> None:
    with socket.create_server(("127.0.0.1", 0)) as other:
        ran = run("serve", folder, "--port", other.getsockname()[1])
    assert ran.exit_code == Exit.BAD_INPUT and "wanted a free port" in ran.stderr
    assert load_private(folder).address is None, "no link was made and lost"


def test_without_a_plan_nothing_is_served(tmp_path: Path) -> None:
    (tmp_path / "year.toml").write_text("[year]\n", encoding="utf-8")
    ran = run("serve", tmp_path)
    assert ran.exit_code == Exit.BAD_INPUT and "seasonplan plan" in ran.stderr
    ran = run("serve", tmp_path / "none")
    assert ran.exit_code == Exit.BAD_INPUT and "seasonplan new" in ran.stderr


@pytest.mark.parametrize("name", ["a b", "evil.example/x", "a:80", "ü.example", "<x>", "a" * 300])
def test_a_name_that_is_none_is_refused(folder: Path, name: str) -> None:
    assert run("serve", folder, "--name", name).exit_code == Exit.BAD_INPUT


def test_a_private_file_that_others_can_read_is_shut_before_more_is_written(folder: Path) -> None:
    path = folder / "feed.json"
    path.write_text("{}")
    path.chmod(0o644)
    change_private(folder, lambda kept: kept.with_fields(seen={}, busy={}, schema_version=1))
    from seasonplan.feed.address import address_of

    change_private(folder, lambda kept: kept.with_fields(address=address_of("x")))
    assert path.stat().st_mode & 0o777 == 0o600


def test_two_who_change_the_private_file_at_once_lose_nothing(folder: Path) -> None:
    from concurrent.futures import ThreadPoolExecutor

    from seasonplan.feed.private import Subscription

    def note(number: int) -> None:
        one = {f"{number}.ics": Subscription(url=f"https://a.example/{number}")}
        change_private(folder, lambda kept: kept.with_fields(busy={**kept.busy, **one}))

    with ThreadPoolExecutor(3) as pool:
        list(pool.map(note, range(12)))
    assert len(load_private(folder).busy) == 12


def test_ctrl_c_ends_it_in_a_line_and_with_the_code_of_a_stop(folder: Path) -> None:
    process = subprocess.Popen(
        [
            sys.executable, "-c", "from seasonplan.cli import main; main()", "serve", str(folder),
            "--port", "0", "--plain",
        ],
        stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
    )  # fmt: skip
    assert process.stdout is not None
    seen = ""
    while "webcal://" not in seen or not seen.endswith("seasons-and-trips.ics\n"):
        seen += process.stdout.readline() or pytest.fail(str(process.communicate()[1]))
    base = re.findall(r"(http://[^/\s]+)/", seen)[0]
    assert ask(f"{base}/").status == 404  # it is up
    process.send_signal(signal.SIGINT)
    _, errors = process.communicate(timeout=30)
    assert process.returncode == Exit.STOPPED
    assert "Traceback" not in errors and "Serving until you press Ctrl-C." in errors
    assert "Stopped. Phones keep what they fetched" in errors
    assert "nothing was changed" not in errors, "answers may have been written"
