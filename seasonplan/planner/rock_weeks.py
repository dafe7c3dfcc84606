"""For how many weeks a climber has been on a rock: so long its texts go on, over blocks and trips.

Knows days and places, no weeks and no worth.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from seasonplan.body.almanac import Almanac
from seasonplan.days import week_start
from seasonplan.rules.tables import composing
from seasonplan.year import Season, Trip, Window

NEW_AFTER_DAYS = composing().rock.fresh_after_days  # without it, after which a rock is new again


class RockWeeks:
    """The days on rock of a plan, by the rock that they are on."""

    def __init__(self, almanac: Almanac, used: Iterable[tuple[date, str | None]]) -> None:
        """`used`: each day on rock, and the entry that gives it; None of a day that has none."""
        year = almanac.year
        given: list[Season | Window | Trip] = [*year.seasons, *year.windows, *year.trips]
        self._begins = almanac.week_begins
        self._places = {entry.id: entry.place for entry in given}
        self._days: dict[str | None, list[date]] = {}
        for day, entry in sorted(used, key=lambda one: one[0]):
            self._days.setdefault(self._rock(entry), []).append(day)

    def of(self, day: date, entry: str | None) -> int:
        """Number of the calendar week, from 1, since the rock of that day was new."""
        first = last = day
        for before in reversed(self._days.get(self._rock(entry), ())):
            if before >= day:
                continue
            if (last - before).days > NEW_AFTER_DAYS:
                break
            first = last = before
        return 1 + (week_start(day, self._begins) - week_start(first, self._begins)).days // 7

    def _rock(self, entry: str | None) -> str | None:
        """The place where there is one, so that trips to a rock go on with it."""
        return self._places.get(entry or "") or entry
