"""How far a plan bends each soft rule, and what that costs.

Judges `load-step`, `lead-in-start`, `few-changes`, `base-first`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import pairwise

from seasonplan.checker.sheet import Sheet
from seasonplan.checker.verdict import Judge, broken
from seasonplan.days import Span
from seasonplan.findings import Finding
from seasonplan.plan import Block, RuleCost
from seasonplan.response import full_week_load, weekly_before
from seasonplan.rules import Rule, RuleBook
from seasonplan.vocabulary import Kind
from seasonplan.year import Year

WEEKS_COMPARED = 4
SEASON_OPENING_DAYS = 14  # later than this a block does not open the season


@dataclass(frozen=True, slots=True)
class Bend:
    """One place where a soft rule is bent: `amount` in its `per`, the numbers in its unit."""

    span: Span
    blocks: tuple[Block, ...]
    amount: float
    found: float | None = None
    limit: float | None = None
    about: str = ""


Measure = Callable[[Sheet, Rule], Iterator[Bend]]


def soft_costs(year: Year, blocks: Sequence[Block], *, book: RuleBook) -> tuple[RuleCost, ...]:
    """Every active soft rule with how far it is bent in all and the points that costs."""
    return costs_on(Sheet(year, blocks, book=book))


def costs_on(sheet: Sheet) -> tuple[RuleCost, ...]:
    """The soft costs of a plan already laid out."""
    amounts = {
        rule.code: sum(bend.amount for bend in MEASURES[rule.code](sheet, rule))
        for rule in sheet.book
        if rule.on and rule.code in MEASURES
    }
    return tuple(
        RuleCost(rule=code, amount=amount, points=sheet.book[code].weight * amount)
        for code, amount in amounts.items()
    )


def judge_soft(measure: Measure) -> Judge:
    """The judge that reports each bend as a finding."""

    def judge(sheet: Sheet, rule: Rule) -> Iterator[Finding]:
        for bend in measure(sheet, rule):
            yield broken(
                rule,
                bend.span,
                *bend.blocks,
                found=bend.found,
                limit=bend.limit,
                about=bend.about,
            )

    return judge


def judge_few_changes(sheet: Sheet, rule: Rule) -> Iterator[Finding]:
    """Nothing: that a plan has blocks is a price, not a break."""
    yield from ()


# --- measures -------------------------------------------------------------------------------


def few_changes(sheet: Sheet, rule: Rule) -> Iterator[Bend]:
    """Each chosen block."""
    for block in sheet.blocks:
        if block.kind.chosen:
            yield Bend(block.span, (block,), 1.0)


def base_first(sheet: Sheet, rule: Rule) -> Iterator[Bend]:
    """Each rest block with strength directly after it."""
    for rest, strength in pairwise(sheet.blocks):
        if (rest.kind, strength.kind) == (Kind.REST, Kind.STRENGTH):
            yield Bend(strength.span, (rest, strength), 1.0)


def lead_in_start(sheet: Sheet, rule: Rule) -> Iterator[Bend]:
    """Each performance block that opens a dear season with too short a lead-in.

    A block that could not begin earlier, at the edge of the year or after a given block, is let be.
    """
    opening = _dear_openings(sheet)
    for block in sheet.of(Kind.PERFORMANCE):
        before = sheet.directly_before(block)
        if sheet.opens_year(block) or (before is not None and not before.kind.chosen):
            continue
        leads = [
            (rock - block.span.first).days
            for rock in opening
            if rock < block.span.after
            and (block.span.first - rock).days < SEASON_OPENING_DAYS
            and (rock - block.span.first).days < rule.number
        ]
        if leads:
            yield Bend(block.span, (block,), 1.0, found=min(leads), limit=rule.number)


def _dear_openings(sheet: Sheet) -> list[date]:
    """First days of the seasons and windows that serve a goal of priority 1."""
    return [
        chance.spell.span.first
        for chance in sheet.almanac.opportunities
        if chance.goal.priority == 1 and not chance.spell.is_trip
    ]


def load_step(sheet: Sheet, rule: Rule) -> Iterator[Bend]:
    """Each whole week of chosen blocks with much more load than the four weeks before it."""
    whole = [week for week in sheet.almanac.weeks() if week.length == 7]
    earlier = list(weekly_before(sheet.year))
    loads = [*earlier, *(sheet.load(week) for week in whole)]
    unit = full_week_load(sheet.year)
    for at, week in enumerate(whole, start=len(earlier)):
        compared = loads[max(0, at - WEEKS_COMPARED) : at]
        if len(compared) < WEEKS_COMPARED or not _is_chosen(sheet, week):
            continue
        mean = sum(compared) / WEEKS_COMPARED
        excess = loads[at] - rule.number * mean
        if excess > 1e-6 * unit:
            yield Bend(
                week,
                tuple(block for block in sheet.blocks if block.span.meet(week)),
                excess / unit,
                found=loads[at] / mean if mean else None,
                limit=rule.number,
            )


def _is_chosen(sheet: Sheet, week: Span) -> bool:
    """Whether no day of the week is given or on a trip."""
    return sheet.is_home(week) and not any(given.span.meet(week) for given in sheet.almanac.givens)


MEASURES: dict[str, Measure] = {
    "load-step": load_step,
    "lead-in-start": lead_in_start,
    "few-changes": few_changes,
    "base-first": base_first,
}
