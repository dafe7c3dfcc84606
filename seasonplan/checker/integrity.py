"""What no plan may get wrong, rules or no rules: cover, given things, pins, minutes.

Codes are those of `findings`. A finding here means a mistake of ours or a stale file.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from datetime import date

from seasonplan.checker.sheet import Sheet, runs
from seasonplan.days import Span, week_start
from seasonplan.plan import Block
from seasonplan.rules.findings import COVER, GIVEN, PIN, Finding


def integrity(sheet: Sheet) -> Iterator[Finding]:
    """Every break of what a plan is."""
    yield from _cover(sheet)
    for block in sheet.blocks:
        yield from _tiles(sheet, block)
    yield from _given(sheet)
    yield from _pins(sheet)


def _wrong(code: str, span: Span, *blocks: Block, about: str = "") -> Finding:
    return Finding(
        code=code,
        strength="hard",
        span=span,
        blocks=tuple(block.id for block in blocks),
        about=about,
    )


def _cover(sheet: Sheet) -> Iterator[Finding]:
    """Each day of the year in one block, no block outside."""
    year = sheet.year.span
    times = Counter(day for block in sheet.blocks for day in block.span.days())
    for span in runs(day for day in year.days() if times[day] == 0):
        yield _wrong(COVER, span, about="no block")
    for span in runs(day for day in year.days() if times[day] > 1):
        yield _wrong(COVER, span, *_touching(sheet, span), about="several blocks")
    for span in runs(day for day in times if day not in year):
        yield _wrong(COVER, span, *_touching(sheet, span), about="outside the year")


def _touching(sheet: Sheet, span: Span) -> list[Block]:
    return [block for block in sheet.blocks if block.span.meet(span)]


def _tiles(sheet: Sheet, block: Block) -> Iterator[Finding]:
    """The weeks of a block cover its days once, in order, none over a calendar week's edge."""
    expected: date | None = block.span.first
    for week in block.weeks:
        if week.span.first != expected or not block.span.covers(week.span):
            yield _wrong(COVER, week.span, block, about="weeks do not tile the block")
        begins = sheet.almanac.week_begins
        if week_start(week.span.first, begins) != week_start(week.span.last, begins):
            yield _wrong(COVER, week.span, block, about="a week crosses a calendar week")
        expected = week.span.after
    if expected != block.span.after:
        yield _wrong(COVER, block.span, block, about="weeks do not tile the block")


def _given(sheet: Sheet) -> Iterator[Finding]:
    """Given blocks are those of the almanac, no more, no fewer."""
    wanted = [(g.kind, g.span, g.entry, g.phase) for g in sheet.almanac.givens]
    there = [(b.kind, b.span, b.entry, b.phase) for b in sheet.blocks if not b.kind.chosen]
    for kind, span, entry, phase in wanted:
        if there.count((kind, span, entry, phase)) != 1:
            yield _wrong(GIVEN, span, about=entry)
    for block in sheet.blocks:
        if not block.kind.chosen:
            if (block.kind, block.span, block.entry, block.phase) not in wanted:
                yield _wrong(GIVEN, block.span, block, about=block.entry or "")
        elif block.phase is not None:
            yield _wrong(GIVEN, block.span, block, about=block.phase.value)


def _pins(sheet: Sheet) -> Iterator[Finding]:
    """For each pin a block of just that kind and those days."""
    kept = {(block.kind, block.span) for block in sheet.blocks}
    for pin in sheet.year.pins:
        if (pin.kind, pin.span) not in kept:
            yield _wrong(PIN, pin.span, *_touching(sheet, pin.span), about=pin.id)
