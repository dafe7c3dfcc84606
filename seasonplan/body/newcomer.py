"""Who moves badly by the own rating, who is new to climbing, and whose fingers never hung hard.

`learning` and `fingers` of `shared/menus.toml`. A preference: fingers get used to climbing first,
the weakest take longest; weak fingers alone make nobody new.
"""

from __future__ import annotations

from datetime import date, timedelta

from seasonplan.body.response import told_load
from seasonplan.rules.tables import response_table, table
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
    if year.before.hard_finger_sessions:
        return False
    menus, level = table("menus"), year.climber.level
    learning, most = menus["learning"], menus["learning"]["up_to"]
    moves, hangs = (level.get(one, BEST) for one in (Quality.MOVEMENT, Quality.FINGER_STRENGTH))
    rated = moves == 1 or (moves <= most and hangs <= most)
    if not rated or told_load(year) >= learning["new_below"]:
        return False
    return day - year.span.first < timedelta(weeks=menus["fingers"]["weeks_if_new"])


def never_hung(year: Year) -> bool:
    """Whether somebody did no hard finger session in the weeks before the year; who says nothing of
    it did none if little was climbed."""
    told = year.before.hard_finger_sessions
    barely = told_load(year) < response_table().doubted_load
    return barely if told is None else not told


def begins_anew(year: Year, day: date) -> bool:
    """Whether a day lies in the first weeks of somebody who did next to nothing before the year."""
    if told_load(year) >= response_table().least_load:
        return False
    return day - year.span.first < timedelta(weeks=table("menus")["fingers"]["weeks_without"])


def weak_fingers(year: Year) -> bool:
    """Whether fingers that never hung hard are rated at the least by who climbed little; or low, or
    not at all, by who hardly climbed. Who climbs much has fingers that are used to it."""
    menus, load = table("menus"), told_load(year)
    hardly = load < response_table().doubted_load
    rated = year.climber.level.get(Quality.FINGER_STRENGTH, 1 if hardly else BEST)
    low = rated <= (menus["learning"]["up_to"] if hardly else 1)
    return low and load < menus["fingers"]["weak_below"] and never_hung(year)


def weeks_of_light_holds(year: Year) -> int:
    """The first weeks of a year without hard hangs."""
    fingers: dict[str, int] = table("menus")["fingers"]
    if is_new(year, year.span.first):
        return fingers["weeks_if_new"]
    if weak_fingers(year):
        return fingers["weeks_if_weak"]
    return fingers["weeks_without"] if never_hung(year) else 0


def weeks_to_most(year: Year) -> int:
    """The first weeks of a year in which fingers are not used to the most: no strength block and no
    test."""
    fingers: dict[str, int] = table("menus")["fingers"]
    later = weeks_of_light_holds(year) - fingers["weeks_without"]
    return later + fingers["weeks_to_most"] if never_hung(year) else 0
