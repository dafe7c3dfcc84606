"""Keeps hard uses of a tissue apart: enforces `session-spacing`."""

from __future__ import annotations

from collections.abc import Sequence

from ortools.sat.python import cp_model

from seasonplan.planner.sessions.week import HardUse, Key, Week


def keep_apart(week: Week, around: Sequence[HardUse]) -> None:
    """Hours between hard uses of one tissue, start to start, in this week and around it."""
    hard = [key for key in week.used if week.recipe(key).hard_on]
    for key in hard:
        for use in around:
            if use.tissue in week.recipe(key).hard_on:
                _clear_of(week, key, use)
    for i, first in enumerate(hard):
        for second in hard[i + 1 :]:
            _apart(week, first, second)


def _clear_of(week: Week, key: Key, use: HardUse) -> None:
    """The session begins long enough after, or before, what is there already."""
    slot, used = week.slots[key[1]], week.used[key]
    gap = round(60 * max(use.spacing_hours, week.recipe(key).spacing_hours))
    start = cp_model.LinearExpr.sum([week.start(key)])
    last = slot.absolute + slot.minutes
    if slot.absolute >= use.at and slot.absolute < use.at + gap:
        week.cp.add(start >= use.at + gap).only_enforce_if(used)
    elif slot.absolute < use.at and last > use.at - gap:
        week.cp.add(start <= use.at - gap).only_enforce_if(used)


def _apart(week: Week, first: Key, second: Key) -> None:
    one, other = week.recipe(first), week.recipe(second)
    if not one.hard_on & other.hard_on:
        return
    if week.slots[first[1]].absolute > week.slots[second[1]].absolute:
        first, second = second, first
    gap = round(60 * max(one.spacing_hours, other.spacing_hours))
    early, late = week.slots[first[1]], week.slots[second[1]]
    if late.absolute - (early.absolute + early.minutes) >= gap:
        return
    both = [week.used[first], week.used[second]]
    if late.absolute + late.minutes - early.absolute < gap:
        week.cp.add_at_most_one(both)
    else:
        later = cp_model.LinearExpr.sum([week.start(second)])
        sooner = cp_model.LinearExpr.sum([week.start(first)])
        week.cp.add(later - sooner >= gap).only_enforce_if(both)
