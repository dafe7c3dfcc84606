"""How likely a good day is: one number, one for each week, or one for each month."""

from __future__ import annotations

from datetime import date
from typing import Annotated, Any

from pydantic import BeforeValidator

from seasonplan.days import MONTHS, Span
from seasonplan.year.refusal import refuse

WANTED = "a chance from 0 to 1"


def _one(value: Any) -> float:
    if isinstance(value, bool) or not isinstance(value, (int, float)) or not 0 <= value <= 1:
        raise refuse(
            found=repr(value), wanted=WANTED, do="Write a share: 0.4 means four good days in ten."
        )
    return float(value)


def _month(name: Any) -> str:
    matches = [month for month in MONTHS if month.startswith(str(name).lower())]
    if len(str(name)) < 3 or len(matches) != 1:
        raise refuse(
            found=f"the month {name!r}", wanted="an English month name", do="Write october = 0.5."
        )
    return matches[0]


def _chance(value: Any) -> Any:
    if isinstance(value, dict):
        if not value:
            raise refuse(found="no month", wanted="a chance for each month", do="Add a month.")
        return {_month(name): _one(share) for name, share in value.items()}
    if isinstance(value, (list, tuple)):
        if not value:
            raise refuse(found="an empty list", wanted="a chance for each week", do="Add numbers.")
        return tuple(_one(share) for share in value)
    return _one(value)


Chance = Annotated[
    float | tuple[float, ...] | dict[str, float],
    BeforeValidator(_chance),
]


def chance_on(chance: float | tuple[float, ...] | dict[str, float], spell: Span, day: date) -> float:
    """Chance of a good day on `day`, which lies in `spell`; 0 to 1.

    Weeks count seven days from the first day of the spell; the last number goes on.
    """
    if isinstance(chance, dict):
        return chance.get(MONTHS[day.month - 1], 0.0)
    if isinstance(chance, tuple):
        return chance[min((day - spell.first).days // 7, len(chance) - 1)]
    return chance


def gaps(chance: float | tuple[float, ...] | dict[str, float], spell: Span) -> str | None:
    """What a chance leaves open over `spell`, in words, or None."""
    if isinstance(chance, dict):
        asked = {MONTHS[day.month - 1]: None for day in spell.days()}
        open_months = [month for month in asked if month not in chance]
        return f"a chance for {', '.join(open_months)}" if open_months else None
    if isinstance(chance, tuple):
        weeks = -(-spell.length // 7)
        if len(chance) != weeks:
            return f"{weeks} chances, one for each week of {spell.first} to {spell.last}"
    return None
