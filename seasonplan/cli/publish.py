"""`seasonplan publish`: the plan in a calendar that is reached away from home."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any
from urllib.parse import urlsplit

import typer

from seasonplan.cli.accepted import (
    Alarm,
    Blocks,
    Days,
    Way,
    With,
    Without,
    accepted,
    layers_of,
    refuse_both,
    tell_if_old,
)
from seasonplan.cli.discovered import Login, calendars_there, reached
from seasonplan.cli.grouped import grouped
from seasonplan.cli.options import Folder, Json, Plain
from seasonplan.cli.password import password_of
from seasonplan.cli.screen import Screen, write_json
from seasonplan.days import count_text

if TYPE_CHECKING:
    from seasonplan.feed.caldav.remote import Remote
    from seasonplan.feed.contents import Wish
    from seasonplan.feed.private import Collection, Hosted, Private
    from seasonplan.feed.publish.collection import Report

NOWHERE = "no place, and none published to before"
EXAMPLES = """Examples:

\b
  seasonplan publish my-year --caldav https://HOST/ --user robin --list
  seasonplan publish my-year --caldav https://HOST/ --user robin \\
      --make Training
  seasonplan publish my-year --caldav https://HOST/PATH/ --user robin
  seasonplan publish my-year                     again, where and as it was
  seasonplan publish my-year --read-back         take over what you moved
  seasonplan publish my-year --folder ~/web/cal --url https://HOST/cal
  seasonplan publish my-year --caldav URL --take-down

Only events that we put there are ever changed or removed. What you moved
in the phone stays as it is until you say what to do: --read-back asks for
each, --over puts them back.

