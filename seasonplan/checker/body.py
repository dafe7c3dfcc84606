"""Judges what the weeks hold against what a body needs.

Judges `deload`, `rest-day`, `build-back`, `injury-caps`, `young-fingers`.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from seasonplan.checker.sheet import DAYS_OFF, MOST_OF_A_WEEK, Sheet
from seasonplan.checker.verdict import broken
from seasonplan.days import Span
from seasonplan.findings import Finding
from seasonplan.injury import allowed_qualities
from seasonplan.plan import Block
from seasonplan.reference import layoff_shares, profile
from seasonplan.rules import Rule
from seasonplan.vocabulary import Kind, Quality

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
    """Whether a block has most of a calendar week, or all of its part, and asks little there."""
    mine = block.span.meet(part)
    if mine is None or mine.length < min(part.length, MOST_OF_A_WEEK):
        return False
    asked = sum(week.minutes for week in sheet.at_home(block, mine))
    held = profile(block.kind)
    between = (held.light + held.progression[0]) / 2  # half way from a light week to a first one
    return asked <= held.volume_in("") * between * sheet.full_minutes(mine)


def judge_rest_day(sheet: Sheet, rule: Rule) -> Iterator[Finding]:
    """Calendar weeks with too many training days, days on climbing trips not counted."""
    pieces = [
        (block, week)
        for block in sheet.blocks
        if block.kind is not Kind.TRIP
        for week in sheet.at_home(block, block.span)
    ]
    for calendar_week in sheet.almanac.weeks():
        inside = [(block, week) for block, week in pieces if week.span.first in calendar_week]
        trained = sum(week.training_days for _, week in inside)
        if trained > rule.number:
            blocks = dict.fromkeys(block for block, _ in inside)
            yield broken(rule, calendar_week, *blocks, found=trained, limit=rule.number)


# --- after days off ---------------------------------------------------------------------------


def judge_build_back(sheet: Sheet, rule: Rule) -> Iterator[Finding]:
    """After a layoff: strength or rest too soon, or too much in the first weeks."""
    for index, block in enumerate(sheet.blocks):
        if not block.kind.chosen:
            continue
        given, _ = sheet.looking_back(index)
        off = _longest_layoff(given)
        if off < rule.number:
            continue
        if block.kind in (Kind.STRENGTH, Kind.REST):
            yield broken(rule, block.span, block, found=off, limit=rule.number, about="kind")
        yield from _judge_first_weeks(sheet, rule, block)


def _longest_layoff(given: Sequence[Block]) -> int:
    """Days of the longest row of days off since the last trip; given blocks come nearest first."""
    longest = row = 0
    for block in given:
        if block.kind is Kind.TRIP:
            break
        row = row + block.span.length if block.kind in DAYS_OFF else 0
        longest = max(longest, row)
    return longest


def _judge_first_weeks(sheet: Sheet, rule: Rule, block: Block) -> Iterator[Finding]:
    """A few days before the first whole week go with it: both hold the first share."""
    shares = list(layoff_shares())
    for part in sheet.calendar_weeks(block.span):
        if not shares:
            return
        full = sheet.full_minutes(part)
        asked = sum(week.minutes for week in sheet.at_home(block, part))
        if asked > shares[0] * full + SLACK_MINUTES:
            yield broken(
                rule,
                part,
                block,
                found=100 * asked / full if full else None,
                limit=100 * shares[0],
                about="volume",
            )
        if part.length >= MOST_OF_A_WEEK:
            shares.pop(0)


# --- hurt and young ---------------------------------------------------------------------------


def judge_injury_caps(sheet: Sheet, rule: Rule) -> Iterator[Finding]:
    """Load of a quality that a hurt part does not allow yet; maximal finger work while hurt."""
    for block in sheet.blocks:
        for week in block.weeks:
            hurts = {hurt for day in week.span.days() for hurt in sheet.almanac.hurts(day)}
            if block.kind in (Kind.INJURED, Kind.RETURN):
                forbidden = set(Quality) - set.intersection(
                    set(Quality), *(set(allowed_qualities(*hurt)) for hurt in hurts)
                )
                load = sum(week.loads.of(quality) for quality in forbidden)
                if load > NO_LOAD:
                    yield broken(rule, week.span, block, found=load, limit=0, about="load")
            if week.max_fingers and hurts:
                yield broken(rule, week.span, block, about="max_fingers")


def judge_young_fingers(sheet: Sheet, rule: Rule) -> Iterator[Finding]:
    """Weeks of maximal finger loading while the climber may be too young."""
    for block in sheet.blocks:
        for week in block.weeks:
            if week.max_fingers and sheet.almanac.under(rule.number, week.span.first):
                yield broken(rule, week.span, block, limit=rule.number)
