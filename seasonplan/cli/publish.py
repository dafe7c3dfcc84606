"""`seasonplan publish`: the plan in a calendar that is reached away from home."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
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
)
from seasonplan.cli.discovered import Login, calendars_there, reached
from seasonplan.cli.options import Folder, Json, Plain
from seasonplan.cli.password import password_of
from seasonplan.cli.screen import Screen, write_json
from seasonplan.days import count_text

if TYPE_CHECKING:
    from seasonplan.feed.contents import Wish
    from seasonplan.feed.private import Collection, Hosted, Private
    from seasonplan.feed.publish import Report
    from seasonplan.feed.remote import Remote
    from seasonplan.ical.layers import Layer
    from seasonplan.vocabulary import BlocksAs

EXAMPLES = """Examples:

\b
  seasonplan publish my-year --caldav https://HOST/ --user robin --list
  seasonplan publish my-year --caldav https://HOST/ --user robin --make Training
  seasonplan publish my-year --caldav https://HOST/PATH/ --user robin
  seasonplan publish my-year                     again, where and as it was published
  seasonplan publish my-year --read-back         take over what you moved in the phone
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


def publish(
    folder: Folder = Path(),
    *,
    caldav: Caldav = None,
    user: User = "",
    ca: Ca = None,
    list_there: ListThere = False,
    make: Make = "",
    target: Target = None,
    url: Url = "",
    read_back: ReadBack = False,
    over: Over = False,
    take_down: TakeDown = False,
    yes: Yes = False,
    without: Without = None,
    also: With = None,
    free: Free = None,
    alarm: Alarm = None,
    year_alarm: Remind = None,
    days: Days = None,
    blocks: Blocks = None,
    way: Way = None,
    as_year: AsYear = False,
    plain: Plain = False,
    as_json: Json = False,
) -> None:
    """Put the plan where phones find it away from home, or read back what was moved there."""
    from seasonplan.feed.private import load_private

    refuse_both(alarm, none=year_alarm is not None)
    screen = Screen.here(plain=plain)
    asked = _Asked(also, without, free, url, alarm, year_alarm, days, blocks, way, as_year)
    kept = load_private(folder)
    collections, folders = _targets(kept, caldav, target)
    password = ""
    if list_there or make:
        collections, password = calendars_there(
            collections, screen, kept, Login(user, str(ca or "")), make=make, as_json=as_json
        )
    facts: list[dict[str, Any]] = []
    for address in collections:
        with _reached(kept, address, user, ca, password=password) as (remote, known):
            if read_back:
                facts += _back(folder, remote, known, screen, yes=yes, over=over, ask=not as_json)
                continue
            known = known.model_copy(update={"wish": asked.wish(known.wish)})
            facts.append(_to_collection(folder, remote, known, screen, over=over, down=take_down))
    for path in folders if not read_back else ():
        facts.append(_to_folder(folder, path, kept, asked, screen, down=take_down))
    if as_json and not list_there:
        write_json(facts)


def _back(
    folder: Path, remote: Remote, known: Collection, screen: Screen, *,
    yes: bool, over: bool, ask: bool,
) -> list[dict[str, Any]]:  # fmt: skip
    from seasonplan.cli.read_back import Answers, read_back

    return read_back(folder, remote, known, screen, Answers(screen, yes=yes, over=over, ask=ask))


@dataclass(frozen=True, slots=True)
class _Asked:
    """What was said on the line; what was not said stays as it was published before."""

    also: list[Layer] | None
    without: list[Layer] | None
    free: bool | None
    url: str
    alarm: int | None
    year_alarm: bool | None
    days: bool | None
    blocks: BlocksAs | None
    way: bool | None
    as_year: bool

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


def _targets(
    kept: Private, caldav: str | None, target: Path | None
) -> tuple[list[str], list[Path]]:
    """What was named, else all that was published to before."""
    from seasonplan.errors import BadInput, Fault
    from seasonplan.feed.remote import checked_url

    if caldav or target:
        return [checked_url(caldav)] if caldav else [], [target.resolve()] if target else []
    if not kept.collections and not kept.folders:
        do = "See the examples of `seasonplan publish --help`."
        raise BadInput([Fault("publish", "", None, "nowhere", "--caldav or --folder", do)])
    return list(kept.collections), [Path(path) for path in kept.folders]


