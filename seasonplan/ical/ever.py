"""Every time at which an event of ours was ever planned, in whatever manner it was shown."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from uuid import uuid5

from seasonplan.days import Span
from seasonplan.edits import read
from seasonplan.errors import BadInput
from seasonplan.ical.appointments import (
    HERE,
    by_day,
    day_hours,
    session_hours,
    way_of,
    ways_of,
    with_way,
)
from seasonplan.ical.happenings import first_day, week_key
from seasonplan.ical.together import day_key
from seasonplan.plan import Block, Plan, Revision
from seasonplan.year import Absence, Season, Trip, Window, Year

When = tuple[date, date]  # from, up to and without; dates, or moments with their zone


def ever_planned(year: Year, plan: Plan) -> dict[str, set[When]]:
    """Every time at which each event of ours was planned, by UID, in whatever manner shown."""
    times: dict[str, set[When]] = {}
    for revision in plan.revisions:
        then = _year_of(revision.year_text, year)
        for key, when in _planned_times(revision, then):
            times.setdefault(str(uuid5(plan.calendar_key, key)), set()).add(when)
    return times


def _planned_times(revision: Revision, then: Year) -> Iterator[tuple[str, When]]:
    stays = ways_of(revision.sessions, then)
    for session in revision.sessions:
        whole = way_of(session, then)
        for ways in {HERE, (whole, whole), stays.get(session.id, HERE)}:
            yield session.id, with_way(*session_hours(session, then), ways)
    for day, sessions in by_day(revision.sessions).items():
        for with_ways in (True, False):
            yield day_key(day), day_hours(sessions, then, way=with_ways)
    for block in revision.blocks:
        days = [(block.id, block.span), (block.id, first_day(block.span)), *weekly(block)]
        yield from ((key, (span.first, span.after)) for key, span in days)
    yield from ((key, (span.first, span.after)) for key, _, span in dated(then))


def _year_of(text: str, now: Year) -> Year:
    try:
        return read(text) if text else now
    except BadInput:  # written by an older program
        return now


def weekly(block: Block) -> Iterator[tuple[str, Span]]:
    """The later weeks of a block, by what their identity hangs on: the day that shows them."""
    for number, week in enumerate(block.weeks[1:], start=2):
        yield week_key(block.id, number), first_day(week.span)


def dated(year: Year) -> Iterator[tuple[str, Season | Trip | Absence | Window, Span]]:
    """Every entry with days of its own, by what its identity hangs on."""
    for season in year.seasons:
        for spell in season.spells(year.span):
            yield f"season:{season.id}:{spell.first}", season, spell
    yield from ((f"trip:{one.id}", one, one.span) for one in year.trips)
    yield from ((f"absence:{one.id}", one, one.span) for one in year.absences)
    yield from ((f"window:{one.id}", one, one.span) for one in year.windows)
