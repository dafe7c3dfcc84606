"""The busy calendars that a year names, read: what each says, and which minutes they take."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from pathlib import Path

from seasonplan.busy.calendar import BusyReport, read_busy
from seasonplan.errors import BadInput
from seasonplan.ical.taken import Taken, taken_by_day
from seasonplan.workspace import store
from seasonplan.year import Year


def reports(year: Year, found: Iterable[store.BusyOnDisk]) -> dict[str, BusyReport]:
    """What each says, by file. Raises BadInput where one is refused."""
    return {
        one.file: read_busy(
            one.content, file=one.file, span=year.span, time_zone=year.climber.time_zone
        )
        for one in found
    }


def minutes(year: Year, told: Mapping[str, BusyReport]) -> Taken:
    """Minutes of each day that they take, where the climber lives."""
    wish = year.sessions
    return taken_by_day(
        (span for report in told.values() for span in report.spans),
        margin_minutes=wish.busy_margin_minutes, tentative_is_free=wish.tentative_is_free,
    )  # fmt: skip


def taken_now(folder: Path) -> Taken:
    """Minutes that the busy calendars of a folder take now; none where they cannot be had."""
    try:
        year = store.load_year(folder)
        return minutes(year.year, reports(year.year, store.load_busy(folder, year)))
    except BadInput:
        return {}


def files(folder: Path) -> tuple[Path, ...]:
    """Where the busy calendars of a folder lie; none where its year cannot be read."""
    try:
        return tuple(folder / name for name in store.load_year(folder).year.sessions.busy)
    except BadInput:
        return ()
