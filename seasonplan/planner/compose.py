"""One week as it is to be done: of several attempts the one that holds what a week should.

The usual attempt is rock first, then hangs, then courses in order of need (`attempt`). Where it
falls short others are made: easy work last, what the block is named for first, or climbing first
(`climbing`). Enforces `session-dose` (upward) and `lead-in-volume`.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from seasonplan.planner.attempt import Attempt
from seasonplan.planner.candidates import TRAINED_IN_WAVES
from seasonplan.planner.climbing import (
    climbing,
    climbs_enough,
    hard_climbing,
    hard_seconds,
    keeps,
    leaves_enough,
    more_climbing,
    wanted_climbing,
)
from seasonplan.planner.fingers import Hang
from seasonplan.planner.frame import DAY, Frame
from seasonplan.planner.rock_taken import taken
from seasonplan.planner.standing import Item, Standing
from seasonplan.planner.week_order import FIT, Order
from seasonplan.recipes import Recipe
from seasonplan.vocabulary import Kind

MOST_CLIMBS = 3  # days with climbing before the hangs, at most


def compose(
    frame: Frame, order: Order, *, book: Mapping[str, Recipe], done: Sequence[Item] = ()
) -> tuple[Item, ...]:
    """The sessions of a week, in order. `done` are those of days of it that are over.

    Where climbing comes back, short sessions where more of it fits in so.
    """
    usual = _composed(frame, order, book, done)
    if order.gently is None or order.kind is not Kind.RETURN:
        return usual
    gently = order.gently._replace(session=0)
    short = _composed(frame, order._replace(gently=gently), book, done)
    return max(usual, short, key=lambda some: sum(i.minutes * i.recipe.climbs for i in some))


def _composed(
    frame: Frame, order: Order, book: Mapping[str, Recipe], done: Sequence[Item]
) -> tuple[Item, ...]:
    rock, in_a_row = tuple(taken(order, frame)), order.fingers.in_a_row
    at = Standing(frame, in_a_row=in_a_row, done=done, rock=rock, gently=order.gently)
    week = Attempt(at, order, book)
    week.open()
    week.hang(order.fingers.hangs)
    week.fill()
    if order.lead_in:
        week = _with_links(week)
    if wanted_climbing(order):
        week = _easy_last(week)
    if order.kind is Kind.BASE and not order.test:
        week = _with_what_it_is_named_for(week)
    if order.fingers.hangs:
        week = _with_climbing(week)
    if order.kind in TRAINED_IN_WAVES and not order.light:
        week = _mostly_climbing(week)
    return tuple(week.at.in_order())


def _with_links(week: Attempt) -> Attempt:
    """The lead-in, with one session of hangs where two leave no room for links or hard moves."""
    hangs = week.order.fingers.hangs
    if sum(hang.sessions for hang in hangs) < 2 or _moves_hard(week):
        return week
    for hang in hangs:
        other = week.again()
        other.hang((hang._replace(hangs=hang.hangs // hang.sessions, sessions=1),))
        other.fill()
        if _moves_hard(other):
            return other
    return week


def _moves_hard(week: Attempt) -> bool:
    return any(hard_climbing(item.recipe) for item in week.at.items)


def _easy_last(week: Attempt) -> Attempt:
    """The week, mobility and the like only where nothing else fits any more if it holds more so."""
    full = week.at.load >= FIT.full * week.order.aim
    if full or all(i.recipe.rpe > DAY.easy_rpe for i in week.at.items[len(week.hung) :]):
        return week
    other = week.again(week.hung)
    easy = [one for one in other.courses if one.easy]
    other.courses = [one for one in other.courses if not one.easy]
    other.fill(easy)
    return max(week, other, key=lambda one: one.at.load)


def _with_what_it_is_named_for(week: Attempt) -> Attempt:
    """The week, before its hangs what its block is named for where it else had nothing of that."""
    makes = week.order.makes
    if not makes or makes & week.at.times.keys():
        return week
    other = week.again()
    other.named_first()
    other.hang(other.order.fingers.hangs)
    other.fill()
    climbs, climbed = (any(i.recipe.climbs for i in one.at.items) for one in (other, week))
    return other if makes & other.at.times.keys() and climbs >= climbed else week


def _with_climbing(week: Attempt) -> Attempt:
    """The week, with climbing that it should hold and does not, where it may come first."""
    tried: dict[str, list[Attempt]] = {}
    for wanted in wanted_climbing(week.order):
        if any(wanted.climb(item.recipe) for item in week.at.items):
            break
        for recipe in week.climbs(wanted.climb):
            found = []
            for other in tried.get(recipe.id) or _climbing_first(week, recipe):
                if keeps(other.at.items, week.at.items, wanted, makes=week.order.makes):
                    return other
                found.append(other)
            tried[recipe.id] = found
    return week


def _climbing_first(week: Attempt, recipe: Recipe) -> Iterator[Attempt]:
    """The same week with such climbing, short, before the hangs: on each day that may hold it, the
    one that leaves most hard hangs first. One that leaves all is filled at once: no course adds
    any."""
    order, fewer, begun = week.order, [], week.again()
    asked = [(begun.book.get(one.recipe), one.hangs) for one in order.fingers.hangs]
    most = sum(hangs * one.hang_seconds for one, hangs in asked if one and one.hard_hangs)
    for n in sorted(begun.days_for(recipe), key=begun.suits(recipe), reverse=True):
        other = week.again()
        other.put(n, recipe, short=True)
        other.hang(order.fingers.hangs)
        if hard_seconds(other.at.items) < most:
            fewer.append(other)
        else:
            other.fill()
            yield other
    for other in sorted(fewer, key=lambda one: hard_seconds(one.at.items), reverse=True):
        other.fill()
        yield other


def _mostly_climbing(week: Attempt) -> Attempt:
    """The week, with climbing on more days where it was less than hangs and pulls, or few days are
    long enough for a wall; as near to that as there is."""
    if climbs_enough(week.at) or not _may_climb(week):
        return week
    fingers, best, usual = week.order.fingers, week, hard_seconds(week.at.items)
    for hangs in dict.fromkeys((fingers.hangs, fingers.short or fingers.hangs)):
        found = []
        for other in _climbing_on_more_days(week, hangs):
            if leaves_enough(other.at, week.at, week.order):
                found.append(other)
                if climbs_enough(other.at) and hard_seconds(other.at.items) >= usual:
                    return other
        if enough := [one for one in found if climbs_enough(one.at)]:
            return max(enough, key=lambda one: hard_seconds(one.at.items))
        best = max([best, *found], key=lambda one: more_climbing(one.at.items))
    return best


def _may_climb(week: Attempt) -> bool:
    """Whether any of its courses is climbing, and some stands before its hangs or may."""
    some = any(one.climbs for course in week.courses for one in course.every)
    begun = any(item.recipe.climbs for _, item in week.opened)
    return some and (begun or bool(week.climbs(climbing)))


def _climbing_on_more_days(week: Attempt, hangs: Sequence[Hang]) -> Iterator[Attempt]:
    """The same week with climbing on one, two or more days before such hangs; pulls only as long
    as that is more, and where nothing else fits any more."""
    for count in range(1, MOST_CLIMBS + 1):
        other = week.again()
        if not other.climb_on(count):
            break
        other.hang(hangs)
        other.fill([one for one in other.courses if one.pulls])
        yield other
