"""`seasonplan publish --list` and `--make`: the calendars of a person on a CalDAV server."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING, NamedTuple, Protocol, TypeVar
from urllib.parse import urljoin, urlsplit

import typer

from seasonplan.cli.exits import Exit
from seasonplan.cli.password import password_of
from seasonplan.cli.screen import Screen, write_json

if TYPE_CHECKING:
    from seasonplan.feed.caldav.discover import Calendar
    from seasonplan.feed.private import Private


class Login(NamedTuple):
    user: str
    ca: str


class _There(Protocol):
    url: str

    def close(self) -> None: ...


There = TypeVar("There", bound=_There)


@contextmanager
def reached(there: There) -> Iterator[There]:
    """Something on a server, closed in the end; what goes wrong there ends the command in words."""
    from seasonplan.feed.caldav.remote import Denied, Unreachable

    try:
        yield there
    except Unreachable as error:
        typer.echo(f"{urlsplit(there.url).hostname}: {error}. {error.do}", err=True)
        code = Exit.BAD_INPUT if isinstance(error, Denied) else Exit.CANNOT_WRITE
        raise typer.Exit(code) from None
    finally:
        there.close()


def calendars_there(
    addresses: list[str], screen: Screen, kept: Private, login: Login, *, make: str, as_json: bool
) -> tuple[list[str], str]:
    """Tells the calendars on a server, or makes one: its address, and the password that was used.

    Nothing is published where they were only told.
    """
    from seasonplan.feed.caldav.discover import Server

    if len(addresses) != 1:
        raise typer.BadParameter("found no server; wanted --caldav https://HOST/. Name one.")
    (address,) = addresses
    known = kept.collections.get(address)
    user, ca = (login.user or known.user, login.ca or known.ca) if known else login
    password = password_of(urljoin(address, "/"), user)
    with reached(Server(address, user=user, password=password, ca=ca)) as server:
        if make:
            made = server.make(make)
            screen.narrate(f"Made the calendar “{made.name}”: {made.url}")
            return [made.url], password
        found = server.calendars()
    _tell(found, screen, as_json=as_json)
    return [], password


def _tell(found: list[Calendar], screen: Screen, *, as_json: bool) -> None:
    if as_json:
        write_json([{"url": o.url, "name": o.name, "may_write": o.may_write} for o in found])
        return
    for one in found:
        screen.say(f"{one.name}{'' if one.may_write is not False else ' (only to be read)'}")
        screen.draw(f"  {one.url}")
    if not found:
        screen.narrate("You have no calendar for events there. --make NAME makes one.")
