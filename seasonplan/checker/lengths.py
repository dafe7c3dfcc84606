"""Judges the length of a block.

Judges `base-length`, `strength-length`, `performance-length`, `rest-length`.
"""

from __future__ import annotations

from collections.abc import Iterator

from seasonplan.checker.sheet import Sheet
from seasonplan.checker.verdict import Judge, broken
from seasonplan.plan import Block
from seasonplan.rules.findings import Finding
from seasonplan.rules.statements import Rule
from seasonplan.vocabulary import Kind


def judge_length(kind: Kind, *, unit_days: int) -> Judge:
    """The judge of a rule that gives blocks of `kind` a least and a most length."""

    def judge(sheet: Sheet, rule: Rule) -> Iterator[Finding]:
        least, most = rule.range
        for block in sheet.of(kind):
            whole = block.span.length / unit_days
            counted = _counted_days(sheet, block) / unit_days
            if counted > most:
                yield broken(rule, block.span, block, found=counted, limit=most)
            if whole < least and not _may_be_short(sheet, block):
                yield broken(rule, block.span, block, found=whole, limit=least)

    return judge


def _counted_days(sheet: Sheet, block: Block) -> int:
    """Days that count towards the most: performing begins with the first rock after the easy
    opening of a season, in whole weeks."""
    if block.kind is not Kind.PERFORMANCE:
        return block.span.length
    rock = [day for day in block.span.days() if day in sheet.whole_days]
    return (block.span.after - rock[0]).days // 7 * 7 if rock else 0


def _may_be_short(sheet: Sheet, block: Block) -> bool:
    """Cut by the edge of the year, or filling the whole gap between given things."""
    if sheet.ends_year(block):
        return True
    if sheet.opens_year(block) and sheet.year.before.last_kind is block.kind:
        return True
    before, after = sheet.directly_before(block), sheet.directly_after(block)
    walled_before = sheet.opens_year(block) or (before is not None and not before.kind.chosen)
    walled_after = after is not None and not after.kind.chosen
    return block.kind is not Kind.STRENGTH and walled_before and walled_after
