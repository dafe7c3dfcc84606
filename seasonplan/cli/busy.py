"""`seasonplan busy`: calendars by subscription whose times no session may take."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from seasonplan.cli.exits import Exit
from seasonplan.cli.options import Folder, Json, Plain
from seasonplan.cli.password import password_of
from seasonplan.cli.screen import Screen, write_json
from seasonplan.cli.where import anew
from seasonplan.cli.whole_help import WholeHelp

if TYPE_CHECKING:
    from seasonplan.feed.fetch.busy import Outcome
    from seasonplan.workspace.desk import Desk

EXAMPLES = """Examples:

\b
  seasonplan busy add work my-year      asks for the link, adds work.ics
  seasonplan busy add home my-year --caldav https://HOST/PATH/ --user robin
  seasonplan busy fetch my-year         fetches all again; then plan anew
  seasonplan busy list my-year          where they come from, and when
  seasonplan busy drop work my-year     no longer fetched; the file stays

A calendar that you have as a file: put it into the folder, then name it:
`seasonplan edit my-year set sessions.busy work.ics`.

The link is secret: it is asked for, or taken from SEASONPLAN_BUSY_URL, and
kept in feed.json, which only you can read, never in year.toml. Only times are
ever read, never titles or people. What came last stays when something else
comes than a calendar, or one that was cut off.

