"""Judges loads of weeks against those before them: `load-step`. It is told.

A week is what its sessions add up to. Where nothing is there to compare with, nothing is told.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from seasonplan.body.response import weekly_before
from seasonplan.checker.sheet import Sheet
from seasonplan.checker.verdict import broken
from seasonplan.rules.findings import Finding
from seasonplan.rules.statements import Rule
from seasonplan.vocabulary import Kind

LOOK_BACK_WEEKS = 12
SLACK = 1.005


def judge_load_step(sheet: Sheet, rule: Rule) -> Iterator[Finding]:
    """Whole weeks at home with much more load than the best month of the twelve weeks before.

    Not asked where one day of such a week alone would be too much: after a month of next to
    nothing no session is small enough, and nobody could train at all and meet it.
    """
    whole = [week for week in sheet.almanac.weeks() if week.length == 7]
    loads = list(weekly_before(sheet.year))
    for week in whole:
        load = sheet.load(week)
        best = _best_month(loads[-LOOK_BACK_WEEKS:])
        trip = any(b.kind is Kind.TRIP and b.span.meet(week) for b in sheet.blocks)
        blocks = [block for block in sheet.blocks if block.span.meet(week)]
        days = sum(w.training_days for b in blocks for w in b.weeks if w.span.meet(week))
        most = SLACK * rule.number * best
        asked = load <= days * most and sheet.is_home(week) and not trip
        if asked and load > most:
            yield broken(rule, week, *blocks, found=load / best, limit=rule.number)
        loads.append(load)


def _best_month(loads: Sequence[float]) -> float:
    fours = [sum(loads[n : n + 4]) / 4 for n in range(len(loads) - 3)]
    return max(fours, default=0.0)
