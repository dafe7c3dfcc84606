"""Judges what a week holds.

Judges `session-dose`, `lead-in-volume` and `session-test`.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta

from seasonplan.body.little_time import long_off_until
from seasonplan.body.newcomer import is_new, weeks_to_most
from seasonplan.checker.sessions.care import forbidden
from seasonplan.checker.sessions.fresh import Fresh
from seasonplan.checker.sessions.needs import lacking
from seasonplan.checker.sessions.timetable import Portion, Timetable
from seasonplan.checker.sheet import Sheet
from seasonplan.checker.verdict import broken
from seasonplan.days import Span, week_start
from seasonplan.plan import Block, Shortfall, Week
from seasonplan.recipes import Recipe
from seasonplan.rules.findings import Finding
from seasonplan.rules.statements import Rule
from seasonplan.rules.tables import composing, response_table
from seasonplan.rules.tables import table as shared_table
from seasonplan.vocabulary import Kind

FILLED = response_table().filled  # of its aim: from here on nothing is missing
USUAL_RPE = composing().fit.missing_rpe
SLACK_LOAD = composing().fit.slack_load
NEAR_MINUTES = 2.0
NEAR_SHARE = 0.1
BEFORE_LEAD_IN = 4  # weeks that tell what is usual
TEST = "test-day"
TEST_WEEK_DAYS = 5
FINGERS = shared_table("menus")["fingers"]
WHOLE_WEEK = 7
FILLED_KINDS = (Kind.BASE, Kind.STRENGTH)


def judge_dose(table: Timetable, rule: Rule) -> Iterator[Finding]:
    """Weeks with too much, or too little and nothing said of it; and untrue shortfalls."""
    for portion in table.portions:
        home = [one for one in portion.sessions if one.role is None and one.recipe != TEST]
        done = sum(table.load(one) for one in home)
        most = portion.asked * (1 + rule.number / 100) + SLACK_LOAD
        if portion.block.kind.chosen and done > most:
            yield broken(
                rule, portion.span, portion.block, found=100 * done / max(portion.asked, 1.0),
                limit=100 + rule.number, about="load", sessions=home,
            )  # fmt: skip
        if portion.block.kind in FILLED_KINDS:
            yield from _missing(table, rule, portion)
    spans = [(portion.block.id, portion.span) for portion in table.portions]
    for said in table.shortfalls:
        if not any(name == said.block and span.covers(said.span) for name, span in spans):
            yield _stray(rule, said)


def _missing(table: Timetable, rule: Rule, portion: Portion) -> Iterator[Finding]:
    done = sum(table.load(one) for one in portion.sessions)
    said = [one for one in table.shortfalls if _is_of(one, portion)]
    if any(one.span != portion.span for one in said):  # a week that had begun
        return
    if done < FILLED * portion.asked - 1.0 and not said:
        yield broken(
            rule, portion.span, portion.block, found=100 * done / portion.asked,
            limit=100 * FILLED, about="load", sessions=portion.sessions,
        )  # fmt: skip
    true = max(0.0, portion.asked - done) / USUAL_RPE
    for one in said:
        near = NEAR_SHARE * true + NEAR_MINUTES
        if abs(one.missing_minutes - true) > near or done > FILLED * portion.asked + 1.0:
            yield broken(
                rule, portion.span, portion.block, found=one.missing_minutes, limit=true,
                about="shortfall",
            )  # fmt: skip


def _is_of(one: Shortfall, portion: Portion) -> bool:
    return one.block == portion.block.id and portion.span.covers(one.span)


def _stray(rule: Rule, said: Shortfall) -> Finding:
    finding = broken(rule, said.span, found=said.missing_minutes, about="shortfall of no week")
    return Finding(**{**dict(finding), "blocks": (said.block,)})


def judge_lead_in_volume(table: Timetable, rule: Rule) -> Iterator[Finding]:
    """Whole weeks of lead-in whose minutes do not fall as far as the rule says, or further.

    Not asked where no session is short enough beside a day on rock, or too little is free.
    """
    low, high = rule.range
    for block in table.sheet.of(Kind.PERFORMANCE):
        before = _normal_before(table.sheet, block)
        if len(before) < 2:
            continue
        usual = sum(one.minutes for one in before) / len(before)
        least, most = usual * (99 - high) / 100, usual * (101 - low) / 100
        for week in block.weeks:
            whole = week.lead_in and week.span.length == WHOLE_WEEK
            if whole and not least <= week.minutes <= most and _between(table, week, least, most):
                fall = 100 * (1 - week.minutes / usual)
                end = low if fall < low else high
                yield broken(rule, week.span, block, found=fall, limit=end, about="minutes")


def _normal_before(sheet: Sheet, block: Block) -> list[Week]:
    """Whole normal weeks of base and strength among the four before a block."""
    weeks = [
        w for b in sheet.of(*FILLED_KINDS) if b.span.after <= block.span.first for w in b.weeks
    ]
    near = [w for w in weeks if (block.span.first - w.span.first).days <= 7 * BEFORE_LEAD_IN]
    return [w for w in near if w.span.length == WHOLE_WEEK and not w.deload]


def _between(table: Timetable, week: Week, least: float, most: float) -> bool:
    """Whether a week has time for so many minutes, in sessions as short as there are, beside its
    days on rock."""
    days = week.span.days()
    free = sum(end - begin for day in days for begin, end in table.free(day))
    lengths = {r.least_minutes for r in table.recipes.values() if Kind.PERFORMANCE in r.kinds}
    on_rock = sum(s.minutes for s in table.sessions if s.role is not None and s.day in week.span)
    return least <= free + on_rock and min(lengths - {0}, default=0) + on_rock <= most


def judge_test(table: Timetable, rule: Rule) -> Iterator[Finding]:
    """Long base and strength blocks that end without a test, where there could be one."""
    recipe = table.recipes.get(TEST)
    if recipe is None:
        return
    for block in table.sheet.of(*FILLED_KINDS):
        mine = [portion for portion in table.portions if portion.block is block]
        weeks = rule.number * (FINGERS["test_base"] if block.kind is Kind.BASE else 1)
        if block.span.length < 7 * weeks or not mine:
            continue
        last = mine[-1]
        at_home = sum(map(table.sheet.almanac.at_home, last.span.days()))
        could = at_home >= TEST_WEEK_DAYS and _could(table, recipe, last)
        first = last.span.first
        barred = _long_off(table, first) or is_new(table.sheet.year, first)
        barred = barred or not _hangs_before(table, recipe, first)
        if first < _tests_begin(table) or barred:
            continue
        if could and not any(session.recipe == TEST for session in last.sessions):
            yield broken(rule, last.span, block, about="no test")


def _hangs_before(table: Timetable, recipe: Recipe, first: date) -> bool:
    """Whether there are hard hangs to do, and nothing barred a test in the two weeks before."""
    hangs = any(one.hard_hangs for one in table.recipes.values())
    before = Span(first - timedelta(days=FINGERS["test_after_days"]), first)
    return hangs and not any(forbidden(table, recipe, day) for day in before.days())


def _tests_begin(table: Timetable) -> date:
    """Who did no hard finger session before the year tests nothing in its first weeks."""
    year = table.sheet.year
    first = week_start(year.span.first, year.climber.week_begins)
    return first + timedelta(weeks=weeks_to_most(year))


def _long_off(table: Timetable, first: date) -> bool:
    """Whether training is back since few weeks after a very long time off."""
    soon = 7 * FINGERS["weeks_to_most"]
    return any((first - day).days in range(soon) for day in long_off_until(table.sheet.almanac))


def _could(table: Timetable, recipe: Recipe, portion: Portion) -> bool:
    """Whether a test could be done on some day of a week from its third on."""
    rule = table.sheet.book.active("session-fresh")
    fresh = Fresh(table, days_before=rule.number) if rule is not None else None
    return not lacking(table, recipe) and any(
        not forbidden(table, recipe, day)
        and not (fresh and any(fresh.spoilt(recipe, day)))
        and any(end - begin >= recipe.least_minutes for begin, end in table.free(day))
        for day in portion.days[2:]
    )
