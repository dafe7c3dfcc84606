"""The plan in force and the year it was made for: what a phone is shown, whatever is edited."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from seasonplan.cli.options import no_plan_yet
from seasonplan.ical.layers import USUAL, Layer

if TYPE_CHECKING:
    from seasonplan.plan import Plan
    from seasonplan.recipes import OwnTests
    from seasonplan.year import Year

LAYERS = ", ".join(layer.value for layer in Layer)
Without = Annotated[
    list[Layer] | None,
    typer.Option(metavar="LAYER", help=f"Leave this out, may be repeated: {LAYERS}."),
]
With = Annotated[
    list[Layer] | None,
    typer.Option("--with", metavar="LAYER", help="Show this too, may be repeated."),
]
Free = Annotated[bool, typer.Option("--free", help="Sessions leave you free, not busy.")]


def layers_of(also: list[Layer] | None, without: list[Layer] | None) -> frozenset[Layer]:
    return (USUAL | frozenset(also or ())) - frozenset(without or ())


Alarm = Annotated[
    int | None,
    typer.Option(
        min=0, max=1440, metavar="MINUTES", help="Remind so long before each session.",
        show_default="alarm_minutes of the year, else none",
    ),
]  # fmt: skip
NoAlarm = Annotated[bool, typer.Option("--no-alarm", help="No reminders, whatever the year says.")]


def refuse_both(alarm: int | None, *, none: bool) -> None:
    """Raises BadParameter where an alarm and none is asked for."""
    if alarm is not None and none:
        raise typer.BadParameter(
            "found --alarm and another wish for reminders; wanted one of them. Drop one."
        )


def accepted(folder: Path) -> tuple[Year, Plan]:
    """With the reminders of the year as it is now: they are no part of a plan.

    Raises BadInput where there is no plan, or it cannot be read.
    """
    from seasonplan import store
    from seasonplan.edits import read

    on_disk = store.load_plan(folder)
    if on_disk is None:
        raise no_plan_yet(folder)
    text = on_disk.plan.current.year_text
    if not text:
        return store.load_year(folder).year, on_disk.plan
    return _reminding(read(text), folder), on_disk.plan


def tested_in(folder: Path) -> OwnTests:
    """What tests say to sessions; nothing while the year or the diary cannot be read."""
    from seasonplan.errors import BadInput
    from seasonplan.opened import Opened
    from seasonplan.recipes import UNTESTED

    try:
        return Opened(folder).tested
    except BadInput:  # told by whoever edits it
        return UNTESTED


def _reminding(year: Year, folder: Path) -> Year:
    """The year with the alarm that year.toml asks for now, where it can be read."""
    from seasonplan import store
    from seasonplan.errors import BadInput

    try:
        now = store.load_year(folder).year.sessions.alarm_minutes
    except BadInput:  # told by whoever edits it; what was planned is shown meanwhile
        return year
    sessions = year.sessions.model_copy(update={"alarm_minutes": now})
    return year.model_copy(update={"sessions": sessions})


def marks(*paths: Path) -> tuple[object, ...]:
    """What changes when one of these files does; cheap enough for every request."""
    found: list[object] = []
    for path in paths:
        try:
            about = path.stat()
        except OSError:
            found.append(None)
        else:
            found.append((about.st_ino, about.st_size, about.st_mtime_ns))
    return tuple(found)
