"""Judges performance blocks against the days on which there is rock.

Judges `rock-only` and `lead-in-length`.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from seasonplan.checker.sheet import Sheet, runs
from seasonplan.checker.verdict import broken
from seasonplan.days import week_start
from seasonplan.plan import Block
from seasonplan.rules.findings import Finding
from seasonplan.rules.statements import Rule
from seasonplan.vocabulary import Kind


def _rock_ahead(sheet: Sheet, block: Block) -> list[date]:
    """Rock days inside the block, and the first day of a trip directly after it."""
    days = [day for day in block.span.days() if day in sheet.almanac.rock_days]
    after = sheet.directly_after(block)
    return [*days, after.span.first] if after and after.kind is Kind.TRIP else days


def _waiting_days(sheet: Sheet, block: Block) -> list[date]:
    """Days of a block but those that follow rock in the same calendar week."""
    begins = sheet.almanac.week_begins
    weeks = {
        week_start(day, begins): day for day in reversed(_rock_ahead(sheet, block))
    }  # first rock of each week
    return [day for day in block.span.days() if day <= weeks.get(week_start(day, begins), date.max)]


def judge_rock_only(sheet: Sheet, rule: Rule) -> Iterator[Finding]:
    """Days of a performance block after which no rock comes."""
    for block in sheet.of(Kind.PERFORMANCE):
        rock = _rock_ahead(sheet, block)
        last = rock[-1] if rock else None
        late = (day for day in _waiting_days(sheet, block) if last is None or day > last)
        for span in runs(late):
            yield broken(rule, span, block)


def judge_lead_in_length(sheet: Sheet, rule: Rule) -> Iterator[Finding]:
    """Days without rock that lie too far ahead of the next rock."""
    for block in sheet.of(Kind.PERFORMANCE):
        rock = _rock_ahead(sheet, block)
        waits = {
            day: min((ahead - day).days for ahead in rock if ahead >= day)
            for day in _waiting_days(sheet, block)
            if rock and day <= rock[-1]
        }
        for span in runs(day for day, wait in waits.items() if wait > rule.number):
            yield broken(rule, span, block, found=waits[span.first], limit=rule.number)
