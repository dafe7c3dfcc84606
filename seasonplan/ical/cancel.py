"""What an earlier revision showed and the current one does not. Writes nothing."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import datetime
from typing import TypeVar

from seasonplan.edits import read
from seasonplan.errors import Misuse
from seasonplan.ical.appointments import Appointment, appointments
from seasonplan.ical.changes import Change, calendar_change
from seasonplan.ical.happenings import Happening, happenings
from seasonplan.ical.layers import Layer
from seasonplan.ical.shown import Shown
from seasonplan.plan import Plan
from seasonplan.year import Year

Told = TypeVar("Told", Happening, Appointment)


def gone(
    year: Year, plan: Plan, *, since: int, layers: frozenset[Layer], known: Mapping[str, Shown]
) -> tuple[list[Happening], list[Appointment]]:
    """The events of revision `since` that are no more, each one change on.

    A number higher than the event ever had is what makes a calendar take it back (RFC 5546 2.1.4).
    """
    then = _as_it_was(plan, since)
    old_year = read(then.current.year_text) if then.current.year_text else year
    stamp = calendar_change(plan).stamp
    return (
        _missing(_days(old_year, then, layers), _days(year, plan, layers), stamp, known),
        _missing(_hours(old_year, then, layers), _hours(year, plan, layers), stamp, known),
    )


def _as_it_was(plan: Plan, number: int) -> Plan:
    revisions = tuple(revision for revision in plan.revisions if revision.number <= number)
    if not revisions or revisions[-1].number != number:
        raise Misuse(f"found no revision {number}; wanted one of the plan")
    return Plan(calendar_key=plan.calendar_key, revisions=revisions)


def _days(year: Year, plan: Plan, layers: frozenset[Layer]) -> list[Happening]:
    return happenings(year, plan, layers=layers, texts={})


def _hours(year: Year, plan: Plan, layers: frozenset[Layer]) -> list[Appointment]:
    return appointments(year, plan, layers=layers, texts={}, busy=False, alarm_minutes=None)


def _missing(
    then: list[Told], now: list[Told], stamp: datetime, known: Mapping[str, Shown]
) -> list[Told]:
    still = {one.uid for one in now}
    return [_later(one, stamp, known.get(str(one.uid))) for one in then if one.uid not in still]


def _later(one: Told, stamp: datetime, known: Shown | None) -> Told:
    number = max(one.change.sequence, known.sequence if known else 0) + 1
    return replace(one, change=Change(max(stamp, known.stamp) if known else stamp, number))
