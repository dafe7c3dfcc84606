"""Real servers for the tests, on 127.0.0.1 and any free port: ours, Radicale, and a plain one."""

from __future__ import annotations

import http.client
import socket
import subprocess
import sys
import threading
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import UTC, datetime
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Any, NamedTuple
from urllib.parse import urlsplit

import caldav

from seasonplan.cli.accepted import accepted, marks
from seasonplan.feed.address import address_of
from seasonplan.feed.contents import Shelf, Wish
from seasonplan.feed.entries import Present
from seasonplan.feed.links import Pages
from seasonplan.feed.pages.page import link
from seasonplan.feed.parts import Part
from seasonplan.feed.serve import listen
from seasonplan.feed.serve.door import Door
from seasonplan.feed.serve.limits import Allowance

SECRET = "only-for-tests-0123456789abcdefgh"
NOW = datetime(2027, 1, 2, 12, tzinfo=UTC)
USER, PASSWORD = "robin", "pass word; ü"


class Reply(NamedTuple):
    status: int
    headers: Mapping[str, str]  # by lower-case name
    content: bytes


@dataclass
class Served:
    """Our server with one folder behind it."""

    base: str
    shelf: Shelf
    log: list[str] = field(default_factory=list)
    secret: str = SECRET

    def url(self, part: Part) -> str:
        return link(self.base, self.secret, part)

    @property
    def page(self) -> str:
        return f"{self.base}/{self.secret}/"

    def get(self, url: str, **headers: str) -> Reply:
        return ask(url, **headers)


def ask(url: str, *, method: str = "GET", body: str | None = None, **headers: str) -> Reply:
    """One request; `if_none_match` is the header If-None-Match."""
    parts = urlsplit(url)
    connection = http.client.HTTPConnection(parts.hostname or "", parts.port, timeout=30)
    try:
        named = {name.replace("_", "-"): value for name, value in headers.items()}
        connection.request(method, parts.path, body, named)
        answer = connection.getresponse()
        found = {name.lower(): value for name, value in answer.getheaders()}
        return Reply(answer.status, found, answer.read())
    finally:
        connection.close()


@contextmanager
def serving(folder: Path, **options: Any) -> Iterator[Served]:
    """Our server, run as `seasonplan serve` runs it. Options are those of `Door` and `Wish`."""
    wish = options.pop("wish", Wish())
    taken = listen.bound("127.0.0.1", 0)
    tls = options.pop("tls", {})
    base = f"{'https' if tls else 'http'}://127.0.0.1:{taken.getsockname()[1]}"
    now = options.pop("now", lambda: NOW)
    shelf = Shelf(
        lambda: accepted(folder), lambda: marks(folder / "plan.json", folder / "year.toml"),
        wish=wish, now=now, pages=Pages(base),
    )  # fmt: skip
    served = Served(base, shelf)
    options.setdefault("present", lambda: Present(now()))
    address = options.pop("address", lambda: address_of(SECRET))
    door = Door(shelf, address, base=served.base, log=served.log.append, **options)
    server = listen.server(door, taken.waiting, **tls)
    thread = threading.Thread(target=server.run, kwargs={"sockets": [taken]})
    thread.start()
    try:
        yield served
    finally:
        server.should_exit = True
        thread.join(30)
        taken.close()


def unlimited() -> Allowance:
    from seasonplan.feed.serve.limits import Rate

    return Allowance(Rate(1e9, 1e9))


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


@contextmanager
def radicale(
    folder: Path, *options: str, tls: tuple[Path, Path, Path] | None = None, make: bool = True
) -> Iterator[str]:
    """A Radicale server that keeps its files in `folder`; the address of a new calendar.

    With `tls` (certificate, key, authority) it is encrypted. `options` are more of its own.
    Without `make` the calendar is there already.
    """
    port = free_port()
    (folder / "users").write_text(f"{USER}:{PASSWORD}\n", encoding="utf-8")
    process = subprocess.Popen(
        [
            sys.executable, "-m", "radicale", "--config", "", "--server-hosts", f"127.0.0.1:{port}",
            "--auth-type", "htpasswd", "--auth-htpasswd-filename", str(folder / "users"),
            "--auth-htpasswd-encryption", "plain", "--auth-delay", "0",
            "--storage-filesystem-folder", str(folder / "kept"), "--logging-level", "error",
            *(("--server-ssl", "--server-certificate", str(tls[0]), "--server-key", str(tls[1]))
              if tls else ()),
            *options,
        ],
        stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
    )  # fmt: skip
    try:
        _wait_for(port, process)
        url = f"{'https' if tls else 'http'}://127.0.0.1:{port}/{USER}/climbing/"
        if make:
            with client(url, ca=tls[2] if tls else None) as made:
                assert made.mkcalendar(url).status == 201
        yield url
    finally:
        process.terminate()
        process.wait(30)


