"""`seasonplan FOLDER`: opens the year in the terminal. The face itself lives in `tui`."""

from __future__ import annotations

import shlex
import sys
from difflib import get_close_matches
from pathlib import Path
from typing import Any

import typer

from seasonplan.cli.exits import Exit
from seasonplan.cli.guard import Guarded
from seasonplan.cli.options import Folder, Today
from seasonplan.cli.where import here
from seasonplan.errors import BadInput, Fault

EXAMPLES = """Examples:

\b
  seasonplan my-year          the same as seasonplan open my-year
  seasonplan open             the year in this folder, or a new one

Every change is written at once and can be taken back."""


class FolderOpens(Guarded):
    """A folder where a command is expected opens the year in it."""

    def resolve_command(self, ctx: Any, args: list[str]) -> Any:
        if args and args[0] not in self.commands and not args[0].startswith("-"):
            if not Path(args[0]).is_dir():
                raise _neither(args[0], list(self.commands))
            args = ["open", *args]
        return super().resolve_command(ctx, args)


def _neither(name: str, commands: list[str]) -> BadInput:
    """What was typed is no command and no folder."""
    near = get_close_matches(name, commands, 2)
    folder = shlex.quote(name)
    do = f"Did you mean {' or '.join(near)}? " if near else ""
    return BadInput(
        [
            Fault(
                "seasonplan", "", None, f"{name!r}, neither a command nor a folder",
                "a command, or the folder of a year",
                f"{do}`seasonplan new {folder}` begins a year there; `seasonplan --help` lists the "
                "commands.",
            )
        ]
    )  # fmt: skip


def open_year(folder: Folder = Path(), *, today: Today = None) -> None:
    """Open a year in the terminal: see it, move it, plan it anew."""
    if not (sys.stdin.isatty() and sys.stdout.isatty()):
        typer.echo(here("This needs a terminal. Use `seasonplan show` to read the year."), err=True)
        raise typer.Exit(Exit.BAD_INPUT)
    from importlib import import_module

    raise typer.Exit(import_module("tui").run(folder, today=today))
