"""A CalDAV collection, file by file. Does only what it is told, and always under a condition.

What is there by now is never overwritten unseen: every write names the tag that it replaces, or
that nothing must be there (RFC 9110 13.1). Knows no plan.
"""

from __future__ import annotations

import ipaddress
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any
from urllib.parse import urljoin, urlsplit

from seasonplan.errors import BadInput, Fault

SECONDS = 30
_LIST = (
    '<?xml version="1.0" encoding="utf-8"?><propfind xmlns="DAV:"><prop><getetag/>'
    "<resourcetype/></prop></propfind>"
)


class Unreachable(Exception):
    """The server cannot be reached, broke off, or answered what no calendar server may."""


class Denied(Exception):
    """The server does not let us in, or not there."""


class Overtaken(Exception):
    """Somebody changed the file after we looked."""


def checked_url(url: str) -> str:
    """The address of a collection as it is kept. Raises BadInput where a password would leak."""
    parts = urlsplit(url.strip())
    host = parts.hostname or ""
    if parts.username or parts.password:
        found, do = "an address with a password in it", "Leave it out; name the user with --user."
    elif parts.query or parts.fragment or not host:
        found, do = "no address of a collection", "Copy it from the calendar's settings."
    elif parts.scheme != "https" and not (parts.scheme == "http" and _is_here(host)):
        found, do = f"an address that begins {parts.scheme}:", "Use https: passwords travel on it."
    else:
        return parts._replace(path=parts.path.rstrip("/") + "/").geturl()
    wanted = "https://HOST/PATH/ of a calendar collection"
    raise BadInput([Fault("publish", "--caldav", None, found, wanted, do)])


def _is_here(host: str) -> bool:
    try:
        return ipaddress.ip_address(host).is_loopback
    except ValueError:
        return host == "localhost"


class Remote:
    """One collection. Every method may raise Unreachable or Denied."""

    def __init__(self, url: str, *, user: str = "", password: str = "") -> None:
        from caldav.davclient import DAVClient

        self.url = checked_url(url)
        self._client: Any = DAVClient(
            url=self.url, username=user or None, password=password or None, timeout=SECONDS,
            enable_rfc6764=False, headers={"User-Agent": "seasonplan"},
        )  # fmt: skip
        session = self._client.session
        session.trust_env = False  # no password from .netrc, no proxy that nobody asked for
        session.max_redirects = 0  # a password goes to whom it is meant for

    def close(self) -> None:
        self._client.close()

    def listing(self) -> dict[str, str]:
        """The tag of each file, by name."""
        with _told():
            answer = self._client.propfind(self.url, _LIST, 1)
            _expect(answer.status, (200, 207))
            found = {}
            for element in answer.tree.iterfind("{DAV:}response"):
                href = (element.findtext("{DAV:}href") or "").strip()
                tag = element.findtext(".//{DAV:}getetag")
                folder = element.find(".//{DAV:}resourcetype/{DAV:}collection")
                name = self._name(href)
                if tag and folder is None and name:
                    found[name] = tag.strip()
            return found

    def _name(self, href: str) -> str:
        """The name of a file right in the collection, else nothing."""
        path, own = urlsplit(urljoin(self.url, href)).path, urlsplit(self.url).path
        name = path.removeprefix(own) if path.startswith(own) else ""
        return "" if "/" in name else name

    def read(self, name: str) -> tuple[str, bytes] | None:
        """Tag and content of a file, or None where it is gone."""
        with _told():
            answer = self._client.request(self.url + name, "GET")
            if answer.status in (404, 410):
                return None
            _expect(answer.status, (200,))
            raw = answer.raw
            content = raw if isinstance(raw, bytes) else str(raw).encode()
            return str(answer.headers.get("ETag", "")), content

    def write(self, name: str, content: bytes, *, replaces: str | None) -> str:
        """Put a file in place of that tag (None: of nothing). Its new tag, or "" if none is said.

        Raises Overtaken.
        """
        condition = {"If-None-Match": "*"} if replaces is None else {"If-Match": replaces}
        headers = {"Content-Type": "text/calendar; charset=utf-8"} | condition
        with _told():
            answer = self._client.put(self.url + name, content.decode(), headers)
            if answer.status == 412:
                raise Overtaken
            _expect(answer.status, (200, 201, 204))
            return str(answer.headers.get("ETag", ""))

    def delete(self, name: str, *, replaces: str) -> None:
        """Take a file away if it still has that tag. Raises Overtaken."""
        with _told():
            answer = self._client.delete(self.url + name, {"If-Match": replaces})
            if answer.status == 412:
                raise Overtaken
            _expect(answer.status, (200, 202, 204, 404, 410))


def _expect(status: int, wanted: tuple[int, ...]) -> None:
    if status not in wanted:
        raise Unreachable(f"the server answered {status}")


@contextmanager
def _told() -> Iterator[None]:
    """Errors of the library in our words; its own may quote addresses."""
    from caldav.lib.error import AuthorizationError, DAVError

    try:
        yield
    except AuthorizationError:
        raise Denied from None
    except DAVError as error:
        raise Unreachable(f"the server answered with an error ({type(error).__name__})") from None
    except OSError as error:  # what the network layer raises is made of it
        raise Unreachable(f"the connection broke ({type(error).__name__})") from None
