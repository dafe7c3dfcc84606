"""How far a plan bends each soft rule, and what that costs.

Judges `lead-in-start`, `few-changes`, `base-first`, `work-before-lead-in`, `work-before-rest`,
`short-rest`, `rest-before-rock`, `rest-by-days-off`, `power-endurance-late`, `weak-first` and
`strength-late`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import pairwise

from seasonplan.body.almanac import Opportunity
from seasonplan.body.little_time import as_good_as_rest, is_little
from seasonplan.body.opening import whole_from
from seasonplan.body.response import QUALITIES, body_of
from seasonplan.body.worth import demands
from seasonplan.checker.body import ends_light
from seasonplan.checker.sheet import DAYS_OFF, Sheet
from seasonplan.checker.steps_back import made_by
from seasonplan.checker.verdict import Judge, broken
from seasonplan.days import Span
from seasonplan.plan import Block, RuleCost
from seasonplan.rules.findings import Finding
from seasonplan.rules.statements import Rule
from seasonplan.rules.tables import composing
from seasonplan.vocabulary import EMPHASES, TRAINS, Emphasis, Kind

OFF = (*DAYS_OFF, Kind.RETURN)
LONG_POWER_ENDURANCE_DAYS = 7 * composing().block.power_endurance_weeks


@dataclass(frozen=True, slots=True)
class Bend:
    """One place where a soft rule is not met: `amount` in its `per`, the numbers in its unit."""

    span: Span
    blocks: tuple[Block, ...]
    amount: float
    found: float | None = None
    limit: float | None = None
    about: str = ""


Measure = Callable[[Sheet, Rule], Iterator[Bend]]


def costs_on(sheet: Sheet) -> tuple[RuleCost, ...]:
    """The soft costs of a plan already laid out."""
    amounts = {
        rule.code: sum(bend.amount for bend in MEASURES[rule.code](sheet, rule))
        for rule in sheet.book
        if rule.on and rule.code in MEASURES
    }
    return tuple(
        RuleCost(rule=code, amount=amount, points=sheet.book[code].weight * amount)
        for code, amount in sorted(amounts.items())
        if amount
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


def judge_price_alone(sheet: Sheet, rule: Rule) -> Iterator[Finding]:
    """Nothing: blocks are not told as broken preferences for being many, nor for what they train.

    Such rules only choose among years that are as good as equal.
    """
    yield from ()


# --- measures -------------------------------------------------------------------------------


def few_changes(sheet: Sheet, rule: Rule) -> Iterator[Bend]:
    """Each chosen block."""
    for block in sheet.blocks:
        if block.kind.chosen:
            yield Bend(block.span, (block,), 1.0)


def base_first(sheet: Sheet, rule: Rule) -> Iterator[Bend]:
    """Each rest block with strength directly after it, and strength that opens a year."""
    for opens in sheet.of(Kind.STRENGTH):
        if _opens_rested(sheet, opens):
            yield Bend(opens.span, (opens,), 1.0)
    for rest, strength in pairwise(sheet.blocks):
        if (rest.kind, strength.kind) == (Kind.REST, Kind.STRENGTH):
            yield Bend(strength.span, (rest, strength), 1.0)


def _opens_rested(sheet: Sheet, block: Block) -> bool:
    """Whether a block opens the year, and no training is told to lie before it."""
    opens = block.span.first == sheet.year.span.first
    return opens and sheet.year.before.last_kind in (None, Kind.REST)


def work_before_lead_in(sheet: Sheet, rule: Rule) -> Iterator[Bend]:
    """Each performance block without rock in condition for a week but for an easy opening, right
    after rest or the light week of a block."""
    for before, block in pairwise(sheet.blocks):
        first = block.span.first
        week = Span(first, first + timedelta(days=7))
        waits = sheet.whole_days.isdisjoint(week.days())
        little = before.kind is Kind.REST or ends_light(sheet, before)
        if block.kind is Kind.PERFORMANCE and waits and little:
            yield Bend(block.span, (before, block), 1.0)


def work_before_rest(sheet: Sheet, rule: Rule) -> Iterator[Bend]:
    """Each rest block out of training that ends with a light week, or that lasted few weeks since
    the last rest, days off or the first day of the year; also where it opens a year."""
    opens, past = sheet.year.span.first, sheet.year.before
    rested, eased = opens - timedelta(days=past.days_since_rest), as_good_as_rest(sheet.almanac)
    for block in sheet.of(Kind.REST):
        trained = block.span.first == opens and past.last_kind in (Kind.BASE, Kind.STRENGTH)
        if trained and past.days_since_rest < 7 * rule.number:
            weeks = past.days_since_rest / 7
            yield Bend(block.span, (block,), 1.0, found=weeks, limit=rule.number)
    for before, block in pairwise(sheet.blocks):
        rested = before.span.after if before.kind in (Kind.REST, *OFF) else rested
        begins = block.span.first
        over = (min(span.after, begins) for span in eased if span.first < begins)
        rested = max((rested, *over))
        if block.kind is not Kind.REST or before.kind not in (Kind.BASE, Kind.STRENGTH):
            continue
        weeks = (block.span.first - rested).days / 7
        if weeks < rule.number or ends_light(sheet, before):
            yield Bend(block.span, (before, block), 1.0, found=weeks, limit=rule.number)


def lead_in_start(sheet: Sheet, rule: Rule) -> Iterator[Bend]:
    """Each season or trip of a goal that matters most into which no block leads in time."""
    days = int(rule.number)
    for opens, last in _openings(sheet, days=days):
        block = next((b for b in sheet.of(Kind.PERFORMANCE) if last in b.span), None)
        lead = (opens - block.span.first).days if block else 0
        if block is None or lead < days:
            told = (block,) if block else ()
            yield Bend(Span.through(opens, opens), told, 1.0, found=lead, limit=days)


def _openings(sheet: Sheet, *, days: int) -> list[tuple[date, date]]:
    """First days of seasons after their easy opening, of windows and trips, of goals that matter
    most, if a lead-in could precede, each with the day up to which it would last: that before a
    trip, else the first itself.

    It could not where one of its days is given or lies before the year, nor where the first rock
    comes so late that the lead-in would be too long; and it is not needed where there is rock the
    day before the season.
    """
    taken = {day for given in sheet.almanac.givens for day in given.span.days()}
    firsts = {
        (whole_from(sheet.almanac, chance.spell), int(chance.spell.is_trip))
        for chance in sheet.almanac.opportunities
        if sheet.almanac.matters_most(chance.goal)
        and chance.spell.opens - timedelta(days=1) not in sheet.almanac.rock_days
    }
    return [
        (first, first - timedelta(days=trip))
        for first, trip in sorted(firsts)
        if all(
            day in sheet.year.span and day not in taken
            for day in (first - timedelta(days=back) for back in range(trip, days + 1))
        )
        and (not trip or first in taken)
        and _rock_comes(sheet, first, since=first - timedelta(days=days))
    ]


def _rock_comes(sheet: Sheet, opens: date, *, since: date) -> bool:
    """Whether rock, or a trip, comes before anything else does and near enough to the lead-in."""
    begins = {given.span.first: given.kind for given in sheet.almanac.givens}
    most = sheet.book.active("lead-in-length")
    for day in Span(opens, sheet.year.span.after).days():
        if most is not None and (day - since).days > most.number:
            return False
        if day in begins:
            return begins[day] is Kind.TRIP
        if day in sheet.almanac.rock_days:
            return True
    return False


def short_rest(sheet: Sheet, rule: Rule) -> Iterator[Bend]:
    """Rest blocks longer than the rule says, by the day; not in parts of calendar weeks of four
    days and less."""
    for block in sheet.of(Kind.REST):
        parts = (block.span.meet(week) for week in sheet.almanac.weeks())
        days = sum(part.length for part in parts if part and part.length > 4)
        if days > rule.number:
            yield Bend(block.span, (block,), days - rule.number, found=days, limit=rule.number)


def _dear_days(sheet: Sheet) -> set[date]:
    """First days of trips, and of rock of goals that matter most."""
    return {
        chance.spell.span.first
        for chance in _all_rock(sheet)
        if sheet.almanac.matters_most(chance.goal) or chance.spell.is_trip
    }


def rest_before_rock(sheet: Sheet, rule: Rule) -> Iterator[Bend]:
    """Days of rest blocks in the last days before a trip or rock of a goal that matters most."""
    firsts = _dear_days(sheet)
    for block in sheet.of(Kind.REST):
        days = sum(
            0 < (first - day).days <= rule.number for first in firsts for day in block.span.days()
        )
        if days:
            yield Bend(block.span, (block,), days, found=days, limit=0)


def _all_rock(sheet: Sheet) -> Iterator[Opportunity]:
    """Every goal at its rock, in the year and to come after it."""
    yield from sheet.almanac.opportunities
    yield from sheet.almanac.later


def rest_by_days_off(sheet: Sheet, rule: Rule) -> Iterator[Bend]:
    """Rest blocks right after days off or weeks of little time, or in the weeks back from them, or
    right before days off where no trip goes before, and rest that opens a year."""
    for block in sheet.of(Kind.REST):
        beside = {
            other.span.after == block.span.first: other.kind
            for other in sheet.blocks
            if block.span.first == other.span.after or other.span.first == block.span.after
        }
        before, after = beside.get(True), beside.get(False)
        idle = before in OFF or after in OFF or _leads_back(sheet, block.span.first)
        idle = idle and before is not Kind.TRIP
        idle |= block.span.first in sheet.after_little_time
        if idle or _opens_rested(sheet, block):
            yield Bend(block.span, (block,), 1.0)


def _leads_back(sheet: Sheet, day: date) -> bool:
    """Whether the load comes back by steps in the week of a day."""
    back = sheet.almanac.week_of(day) in sheet.weeks_back
    return back and not is_little(sheet.almanac, day)


def power_endurance_late(sheet: Sheet, rule: Rule) -> Iterator[Bend]:
    """Power endurance that ends far before rock, or lasts long."""
    starts = [chance.spell.span.first for chance in _all_rock(sheet)]
    for block in sheet.of(Kind.BASE):
        if block.emphasis is not Emphasis.POWER_ENDURANCE:
            continue
        ahead = [(first - block.span.after).days for first in starts if first > block.span.first]
        far = not any(days <= rule.number for days in ahead)
        amount = far + (block.span.length > LONG_POWER_ENDURANCE_DAYS)
        if amount:
            yield Bend(
                block.span, (block,), amount, found=min(ahead, default=None), limit=rule.number
            )


def weak_first(sheet: Sheet, rule: Rule) -> Iterator[Bend]:
    """Base and strength for what no goal asks more of than there is, where others could be had;
    power endurance is not asked."""
    for kind in (Kind.BASE, Kind.STRENGTH):
        asked = {*EMPHASES[kind]} - {Emphasis.POWER_ENDURANCE}
        weak = [one for one in asked if _weak(sheet, kind, one)]
        for block in sheet.of(kind) if weak else ():
            if block.emphasis in asked and block.emphasis not in weak:
                yield Bend(block.span, (block,), 1.0)


def strength_late(sheet: Sheet, rule: Rule) -> Iterator[Bend]:
    """Base blocks for fingers that lack, shortly before a trip or rock that matters most."""
    if not _weak(sheet, Kind.STRENGTH, Emphasis.FINGERS):
        return
    for block in sheet.of(Kind.BASE):
        ahead = [(first - block.span.after).days for first in _dear_days(sheet)]
        if block.emphasis is Emphasis.FINGERS and any(0 <= n <= rule.number for n in ahead):
            yield Bend(block.span, (block,), 1.0)


def _weak(sheet: Sheet, kind: Kind, emphasis: Emphasis) -> bool:
    """Whether a goal asks more of what an emphasis trains than there is, and it can be trained."""
    year, at = sheet.year, QUALITIES.index(TRAINS[emphasis])
    own = body_of(year).rating[at]
    if not any(demands(goal)[at] > own for goal in year.goals):
        return False
    young = sheet.book.active("young-fingers")
    too_young = young is not None and sheet.almanac.under(young.number, year.span.first)
    made = made_by(year, kind, emphasis)
    return made is None or any(
        not (too_young and (one.max_fingers or one.grown_up)) for one in made
    )


MEASURES: dict[str, Measure] = {
    "lead-in-start": lead_in_start,
    "few-changes": few_changes,
    "base-first": base_first,
    "work-before-lead-in": work_before_lead_in,
    "work-before-rest": work_before_rest,
    "short-rest": short_rest,
    "rest-before-rock": rest_before_rock,
    "rest-by-days-off": rest_by_days_off,
    "power-endurance-late": power_endurance_late,
    "weak-first": weak_first,
    "strength-late": strength_late,
}
