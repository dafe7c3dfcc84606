"""What a plan knew of its year when it was made; what was entered since that bars sessions, and
what is gone since that sessions were for.

Reads the year that a revision keeps; plans nothing.
"""

from __future__ import annotations

from functools import lru_cache

from seasonplan.edits import read
from seasonplan.errors import BadInput
from seasonplan.plan import Revision
from seasonplan.year import Absence, FixedSession, Trip, Year


@lru_cache(maxsize=2)
def _year_then(text: str) -> Year | None:
    """The year that was planned; None where it was not kept or cannot be read."""
    try:
        return read(text) if text else None
    except BadInput:  # written by an older program
        return None


def said_then(revision: Revision) -> tuple[FixedSession, ...]:
    """What the year that was planned says of sessions; nothing where it cannot be read."""
    then = _year_then(revision.year_text)
    return then.fixed_sessions if then else ()


def barring_since(revision: Revision, year: Year) -> Year:
    """The year with those injuries, absences and trips alone of which a plan knows nothing, or
    something else."""
    then = _year_then(revision.year_text) or year
    new = {
        "injuries": tuple(one for one in year.injuries if one not in then.injuries),
        "absences": tuple(one for one in year.absences if one not in then.absences),
        "trips": tuple(one for one in year.trips if one not in then.trips),
    }
    return year.model_copy(update=new)


def gone_since(revision: Revision, year: Year) -> tuple[Trip | Absence, ...]:
    """The trips and absences that a plan was made for and that the year holds no more."""
    then = _year_then(revision.year_text) or year
    was: tuple[Trip | Absence, ...] = (*then.trips, *then.absences)
    return tuple(one for one in was if year.entry(one.id) is None)


def as_known(revision: Revision, year: Year) -> Year:
    """The year with the injuries, absences and trips that a plan was made for."""
    then = _year_then(revision.year_text) or year
    known = {"injuries": then.injuries, "absences": then.absences, "trips": then.trips}
    return year.model_copy(update=known)
