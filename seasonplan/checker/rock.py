"""Judges performance blocks against the days on which there is rock.

Judges `rock-only`, `lead-in-length`, `lead-in-volume`.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from seasonplan.checker.sheet import Sheet, runs
from seasonplan.checker.verdict import broken
from seasonplan.days import Span
from seasonplan.findings import Finding
from seasonplan.plan import Block, Week
from seasonplan.reference import profile
from seasonplan.rules import Rule
from seasonplan.vocabulary import Kind

SLACK_PERCENT = 0.1  # rounding
SLACK_EFFORT = 0.01


def _rock_ahead(sheet: Sheet, block: Block) -> list[date]:
    """Rock days inside the block, and the first day of a trip directly after it."""
    days = [day for day in block.span.days() if day in sheet.almanac.rock_days]
    after = sheet.directly_after(block)
    return [*days, after.span.first] if after and after.kind is Kind.TRIP else days


def judge_rock_only(sheet: Sheet, rule: Rule) -> Iterator[Finding]:
    """Days of a performance block after which no rock comes."""
    for block in sheet.of(Kind.PERFORMANCE):
        rock = _rock_ahead(sheet, block)
        last = rock[-1] if rock else None
        for span in runs(day for day in block.span.days() if last is None or day > last):
            yield broken(rule, span, block)


def judge_lead_in_length(sheet: Sheet, rule: Rule) -> Iterator[Finding]:
    """Days without rock that lie too far ahead of the next rock."""
    for block in sheet.of(Kind.PERFORMANCE):
        rock = _rock_ahead(sheet, block)
        waits = {
            day: min((ahead - day).days for ahead in rock if ahead >= day)
            for day in block.span.days()
            if rock and day <= rock[-1]
        }
        for span in runs(day for day, wait in waits.items() if wait > rule.number):
            yield broken(rule, span, block, found=waits[span.first], limit=rule.number)


def judge_lead_in_volume(sheet: Sheet, rule: Rule) -> Iterator[Finding]:
    """Weeks before the rock that are cut too little or too much, or are too easy."""
    for block in sheet.of(Kind.PERFORMANCE):
        for week in block.weeks:
            if _waits_for_rock(sheet, week.span) and sheet.is_home(week.span):
                yield from _judge_lead_in_week(sheet, rule, block, week=week)


def _waits_for_rock(sheet: Sheet, span: Span) -> bool:
    return any(day not in sheet.almanac.rock_days for day in span.days())


def _judge_lead_in_week(sheet: Sheet, rule: Rule, block: Block, *, week: Week) -> Iterator[Finding]:
    full = sheet.full_minutes(week.span)
    if full == 0:
        return
    least, most = rule.range
    cut = 100 * (1 - week.minutes / full)
    if cut < least - SLACK_PERCENT:
        yield broken(rule, week.span, block, found=cut, limit=least, about="volume")
    if cut > most + SLACK_PERCENT:
        yield broken(rule, week.span, block, found=cut, limit=most, about="volume")
    effort = profile(Kind.STRENGTH).rpe
    if week.rpe < effort - SLACK_EFFORT:
        yield broken(rule, week.span, block, found=week.rpe, limit=effort, about="effort")
