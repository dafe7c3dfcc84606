"""What took the day or the hours of a session since it was planned: a trip, days off, less time.

Asks the almanac what a day leaves. Knows nothing of health.
"""

from __future__ import annotations

from collections.abc import Iterator

from seasonplan.body.almanac import almanac_of
from seasonplan.explain.words import entry_name
from seasonplan.ical.appointments import way_of
from seasonplan.plan import Session
from seasonplan.year import Trip, Year

BEFORE = "It was planned before you entered {name}."
CHANGED = "It was planned before you changed {name}."
AWAY = "You are away: it was planned before you entered {name}."
LESS = "You have less time: it was planned before you entered {name}."


def taken_text(session: Session, year: Year, *, since: Year) -> str:
    """What took it, in a sentence; "" where its day and hours are as they were.

    `since`: the year with those trips and absences alone that its plan knows nothing of.
    """
    told = (form.format(name=entry_name(year, entry)) for form, entry in _takers(session, since))
    whole = next((one for one in year.absences if one.left == 0 and session.day in one.span), None)
    gone = BEFORE.format(name=entry_name(year, whole.id)) if whole else ""
    return gone or next(told, "")


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
    almanac, way = almanac_of(year), way_of(session, year)
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
    first, after = session.minute - way, session.minute + session.minutes + way
    return any(start <= first and after <= end for start, end in free)
