"""The plan in force and the year it was made for: what a phone is shown, whatever is edited."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from seasonplan.cli.options import no_plan_yet
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
    """Year and plan with what the year says by now of sessions, reminders, the calendar, and of
    injuries, absences and trips, which forbid sessions at once.

    All else that was changed waits for the next plan.

    Raises BadInput where there is no plan, or either cannot be read.
    """
    from seasonplan.edits import read
    from seasonplan.workspace import store

    on_disk = store.load_plan(folder)
    if on_disk is None:
        if not (folder / store.YEAR_FILE).exists():
            store.load_year(folder)  # raises: there is more to do than to plan
        raise no_plan_yet(folder)
    from seasonplan.planning.since import plan_now

    text = on_disk.plan.current.year_text
    year = _said_now(read(text), folder) if text else store.load_year(folder).year
    return year, plan_now(on_disk.plan, year)


def _said_now(year: Year, folder: Path) -> Year:
    """The year with the sessions, alarm, calendar, injuries, absences and trips that year.toml
    has now. Raises BadInput where it cannot be read: a moved session must not go back for that."""
    from seasonplan.workspace import store

    now = store.load_year(folder).year
    sessions = year.sessions.model_copy(update={"alarm_minutes": now.sessions.alarm_minutes})
    said = {
        "sessions": sessions, "calendar": now.calendar, "fixed_sessions": now.fixed_sessions,
        "injuries": now.injuries, "absences": now.absences, "trips": now.trips,
    }  # fmt: skip
    return year.model_copy(update=said)


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