`seasonplan publish --caldav https://HOST/ --user NAME --list` tells the calendars
of a server. Its password comes from SEASONPLAN_BUSY_PASSWORD, the keyring, or a
question. Sessions that are published there do not count as busy."""

app = typer.Typer(
    cls=WholeHelp, no_args_is_help=True, rich_markup_mode=None, help="Calendars of busy time."
)

Name = Annotated[str, typer.Argument(metavar="NAME", help="What you call it, such as work.")]
Url = Annotated[
    str | None,
    typer.Option(
        metavar="URL", envvar="SEASONPLAN_BUSY_URL", show_default=False,
        help="Its secret link; asked for if left out, so that no list of processes shows it.",
    ),
]  # fmt: skip
Caldav = Annotated[
    str | None,
    typer.Option(metavar="URL", help="In place of a link: a calendar on a CalDAV server."),
]
User = Annotated[str, typer.Option(metavar="NAME", help="Who you are on that server.")]
Ca = Annotated[
    Path | None,
    typer.Option("--ca", metavar="FILE", help="Certificate of the authority of that server."),
]
AllowPrivate = Annotated[
    bool, typer.Option("--allow-private", help="Its host may lie in a private network, or be http.")
]
EvenEmpty = Annotated[
    bool, typer.Option("--even-empty", help="Take a calendar that has no event any more.")
]
Due = Annotated[bool, typer.Option("--due", help="Only those not looked at for an hour or more.")]


@app.command()
def add(
    name: Name,
    folder: Folder = Path(),
    *,
    url: Url = None,
    allow_private: AllowPrivate = False,
    caldav: Caldav = None,
    user: User = "",
    ca: Ca = None,
    plain: Plain = False,
) -> None:
    """Fetch a calendar by its link or from a server, and keep sessions clear of it."""
    from seasonplan.edits import ChangeSetting
    from seasonplan.feed.caldav.remote import checked_url
    from seasonplan.feed.fetch import busy
    from seasonplan.feed.private import Subscription, load_private
    from seasonplan.workspace.desk import Desk

    screen, desk = Screen.here(plain=plain), Desk(folder)
    before = load_private(folder).busy.get(busy.file_for(name))
    if caldav is not None:
        own = str(ca.resolve()) if ca else ""
        known = Subscription(url=checked_url(caldav), caldav=True, user=user, ca=own)
    else:
        url = url or typer.prompt("Link of the calendar", hide_input=True, err=True)
        known = Subscription(url=url.strip(), allow_private=allow_private)
    file = busy.subscribe(folder, name, known)
    outcome = _refresh(desk, file, even_empty=True)
    screen.narrate(_told(outcome))
    if outcome.came is busy.Came.KEPT:
        if before is not None:
            busy.subscribe(folder, name, before)
        else:
            busy.unsubscribe(folder, name)
        raise typer.Exit(Exit.BAD_INPUT)
    if file not in desk.year.sessions.busy:
        names = [*desk.year.sessions.busy, file]
        desk.change(ChangeSetting(path="sessions.busy", value=names))
    screen.narrate(f"Run {anew(planned=desk.plan is not None)} to keep sessions clear of it.")


@app.command()
def fetch(
    folder: Folder = Path(),
    *,
    due: Due = False,
    even_empty: EvenEmpty = False,
    plain: Plain = False,
    as_json: Json = False,
) -> None:
    """Fetch every calendar again."""
    from seasonplan.feed.fetch import busy
    from seasonplan.feed.private import load_private
    from seasonplan.workspace import clock
    from seasonplan.workspace.desk import Desk

    screen, desk, now = Screen.here(plain=plain), Desk(folder), clock.stamp()
    outcomes = [
        _refresh(desk, file, even_empty=even_empty)
        for file, one in load_private(folder).busy.items()
        if not due or busy.due(one, now)
    ]
    if as_json:
        write_json([{"file": o.file, "came": o.came.value, "why": o.why} for o in outcomes])
    for outcome in outcomes:
        screen.narrate(_told(outcome))
    if any(outcome.came is busy.Came.CHANGED for outcome in outcomes):
        screen.narrate(f"Run {anew(planned=desk.plan is not None)} to let the plan follow.")
    if any(outcome.came is busy.Came.KEPT for outcome in outcomes):
        raise typer.Exit(Exit.BAD_INPUT)


@app.command("list")
def listed(folder: Folder = Path(), *, plain: Plain = False, as_json: Json = False) -> None:
    """Tell which calendars are fetched. Links are never shown whole."""
    from seasonplan.feed.fetch.busy import masked
    from seasonplan.feed.private import load_private

    screen = Screen.here(plain=plain)
    facts: list[dict[str, Any]] = [
        {
            "file": file, "from": masked(one.url), "changed": one.changed,
            "checked": one.checked, "failures": one.failures,
        }
        for file, one in load_private(folder).busy.items()
    ]  # fmt: skip
    if as_json:
        write_json(facts)
        return
    for fact in facts:
        failed = f", failed {fact['failures']} times since" if fact["failures"] else ""
        when = f"{fact['changed']:%Y-%m-%d %H:%M} UTC" if fact["changed"] else "not yet"
        screen.say(f"{fact['file']}: from {fact['from']}, last change {when}{failed}.")
    if not facts:
        screen.say("No calendar is fetched.")


@app.command()
def drop(name: Name, folder: Folder = Path(), *, plain: Plain = False) -> None:
    """Fetch a calendar no longer; its file stays, and so does its name in the year."""
    from seasonplan.feed.fetch.busy import unsubscribe

    file = unsubscribe(folder, name)
    Screen.here(plain=plain).narrate(
        f"{file} is no longer fetched. Take it out of sessions.busy to plan without it."
    )


def _refresh(desk: Desk, file: str, *, even_empty: bool) -> Outcome:
    from seasonplan.feed.fetch.busy import refresh
    from seasonplan.feed.private import load_private
    from seasonplan.feed.publish.passwords import BUSY_VARIABLE
    from seasonplan.workspace import clock

    known = load_private(desk.folder).busy[file]
    wanted = known.caldav and known.user
    password = password_of(known.url, known.user, variable=BUSY_VARIABLE) if wanted else ""
    return refresh(
        desk.folder, file, span=desk.year.span, time_zone=desk.year.climber.time_zone,
        now=clock.stamp(), even_empty=even_empty, password=password,
    )  # fmt: skip


def _told(outcome: Outcome) -> str:
    from seasonplan.feed.fetch.busy import Came

    return {
        Came.CHANGED: f"{outcome.file}: fetched, it changed.",
        Came.SAME: f"{outcome.file}: fetched, nothing changed.",
        Came.KEPT: f"{outcome.file}: not taken over: {outcome.why}. What was there stays.",
    }[outcome.came]
