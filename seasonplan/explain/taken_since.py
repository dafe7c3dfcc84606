"""What took the day or the hours of a session since it was planned: a trip, days off, less time,
a busy calendar; or that the trip it was for is gone.

Asks the almanac what a day leaves. Knows nothing of health.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from types import MappingProxyType

from seasonplan.body.almanac import almanac_of
from seasonplan.explain.words import entry_name
from seasonplan.ical.appointments import way_of
from seasonplan.ical.taken import Taken
from seasonplan.plan import Session
from seasonplan.rules.statements import book_of
from seasonplan.year import Absence, Trip, Year

BEFORE = "It was planned before you entered {name}."
CHANGED = "It was planned before you changed {name}."
AWAY = "You are away: it was planned before you entered {name}."
LESS = "You have less time: it was planned before you entered {name}."
GONE = "{name} is no longer in your year: the next plan takes that up."
BUSY = "You are busy then: it was planned before your busy calendar said so."


def taken_text(
    session: Session, year: Year, *, since: Year, gone: Sequence[Trip | Absence] = (),
    taken: Taken = MappingProxyType({}),
) -> str:  # fmt: skip
    """What took it, in a sentence; "" where its day and hours are as they were.

    `since`: the year with those trips and absences alone that its plan knows nothing of; `gone`
    are those that the year holds no more; `taken` is busy time, in minutes after midnight.
    """
    told = (form.format(name=entry_name(year, entry)) for form, entry in _takers(session, since))
    whole = next((one for one in year.absences if one.left == 0 and session.day in one.span), None)
    away = BEFORE.format(name=entry_name(year, whole.id)) if whole else ""
    lost = next((GONE.format(name=f"“{one.name}”") for one in gone if _was_for(session, one)), "")
    busy = BUSY if _is_busy(session, year, taken) else ""
    return away or lost or next(told, "") or busy


def _was_for(session: Session, entry: Trip | Absence) -> bool:
    """Whether a session was planned for a trip: while that was there no other lay on its days."""
    return isinstance(entry, Trip) and session.day in entry.span


def _is_busy(session: Session, year: Year, taken: Taken) -> bool:
    """Whether a calendar takes some of its time or of the way; on a trip none is asked."""
    on_trip = any(session.day in trip.span for trip in year.trips)
    if on_trip or session.day not in taken or book_of(year).active("session-hours") is None:
        return False
    first, after = _whole(session, year)
    return any(begins < after and first < ends for begins, ends in taken[session.day])


def _whole(session: Session, year: Year) -> tuple[int, int]:
    """From when to when it takes time, the way there and back with it."""
    way = way_of(session, year)
    return session.minute - way, session.minute + session.minutes + way


def _takers(session: Session, since: Year) -> Iterator[tuple[str, str]]:
    """Each sentence with the entry that it is about."""
    for trip in since.trips:
        on_it = session.rock == trip.id
        if on_it and session.day not in trip.there:
            yield CHANGED, trip.id
        elif not on_it and session.day in trip.span:
            yield AWAY, trip.id
    for one in since.absences:
        if session.day in one.span and not _fits(session, since):
            yield LESS, one.id


def _fits(session: Session, year: Year) -> bool:
    """Whether a session with the way to it lies in what absences leave of its day."""
    almanac = almanac_of(year)
    if session.role is None:
        free = almanac.windows(session.day)
    else:
        own = (one for one in almanac.spells if one.entry.id == session.rock)
        spell = next((one for one in own if session.day in one.span), None)
        if spell is None or not almanac.could_go(session.day, spell):
            return False  # easy days outside the seasons keep clear of absences
        if isinstance(spell.entry, Trip):
            return True
        free = almanac.rock_windows(session.day, spell.entry)
    first, after = _whole(session, year)
    return any(start <= first and after <= end for start, end in free)
