"""What is said of sessions that would load what is hurt: left out of the plan, or to be left out.

The reasons are those with which such a session is refused. Judges nothing.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date

from seasonplan.body.almanac import almanac_of
from seasonplan.days import Span
from seasonplan.edits import harm
from seasonplan.edits.harm import Harm
from seasonplan.explain.words import day_text
from seasonplan.plan import Revision
from seasonplan.recipes import recipes
from seasonplan.rules.statements import book_of
from seasonplan.year import FixedSession, Year

LEAVE_OUT = "! Leave it out."


def left_out(year: Year, revision: Revision, days: Span) -> list[tuple[date, Harm]]:
    """Sessions that the climber moved to or added on these days, and that no plan may hold."""
    held = {session.id for session in revision.sessions}
    wishes = [
        wish
        for wish in year.fixed_sessions
        if (wish.session or f"own/{wish.id}") not in held
    ]  # fmt: skip
    found = [
        *harm.harmful(year, wishes, revision.sessions),
        *_too_many(year, wishes, revision),
    ]
    return [(day, one) for day, one in found if day in days]


def _too_many(
    year: Year, wishes: Iterable[FixedSession], revision: Revision
) -> Iterator[tuple[date, Harm]]:
    """Wishes for one hard use more than the step after an injury holds in a week."""
    almanac, book, known = almanac_of(year), book_of(year), recipes(year.recipes)
    for wish in wishes:
        day, recipe = harm.meant(wish, revision.sessions, known)
        if day is None or recipe is None or wish.skip:
            continue
        found = harm.seldom(recipe, day, year=year, sessions=revision.sessions)
        if found and harm.harm(recipe, day, almanac=almanac, book=book) is None:
            yield day, found


def left_out_text(found: Harm) -> str:
    """Why a session that the climber wished on a day is not there."""
    return f"Left out, though you asked for it: “{found.recipe.name}”. {harm.reason(found)}"


def leave_out_text(found: Harm) -> str:
    """What to do of a session that a plan still holds; stands right beside it."""
    return f"{LEAVE_OUT} {harm.reason(found)}"


def lines(year: Year, revision: Revision, days: Span) -> Iterator[str]:
    """The climber's own sessions that a plan leaves out on some days, by day."""
    for day, found in sorted(left_out(year, revision, days), key=lambda pair: pair[0]):
        yield f"{day_text(day)}: {left_out_text(found)}"


def lines_since(year: Year, revision: Revision, *, since: date) -> Iterator[str]:
    """The same from a day on; nothing where the year is over by then."""
    if since < year.span.after:
        yield from lines(year, revision, Span(since, year.span.after))