The password comes from SEASONPLAN_CALDAV_PASSWORD, else from the keyring
of your system, else you are asked. It is never written into your year.
Injuries stay out unless you ask with --with injuries. What you ask for is kept
for the next time; say it again to change it."""

Caldav = Annotated[
    str | None,
    typer.Option(metavar="URL", help="A CalDAV calendar; with --list and --make its server."),
]
User = Annotated[str, typer.Option(metavar="NAME", help="Who you are on the CalDAV server.")]
Ca = Annotated[
    Path | None,
    typer.Option(
        "--ca", metavar="FILE", help="Certificate of the authority that signs for that server.",
        show_default="SSL_CERT_FILE or REQUESTS_CA_BUNDLE, else the usual ones",
    ),
]  # fmt: skip
ListThere = Annotated[
    bool, typer.Option("--list", help="Only tell the calendars that you have on that server.")
]
Make = Annotated[
    str, typer.Option(metavar="NAME", help="Make a calendar of that name there, and publish to it.")
]
Target = Annotated[
    Path | None, typer.Option("--folder", metavar="DIR", help="A folder that a web server shows.")
]
Url = Annotated[
    str, typer.Option(metavar="URL", help="Where that folder is to be had, for links and codes.")
]
ReadBack = Annotated[
    bool, typer.Option("--read-back", help="Ask for each event you moved, then change the year.")
]
Over = Annotated[
    bool, typer.Option("--over", help="Put back what you moved or removed in the calendar.")
]
TakeDown = Annotated[
    bool, typer.Option("--take-down", help="Remove all that we published there.")
]  # fmt: skip
Free = Annotated[
    bool | None, typer.Option("--free/--busy", help="Whether sessions leave you free.")
]
Remind = Annotated[
    bool | None,
    typer.Option(
        "--year-alarm/--no-alarm", help="Reminders as the year says, or none whatever it says."
    ),
]
AsYear = Annotated[
    bool, typer.Option("--as-year", help="Days, blocks and way as the year says again.")
]
Yes = Annotated[bool, typer.Option("--yes", help="With --read-back: take over every move.")]


@dataclass(frozen=True, slots=True)
class _Asked:
    """What was said on the line; what was not said stays as it was published before."""

    url: Url = ""
    without: Without = None
    also: With = None
    free: Free = None
    alarm: Alarm = None
    year_alarm: Remind = None
    days: Days = None
    blocks: Blocks = None
    way: Way = None
    as_year: AsYear = False

    def __post_init__(self) -> None:
        refuse_both(self.alarm, none=self.year_alarm is not None)

    def wish(self, before: Wish) -> Wish:
        from seasonplan.feed.contents import Wish

        said = self.also or self.without
        return Wish(
            layers=layers_of(self.also, self.without) if said else before.layers,
            sessions_busy=before.sessions_busy if self.free is None else not self.free,
            **self._manner(before),
            **self._reminders(before),
        )

    def _manner(self, before: Wish) -> dict[str, Any]:
        said = {"days_as_one": self.days, "blocks": self.blocks, "way": self.way}
        kept = {} if self.as_year else {name: getattr(before, name) for name in said}
        return kept | {name: value for name, value in said.items() if value is not None}

    def _reminders(self, before: Wish) -> dict[str, Any]:
        if self.alarm is not None:
            return {"alarm_minutes": self.alarm}
        if self.year_alarm is not None:
            return {"no_alarm": not self.year_alarm}
        return {"alarm_minutes": before.alarm_minutes, "no_alarm": before.no_alarm}

    def base(self, before: Hosted | None) -> str:
        """Where a folder is to be had."""
        return _base(self.url) or (before.url if before else "")


@grouped(asked=_Asked)
def publish(
    folder: Folder = Path(),
    *,
    caldav: Caldav = None,
    user: User = "",
    ca: Ca = None,
    list_there: ListThere = False,
    make: Make = "",
    target: Target = None,
    asked: _Asked,
    read_back: ReadBack = False,
    over: Over = False,
    take_down: TakeDown = False,
    yes: Yes = False,
    plain: Plain = False,
    as_json: Json = False,
) -> None:
    """Put the plan where phones find it away from home, or read back what was moved there."""
    screen = Screen.here(plain=plain)
    there = _there(folder, user, ca)
    collections, folders = _targets(there.kept, caldav, target)
    if list_there or make:
        collections = there.listed(collections, screen, make=make, as_json=as_json)
    if read_back:
        facts = _back(there, collections, screen, yes=yes, over=over, ask=not as_json)
    else:
        facts = list(_to_collections(there, collections, asked, screen, over=over, down=take_down))
        facts += [_to_folder(there, path, asked, screen, down=take_down) for path in folders]
        if not take_down and (collections or folders):
            tell_if_old(folder, screen)
    if as_json and not list_there:
        write_json(facts)


def _there(folder: Path, user: str, ca: Path | None) -> _There:
    from seasonplan.feed.private import load_private

    return _There(folder, load_private(folder), user, ca)


@dataclass(slots=True)
class _There:
    """What reaches the calendars on a server, each by its address."""

    folder: Path
    kept: Private
    user: str
    ca: Path | None
    password: str = ""

    def listed(
        self, addresses: list[str], screen: Screen, *, make: str, as_json: bool
    ) -> list[str]:
        """The calendars that are there: they are told, or the one that is made."""
        login = Login(self.user, str(self.ca or ""))
        found, self.password = calendars_there(
            addresses, screen, self.kept, login, make=make, as_json=as_json
        )
        return found

    @contextmanager
    def reached(self, address: str) -> Iterator[tuple[Remote, Collection]]:
        """The collection, opened; what goes wrong there ends the command in words."""
        from seasonplan.feed.caldav.remote import Remote
        from seasonplan.feed.private import Collection

        known = self.kept.collections.get(address) or Collection(user=self.user)
        own = str(self.ca.resolve()) if self.ca else known.ca
        known = known.model_copy(update={"user": self.user or known.user, "ca": own})
        password = self.password or password_of(address, known.user)
        with reached(Remote(address, user=known.user, password=password, ca=known.ca)) as remote:
            yield remote, known


def _back(
    there: _There, collections: list[str], screen: Screen, *, yes: bool, over: bool, ask: bool
) -> list[dict[str, Any]]:
    from seasonplan.cli.read_back import Answers, read_back

    facts: list[dict[str, Any]] = []
    for address in collections:
        with there.reached(address) as (remote, known):
            answers = Answers(screen, yes=yes, over=over, ask=ask)
            facts += read_back(there.folder, remote, known, screen, answers)
    return facts


def _targets(
    kept: Private, caldav: str | None, target: Path | None
) -> tuple[list[str], list[Path]]:
    """What was named, else all that was published to before."""
    from seasonplan.errors import BadInput, Fault
    from seasonplan.feed.caldav.remote import checked_url

    if caldav or target:
        return [checked_url(caldav)] if caldav else [], [target.resolve()] if target else []
    if not kept.collections and not kept.folders:
        do = "See the examples of `seasonplan publish --help`."
        raise BadInput([Fault("publish", "", None, NOWHERE, "--caldav or --folder", do)])
    return list(kept.collections), [Path(path) for path in kept.folders]


# --- to a collection ------------------------------------------------------------------------


def _to_collections(
    there: _There, addresses: list[str], asked: _Asked, screen: Screen, *, over: bool, down: bool
) -> Iterator[dict[str, Any]]:
    from seasonplan.cli.collection import files_for, keeper
    from seasonplan.feed.publish.collection import publish as bring
    from seasonplan.ical.ever import ever_planned

    folder = there.folder
    for address in addresses:
        with there.reached(address) as (remote, known):
            known = known.model_copy(update={"wish": asked.wish(known.wish)})
            year, plan = accepted(folder)
            files = {} if down else files_for(folder, remote.url, year, plan, known.wish)
            report = bring(
                remote, files, known, home=year.climber.time_zone, over=over,
                keep=keeper(folder, remote.url, down=down), ever=partial(ever_planned, year, plan),
            )  # fmt: skip
            _tell(report, urlsplit(remote.url).hostname or "", screen)
        yield {
            "written": report.written, "deleted": report.deleted, "unchanged": report.unchanged,
            "left_alone": len(report.moved) + len(report.removed), "foreign": len(report.foreign),
        }  # fmt: skip


def _tell(report: Report, host: str, screen: Screen) -> None:
    screen.narrate(
        f"{host}: {count_text(report.written, 'event')} written, {report.deleted} removed, "
        f"{report.unchanged} unchanged."
    )
    kept = [(len(report.moved), "moved"), (len(report.removed), "removed")]
    told = [f"{count_text(many, 'event')} you {did}" for many, did in kept if many]
    if told:
        were = "was" if len(report.moved) + len(report.removed) == 1 else "were"
        screen.narrate(
            f"{' and '.join(told)} {were} left so. --read-back takes that over into your year; "
            "--over puts it back."
        )
    if report.foreign:
        taken = len(report.foreign)
        are = "is" if taken == 1 else "are"
        screen.narrate(f"{count_text(taken, 'name')} {are} taken by events that are not ours.")


def _to_folder(
    there: _There, path: Path, asked: _Asked, screen: Screen, *, down: bool
) -> dict[str, Any]:
    from seasonplan.cli.publish_folder import away, brought
    from seasonplan.feed.contents import Wish

    known = there.kept.folders.get(str(path))
    if down:
        return away(there.folder, path, known, screen)
    base, wish = asked.base(known), asked.wish(known.wish if known else Wish())
    return brought(there.folder, path, there.kept, screen, wish=wish, base=base)


def _base(url: str) -> str:
    """The address of a folder as links begin with it; refused if it is none."""
    parts = urlsplit(url)
    if url and (parts.scheme not in ("https", "http") or not parts.netloc or "@" in parts.netloc):
        raise typer.BadParameter(f"found {url!r}; wanted https://HOST/PATH. Correct --url.")
    return url.rstrip("/")
