"""The easy opening of a season: its first week of days on which one can go to the rock.

Whole days, which tries are made on, begin after it; the lead-in lasts until then. Windows and trips
have none, nor has rock that goes on from other rock.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta

from seasonplan.body.almanac import Almanac, RockSpell
from seasonplan.days import Span
from seasonplan.rules.tables import composing

ROCK = composing().rock


def whole_from(almanac: Almanac, spell: RockSpell) -> date:
    """The first day of a spell that may be a whole one: its first day, of a trip with the way
    there, but for a season that opens easily."""
    opening = opening_of(almanac, spell)
    return opening.after if opening else spell.opens


def opening_of(almanac: Almanac, spell: RockSpell) -> Span | None:
    """The days of a spell until its easy opening is over; None where it has none, or no day on
    which one can go comes after."""
    first = spell.span.first
    if spell.is_trip or spell.span.length <= ROCK.short_spell_days or first < almanac.span.first:
        return None
    begins = next((day for day in spell.span.days() if _can_go(almanac, spell, day)), None)
    if begins is None:
        return None
    after = begins + timedelta(days=ROCK.opening_days)
    rest = (after + timedelta(days=n) for n in range((spell.span.after - after).days))
    if not any(_can_go(almanac, spell, day) for day in rest):
        return None  # it would be all there is
    near = Span(begins - timedelta(days=ROCK.fresh_after_days), begins)
    others = (one.spell for one in almanac.opportunities if one.spell is not spell)
    for other in others:
        if (both := other.span.meet(near)) and any(
            _can_go(almanac, other, day) for day in both.days()
        ):
            return None
    return Span(first, after)


def opening_days(almanac: Almanac) -> frozenset[date]:
    """The days of such openings on which no other rock for a goal is there for whole days."""
    spells = {id(one.spell): one.spell for one in almanac.opportunities}.values()
    easy, whole = set[date](), set[date]()
    for spell in spells:
        opening = opening_of(almanac, spell)
        days = set(_in_condition(almanac, spell))
        easy |= {day for day in days if opening and day in opening}
        whole |= {day for day in days if not (opening and day in opening)}
    return frozenset(easy - whole)


def _in_condition(almanac: Almanac, spell: RockSpell) -> Iterator[date]:
    inside = spell.span.meet(almanac.span)
    return (day for day in (inside.days() if inside else ()) if spell.chance(day) > 0)


def _can_go(almanac: Almanac, spell: RockSpell, day: date) -> bool:
    return spell.chance(day) > 0 and almanac.can_go(day, spell)
