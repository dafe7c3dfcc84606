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
from seasonplan.ical.manner import PLAIN, Manner
from seasonplan.ical.shown import Shown
from seasonplan.plan import Plan
from seasonplan.vocabulary import BlocksAs
from seasonplan.year import Year

OTHERS = (PLAIN, Manner(days_as_one=True, blocks=BlocksAs.WEEKS))  # all that may be shown
Told = TypeVar("Told", Happening, Appointment)


def gone(
    year: Year, plan: Plan, *, since: int, layers: frozenset[Layer], known: Mapping[str, Shown],
    manner: Manner = PLAIN,
) -> tuple[list[Happening], list[Appointment]]:  # fmt: skip
    """The events of revision `since` that are no more, each one change on.

    Events of another manner than `manner` count where `known` says that they were shown.

    A number higher than the event ever had is what makes a calendar take it back (RFC 5546 2.1.4).
    """
    then = _as_it_was(plan, since)
    old_year = read(then.current.year_text) if then.current.year_text else year
    stamp = calendar_change(plan).stamp
    days, timed = _days(old_year, then, layers, manner), _hours(old_year, then, layers, manner)
    for other in OTHERS:
        days += _shown_too(_days(old_year, then, layers, other), days, known)
        timed += _shown_too(_hours(old_year, then, layers, other), timed, known)
    return (
        _missing(days, _days(year, plan, layers, manner), stamp, known),
        _missing(timed, _hours(year, plan, layers, manner), stamp, known),
    )


def _shown_too(found: list[Told], listed: list[Told], known: Mapping[str, Shown]) -> list[Told]:
    """Those that are not listed yet, and were shown once."""
    uids = {one.uid for one in listed}
    return [one for one in found if one.uid not in uids and str(one.uid) in known]


def _as_it_was(plan: Plan, number: int) -> Plan:
    revisions = tuple(revision for revision in plan.revisions if revision.number <= number)
    if not revisions or revisions[-1].number != number:
        raise Misuse(f"found no revision {number}; wanted one of the plan")
    return Plan(calendar_key=plan.calendar_key, revisions=revisions)


def _days(
    year: Year, plan: Plan, layers: frozenset[Layer], manner: Manner
) -> list[Happening]:  # fmt: skip
    return happenings(year, plan, layers=layers, texts={}, manner=manner)


def _hours(
    year: Year, plan: Plan, layers: frozenset[Layer], manner: Manner
) -> list[Appointment]:  # fmt: skip
    return appointments(
        year, plan, layers=layers, texts={}, busy=False, alarm_minutes=None, manner=manner
    )


def _missing(
    then: list[Told], now: list[Told], stamp: datetime, known: Mapping[str, Shown]
) -> list[Told]:
    still = {one.uid for one in now}
    return [_later(one, stamp, known.get(str(one.uid))) for one in then if one.uid not in still]


def _later(one: Told, stamp: datetime, known: Shown | None) -> Told:
    number = max(one.change.sequence, known.sequence if known else 0) + 1
    return replace(one, change=Change(max(stamp, known.stamp) if known else stamp, number))
