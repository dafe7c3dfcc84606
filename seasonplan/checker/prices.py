"""How far a plan bends each soft rule, and what that costs.

Judges `load-step`, `lead-in-start`, `few-changes`, `base-first`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
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
    """Each opening of a dear season or window into which no performance block leads in time."""
    days = int(rule.number)
    for opens in _dear_openings(sheet, days=days):
        block = next(
            (b for b in sheet.of(Kind.PERFORMANCE) if b.span.first <= opens < b.span.after), None
        )
        lead = (opens - block.span.first).days if block else 0
        if block is None or lead < days:
            told = (block,) if block else ()
            yield Bend(Span.through(opens, opens), told, 1.0, found=lead, limit=days)


def _dear_openings(sheet: Sheet, *, days: int) -> list[date]:
    """First days of seasons and windows of priority 1 goals, if a lead-in could stand before.

    It could not where one of those days, or the first itself, is given or lies before the year,
    and is not needed where there is rock the day before.
    """
    taken = {day for given in sheet.almanac.givens for day in given.span.days()}
    firsts = {
        chance.spell.span.first
        for chance in sheet.almanac.opportunities
        if chance.goal.priority == 1 and not chance.spell.is_trip
    }
    return [
        first
        for first in sorted(firsts)
        if first - timedelta(days=1) not in sheet.almanac.rock_days
        and all(
            day in sheet.year.span and day not in taken
            for day in (first - timedelta(days=back) for back in range(days + 1))
        )
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
