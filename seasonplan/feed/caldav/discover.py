"""The calendars of a person on a CalDAV server, found from its address and a login.

The way of RFC 6764 6 and RFC 4791 6.2: what is asked first says who one is, that place says where
one's calendars are, and that place lists them. A new one is made there (RFC 4791 5.3.1). Leads
are followed on the same server only: a password goes to whom it is meant for.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import partial
from typing import Any
from unicodedata import normalize
from urllib.parse import urljoin, urlsplit
from xml.sax.saxutils import escape

from seasonplan.feed.caldav.remote import answered_by, client_for, expect, own_words
from seasonplan.feed.caldav.trouble import Unreachable

WELL_KNOWN = "/.well-known/caldav"  # RFC 6764 5
MOST_LEADS = 5  # one after another; a preference
MOST_NAMES = 100  # tried for a calendar that is to be made
_DAV, _CALDAV = "{DAV:}", "{urn:ietf:params:xml:ns:caldav}"
_HEAD = '<?xml version="1.0" encoding="utf-8"?>'
_SPACES = 'xmlns="DAV:" xmlns:C="urn:ietf:params:xml:ns:caldav"'
_WHO = (
    f"{_HEAD}<propfind {_SPACES}><prop><resourcetype/><current-user-principal/>"
    "<C:calendar-home-set/></prop></propfind>"
)
_WHAT = (
    f"{_HEAD}<propfind {_SPACES}><prop><resourcetype/><displayname/>"
    "<C:supported-calendar-component-set/><current-user-privilege-set/></prop></propfind>"
)
_MAKE = (
    f"{_HEAD}<C:mkcalendar {_SPACES}><set><prop><displayname>{{name}}</displayname>"
    '<C:supported-calendar-component-set><C:comp name="VEVENT"/>'
    "</C:supported-calendar-component-set></prop></set></C:mkcalendar>"
)
_WRITING = frozenset({"all", "write", "write-content", "bind"})  # RFC 3744 3
NOT_THERE = Unreachable(
    "no calendar server was found there",
    "Copy the address of the server, or of one calendar, from its settings.",
)


@dataclass(frozen=True, slots=True)
class Calendar:
    """A collection of events there. `may_write` is None where the server does not say."""

    url: str
    name: str
    may_write: bool | None = None


class Server:
    """A CalDAV server as one person sees it. Every method may raise Unreachable."""

    def __init__(self, url: str, *, user: str = "", password: str = "", ca: str = "") -> None:
        self.url, self._client = client_for(url, user=user, password=password, ca=ca)

    def close(self) -> None:
        self._client.close()

    def calendars(self) -> list[Calendar]:
        """Every collection for events in the person's home, by name."""
        home = self.home()
        answer, home = self._asked(home, _WHAT, depth=1)
        expect(answer.status, (200, 207))
        found = [
            _calendar(urljoin(home, _href(one)), one)
            for one in answer.tree.iterfind(f"{_DAV}response")
            if _is_for_events(one) and self._is_here(urljoin(home, _href(one)))
        ]
        return sorted(found, key=lambda one: (one.name.casefold(), one.url))

    def make(self, name: str) -> Calendar:
        """A new calendar of that name in the person's home."""
        home = self.home()
        taken = {one.url.rstrip("/").rpartition("/")[2] for one in self.calendars()}
        plain = normalize("NFKD", name).encode("ascii", "ignore").decode().lower()
        stem = re.sub(r"[^a-z0-9]+", "-", plain).strip("-") or "seasonplan"
        free = (f"{stem}-{n}" if n > 1 else stem for n in range(1, MOST_NAMES))
        for segment in (one for one in free if one not in taken):
            url = urljoin(home, f"{segment}/")
            with own_words():
                answer = self._client.mkcalendar(url, _MAKE.format(name=escape(name)))
            if answer.status == 405 and len(taken) < MOST_NAMES:
                taken.add(segment)  # something else has that name (RFC 4791 5.3.1.1)
                continue
            expect(answer.status, (201,))
            return Calendar(url, name, True)
        raise Unreachable("no name is free there", "Choose another name for the calendar.")

    def home(self) -> str:
        """Where the calendars of the person are."""
        root = urljoin(self.url, "/")
        places = [self.url, urljoin(root, WELL_KNOWN), root]
        if urlsplit(self.url).path in ("", "/"):
            places = places[1:]
        for place in dict.fromkeys(places):
            found = self._home_from(place)
            if found:
                return found
        raise NOT_THERE

    def _home_from(self, place: str) -> str:
        """The home that a place tells of itself, or of the person; "" where it tells none."""
        for _ in range(2):
            answer, place = self._asked(place, _WHO, depth=0)
            if answer.status not in (200, 207):
                return ""
            home = answer.tree.find(f".//{_CALDAV}calendar-home-set/{_DAV}href")
            if home is not None:
                return self._led(place, home.text)
            who = answer.tree.find(f".//{_DAV}current-user-principal/{_DAV}href")
            if who is None:
                return ""
            place = self._led(place, who.text)
        return ""

    def _asked(self, url: str, body: str, *, depth: int) -> tuple[Any, str]:
        """What is answered there, and where in the end, after leads on the same server."""
        for _ in range(MOST_LEADS):
            answer, lead = answered_by(partial(self._client.propfind, url, body, depth))
            if not lead:
                return answer, url
            url = self._led(url, lead)
        raise Unreachable("the server leads on and on", NOT_THERE.do)

    def _led(self, place: str, to: str | None) -> str:
        url = urljoin(place, (to or "").strip())
        if not self._is_here(url):
            host = urlsplit(url).hostname or ""
            told = host if re.fullmatch(r"[a-z0-9.-]{1,253}", host) else "another server"
            raise Unreachable(
                f"the server leads to {told}, and a password goes to whom it is meant for",
                f"If that is your provider's, use --caldav https://{told}/"
                if told == host
                else "Use the address that your provider names.",
            )
        return url

    def _is_here(self, url: str) -> bool:
        """Whether an address is on the server that was named, as safe as it was."""
        return _origin(url) == _origin(self.url)


def _origin(url: str) -> tuple[str, str | None, int]:
    parts = urlsplit(url)
    return parts.scheme, parts.hostname, parts.port or {"https": 443, "http": 80}[parts.scheme]


def _href(response: Any) -> str:
    return (response.findtext(f"{_DAV}href") or "").strip()


def _calendar(url: str, response: Any) -> Calendar:
    name = " ".join((response.findtext(f".//{_DAV}displayname") or "").split())
    rights = {
        right.tag.removeprefix(_DAV)
        for right in _children(response, f".//{_DAV}current-user-privilege-set/{_DAV}privilege")
    }
    may_write = bool(rights & _WRITING) if rights else None
    last = url.rstrip("/").rpartition("/")[2]
    return Calendar(url if url.endswith("/") else f"{url}/", name or last, may_write)


def _children(response: Any, path: str) -> Iterator[Any]:
    return (child for one in response.iterfind(path) for child in one)


def _is_for_events(response: Any) -> bool:
    """A calendar that takes events; one that does not say takes all (RFC 4791 5.2.3)."""
    if response.find(f".//{_DAV}resourcetype/{_CALDAV}calendar") is None:
        return False
    takes = list(response.iterfind(f".//{_CALDAV}supported-calendar-component-set/{_CALDAV}comp"))
    return not takes or any(one.get("name", "").upper() == "VEVENT" for one in takes)
