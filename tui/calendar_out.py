"""Writes the plan as a calendar file beside the year, as `seasonplan export` does."""

from __future__ import annotations

from pathlib import Path
from shlex import quote

from seasonplan.edits import EditRefused
from seasonplan.feed.contents import Wish
from seasonplan.feed.publish.export import exported
from seasonplan.workspace import clock
from seasonplan.workspace.desk import Desk
from seasonplan.workspace.store import CALENDAR_FILE, may_be_calendar, write_output


def written(desk: Desk) -> str:
    """What to say of the calendar file that was written; injuries stay out of it.

    Raises EditRefused where there is no plan of the year as it is, CannotWrite.
    """
    shown = desk.shown_plan
    if shown is None or desk.lags:
        raise EditRefused("There is no plan of the year as it is.", "Press r to plan, then e.")
    path: Path = desk.folder / CALENDAR_FILE
    if not may_be_calendar(path):
        raise EditRefused(
            f"{CALENDAR_FILE} is there and is no calendar.", "Give it another name first."
        )
    content = exported(
        desk.folder, desk.year, shown, file=CALENDAR_FILE, wish=Wish(), now=clock.stamp(),
        diary=desk.diary_shown,
    )  # fmt: skip
    write_output(path, content)
    return (
        f"{path}: {content.count(b'BEGIN:VEVENT')} events. Open it on your phone; for a calendar "
        f"that follows every change, run `seasonplan serve {quote(str(desk.folder))}`."
    )
