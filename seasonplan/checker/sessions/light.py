"""Judges whether light weeks and lead-ins are light: `session-progression`.

Light in load, in hard sessions and in seconds of hard hangs, each beside its own measure; a lead-in
in seconds of hard hangs. A test is no hard session: it belongs into a light week.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from seasonplan.checker.sessions.care import used_hard
from seasonplan.checker.sessions.timetable import Portion, Timetable
from seasonplan.checker.sums import hard_seconds
from seasonplan.checker.verdict import broken
from seasonplan.plan import Block, Session
from seasonplan.recipes import Recipe
from seasonplan.rules.findings import Finding
from seasonplan.rules.statements import Rule
from seasonplan.vocabulary import Kind

TEST = "test-day"
WHOLE_WEEK = 7
WITH_WEEKS = (Kind.BASE, Kind.STRENGTH, Kind.PERFORMANCE)  # that tell what a normal week is


def judge_progression(table: Timetable, rule: Rule) -> Iterator[Finding]:
    """Light weeks with no less load than the week before them, with more hard sessions than the
    normal week before them, or with more seconds of hard hangs than any of their block; lead-ins
    with more of these than any of the block before."""
    yield from _loads(table, rule)
    for number, week in enumerate(table.portions):
        if _light(week):
            yield from _hard_sessions(table, rule, number)
            yield from _hard_hangs(table, rule, week, week.block)
        last = table.sheet.directly_before(week.block)
        if _lead_in(week) and last is not None and last.kind in WITH_WEEKS:
            yield from _hard_hangs(table, rule, week, last)


def _loads(table: Timetable, rule: Rule) -> Iterator[Finding]:
    """Not asked where the least of its sessions alone is as much: fewer than one is none."""
    for one, other in pairwise(table.portions):
        if one.block is not other.block or not _light(other) or _light(one):
            continue
        if WHOLE_WEEK not in (one.span.length, other.span.length) or one.shortfalls:
            continue
        before = sum(table.load(s) for s in one.sessions)
        loads = [table.load(s) for s in other.sessions]
        after = sum(loads)
        if after >= before > min(loads, default=0.0):
            yield broken(
                rule, other.span, other.block, found=after, limit=before, about="light week",
                sessions=other.sessions,
            )  # fmt: skip


def _hard_sessions(table: Timetable, rule: Rule, number: int) -> Iterator[Finding]:
    """Against the last whole normal week: of its block, else of the one that ends before it."""
    week = table.portions[number]
    last = table.sheet.directly_before(week.block)
    before = [one for one in table.portions[:number] if one.block is week.block]
    if last is not None and last.kind in WITH_WEEKS:
        before = [one for one in table.portions[:number] if one.block is last] + before
    measure = next((one for one in reversed(before) if _normal(one)), None)
    if measure is None:
        return
    found, limit = _hard(table, week), len(_hard(table, measure))
    if len(found) > limit:
        apart = [] if measure.block is week.block else [measure.block]
        yield broken(
            rule, week.span, *apart, week.block, found=len(found), limit=limit,
            about="hard sessions", sessions=found,
        )  # fmt: skip


def _hard_hangs(table: Timetable, rule: Rule, week: Portion, block: Block) -> Iterator[Finding]:
    """Against the normal week of a block that holds most of them, wherever it stands; of another
    block only where that holds some."""
    others = [one for one in table.portions if one.block is block and _normal(one)]
    limit = max((_seconds(table, one) for one in others), default=0)
    if not others or (block is not week.block and not limit):
        return
    found = _seconds(table, week)
    if found > limit:
        hung = [one for one, recipe in _known(table, week) if hard_seconds(one, recipe)]
        apart = [] if block is week.block else [block]
        yield broken(
            rule, week.span, *apart, week.block, found=found, limit=limit, about="hard hangs",
            sessions=hung,
        )  # fmt: skip


def _light(week: Portion) -> bool:
    return any(part.deload for part in week.weeks)


def _lead_in(week: Portion) -> bool:
    return any(part.lead_in for part in week.weeks)


def _normal(week: Portion) -> bool:
    """Whether it is a whole week at home, neither light nor a lead-in."""
    whole = len(week.days) == WHOLE_WEEK
    return whole and not any(part.deload or part.lead_in for part in week.weeks)


def _known(table: Timetable, week: Portion) -> list[tuple[Session, Recipe]]:
    return [(one, recipe) for one in week.sessions if (recipe := table.recipe(one)) is not None]


def _hard(table: Timetable, week: Portion) -> list[Session]:
    """Its sessions that use a tissue hard."""
    known = _known(table, week)
    return [one for one, recipe in known if recipe.id != TEST and used_hard(recipe)]


def _seconds(table: Timetable, week: Portion) -> int:
    return sum(hard_seconds(one, recipe) for one, recipe in _known(table, week))