@contextmanager
def xandikos(folder: Path) -> Iterator[str]:
    """A CalDAV server of another make; the address of the server. It asks for no password."""
    port = free_port()
    process = subprocess.Popen(
        [
            sys.executable, "-m", "xandikos", "serve", "--defaults", "-d", str(folder),
            "-l", "127.0.0.1", "-p", str(port), "--current-user-principal", f"/{USER}/",
        ],
        stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
    )  # fmt: skip
    try:
        _wait_for(port, process)
        yield f"http://127.0.0.1:{port}/"
    finally:
        process.terminate()
        process.wait(30)


def client(url: str, *, ca: Path | None = None) -> Any:
    """The caldav library as a person's calendar program would use it."""
    return caldav.DAVClient(
        url=url, username=USER, password=PASSWORD, enable_rfc6764=False, timeout=30,
        ssl_verify_cert=str(ca) if ca else True,
    )  # fmt: skip


def authority(folder: Path, *names: str, days: int = 2) -> tuple[Path, Path, Path]:
    """A certificate for these names, its key, and the authority that signed it; by openssl."""
    folder.mkdir(exist_ok=True)
    ca, ca_key, key, asked, cert, more = (
        folder / name for name in ("ca.pem", "ca.key", "me.key", "me.csr", "me.pem", "me.ext")
    )
    curve = ("-newkey", "ec", "-pkeyopt", "ec_paramgen_curve:prime256v1", "-nodes")
    more.write_text(f"subjectAltName={','.join(names)}\nbasicConstraints=CA:FALSE\n")
    for command in (
        ("req", "-x509", *curve, "-days", "2", "-subj", "/CN=Own authority",
         "-addext", "keyUsage=critical,keyCertSign", "-keyout", ca_key, "-out", ca),
        ("req", *curve, "-subj", "/CN=me", "-keyout", key, "-out", asked),
        ("x509", "-req", "-in", asked, "-CA", ca, "-CAkey", ca_key, "-CAcreateserial",
         "-days", str(days), "-extfile", more, "-out", cert),
    ):  # fmt: skip
        subprocess.run(["openssl", *command], check=True, capture_output=True)
    return cert, key, ca


def _wait_for(port: int, process: subprocess.Popen[bytes]) -> None:
    for _ in range(600):
        if process.poll() is not None:
            raise AssertionError(f"the server ended at once with {process.returncode}")
        with socket.socket() as probe:
            probe.settimeout(0.2)
            if probe.connect_ex(("127.0.0.1", port)) == 0:
                return
        threading.Event().wait(0.05)
    raise AssertionError("the server does not answer")


@dataclass
class Plain:
    """A web server that says what a test tells it to, and remembers what it was asked."""

    base: str
    answers: dict[str, Callable[[Any], Reply]] = field(default_factory=dict)
    asked: list[tuple[str, dict[str, str]]] = field(default_factory=list)

    def says(self, path: str, content: bytes, status: int = 200, **headers: str) -> str:
        """The address at which that is to be had."""
        named = {name.replace("_", "-"): value for name, value in headers.items()}
        self.answers[path] = lambda asked: Reply(status, named, content)
        return self.base + path


@contextmanager
def plain_server(context: Any = None) -> Iterator[Plain]:
    """A web server for calendars of others; with TLS where a context is given."""
    told: Plain

    class Handler(BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            told.asked.append((self.path, {k.lower(): v for k, v in self.headers.items()}))
            nothing = Reply(404, {}, b"nothing")
            reply = told.answers.get(self.path, lambda asked: nothing)(self.headers)
            self.send_response(reply.status)
            headers = {name.lower(): value for name, value in reply.headers.items()}
            for name, value in ({"content-length": str(len(reply.content))} | headers).items():
                self.send_header(name, value)
            self.end_headers()
            self.wfile.write(reply.content)

        do_PROPFIND = do_GET  # noqa: N815  (http.server finds it by this name)

        def log_message(self, *_: object) -> None:
            pass

    server = ThreadingHTTPServer(("127.0.0.1", 0), Handler)
    if context is not None:
        server.socket = context.wrap_socket(server.socket, server_side=True)
    told = Plain(f"{'https' if context else 'http'}://127.0.0.1:{server.server_port}")
    thread = threading.Thread(target=server.serve_forever, kwargs={"poll_interval": 0.05})
    thread.start()
    try:
        yield told
    finally:
        server.shutdown()
        thread.join(30)
        server.server_close()
