"""Judges the run of weeks inside a block: `session-progression`, `session-test`."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby, pairwise

from seasonplan.checker.sessions.timetable import Portion, Timetable
from seasonplan.checker.sessions.weeks import can_use, load_done
from seasonplan.checker.verdict import broken
from seasonplan.findings import Finding
from seasonplan.rules import Rule
from seasonplan.vocabulary import Kind

SLACK_LOAD = 2.0  # rounding: a session is of whole minutes
TESTED = "test-day"
TEST_WEEK_DAYS = 5


def judge_progression(table: Timetable, rule: Rule) -> Iterator[Finding]:
    """Lighter weeks that are not lighter, and lead-ins that are not cut.

    Not judged where `session-dose` is off: then nobody says which weeks could not be filled.
    """
    if table.sheet.book.active("session-dose") is None:
        return
    for _, group in groupby(table.portions, key=lambda portion: portion.block.id):
        for one, other in pairwise(group):
            yield from _judge_pair(table, rule, one, other)
    for portion in table.portions:
        yield from _judge_lead_in(table, rule, portion)


def _judge_pair(table: Timetable, rule: Rule, one: Portion, other: Portion) -> Iterator[Finding]:
    light, heavy = sorted((one, other), key=lambda portion: portion.asked)
    dose = table.sheet.book["session-dose"].number / 100  # how far each may be off
    alike = light.asked * (1 + dose) >= heavy.asked * (1 - dose) - SLACK_LOAD
    if alike or heavy.shortfalls:
        return
    done, most = load_done(table, light), load_done(table, heavy)
    if done >= most:
        yield broken(
            rule, light.span, light.block, found=done, limit=most,
            about="light week" if any(week.deload for week in light.weeks) else "lighter week",
            sessions=light.sessions,
        )  # fmt: skip


def _judge_lead_in(table: Timetable, rule: Rule, portion: Portion) -> Iterator[Finding]:
    cut = table.sheet.book.active("lead-in-volume")
    if cut is None or not all(week.lead_in for week in portion.weeks):
        return
    full = sum(week.full_minutes * week.rpe for week in portion.weeks)
    most = full * (1 - cut.range[0] / 100)
    dose = table.sheet.book["session-dose"].number / 100  # how far a week may be above what it asks
    done = load_done(table, portion)
    if done > most * (1 + dose):
        yield broken(
            rule, portion.span, portion.block, found=done, limit=most, about="lead-in",
            sessions=portion.sessions,
        )  # fmt: skip


def judge_test(table: Timetable, rule: Rule) -> Iterator[Finding]:
    """Long base and strength blocks that end without a test, where there could be one."""
    recipe = table.recipes.get(TESTED)
    if recipe is None:
        return
    for block in table.sheet.of(Kind.BASE, Kind.STRENGTH):
        mine = [portion for portion in table.portions if portion.block is block]
        if block.span.length < 7 * rule.number or not mine:
            continue
        last = mine[-1]
        enough = last.span.length >= TEST_WEEK_DAYS and can_use(table, recipe, last)
        if enough and not any(session.recipe == TESTED for session in last.sessions):
            yield broken(rule, last.span, block, about="no test")
