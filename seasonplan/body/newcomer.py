"""Who moves badly by the own rating, and who is new to climbing. `learning` of `shared/menus.toml`.

A preference: fingers get used to climbing first, and weak fingers alone make nobody new.
"""

from __future__ import annotations

from datetime import date, timedelta

from seasonplan.body.response import told_load
from seasonplan.rules.tables import table
from seasonplan.vocabulary import Quality
from seasonplan.year import Year

BEST = 5  # own rating


def learns(year: Year) -> bool:
    """Whether moving well is what the climber has least of."""
    most: int = table("menus")["learning"]["up_to"]
    return year.climber.level.get(Quality.MOVEMENT, BEST) <= most


def is_new(year: Year, day: date) -> bool:
    """Whether somebody is new to climbing, or back after years, on a day of the first year: who
    rates movement at the least, or movement and fingers low, named no hard finger session before
    and climbed little."""
    menus, level = table("menus"), year.climber.level
    learning, most = menus["learning"], menus["learning"]["up_to"]
    moves, hangs = (level.get(one, BEST) for one in (Quality.MOVEMENT, Quality.FINGER_STRENGTH))
    rated = moves == 1 or (moves <= most and hangs <= most)
    if not rated or year.before.hard_finger_sessions:
        return False
    if told_load(year) >= learning["new_below"]:
        return False
    return day - year.span.first < timedelta(weeks=menus["fingers"]["weeks_if_new"])
