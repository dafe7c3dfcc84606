"""The calendar as one file, with numbers that go on from the file before. Writes no calendar.

Each file that is exported is a calendar of its own: what it showed of each event is noted under
its name, so that the next one counts on from there.
"""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

from seasonplan.errors import BadInput, CannotWrite, ChangedOnDisk
from seasonplan.feed.contents import Wish, calendar_texts, shown_by
from seasonplan.feed.private import EXPORTED, keep_shown, load_private
from seasonplan.ical import DEFAULT_NAME, calendar_bytes
from seasonplan.plan import Plan
from seasonplan.recipes import UNTESTED, OwnTests
from seasonplan.year import Year


def exported(
    folder: Path,
    year: Year,
    plan: Plan,
    *,
    file: str,
    wish: Wish,
    now: datetime,
    tested: OwnTests = UNTESTED,
) -> bytes:
    """The plan as an .ics file; what it shows is noted in the private file of `folder`.

    Where that cannot be read or written the numbers are told from the revisions alone.
    """
    road = f"{EXPORTED} {file}"
    try:
        before = load_private(folder).shown.get(road, {})
        known = shown_by(year, plan, wish, before=before, now=now, tested=tested)
        if known != before:
            keep_shown(folder, road, known)
    except (BadInput, CannotWrite, ChangedOnDisk):  # a calendar all the same
        known = {}
    return calendar_bytes(
        year, plan, layers=wish.layers, name=DEFAULT_NAME, sessions_busy=wish.sessions_busy,
        texts=calendar_texts(year, plan, layers=wish.layers, tested=tested),
        alarm_minutes=wish.alarm(year), known=known,
    )  # fmt: skip
