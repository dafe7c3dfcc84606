"""For how many weeks a climber has been on a rock: so long its texts go on, over blocks and trips.

Knows days and places, no weeks and no worth.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from seasonplan.body.almanac import Almanac
from seasonplan.rules.tables import composing
from seasonplan.year import Season, Trip, Window

NEW_AFTER_DAYS = composing().rock.fresh_after_days  # without it, after which a rock is new again

OnRock = tuple[date, str | None]  # a day on rock, and the entry that gives it, if any does


def weeks_on_rock(almanac: Almanac, used: Iterable[OnRock]) -> dict[OnRock, int]:
    """Of each day on rock the number of its calendar week, from 1, since that rock was new."""
    year = almanac.year
    given: list[Season | Window | Trip] = [*year.seasons, *year.windows, *year.trips]
    places = {entry.id: entry.place for entry in given}
    stays: dict[str | None, tuple[date, date]] = {}  # the first and the last day on each rock
    found = {}
    for day, entry in sorted(used, key=lambda one: one[0]):
        rock = places.get(entry or "") or entry  # so that trips to a place go on with it
        first, last = stays.get(rock, (day, day))
        if (day - last).days > NEW_AFTER_DAYS:
            first = day
        stays[rock] = first, day
        begun = almanac.week_of(first)
        found[day, entry] = 1 + (almanac.week_of(day) - begun).days // 7
    return found
