"""A lead-in in which a season opens easily: what it leaves beside that day on rock.

Minutes are to fall (`lead-in-volume`), and an easy day on rock has many of little effort. So it is
short, and what it leaves at home is little and hard: one session of hangs, then links or hard
moves; nothing that only fills minutes. Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Mapping

from seasonplan.planner.fingers import Hang
from seasonplan.planner.frame import DAY, Frame
from seasonplan.planner.hanging import most_hangs
from seasonplan.planner.rock_day import RockDay, opens, quarters
from seasonplan.planner.week_order import Order
from seasonplan.recipes import Recipe
from seasonplan.rules.tables import rock_day_table, table
from seasonplan.vocabulary import Emphasis

OPENING = table("blocks")["opening"]


def opening(frame: Frame) -> list[RockDay]:
    """The days of a frame with which a season opens easily."""
    return [day.rock for day in frame.days if day.rock and day.rock.counts and opens(day.rock)]


def beside(
    order: Order, frame: Frame, usual: float, emphasis: Emphasis, *, book: Mapping[str, Recipe]
) -> Order:
    """The order of a lead-in in which a season opens; `usual` are the minutes of a week before. A
    season that keeps up endurance has its links first, and hangs where both have room."""
    easy = opening(frame)
    minutes = int(OPENING["minutes_share"] * usual)
    share = OPENING["easy_share"] if _may_train(frame) else 1.0
    each = quarters(share * minutes / len(easy))
    least = max(rock.recipe.least_minutes for rock in easy)
    each = max(rock_day_table().shortest_minutes, least, each)
    left = minutes - sum(min(rock.minutes, each) for rock in easy)
    courses = tuple(one for one in order.courses if any(book[n].rpe > DAY.easy_rpe for n in one))
    first = min((frame.fit(book[n]).least for n in courses[0]), default=0) if courses else 0
    room = left - first if emphasis is Emphasis.ENDURANCE and first <= left else left
    asked = [(hang, book[hang.recipe]) for hang in order.fingers.hangs[:1]]
    hangs = tuple(_once(*one, room) for one in asked if room == left or _holds(one[1], room))
    fingers = order.fingers._replace(hangs=hangs)
    return order._replace(opening=each, minutes=minutes, fingers=fingers, courses=courses)


def _may_train(frame: Frame) -> bool:
    """Whether some day may hold more than easy work, as none right after such a day does."""
    days = enumerate(frame.days)
    after = {n + 1 for n, day in enumerate(frame.days) if day.rock}
    return any(n not in after and not (day.rock or day.rest) and day.minutes for n, day in days)


def _holds(recipe: Recipe, minutes: int) -> bool:
    """Whether so many minutes hold a session of hangs."""
    return minutes >= recipe.least_minutes and most_hangs(recipe, minutes) >= recipe.hangs[0]


def _once(hang: Hang, recipe: Recipe, minutes: int) -> Hang:
    """One session of them, no longer than that where it can be."""
    hangs = min(hang.hangs // hang.sessions, most_hangs(recipe, minutes))
    return hang._replace(hangs=max(recipe.hangs[0], hangs), sessions=1)
