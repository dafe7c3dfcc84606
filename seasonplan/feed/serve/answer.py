"""What HTTP answers to a question for a content: whole, or not modified. Pure; knows no server.

Section numbers are of RFC 9110, from memory.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import UTC, datetime
from email.utils import format_datetime, parsedate_to_datetime
from typing import NamedTuple

from seasonplan.feed.contents import Body
from seasonplan.feed.pages.style import BARE_POLICY

METHODS = ("GET", "HEAD")
SAFE = {
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "no-referrer",  # the address is a secret and must not travel on
    "X-Robots-Tag": "noindex, nofollow, noarchive",
    "X-Frame-Options": "DENY",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Content-Security-Policy": BARE_POLICY,
}
# Kept by the client alone, and asked for again each time: a 304 costs next to nothing.
CACHE = "private, no-cache"


class Answer(NamedTuple):
    status: int
    headers: dict[str, str]
    content: bytes = b""


def answered(body: Body, asked: Mapping[str, str], *, policy: str = BARE_POLICY) -> Answer:
    """A content for a request with these headers (names in lower case)."""
    packed = _takes_gzip(asked.get("accept-encoding", ""))
    headers = SAFE | {
        "Content-Security-Policy": policy,
        "ETag": _tag(body, packed=packed),
        "Last-Modified": format_datetime(body.since.astimezone(UTC), usegmt=True),
        "Cache-Control": CACHE,
        "Vary": "Accept-Encoding",
    }
    if _has_it(body, asked):
        return Answer(304, headers)
    content = body.packed if packed else body.content
    headers |= {"Content-Type": body.media_type, "Content-Length": str(len(content))}
    if packed:
        headers["Content-Encoding"] = "gzip"
    return Answer(200, headers, content)


def refused(status: int, text: str, **more: str) -> Answer:
    """A no in plain words, and the end of the connection."""
    content = f"{text}\n".encode()
    headers = SAFE | {
        "Content-Type": "text/plain; charset=utf-8", "Content-Length": str(len(content)),
        "Cache-Control": "no-store", "Connection": "close",
    }  # fmt: skip
    return Answer(status, headers | _named(more), content)


def unkept(content: bytes, *, policy: str, status: int = 200, **more: str) -> Answer:
    """A page that nobody keeps: what it holds is good once, or true only now."""
    headers = SAFE | {
        "Content-Security-Policy": policy, "Content-Type": "text/html; charset=utf-8",
        "Content-Length": str(len(content)), "Cache-Control": "no-store",
    }  # fmt: skip
    return Answer(status, headers | _named(more), content)


def see(path: str) -> Answer:
    """Where to look after a form was taken (15.4.4): always a path of our own."""
    return Answer(
        303, SAFE | {"Location": path, "Content-Length": "0", "Cache-Control": "no-store"}
    )


def _named(more: Mapping[str, str]) -> dict[str, str]:
    return {name.replace("_", "-"): value for name, value in more.items()}


def _tag(body: Body, *, packed: bool) -> str:
    """Strong, so another one for the packed form (8.8.3.3)."""
    return f'"{body.digest}{"-gz" if packed else ""}"'


def _has_it(body: Body, asked: Mapping[str, str]) -> bool:
    """Whether the client has this content; its tag counts before its date (13.2.2)."""
    tags = asked.get("if-none-match")
    if tags is not None:
        ours = {_tag(body, packed=True), _tag(body, packed=False)}
        given = {tag.strip().removeprefix("W/") for tag in tags[:4096].split(",")}
        return "*" in given or bool(ours & given)
    said = _moment(asked.get("if-modified-since", ""))
    return said is not None and body.since <= said


def _moment(text: str) -> datetime | None:
    """A date of HTTP; None for anything else, which is then as if not said (13.1.3)."""
    try:
        moment = parsedate_to_datetime(text[:64])
    except (ValueError, TypeError, IndexError, OverflowError):
        return None
    return moment if moment.tzinfo else moment.replace(tzinfo=UTC)


def _takes_gzip(accepts: str) -> bool:
    """Whether gzip is named and not forbidden by q=0 (12.5.3)."""
    for one in accepts[:256].lower().split(","):
        name, _, weight = one.partition(";")
        if name.strip() == "gzip":
            return weight.replace(" ", "").strip().rstrip("0").rstrip(".") not in ("q=", "q=0")
    return False
