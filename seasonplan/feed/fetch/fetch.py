"""One calendar asked for over HTTP, with patience and trust measured out. Knows no folder.

Nothing of what the other side says gets into an error but its status: neither its words nor the
link, which is a secret.
"""

from __future__ import annotations

import http.client
import socket
import ssl
import threading
import zlib
from collections.abc import Iterator
from contextlib import ExitStack, closing, contextmanager
from dataclasses import dataclass
from time import monotonic
from typing import NamedTuple
from urllib.parse import urljoin, urlsplit

from seasonplan.feed.fetch.lookup import Forbidden, Resolve, Target, target
from seasonplan.vocabulary import FrozenModel

AGENT = "seasonplan (busy calendar)"  # some servers send a web page to who gives no name
MOST_TAG = 1_000  # letters of a tag or date that are kept
OFFLINE = "it is misspelt, or this machine is not online"
REDIRECTS = (301, 302, 303, 307, 308)


class FetchLimits(FrozenModel):
    """How much a server may ask of us. Preferences; real calendars pass 1 MB."""

    file_bytes: int = 10_000_000
    seconds: float = 30.0
    pause_seconds: float = 10.0
    redirects: int = 5


class Fetched(NamedTuple):
    """`content` is None where it is still what the tags were given for."""

    content: bytes | None
    etag: str
    last_modified: str


class FetchFailed(Exception):
    """Nothing that could be used came; why, in a few words."""


@dataclass(frozen=True, slots=True)
class Trust:
    """Whom to believe: a private address of the host that is named, other authorities, another way
    to look up names."""

    allow_private: bool = False
    authorities: ssl.SSLContext | None = None
    resolve: Resolve | None = None


def fetch(
    url: str, *, etag: str = "", last_modified: str = "", trust: Trust | None = None,
    limits: FetchLimits | None = None,
) -> Fetched:  # fmt: skip
    """What is at a link by now, if it changed. Raises FetchFailed."""
    trust, limits = trust or Trust(), limits or FetchLimits()
    asking = {"User-Agent": AGENT, "Accept": "text/calendar, */*;q=0.1", "Accept-Encoding": "gzip"}
    asking |= {"If-None-Match": etag} if etag else {}
    asking |= {"If-Modified-Since": last_modified} if last_modified else {}
    ends = monotonic() + limits.seconds
    with _told():
        first = urlsplit(url).hostname
        for _ in range(limits.redirects + 1):
            # the climber vouched for the host in the link, and for none that it leads on to
            private = trust.allow_private and urlsplit(url).hostname == first
            to = target(url, allow_private=private, resolve=trust.resolve)
            got = _asked(to, asking, trust, limits, ends)
            if isinstance(got, Fetched):
                return got
            url = urljoin(url, got)
    raise FetchFailed(f"it led on more than {limits.redirects} times")


def _asked(
    to: Target, asking: dict[str, str], trust: Trust, limits: FetchLimits, ends: float
) -> Fetched | str:
    """The content, or where it is instead."""
    with _connected(to, trust, limits, ends) as (connection, late):
        connection.request("GET", to.path, headers=asking)
        with connection.getresponse() as answer:
            got = _taken(answer, asking, limits)
        if late.is_set():  # what was cut off looks like an end
            raise TimeoutError
        return got


def _taken(
    answer: http.client.HTTPResponse, asking: dict[str, str], limits: FetchLimits
) -> Fetched | str:
    if answer.status in REDIRECTS and answer.headers.get("Location"):
        return str(answer.headers["Location"])
    conditional = "If-None-Match" in asking or "If-Modified-Since" in asking
    etag, last_modified = (answer.headers.get(name, "") for name in ("ETag", "Last-Modified"))
    content = None
    if answer.status != 304 or not conditional:
        if answer.status != 200:
            raise FetchFailed(f"the server answered {answer.status}")
        content = _content(answer, limits)
    return Fetched(content, etag[:MOST_TAG], last_modified[:MOST_TAG])


@contextmanager
def _connected(
    to: Target, trust: Trust, limits: FetchLimits, ends: float
) -> Iterator[tuple[http.client.HTTPConnection, threading.Event]]:
    """A connection to the judged address, cut when the time is up, wherever it is by then."""
    left = ends - monotonic()
    if left <= 0:
        raise TimeoutError
    pause, late = min(limits.pause_seconds, left), threading.Event()
    lines = [socket.create_connection((to.address, to.port), timeout=pause)]
    cut = threading.Timer(left, lambda: _shut(lines[-1], late))
    cut.daemon = True
    cut.start()
    with ExitStack() as open_things:
        open_things.callback(lambda: lines[-1].close())
        open_things.callback(cut.cancel)
        connection = open_things.enter_context(closing(_on(lines, to, trust, pause)))
        yield connection, late


def _on(
    lines: list[socket.socket], to: Target, trust: Trust, pause: float
) -> http.client.HTTPConnection:
    """HTTP on an open line; the certificate must be for the name, not for the address."""
    if not to.secure:
        connection = http.client.HTTPConnection(to.host, to.port, timeout=pause)
    else:
        context = trust.authorities or ssl.create_default_context()
        secure = context.wrap_socket(
            lines[-1], server_hostname=to.host, do_handshake_on_connect=False
        )
        lines.append(secure)
        secure.do_handshake()
        connection = http.client.HTTPSConnection(to.host, to.port, timeout=pause, context=context)
    connection.sock = lines[-1]
    return connection


def _shut(line: socket.socket, late: threading.Event) -> None:
    late.set()
    try:
        line.shutdown(socket.SHUT_RDWR)
    except OSError:
        return  # closed already


def _content(answer: http.client.HTTPResponse, limits: FetchLimits) -> bytes:
    """All that is sent, unpacked, as far as it may be."""
    packing = answer.headers.get("Content-Encoding", "identity").strip().lower()
    if packing not in ("identity", "gzip", "x-gzip", ""):
        raise FetchFailed("it came packed in a way nobody asked for")
    unpack = zlib.decompressobj(wbits=31) if "gzip" in packing else None
    content, missing = bytearray(), answer.length
    while piece := answer.read1(65_536):
        missing = missing - len(piece) if missing is not None else None
        while piece:
            room = limits.file_bytes + 1 - len(content)
            content += unpack.decompress(piece, room) if unpack else piece
            if len(content) > limits.file_bytes:
                raise FetchFailed(f"it is larger than {limits.file_bytes / 1e6:g} MB")
            piece = unpack.unconsumed_tail if unpack else b""
    if missing or (unpack and not unpack.eof):
        raise FetchFailed("it broke off in the middle")
    return bytes(content)


@contextmanager
def _told() -> Iterator[None]:
    """What went wrong, without the words of the other side."""
    try:
        yield
    except Forbidden as no:
        raise FetchFailed(str(no)) from None
    except ssl.SSLCertVerificationError:
        raise FetchFailed("its certificate is not to be trusted") from None
    except TimeoutError:
        raise FetchFailed("it took too long") from None
    except socket.gaierror:
        raise FetchFailed(f"its name is not known: {OFFLINE}") from None
    except (OSError, http.client.HTTPException, zlib.error, ValueError) as error:
        raise FetchFailed(f"the connection failed ({type(error).__name__})") from None
