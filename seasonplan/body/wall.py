"""How long a session on a wall takes at least."""

from __future__ import annotations

from datetime import date, timedelta

from seasonplan.body.almanac import Almanac
from seasonplan.body.response import told_load
from seasonplan.days import Span
from seasonplan.rules.tables import response_table, table
from seasonplan.year import wall_way
from seasonplan.year.recipe import Need

WALL = table("blocks")["wall"]
LEAST, SHORTEST = int(WALL["least_minutes"]), int(WALL["shortest_minutes"])


def least_on_wall(almanac: Almanac, day: date) -> int:
    """Minutes on a wall that is worth the way, by the calendar week of a day."""
    first = almanac.week_of(day)
    return least_in(almanac, Span(first, first + timedelta(weeks=1)))


def least_in(almanac: Almanac, days: Span) -> int:
    """The same by other days (custom): fewer where none of them has that long, busy calendars
    apart, and of who does little, so that a week holds two; none where the wall is at home."""
    if Need.HOME_WALL in almanac.year.sessions.has:
        return 0
    if told_load(almanac.year) < response_table().doubted_load:
        return SHORTEST
    longest = max(map(almanac.minutes, days.days()), default=0) - 2 * wall_way(almanac.year)
    return LEAST if longest >= LEAST else SHORTEST
