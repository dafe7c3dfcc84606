"""Writes the plan as a calendar file beside the year, as `seasonplan export` does."""

from __future__ import annotations

from pathlib import Path

from seasonplan.desk import Desk
from seasonplan.edits import EditRefused
from seasonplan.store import write_output

FILE = "seasonplan.ics"
CALENDAR = b"BEGIN:VCALENDAR"


def written(desk: Desk) -> tuple[Path, int]:
    """The calendar file and its number of events; injuries stay out.

    Raises EditRefused where there is no plan of the year as it is, CannotWrite.
    """
    from seasonplan.feed.contents import calendar_texts
    from seasonplan.ical import DEFAULT_NAME, USUAL, calendar_bytes

    if desk.plan is None or desk.stale:
        raise EditRefused("There is no plan of the year as it is.", "Press r to plan, then e.")
    path = desk.folder / FILE
    if path.is_file() and not path.read_bytes().startswith(CALENDAR):
        raise EditRefused(f"{FILE} is there and is no calendar.", "Give it another name first.")
    content = calendar_bytes(
        desk.year,
        desk.plan,
        layers=USUAL,
        name=DEFAULT_NAME,
        texts=calendar_texts(desk.year, desk.plan, layers=USUAL),
        alarm_minutes=desk.year.sessions.alarm_minutes,
    )
    write_output(path, content)
    return path, content.count(b"BEGIN:VEVENT")
