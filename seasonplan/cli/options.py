"""Arguments and options that several commands share."""

from __future__ import annotations

from contextlib import suppress
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from seasonplan.cli import where
from seasonplan.errors import BadInput, Fault

if TYPE_CHECKING:
    from seasonplan.plan import Plan
    from seasonplan.workspace.desk import Desk
    from seasonplan.year import Year

WANTED = "a day such as 2026-09-20, 12 sep, tomorrow or next friday"


def day_meant(
    text: str, *, folder: Path = Path(), today: date | None = None, past: bool = False,
    begins: date | None = None, hint: str | None = None,
) -> date:  # fmt: skip
    """The day that words mean; `past` as `day_said` has it; an end is looked for from where it
    `begins` on. Raises BadParameter, of the option in `hint`."""
    from seasonplan.year.spoken import day_said, end_said, no_such_day

    try:
        return date.fromisoformat(text)  # needs neither a clock nor a year
    except ValueError:
        pass
    now, week_begins = _now(folder, today)
    if begins is None:
        found = day_said(text, today=now, week_begins=week_begins, past=past)
    else:
        found = end_said(text, first=begins, today=now, week_begins=week_begins)
    if found is None:
        do = no_such_day(text) or "Correct it."
        raise typer.BadParameter(f"found {text!r}; wanted {WANTED}. {do}", param_hint=hint)
    return found


def now_of(year: Year, today: date | None) -> date:
    """Today where the climber is, or the day that was said to be."""
    from seasonplan.workspace import clock

    return today or clock.today(year.climber.time_zone)


def _now(folder: Path, today: date | None) -> tuple[date, int]:
    """Today where the climber of a folder is, and when their weeks begin; else as is usual here."""
    from seasonplan.workspace import clock
    from seasonplan.workspace.store import load_year
    from seasonplan.year.fresh import usual_zone

    try:
        year = load_year(folder).year
    except BadInput:  # told when the command itself reads the year
        return today or clock.today(usual_zone()), 0
    return now_of(year, today), year.climber.week_begins


def a_day(*, past: bool = False) -> dict[str, Any]:
    """What makes an argument or option take a day in words, with the folder and today it has."""

    def meant(ctx: typer.Context, value: Any) -> date | None:
        if value is None or isinstance(value, date):
            return value
        folder = ctx.params.get("folder") or ctx.obj or Path()
        return day_meant(value, folder=folder, today=ctx.params.get("today"), past=past)

    return {"parser": _as_typed, "callback": meant, "metavar": "DAY"}


def _as_typed(text: Any) -> Any:
    return text


Folder = Annotated[
    Path,
    typer.Argument(
        metavar="FOLDER",
        help="The folder of your year.",
        show_default="this folder",
        is_eager=True,
        callback=where.remember,
    ),
]
Plain = Annotated[
    bool,
    typer.Option("--plain", help="ASCII, no colour, no drawing, one fact on each line."),
]
Json = Annotated[bool, typer.Option("--json", help="Write JSON, for other programs.")]
Today = Annotated[
    date | None,
    typer.Option(help="Take this as today (2026-09-20).", is_eager=True, **a_day()),
]
OnDay = Annotated[
    date | None,
    typer.Argument(help="A day of the week; today if left out.", **a_day()),
]
From = Annotated[
    date | None,
    typer.Option("--from", help="Week by week from this day.", **a_day()),
]


def folder_or_day(
    folder: Path, day: date | None, *, today: date | None
) -> tuple[Path, date | None]:
    """A day written where the folder stands is a day, if no folder is called so."""
    if day is None and not folder.exists() and folder.parent == Path():
        with suppress(typer.BadParameter):
            day = day_meant(folder.name, today=today)
            folder = where.remember(Path())
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


def plan_in_force(desk: Desk) -> Plan:
    """The plan of the year as it is, with what was said of sessions since. Raises BadInput where
    there is none, or an older one."""
    shown = desk.shown_plan
    if shown is None:
        raise no_plan_yet(desk.folder)
    if not desk.lags:
        return shown
    raise BadInput(
        [
            Fault(
                str(desk.folder / "plan.json"), "", None, "a plan older than the year",
                "a plan of the year as it is", "Run `seasonplan replan` first.",
            )
        ]
    )  # fmt: skip
