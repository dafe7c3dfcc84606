"""How many of the good days to expect are days of tries: an easy day is good for no project.

Counts by the chances of the year alone. Must not know how days were chosen.
"""

from __future__ import annotations

from collections.abc import Sequence

from seasonplan.body.almanac import almanac_of
from seasonplan.explain.words import number_text
from seasonplan.plan import Occasion, Session
from seasonplan.vocabulary import RockRole
from seasonplan.year import Year


def good_tries(
    occasions: Sequence[Occasion], year: Year, sessions: Sequence[Session]
) -> float | None:
    """Good days with tries to expect, of a plan with these sessions; None where no day is easy, or
    there is nothing to count by."""
    if not sessions or not any(one.easy_days for one in occasions):
        return None
    return sum(_good(one, year, sessions) for one in occasions)


def _good(occasion: Occasion, year: Year, sessions: Sequence[Session]) -> float:
    """The chances of the days with tries, as the year has them."""
    tried = {
        one.day for one in sessions if one.rock == occasion.entry and one.role is RockRole.PROJECT
    }
    wanted = (occasion.goal, occasion.entry, occasion.span.first)
    found = (
        one.chances
        for one in almanac_of(year).opportunities
        if (one.goal.id, one.spell.entry.id, min(one.chances)) == wanted
    )
    return sum(chance for day, chance in next(found, {}).items() if day in tried)


def tries_text(tries: float | None) -> str:
    """Such as " (6.4 with tries)", to stand behind good days; empty of none."""
    return "" if not tries else f" ({number_text(tries)} with tries)"
