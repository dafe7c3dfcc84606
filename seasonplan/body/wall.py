"""How long a session on a wall takes at least."""

from __future__ import annotations

from seasonplan.rules.tables import table
from seasonplan.year import Year, wall_way
from seasonplan.year.recipe import Need

WALL = table("blocks")["wall"]
LEAST, SHORTEST = int(WALL["least_minutes"]), int(WALL["shortest_minutes"])


def least_on_wall(year: Year) -> int:
    """Minutes on a wall that is worth the way (custom): fewer for who never has that long, none
    where it is at home."""
    if Need.HOME_WALL in year.sessions.has:
        return 0
    longest = max(year.climber.minutes.on(day) for day in range(7)) - 2 * wall_way(year)
    return LEAST if longest >= LEAST else SHORTEST
