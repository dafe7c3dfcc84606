"""How likely a good day is: one number, one for each week, or one for each month."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from datetime import date
from typing import Annotated, Any

from pydantic import BeforeValidator

from seasonplan.days import MONTHS, Span, count_text
from seasonplan.year.refusal import refuse, shown

WANTED = "a chance from 0 to 1"


def _shares(values: Iterable[Any]) -> tuple[float, ...]:
    """All of them as shares; those that are none are named together."""
    values = tuple(values)
    bad = [value for value in values if not _is_share(value)]
    if bad:
        raise refuse(
            found=", ".join(map(shown, bad)),
            wanted=WANTED,
            do="Write a share: 0.4 means four good days in ten.",
        )
    return tuple(map(float, values))


def _is_share(value: Any) -> bool:
    return not isinstance(value, bool) and isinstance(value, (int, float)) and 0 <= value <= 1


def _month(name: Any) -> str | None:
    matches = [month for month in MONTHS if month.startswith(str(name).lower())]
    return matches[0] if len(str(name)) >= 3 and len(matches) == 1 else None


def _months(names: Iterable[Any]) -> tuple[str, ...]:
    """The months meant, each once."""
    names = tuple(names)
    months = [_month(name) for name in names]
    wrong = [str(name) for name, month in zip(names, months, strict=True) if month is None]
    twice = [month for month, times in Counter(months).items() if month and times > 1]
    if wrong or twice:
        raise refuse(
            found=", ".join([*map(repr, wrong), *(f"{month} twice" for month in twice)]),
            wanted="English month names, each once",
            do="Write the names out, such as october.",
        )
    return tuple(month for month in months if month)


def _chance(value: Any) -> Any:
    if isinstance(value, dict):
        if not value:
            raise refuse(found="no month", wanted="a chance for each month", do="Add a month.")
        return dict(zip(_months(value), _shares(value.values()), strict=True))
    if isinstance(value, (list, tuple)):
        if not value:
            raise refuse(found="an empty list", wanted="a chance for each week", do="Add numbers.")
        return _shares(value)
    return _shares([value])[0]


Chance = Annotated[
    float | tuple[float, ...] | dict[str, float],
    BeforeValidator(_chance),
]


def chance_on(
    chance: float | tuple[float, ...] | dict[str, float], spell: Span, day: date
) -> float:
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
            return (
                f"{count_text(weeks, 'chance')}, one for each week of {spell.first} to {spell.last}"
            )
    return None
