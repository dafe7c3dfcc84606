"""What a climber is told of days that are too short: at home for any session on a wall, on rock
for what was wished.

Asks the recipes for their least minutes, the almanac for free times, and a plan for its sessions;
places none.
"""

from __future__ import annotations

from collections.abc import Sequence

from seasonplan.body.almanac import almanac_of
from seasonplan.body.wall import least_in
from seasonplan.days import Span
from seasonplan.explain.words import time_text
from seasonplan.plan import Block, Session
from seasonplan.planner.care import is_there
from seasonplan.recipes import Need, recipes
from seasonplan.rules.tables import rock_day_table
from seasonplan.vocabulary import Kind
from seasonplan.year import Year, wall_way

TRAINING = {Kind.BASE, Kind.STRENGTH}


def short_days_note(year: Year) -> list[str]:
    """That no day of a year is long enough for a wall, by how much, and what follows."""
    least, longest = _least_at_wall(year, year.span), _longest(year, year.span)
    if not longest < least:
        return []
    way = 2 * _way(year)
    there = f" with the way, {time_text(way)} there and back" if way else ""
    board = " or on the board" if Need.BOARD in year.sessions.has else ""
    return [
        f"No session on the wall fits your days at home: it wants {time_text(least)}{there}, and "
        f"they hold {time_text(longest)} at most. So the plan has you climb only on rock{board}. "
        "If a weekday is longer, say so in `minutes` under `climber`."
    ]


def short_outings(year: Year, sessions: Sequence[Session]) -> list[str]:
    """Which wished days on rock are all shorter than wished, by how much, and why."""
    share = rock_day_table().load_share
    found = []
    for outing in year.outings:
        held = sorted({one.minutes for one in sessions if one.rock == outing.id})
        if held and held[-1] < outing.minutes:
            span = f"{time_text(held[0])} to " if held[0] < held[-1] else ""
            found.append(
                f"“{outing.name}”: you wished {time_text(outing.minutes)}, its days hold "
                f"{span}{time_text(held[-1])}. A day there takes at most {100 * share:g} % of the "
                "load of its week, and no more than the hours that are free."
            )
    return found


def short_days_of(block: Block, year: Year) -> str:
    """The same of the days of a block that trains, in a sentence; "" of all others."""
    least, longest = _least_at_wall(year, block.span), _longest(year, block.span)
    if block.kind not in TRAINING or not longest < least:
        return ""
    return (
        f"None of its days is long enough for the wall: {time_text(longest)} at most, a session "
        f"there wants {time_text(least)}{' with the way' if _way(year) else ''}."
    )


def _least_at_wall(year: Year, days: Span) -> int:
    """Minutes of the shortest session on a wall in a week that trains, the way with it; 0 for who
    has no wall."""
    least = [
        one.least_minutes
        for one in recipes(year.recipes).values()
        if Need.WALL in one.needs and TRAINING & set(one.kinds) and is_there(one, year)
    ]
    if not least:
        return 0
    return max(min(least), least_in(almanac_of(year), days)) + 2 * _way(year)


def _way(year: Year) -> int:
    return 0 if Need.HOME_WALL in year.sessions.has else wall_way(year)


def _longest(year: Year, days: Span) -> int:
    """Minutes of the longest free time at home on these days."""
    almanac = almanac_of(year)
    free = (end - start for day in days.days() for start, end in almanac.windows(day))
    return max(free, default=0)
