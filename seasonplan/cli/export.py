"""`seasonplan export`: the plan as a calendar file for a phone."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from seasonplan.cli.exits import Exit
from seasonplan.cli.options import Folder, Json, Plain, no_plan_yet, plan_is_old
from seasonplan.cli.screen import Screen, write_json
from seasonplan.ical.layers import ALL, USUAL, Layer

FILE = "seasonplan.ics"
LAYERS = ", ".join(layer.value for layer in Layer)
EXAMPLES = """Examples:

\b
  seasonplan export my-year                  writes my-year/seasonplan.ics
  seasonplan export my-year --out - > a.ics  writes to stdout
  seasonplan export my-year --without notes --without seasons

Injuries stay out unless you ask with --with injuries: a calendar that
you share or subscribe to passes through other people's machines."""

Out = Annotated[
    str | None,
    typer.Option(metavar="FILE", help="Where to write; - is stdout.", show_default="in FOLDER"),
]
Without = Annotated[
    list[Layer] | None,
    typer.Option(metavar="LAYER", help=f"Leave this out, may be repeated: {LAYERS}."),
]
With = Annotated[
    list[Layer] | None,
    typer.Option("--with", metavar="LAYER", help="Show this too, may be repeated."),
]


def export(
    folder: Folder = Path(),
    *,
    out: Out = None,
    without: Without = None,
    also: With = None,
    plain: Plain = False,
    as_json: Json = False,
) -> None:
    """Write the plan as a calendar for your phone."""
    from seasonplan.store import write_output

    screen = Screen.here(plain=plain)
    layers = (USUAL | frozenset(also or ())) - frozenset(without or ())
    content = _calendar(folder, layers)
    if out == "-":
        typer.echo(content, nl=False)
        return
    path = Path(out) if out else folder / FILE
    _keep_other_files(path, screen)
    write_output(path, content)
    events = content.count(b"BEGIN:VEVENT")
    if as_json:
        left_out = sorted(layer.value for layer in ALL - layers)
        write_json({"file": str(path), "events": events, "left_out": left_out})
    else:
        screen.say(f"{path}: {events} events.")


def _keep_other_files(path: Path, screen: Screen) -> None:
    """Only a calendar may be overwritten: `--out year.toml` must not cost a year."""
    if path.is_file() and path.read_bytes()[:15] not in (b"", b"BEGIN:VCALENDAR"):
        screen.narrate(
            f"{path}: found a file that is no calendar; wanted a calendar or no file. "
            "Nothing was written: choose another name."
        )
        raise typer.Exit(Exit.CHANGED_ON_DISK)


def _calendar(folder: Path, layers: frozenset[Layer]) -> bytes:
    from seasonplan.desk import Desk
    from seasonplan.explain.notes import block_note
    from seasonplan.ical import DEFAULT_NAME, calendar_bytes

    desk = Desk(folder)
    if desk.plan is None:
        raise no_plan_yet(folder)
    if desk.stale:
        raise plan_is_old(folder)
    blocks = desk.plan.current.blocks
    texts = {block.id: block_note(block, desk.year, book=desk.book) for block in blocks}
    return calendar_bytes(desk.year, desk.plan, layers=layers, name=DEFAULT_NAME, texts=texts)
