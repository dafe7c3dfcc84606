"""`seasonplan export`: the plan as a calendar file for a phone."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from seasonplan.cli.accepted import accepted, wished
from seasonplan.cli.exits import Exit
from seasonplan.cli.grouped import grouped
from seasonplan.cli.options import Folder, Json, Plain
from seasonplan.cli.screen import Screen, tell_old, write_json
from seasonplan.days import count_text
from seasonplan.ical.layers import ALL

if TYPE_CHECKING:
    from seasonplan.feed.contents import Wish

# Users of one large calendar report that it silently drops what is beyond these; its maker
# documents neither (issue threads, second hand).
MOST_EVENTS, MOST_BYTES = 1_000, 1_000_000
OPEN = (
    "Open it on your phone; for a calendar that follows every change, run `seasonplan serve` or "
    "`seasonplan publish`."
)
BACK = "Import it where a calendar keeps what is no longer planned; some calendars ignore it."
LARGE = (
    "{events} events, {size:.2f} MB: some calendars read only the first 1,000 events or 1 MB of "
    "a file. Leave something out with --without, or plan one year at a time."
)
EXAMPLES = """Examples:

\b
  seasonplan export my-year                  writes my-year/seasonplan.ics
  seasonplan export my-year --out - > a.ics  writes to stdout
  seasonplan export my-year --without notes --without seasons
  seasonplan export my-year --alarm 30       reminds you half an hour before
  seasonplan export my-year --days --blocks "first day"    fewer events
  seasonplan export my-year --cancelled-since 3    takes back what is gone

Sessions are events at their hours, the way there and back counted, and make
you busy (--free does not). What the diary says is in their titles: done, or
missed (--without diary leaves it out).
A new export replaces the old: subscribe to one file, or delete what you
imported before you import again. Where a calendar keeps what is no longer
planned, import the file of --cancelled-since; some calendars ignore it.

Injuries stay out unless you ask with --with injuries: a calendar that
you share or subscribe to passes through other people's machines."""

Out = Annotated[
    str | None,
    typer.Option(metavar="FILE", help="Where to write; - is stdout.", show_default="in FOLDER"),
]
Since = Annotated[
    int | None,
    typer.Option(
        "--cancelled-since", min=1, metavar="NUMBER",
        help="Write only a file that takes back what plan NUMBER had and this one has not.",
    ),
]  # fmt: skip
CANCEL_FILE = "cancelled.ics"


@grouped(wish=wished)
def export(
    folder: Folder = Path(),
    *,
    out: Out = None,
    wish: Wish,
    cancelled_since: Since = None,
    plain: Plain = False,
    as_json: Json = False,
) -> None:
    """Write the plan as a calendar for your phone."""
    screen = Screen.here(plain=plain)
    file, content = _written(folder, wish, out, since=cancelled_since, screen=screen)
    if content is None:
        screen.narrate(f"Nothing of plan {cancelled_since} is gone; nothing was written.")
        return
    events = content.count(b"BEGIN:VEVENT")
    if events > MOST_EVENTS or len(content) > MOST_BYTES:
        screen.narrate(LARGE.format(events=events, size=len(content) / 1e6))
    if out == "-":
        typer.echo(content, nl=False)
        return
    path = Path(out) if out else folder / file
    _keep(path, content, screen)
    if as_json:
        left_out = sorted(layer.value for layer in ALL - wish.layers)
        write_json({"file": str(path), "events": events, "left_out": left_out})
    else:
        screen.say(f"{path}: {count_text(events, 'event')}.")
        screen.narrate(BACK if cancelled_since is not None else OPEN)


def _written(
    folder: Path, wish: Wish, out: str | None, *, since: int | None, screen: Screen
) -> tuple[str, bytes | None]:
    """What the file is called where nobody says it, and its bytes; None where nothing is gone."""
    from seasonplan.workspace.store import CALENDAR_FILE

    if since is not None:
        return CANCEL_FILE, _cancelled(folder, wish, since=since)
    return CALENDAR_FILE, _calendar(folder, wish, out or CALENDAR_FILE, screen=screen)


def _keep(path: Path, content: bytes, screen: Screen) -> None:
    """Only a calendar may be overwritten: `--out year.toml` must not cost a year."""
    from seasonplan.workspace.store import may_be_calendar, write_output

    if not may_be_calendar(path):
        screen.narrate(
            f"{path}: found a file that is no calendar; wanted a calendar or no file. "
            "Nothing was written: choose another name."
        )
        raise typer.Exit(Exit.CHANGED_ON_DISK)
    write_output(path, content)


def _calendar(folder: Path, wish: Wish, file: str, *, screen: Screen) -> bytes:
    from seasonplan.feed.publish.export import exported
    from seasonplan.workspace import clock
    from seasonplan.workspace.desk import Desk

    year, plan = accepted(folder)
    desk = Desk(folder)
    tell_old(screen, desk)
    return exported(
        folder, year, plan, file=file, wish=wish, now=clock.stamp(),
        diary=desk.diary_shown, taken=desk.taken_since,
    )  # fmt: skip


def _cancelled(folder: Path, wish: Wish, *, since: int) -> bytes | None:
    from seasonplan.errors import BadInput, Fault
    from seasonplan.feed.private import load_private
    from seasonplan.ical import cancel_bytes
    from seasonplan.ical.shown import highest

    year, plan = accepted(folder)
    if since not in {revision.number for revision in plan.revisions}:
        wanted, do = f"1 to {plan.current.number}", "See `seasonplan history`."
        where = str(folder / "plan.json")
        raise BadInput([Fault(where, "--cancelled-since", None, f"plan {since}", wanted, do)])
    known = highest(load_private(folder).shown.values())
    return cancel_bytes(
        year, plan, since=since, layers=wish.layers, known=known, manner=wish.manner(year)
    )
