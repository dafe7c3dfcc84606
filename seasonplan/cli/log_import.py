"""`seasonplan log import`: another program's table into the diary, with what could not be taken."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from seasonplan.cli.exits import Exit
from seasonplan.cli.options import Json, Plain, Today
from seasonplan.cli.screen import Screen, write_json

if TYPE_CHECKING:
    from seasonplan.diary import Form, Imported

MOST_TOLD = 20  # faults shown; the rest is counted

File = Annotated[Path, typer.Argument(metavar="FILE", help="A CSV table.")]
Map = Annotated[
    list[str] | None,
    typer.Option("--map", metavar="COLUMN=HEADING", help="Which heading holds our column."),
]
Same = Annotated[
    list[str] | None,
    typer.Option("--set", metavar="COLUMN=VALUE", help="The same in all rows, as kind=done."),
]
Dates = Annotated[str, typer.Option(metavar="FORM", help="Such as DD.MM.YYYY, or with hh:mm.")]
TimeUnit = Annotated[str, typer.Option(metavar="min|h", help="What plain numbers of time are in.")]
DryRun = Annotated[bool, typer.Option("--dry-run", help="Write nothing; tell what would be.")]


def take_in(
    ctx: typer.Context,
    file: File,
    *,
    columns: Map = None,
    same: Same = None,
    dates: Dates = "YYYY-MM-DD",
    time_unit: TimeUnit = "min",
    dry_run: DryRun = False,
    today: Today = None,
    plain: Plain = False,
    as_json: Json = False,
) -> None:
    """Take rows over from another table. Rows that are there already are not taken again."""
    from seasonplan.cli.log_book import keep_as_read, opened
    from seasonplan.diary import import_csv
    from seasonplan.workspace.store import DIARY_FILE, beside_others

    screen = Screen.here(plain=plain)
    opened(ctx.obj, today)  # a folder that cannot be read is told first
    form = _form(columns or [], same or [], dates=dates, time_unit=time_unit)
    text = _text(file)

    def taken() -> Imported:
        book = opened(ctx.obj, today)
        found = import_csv(text, form, file=str(file), diary=book.entries)
        if not dry_run:
            keep_as_read(book, found.entries)
        return found

    found = beside_others(taken, ctx.obj / DIARY_FILE)
    _tell(screen, found, dry_run=dry_run, as_json=as_json)
    if found.skipped and not found.entries and not found.known:
        raise typer.Exit(Exit.BAD_INPUT)


def _form(columns: list[str], same: list[str], *, dates: str, time_unit: str) -> Form:
    from seasonplan.cli.log_book import refused
    from seasonplan.diary import Form

    if time_unit not in ("min", "h"):
        raise refused("--time-unit", repr(time_unit), "min or h", "Choose one.")
    return Form(
        columns=_pairs("--map", columns),
        same=_pairs("--set", same),
        dates=dates,
        time_unit="h" if time_unit == "h" else "min",
    )


def _pairs(option: str, given: list[str]) -> dict[str, str]:
    """What COLUMN=SOMETHING options say, by column."""
    from seasonplan.cli.log_book import refused

    pairs = {}
    for one in given:
        column, sign, value = one.partition("=")
        if not sign or not value.strip():
            raise refused(option, repr(one), "a column, = and a text", f"Write {option} date=Day.")
        pairs[column.strip().lower()] = value.strip()
    return pairs


def _text(file: Path) -> str:
    """The text of the table; old ones are often not UTF-8, which is told with a way out."""
    from seasonplan.cli.log_book import refused
    from seasonplan.files.disk import read_whole

    content = b""
    try:
        content = read_whole(file)
        return content.decode("utf-8")
    except UnicodeDecodeError as error:
        line = content[: error.start].count(b"\n") + 1
        raise refused(
            "FILE", f"bytes in line {line} that are not UTF-8", "a CSV table in UTF-8",
            "Save it as CSV in UTF-8.",
        ) from None  # fmt: skip
    except OSError as error:
        why = error.strerror or "?"
        raise refused(
            "FILE", f"{str(file)!r} ({why})", "a CSV table", "Correct the path."
        ) from None


def _tell(screen: Screen, found: Imported, *, dry_run: bool, as_json: bool) -> None:
    from seasonplan.cli.log_book import facts

    if as_json:
        told: dict[str, Any] = {
            "entries": [facts(entry) for entry in found.entries],
            "known": found.known,
            "skipped": [str(fault) for fault in found.skipped],
            "written": not dry_run,
        }
        write_json(told)
        return
    number = len(found.entries)
    rows = "row" if number == 1 else "rows"
    verb = "would be" if dry_run else "was" if number == 1 else "were"
    screen.say(f"{number} {rows} {verb} taken over.")
    if found.known:
        screen.say(f"In the diary already: {found.known}.")
    lines = len({fault.line for fault in found.skipped})
    if lines:
        screen.narrate(f"{lines} {'row was' if lines == 1 else 'rows were'} left out:")
    for fault in found.skipped[:MOST_TOLD]:
        screen.narrate(f"- {fault}")
    if len(found.skipped) > MOST_TOLD:
        screen.narrate(f"- and {len(found.skipped) - MOST_TOLD} more faults; see them with --json.")
