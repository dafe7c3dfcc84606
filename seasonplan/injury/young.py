"""Who is young: one age for rules, forms and words, from `shared/injuries.toml`."""

from __future__ import annotations

from datetime import date
from functools import cache

from seasonplan.rules.tables import table
from seasonplan.year import Year


@cache
def young_years() -> int:
    """The age under which intensive finger loading needs a specialist.

    This project's cautious line; published guidance says that growth plates close at around 17.
    """
    return int(table("injuries")["young"]["under_years"])


def is_young(year: Year, day: date) -> bool:
    """Whether the climber may still be under that age; unknown birth years are adult."""
    born = year.climber.birth_year
    return born is not None and day.year - born - 1 < young_years()
