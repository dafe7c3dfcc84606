"""Judges loads of weeks against those before them: `load-step` and `lead-in-volume`. Both are told.

A week is what its sessions add up to. Where nothing is there to compare with, nothing is told.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from seasonplan.body.response import weekly_before
from seasonplan.checker.sheet import Sheet
from seasonplan.checker.verdict import broken
from seasonplan.plan import Block, Week
from seasonplan.rules.findings import Finding
from seasonplan.rules.statements import Rule
from seasonplan.vocabulary import Kind

LOOK_BACK_WEEKS = 12
BEFORE_LEAD_IN = 4
SLACK = 1.005
TRAINED = (Kind.BASE, Kind.STRENGTH)


def judge_load_step(sheet: Sheet, rule: Rule) -> Iterator[Finding]:
    """Whole weeks at home with much more load than the best month of the twelve weeks before.

    Not asked of a week with one day of training: after a month of next to nothing no session is
    small enough, and nobody could train at all and meet it.
    """
    whole = [week for week in sheet.almanac.weeks() if week.length == 7]
    loads = list(weekly_before(sheet.year))
    for week in whole:
        load = sheet.load(week)
        best = _best_month(loads[-LOOK_BACK_WEEKS:])
        trip = any(b.kind is Kind.TRIP and b.span.meet(week) for b in sheet.blocks)
        blocks = [block for block in sheet.blocks if block.span.meet(week)]
        days = sum(w.training_days for b in blocks for w in b.weeks if w.span.meet(week))
        asked = best and days != 1 and sheet.is_home(week) and not trip
        if asked and load > SLACK * rule.number * best:
            yield broken(rule, week, *blocks, found=load / best, limit=rule.number)
        loads.append(load)


def _best_month(loads: Sequence[float]) -> float:
    fours = [sum(loads[n : n + 4]) / 4 for n in range(len(loads) - 3)]
    return max(fours, default=0.0)


def judge_lead_in_volume(sheet: Sheet, rule: Rule) -> Iterator[Finding]:
    """Whole weeks of lead-in whose minutes do not fall as far as the rule says, or further."""
    low, high = rule.range
    for block in sheet.of(Kind.PERFORMANCE):
        for week in block.weeks:
            if not week.lead_in or week.span.length < 7:
                continue
            before = _normal_before(sheet, block)
            if len(before) < 2:
                continue
            usual = sum(one.minutes for one in before) / len(before)
            fall = 100 * (1 - week.minutes / usual)
            if not low - 1 <= fall <= high + 1:
                yield broken(rule, week.span, block, found=fall, limit=low, about="minutes")


def _normal_before(sheet: Sheet, block: Block) -> list[Week]:
    """Whole normal weeks of base and strength among the four before a block."""
    weeks = [w for b in sheet.of(*TRAINED) if b.span.after <= block.span.first for w in b.weeks]
    near = [w for w in weeks if (block.span.first - w.span.first).days <= 7 * BEFORE_LEAD_IN]
    return [w for w in near if w.span.length == 7 and not w.deload]
