"""Writes the plan as a calendar file beside the year, as `seasonplan export` does."""

from __future__ import annotations

from pathlib import Path
from shlex import quote

from seasonplan.edits import EditRefused
from seasonplan.feed.contents import Wish
from seasonplan.feed.publish.export import exported
from seasonplan.workspace import clock
from seasonplan.workspace.desk import Desk
from seasonplan.workspace.in_force import in_force
from seasonplan.workspace.store import CALENDAR_FILE, may_be_calendar, write_output


def written(desk: Desk) -> str:
    """What to say of the calendar file that was written; injuries stay out of it.

    Raises EditRefused where there is no plan, BadInput, CannotWrite.
    """
    shown = in_force(desk.folder)
    if shown is None:
        raise EditRefused("There is no plan yet.", "Press r to plan, then e.")
    path: Path = desk.folder / CALENDAR_FILE
    if not may_be_calendar(path):
        raise EditRefused(
            f"{CALENDAR_FILE} is there and is no calendar.", "Give it another name first."
        )
    content = exported(
        desk.folder, *shown, file=CALENDAR_FILE, wish=Wish(), now=clock.stamp(),
        diary=desk.diary_shown, taken=desk.taken_since,
    )  # fmt: skip
    write_output(path, content)
    old = " It is of the plan as it was: press r to plan anew, then e." if desk.lags else ""
    return (
        f"{path}: {content.count(b'BEGIN:VEVENT')} events.{old} Open it on your phone; for a "
        f"calendar that follows every change, run `seasonplan serve {quote(str(desk.folder))}`."
    )
