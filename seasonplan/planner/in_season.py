"""What a season keeps up at home: hangs and links in turn, beside the days on rock.

Of power endurance and fingers the one that its block is named for is kept up each week, the other
in every second one; with two days on rock a week holds little of both. A week without rock between
days on rock builds, as such a season may last all year. Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, timedelta

from seasonplan.days import Span
from seasonplan.planner.fingers import KEPT, FingerAsk
from seasonplan.planner.menus import Course
from seasonplan.planner.week_order import Order
from seasonplan.recipes import Recipe
from seasonplan.rules.tables import composing
from seasonplan.vocabulary import Emphasis, Kind

KEPT_UP = ("interval-circuits", "limit-bouldering")  # links, or for boulders hard moves


def between(week: Span, rock: Iterable[date]) -> bool:
    """Whether days on `rock` lie both shortly before a week and shortly after it."""
    near = timedelta(composing().block.after_rock_days)
    days = tuple(rock)
    before, ahead = Span(week.first - near, week.first), Span(week.after, week.after + near)
    return all(any(day in side for day in days) for side in (before, ahead))


def in_turn(
    order: Order, emphasis: Emphasis, monday: date, *, rock_days: int, kept: Recipe | None
) -> Order:
    """The order of a week of a season, no lead-in, by the week of the calendar alone, so that weeks
    do not hang on each other; `kept` is the recipe of its hangs."""
    links = next((c for c in order.courses if not set(c).isdisjoint(KEPT_UP)), None)
    hangs = any(hang.recipe == KEPT for hang in order.fingers.hangs)
    if order.kind is not Kind.PERFORMANCE or order.lead_in or links is None or not hangs:
        return order
    assert kept is not None
    full, endurance = rock_days > 1, emphasis is Emphasis.ENDURANCE
    of_links = monday.toordinal() // 7 % 2 == 1
    if order.light:  # one of the two
        if of_links:
            return order._replace(fingers=FingerAsk())
        return order._replace(courses=_without(links, order))
    if of_links:
        first = order._replace(course_first=True, makes=frozenset(links))
        few = FingerAsk() if endurance else _few(order.fingers, kept)
        return first._replace(fingers=few) if full else first
    if endurance or not full:
        return order
    return order._replace(courses=_without(links, order))


def _without(links: Course, order: Order) -> tuple[Course, ...]:
    return tuple(course for course in order.courses if course != links)


def _few(fingers: FingerAsk, kept: Recipe) -> FingerAsk:
    """Half as many hangs, in one session."""
    least = kept.hangs[0]
    hangs = (one._replace(hangs=max(least, one.hangs // 2), sessions=1) for one in fingers.hangs)
    return fingers._replace(hangs=tuple(hangs))
