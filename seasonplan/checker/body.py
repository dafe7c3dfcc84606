"""Judges what the weeks hold against what a body needs.

Judges `deload`, `rest-day`, `build-back`, `injury-caps`, `young-fingers`.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from seasonplan.checker.sheet import MOST_OF_A_WEEK, Sheet
from seasonplan.checker.verdict import broken
from seasonplan.days import Span
from seasonplan.findings import Finding
from seasonplan.plan import Block
from seasonplan.rules import Rule
from seasonplan.vocabulary import Kind

SLACK_MINUTES = 0.5  # rounding
NO_LOAD = 1e-6


# --- light weeks ----------------------------------------------------------------------------


def judge_deload(sheet: Sheet, rule: Rule) -> Iterator[Finding]:
    """Too many calendar weeks of base and strength in a row without a light one."""
    for stretch in _stretches(sheet):
        for row in _heavy_rows(sheet, stretch):
            if len(row) >= rule.number:
                span = Span(row[0].first, row[-1].after)
                touched = [block for block in stretch if block.span.meet(span)]
                yield broken(rule, span, *touched, found=len(row), limit=rule.number)


def _stretches(sheet: Sheet) -> Iterator[list[Block]]:
    """Base and strength blocks that follow each other with nothing between."""
    stretch: list[Block] = []
    for block in sheet.of(Kind.BASE, Kind.STRENGTH):
        if stretch and stretch[-1].span.after != block.span.first:
            yield stretch
            stretch = []
        stretch.append(block)
    if stretch:
        yield stretch


def _heavy_rows(sheet: Sheet, stretch: Sequence[Block]) -> Iterator[list[Span]]:
    row: list[Span] = []
    whole = Span(stretch[0].span.first, max(block.span.after for block in stretch))
    for part in sheet.calendar_weeks(whole):
        if part.length < MOST_OF_A_WEEK:
            continue
        if any(_is_light(sheet, block, part=part) for block in stretch):
            yield row
            row = []
        else:
            row.append(part)
    yield row


def _is_light(sheet: Sheet, block: Block, *, part: Span) -> bool:
    """Whether a block has most of a calendar week, or all of its part, as a light week."""
    mine = block.span.meet(part)
    if mine is None or mine.length < min(part.length, MOST_OF_A_WEEK):
        return False
    weeks = [week for week in block.weeks if week.span.first in mine]
    return bool(weeks) and all(week.deload for week in weeks)
