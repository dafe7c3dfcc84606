"""What a phone is shown: the plan in force, and what was asked to be in it or left out."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from seasonplan.cli.options import no_plan_yet
from seasonplan.cli.screen import Screen, tell_old
from seasonplan.ical.layers import USUAL, Layer
from seasonplan.vocabulary import BlocksAs

if TYPE_CHECKING:
    from seasonplan.feed.contents import Wish
    from seasonplan.plan import Plan
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


Days = Annotated[
    bool | None,
    typer.Option(
        "--days/--each", help="A training day as one event, or an event for each session.",
        show_default="one_event_a_day of the year",
    ),
]  # fmt: skip
Blocks = Annotated[
    BlocksAs | None,
    typer.Option(
        metavar="HOW", help='Blocks: whole, "first day", or weeks (a line for each).',
        show_default="blocks of the year",
    ),
]  # fmt: skip
Way = Annotated[
    bool | None,
    typer.Option(
        "--way/--no-way", help="Whether sessions hold the way there and back.",
        show_default="way of the year",
    ),
]  # fmt: skip


def wished(
    without: Without = None,
    also: With = None,
    *,
    free: Free = False,
    alarm: Alarm = None,
    no_alarm: NoAlarm = False,
    days: Days = None,
    blocks: Blocks = None,
    way: Way = None,
) -> Wish:
    """What was said on the line of what a calendar shows. Raises BadParameter."""
    from seasonplan.feed.contents import Wish

    refuse_both(alarm, none=no_alarm)
    return Wish(
        layers=layers_of(also, without), sessions_busy=not free, alarm_minutes=alarm,
        no_alarm=no_alarm, days_as_one=days, blocks=blocks, way=way,
    )  # fmt: skip


def refuse_both(alarm: int | None, *, none: bool) -> None:
    """Raises BadParameter where an alarm and none is asked for."""
    if alarm is not None and none:
        raise typer.BadParameter(
            "found --alarm and another wish for reminders; wanted one of them. Drop one."
        )


def accepted(folder: Path) -> tuple[Year, Plan]:
    """The year and the plan in force. Raises BadInput where there is none, or it cannot be read."""
    from seasonplan.workspace import store
    from seasonplan.workspace.in_force import in_force

    found = in_force(folder)
    if found is None:
        if not (folder / store.YEAR_FILE).exists():
            store.load_year(folder)  # raises: there is more to do than to plan
        raise no_plan_yet(folder)
    return found


def tell_if_old(folder: Path, screen: Screen) -> None:
    """Say that what a phone is shown is older than the year, where it is."""
    from seasonplan.workspace.desk import Desk

    tell_old(screen, Desk(folder))


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


def mark_of(folder: Path) -> Callable[[], object]:
    """What changes when anything does that is served of a folder; busy calendars are looked for
    anew when its year changed."""
    from seasonplan.workspace import busy_time, store

    own = [folder / name for name in (store.YEAR_FILE, store.PLAN_FILE, store.DIARY_FILE)]
    seen: object = None
    busy: tuple[Path, ...] = ()

    def mark() -> object:
        nonlocal seen, busy
        now = marks(*own)
        if now[0] != seen:
            seen, busy = now[0], busy_time.files(folder)
        return (*now, *marks(*busy))

    return mark
