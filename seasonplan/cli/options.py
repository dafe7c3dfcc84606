"""Arguments and options that several commands share."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Annotated

import typer

from seasonplan.errors import BadInput, Fault


def _day(text: str | date) -> date:
    if isinstance(text, date):
        return text
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise typer.BadParameter(
            f"found {text!r}; wanted a date such as 2026-09-20. Correct it."
        ) from None


Folder = Annotated[
    Path,
    typer.Argument(metavar="FOLDER", help="The folder of your year.", show_default="this folder"),
]
Plain = Annotated[
    bool,
    typer.Option("--plain", help="ASCII, no colour, no drawing, one fact on each line."),
]
Json = Annotated[bool, typer.Option("--json", help="Write JSON, for other programs.")]
Today = Annotated[
    date | None,
    typer.Option(parser=_day, metavar="DATE", help="Take this as today (2026-09-20)."),
]
OnDay = Annotated[
    date | None,
    typer.Argument(parser=_day, metavar="DATE", help="A day of the week; today if left out."),
]
From = Annotated[
    date | None,
    typer.Option("--from", parser=_day, metavar="DATE", help="Week by week from this day."),
]


def folder_or_day(folder: Path, day: date | None) -> tuple[Path, date | None]:
    """A date written where the folder stands is a date, if no folder is called so."""
    if day is None and not folder.exists():
        try:
            return Path(), date.fromisoformat(folder.name if folder.parent == Path() else "")
        except ValueError:
            pass
    return folder, day


def no_plan_yet(folder: Path) -> BadInput:
    """There is a year but nothing was planned."""
    return BadInput(
        [
            Fault(
                str(folder / "plan.json"), "", None, "no file", "a plan",
                "Run `seasonplan plan` to make one.",
            )
        ]
    )  # fmt: skip


def plan_is_old(folder: Path) -> BadInput:
    """The year was changed after the plan was made, and the answer needs them to agree."""
    return BadInput(
        [
            Fault(
                str(folder / "plan.json"), "", None, "a plan older than the year",
                "a plan of the year as it is", "Run `seasonplan plan` first.",
            )
        ]
    )  # fmt: skip
