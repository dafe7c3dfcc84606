"""A CalDAV collection, file by file. Does only what it is told, and always under a condition.

What is there by now is never overwritten unseen: every write names the tag that it replaces, or
that nothing must be there (RFC 9110 13.1). Knows no plan.
"""

from __future__ import annotations

import ipaddress
import os
import ssl
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any
from urllib.parse import unquote, urljoin, urlsplit

from seasonplan.errors import BadInput, Fault
from seasonplan.feed.caldav.trouble import Denied, Unreachable, by_error, by_status

AUTHORITIES = ("SSL_CERT_FILE", "REQUESTS_CA_BUNDLE")  # as other programs take them
SECONDS = 30
_LIST = (
    '<?xml version="1.0" encoding="utf-8"?><propfind xmlns="DAV:"><prop><getetag/>'
    "<resourcetype/></prop></propfind>"
)
_CALENDAR = ".//{DAV:}resourcetype/{urn:ietf:params:xml:ns:caldav}calendar"  # RFC 4791 4.2


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


def authorities(ca: str) -> str | bool:
    """The file of the authorities to trust: the one named, else that of the environment, else the
    usual ones. Raises BadInput where it holds no certificate."""
    named = [(ca, "--ca"), *((os.environ.get(name, ""), name) for name in AUTHORITIES)]
    file, where = next((one for one in named if one[0]), ("", ""))
    if not file:
        return True
    try:
        ssl.create_default_context(cafile=file)
    except (OSError, ssl.SSLError, ValueError) as error:
        found = f"{file}: {getattr(error, 'strerror', None) or 'no certificate in it'}"
        wanted = "the certificate of an authority, in PEM form"
        raise BadInput(
            [Fault("publish", where, None, found, wanted, "Correct the path, or the file.")]
        ) from None
    return str(Path(file).resolve())


def client_for(url: str, *, user: str, password: str, ca: str) -> tuple[str, Any]:
    """An address as it is kept, and what speaks to it: nobody else, and only as asked."""
    from caldav.davclient import DAVClient

    checked = checked_url(url)
    client: Any = DAVClient(
        url=checked, username=user or None, password=password or None, timeout=SECONDS,
        enable_rfc6764=False, headers={"User-Agent": "seasonplan"},
        ssl_verify_cert=authorities(ca),
    )  # fmt: skip
    client.session.trust_env = False  # no password from .netrc, no proxy that nobody asked for
    client.session.max_redirects = 0  # a password goes to whom it is meant for
    return checked, client


class Remote:
    """One collection. Every method may raise Unreachable, of which Denied is one.

    `ca` is a file with the authorities to trust.
    """

    def __init__(self, url: str, *, user: str = "", password: str = "", ca: str = "") -> None:
        self.url, self._client = client_for(url, user=user, password=password, ca=ca)

    def close(self) -> None:
        self._client.close()

    def listing(self) -> dict[str, str]:
        """The tag of each file, by name."""
        with own_words():
            answer = self._client.propfind(self.url, _LIST, 1)
            expect(answer.status, (200, 207))
            found, is_calendar = {}, False
            for element in answer.tree.iterfind("{DAV:}response"):
                href = (element.findtext("{DAV:}href") or "").strip()
                tag = element.findtext(".//{DAV:}getetag")
                folder = element.find(".//{DAV:}resourcetype/{DAV:}collection")
                name = self._name(href)
                if tag and folder is None and name:
                    found[name] = tag.strip()
                if self._is_own(href):
                    is_calendar = element.find(_CALENDAR) is not None
            if not is_calendar:
                raise Unreachable(
                    "that is no calendar collection",
                    "--list tells the calendars of a server, --make NAME makes one.",
                )
            return found

    def _is_own(self, href: str) -> bool:
        """Whether that is the collection itself, however its address is spelt."""
        path, own = urlsplit(urljoin(self.url, href)).path, urlsplit(self.url).path
        return unquote(path).rstrip("/") == unquote(own).rstrip("/")

    def _name(self, href: str) -> str:
        """The name of a file right in the collection, else nothing."""
        path, own = urlsplit(urljoin(self.url, href)).path, urlsplit(self.url).path
        name = path.removeprefix(own) if path.startswith(own) else ""
        return "" if "/" in name else name

    def read(self, name: str) -> tuple[str, bytes] | None:
        """Tag and content of a file, or None where it is gone."""
        with own_words():
            answer = self._client.request(self.url + name, "GET")
            if answer.status in (404, 410):
                return None
            expect(answer.status, (200,))
            raw = answer.raw
            content = raw if isinstance(raw, bytes) else str(raw).encode()
            return str(answer.headers.get("ETag", "")), content

    def write(self, name: str, content: bytes, *, replaces: str | None) -> str:
        """Put a file in place of that tag (None: of nothing). Its new tag, or "" if none is said.

        Raises Overtaken.
        """
        condition = {"If-None-Match": "*"} if replaces is None else {"If-Match": replaces}
        headers = {"Content-Type": "text/calendar; charset=utf-8"} | condition
        with own_words():
            answer = self._client.put(self.url + name, content.decode(), headers)
            if answer.status == 412:
                raise Overtaken
            expect(answer.status, (200, 201, 204))
            return str(answer.headers.get("ETag", ""))

    def delete(self, name: str, *, replaces: str) -> None:
        """Take a file away if it still has that tag. Raises Overtaken."""
        with own_words():
            answer = self._client.delete(self.url + name, {"If-Match": replaces})
            if answer.status == 412:
                raise Overtaken
            expect(answer.status, (200, 202, 204, 404, 410))


def answered_by(ask: Callable[[], Any]) -> tuple[Any, str]:
    """What `ask` gets, or where the server leads instead ("" where it does not)."""
    try:
        answer = ask()
    except Exception as error:
        led = getattr(error, "response", None)
        where = led.headers.get("Location", "") if led is not None else ""
        if where and "Redirect" in type(error).__name__:
            return None, str(where)
        with own_words():
            raise
    return answer, ""


def expect(status: int, wanted: tuple[int, ...]) -> None:
    """Raises Unreachable, which says what another status means."""
    if status not in wanted:
        raise by_status(status)


@contextmanager
def own_words() -> Iterator[None]:
    """Errors of the library in our words; its own may quote addresses."""
    from caldav.lib.error import AuthorizationError, DAVError

    try:
        yield
    except AuthorizationError as error:
        raise Denied(getattr(error, "status", None) or 401) from None
    except DAVError as error:
        status = getattr(error, "status", None)
        if status:
            raise by_status(status) from None
        raise Unreachable(f"the server answered with an error ({type(error).__name__})") from None
    except OSError as error:  # what the network layer raises is made of it
        raise by_error(error) from None


__all__ = ["Denied", "Overtaken", "Remote", "Unreachable", "authorities", "checked_url"]
