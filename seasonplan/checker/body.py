"""Judges what the weeks hold against what a body needs.

Judges `deload`, `rest-day`, `build-back`, `injury-caps`, `young-fingers`.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from datetime import date, timedelta

from seasonplan.body.response import body_of
from seasonplan.checker.sheet import DAYS_OFF, MOST_OF_A_WEEK, Sheet
from seasonplan.checker.steps_back import named_too_soon
from seasonplan.checker.verdict import broken
from seasonplan.days import Span
from seasonplan.injury import region
from seasonplan.plan import Block, Week
from seasonplan.rules.findings import Finding
from seasonplan.rules.statements import Rule
from seasonplan.rules.tables import after_days_off, composing
from seasonplan.vocabulary import BodyPart, Kind, Phase

LOST_BELOW = composing().load.lost_below
NEAR_TOP = 1.1  # a week may be a little above its share


# --- light weeks ----------------------------------------------------------------------------


def judge_deload(sheet: Sheet, rule: Rule) -> Iterator[Finding]:
    """Too many calendar weeks of base and strength in a row without a light one, or one missed in
    most."""
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
    """The rows of calendar weeks that are not light; one of which no block has most is of none."""
    row: list[Span] = []
    whole = Span(stretch[0].span.first, max(block.span.after for block in stretch))
    for part in sheet.calendar_weeks(whole):
        if max(_shared(block, part) for block in stretch) < MOST_OF_A_WEEK:
            continue
        if _is_missed(sheet, part) or any(_is_light(sheet, one, part=part) for one in stretch):
            yield row
            row = []
        else:
            row.append(part)
    yield row


def _shared(block: Block, part: Span) -> int:
    both = block.span.meet(part)
    return both.length if both else 0


def _is_light(sheet: Sheet, block: Block, *, part: Span) -> bool:
    """Whether a block has most of a calendar week, or all of its part, as a light week."""
    mine = block.span.meet(part)
    if mine is None or mine.length < min(part.length, MOST_OF_A_WEEK):
        return False
    weeks = [week for week in block.weeks if week.span.first in mine]
    return bool(weeks) and all(week.deload for week in weeks)


def ends_light(sheet: Sheet, block: Block) -> bool:
    """Whether a base or strength block ends with a light week: of its weeks, those of which most is
    in the block, one in so many, counted anew after one missed in most; or without any."""
    rule = sheet.book.active("deload")
    if rule is None or block.kind not in (Kind.BASE, Kind.STRENGTH):
        return False
    weeks = [part for part in sheet.calendar_weeks(block.span) if part.length >= MOST_OF_A_WEEK]
    missed = [n for n, part in enumerate(weeks[:-1], 1) if _is_missed(sheet, part)]
    counted = len(weeks) - (missed[-1] if missed else 0)
    return counted % int(rule.number) == 0


def _is_missed(sheet: Sheet, part: Span) -> bool:
    """Whether hardly anything was done of the calendar week of these days, or it leads back."""
    week = sheet.almanac.week_of(part.first)
    return sheet.done.get(week, 1.0) < LOST_BELOW or week in sheet.weeks_back


def judge_rest_day(sheet: Sheet, rule: Rule) -> Iterator[Finding]:
    """Weeks of blocks with too many training days, days on climbing trips not counted."""
    for block in sheet.blocks:
        for week in sheet.at_home(block, block.span) if block.kind is not Kind.TRIP else ():
            if week.training_days > rule.number:
                yield broken(rule, week.span, block, found=week.training_days, limit=rule.number)


# --- after days off ---------------------------------------------------------------------------


def judge_build_back(sheet: Sheet, rule: Rule) -> Iterator[Finding]:
    """After a layoff: strength or rest too soon, or too much in the first weeks."""
    for index, block in enumerate(sheet.blocks):
        if not block.kind.chosen:
            continue
        given, _ = sheet.looking_back(index)
        off = _longest_layoff(given)
        if off >= rule.number and block.kind in (Kind.STRENGTH, Kind.REST):
            yield broken(rule, block.span, block, found=off, limit=rule.number, about="kind")
        row = after_days_off(_days_off_just_before(given))
        if row is not None:
            yield from _judge_first_weeks(sheet, rule, block, row.shares)
    for first, days in sheet.after_little_time.items():
        row = after_days_off(days)
        if row is not None and first not in sheet.almanac.given_kinds:
            yield from _judge_weeks_from(sheet, rule, first, row.shares)


def _judge_weeks_from(
    sheet: Sheet, rule: Rule, first: date, shares: Sequence[float]
) -> Iterator[Finding]:
    """Whole weeks of chosen blocks from a day on, with more than their share, as above."""
    weeks = {w.span.first: (b, w) for b in sheet.blocks if b.kind.chosen for w in b.weeks}
    for n, share in enumerate(shares):
        found = weeks.get(first + timedelta(days=7 * n))
        if found is not None:
            yield from _too_full(sheet, rule, *found, share=share)


def _longest_layoff(given: Sequence[Block]) -> int:
    """Days of the longest row of days off since the last trip; given blocks come nearest first."""
    longest = row = 0
    for block in given:
        if block.kind is Kind.TRIP:
            break
        row = row + block.span.length if block.kind in DAYS_OFF else 0
        longest = max(longest, row)
    return longest


def _days_off_just_before(given: Sequence[Block]) -> int:
    """Days of the row of days off that ends where the block begins."""
    days = 0
    for block in given:
        if block.kind not in DAYS_OFF:
            break
        days += block.span.length
    return days


def _judge_first_weeks(
    sheet: Sheet, rule: Rule, block: Block, shares: Sequence[float]
) -> Iterator[Finding]:
    """Whole weeks back at home with more than their share of the most a week may ever hold.

    A few days before the first whole week go with it.
    """
    counted = [week for week in block.weeks if week.span.length >= MOST_OF_A_WEEK]
    for share, week in zip(shares, counted, strict=False):
        yield from _too_full(sheet, rule, block, week, share=share)


def _too_full(
    sheet: Sheet, rule: Rule, block: Block, week: Week, *, share: float
) -> Iterator[Finding]:
    top = body_of(sheet.year).top * NEAR_TOP
    whole = week.span.length == 7 and not week.rock_days
    if whole and week.load > share * top:
        found = 100 * week.load / top
        yield broken(rule, week.span, block, found=found, limit=100 * share, about="volume")


# --- hurt and young ---------------------------------------------------------------------------


def judge_injury_caps(sheet: Sheet, rule: Rule) -> Iterator[Finding]:
    """Weeks of maximal finger work while something hurt bars it all through; blocks named for what
    comes back only after most of their days."""
    for block in sheet.blocks:
        if not block.pinned and named_too_soon(sheet, block):
            yield broken(rule, block.span, block, about="emphasis")
        for week in block.weeks:
            barred = (bars_fingers(sheet.almanac.hurts(day)) for day in week.span.days())
            if week.max_fingers and all(barred):
                yield broken(rule, week.span, block, about="max_fingers")


def bars_fingers(hurts: Iterable[tuple[BodyPart, Phase]]) -> bool:
    """Whether something hurt bars maximal finger work: all but a leg or hip on its way back."""
    return any(region(part) != "lower" or phase is Phase.OFF for part, phase in hurts)


def judge_young_fingers(sheet: Sheet, rule: Rule) -> Iterator[Finding]:
    """Weeks of maximal finger loading while the climber may be too young."""
    for block in sheet.blocks:
        for week in block.weeks:
            if week.max_fingers and sheet.almanac.under(rule.number, week.span.first):
                yield broken(rule, week.span, block, limit=rule.number)