@contextmanager
def _reached(
    kept: Private, address: str, user: str, ca: Path | None, *, password: str = ""
) -> Iterator[tuple[Remote, Collection]]:
    """The collection, opened; what goes wrong there ends the command in words."""
    from seasonplan.feed.private import Collection
    from seasonplan.feed.remote import Remote

    known = kept.collections.get(address) or Collection(user=user)
    own = str(ca.resolve()) if ca else known.ca
    known = known.model_copy(update={"user": user or known.user, "ca": own})
    password = password or password_of(address, known.user)
    with reached(Remote(address, user=known.user, password=password, ca=known.ca)) as remote:
        yield remote, known


# --- to a collection ------------------------------------------------------------------------


def _to_collection(
    folder: Path, remote: Remote, known: Collection, screen: Screen, *,
    over: bool, down: bool,
) -> dict[str, Any]:  # fmt: skip
    from seasonplan.cli.collection import files_for, keeper
    from seasonplan.feed.publish import publish as bring
    from seasonplan.ical.ever import ever_planned

    year, plan = accepted(folder)
    files = {} if down else files_for(folder, remote.url, year, plan, known.wish)
    report = bring(
        remote, files, known, home=year.climber.time_zone, over=over,
        keep=keeper(folder, remote.url, down=down), ever=lambda: ever_planned(year, plan),
    )  # fmt: skip
    _tell(report, urlsplit(remote.url).hostname or "", screen)
    return {
        "written": report.written, "deleted": report.deleted, "unchanged": report.unchanged,
        "left_alone": len(report.moved) + len(report.removed), "foreign": len(report.foreign),
    }  # fmt: skip


def _tell(report: Report, host: str, screen: Screen) -> None:
    screen.narrate(
        f"{host}: {count_text(report.written, 'event')} written, {report.deleted} removed, "
        f"{report.unchanged} as they were."
    )
    if report.moved or report.removed:
        screen.narrate(
            f"{count_text(len(report.moved), 'event')} you moved and {len(report.removed)} you "
            "removed were left so. --read-back takes that over into your year; "
            "--over puts them back."
        )
    if report.foreign:
        taken = len(report.foreign)
        are = "is" if taken == 1 else "are"
        screen.narrate(f"{count_text(taken, 'name')} {are} taken by events that are not ours.")


# --- to a folder ----------------------------------------------------------------------------


def _to_folder(
    folder: Path, path: Path, kept: Private, asked: _Asked, screen: Screen, *, down: bool
) -> dict[str, Any]:
    from seasonplan.feed.contents import Wish, contents_of
    from seasonplan.feed.folder import publish_folder, take_down
    from seasonplan.feed.links import Pages
    from seasonplan.feed.private import change_private
    from seasonplan.workspace import clock
    from seasonplan.workspace.store import diary_rows

    known, written = kept.folders.get(str(path)), 0
    base, wish = asked.base(known), asked.wish(known.wish if known else Wish())
    now: Hosted | None = None
    if not down:
        year, plan = accepted(folder)
        stamp, pages = clock.stamp(), Pages(base, monthly=True) if base else None
        contents = contents_of(
            year, plan, wish=wish, now=stamp, seen={}, before=kept.shown.get(str(path)),
            pages=pages, diary=diary_rows(folder),
        )  # fmt: skip
        now, written = publish_folder(path, contents, known, wish=wish, now=stamp, base=base)
    elif known:
        take_down(path, known)

    def changed(kept: Private) -> Private:
        rest = {one: hosted for one, hosted in kept.folders.items() if one != str(path)}
        shown = {one: s for one, s in kept.shown.items() if one != str(path)}
        if now is not None:
            rest, shown = rest | {str(path): now}, shown | {str(path): contents.shown}
        return kept.with_fields(folders=rest, shown=shown)

    change_private(folder, changed)
    page = f"{now.inside}/index.html" if now else ""
    if now is None:
        screen.narrate(f"{path}: taken down.")
    else:
        screen.narrate(
            f"{path}: {count_text(written, 'file')} written. The secret page: {base or path}/{page}"
        )
        if known is None:
            screen.narrate("Switch the listing of folders off on that server: names are secret.")
    return {"folder": str(path), "written": written, "page": page}


def _base(url: str) -> str:
    """The address of a folder as links begin with it; refused if it is none."""
    parts = urlsplit(url)
    if url and (parts.scheme not in ("https", "http") or not parts.netloc or "@" in parts.netloc):
        raise typer.BadParameter(f"found {url!r}; wanted https://HOST/PATH. Correct --url.")
    return url.rstrip("/")
