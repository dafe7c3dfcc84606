"""The calendar as one file, with numbers that go on from the file before. Writes no calendar.

Each file that is exported is a calendar of its own: what it showed of each event is noted under
its name, so that the next one counts on from there.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from pathlib import Path

from seasonplan.diary import DiaryEntry
from seasonplan.errors import BadInput, CannotWrite, ChangedOnDisk
from seasonplan.feed.contents import NOTHING, Wish, asked, shown_by
from seasonplan.feed.private import EXPORTED, keep_shown, load_private
from seasonplan.ical import DEFAULT_NAME, calendar_bytes
from seasonplan.ical.taken import Taken
from seasonplan.plan import Plan
from seasonplan.year import Year


def exported(
    folder: Path, year: Year, plan: Plan, *, file: str, wish: Wish, now: datetime,
    diary: Sequence[DiaryEntry] = (), taken: Taken = NOTHING,
) -> bytes:  # fmt: skip
    """The plan as an .ics file; what it shows is noted in the private file of `folder`.

    Where that cannot be read or written the numbers are told from the revisions alone.
    """
    road = f"{EXPORTED} {file}"
    try:
        before = load_private(folder).shown.get(road, {})
        known = shown_by(year, plan, wish, before=before, now=now, diary=diary, taken=taken)
        if known != before:
            keep_shown(folder, road, known)
    except (BadInput, CannotWrite, ChangedOnDisk):  # a calendar all the same
        known = {}
    told = asked(year, plan, wish, layers=wish.layers, diary=diary, taken=taken)
    return calendar_bytes(year, plan, name=DEFAULT_NAME, known=known, **told)
