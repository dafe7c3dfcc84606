"""Judges loads of weeks against those before them: `load-step`, `missed-weeks`. Both are told.

Weeks that are over count as they were done, where the diary says so.

A week is what its sessions add up to. Where nothing is there to compare with, nothing is told.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date, timedelta

from seasonplan.body.little_time import is_off
from seasonplan.body.response import weekly_before
from seasonplan.checker.sheet import Sheet
from seasonplan.checker.verdict import broken
from seasonplan.days import Span
from seasonplan.plan import Block
from seasonplan.rules.findings import Finding
from seasonplan.rules.statements import Rule
from seasonplan.rules.tables import after_days_off, table
from seasonplan.vocabulary import Kind

LOOK_BACK_WEEKS = 12
MISSED_IN_MOST = 0.5
MISSED_WEEKS = 4  # after a missed week: how long loads are held against what was done
SLACK = 1.005
LEAST = float(table("response")["start"]["least_load"])  # of a week, whatever was done


def judge_load_step(sheet: Sheet, rule: Rule) -> Iterator[Finding]:
    """Whole weeks at home with much more load than the best month of the twelve weeks before.

    Not asked where one day of such a week alone would be too much: after a month of next to
    nothing no session is small enough, and nobody could train at all and meet it.
    """
    for week, load, before in _whole_weeks(sheet):
        best = _best_month(before)
        most = SLACK * rule.number * best
        if best and load > most and _asked(sheet, week, most=most):
            yield broken(rule, week, *_blocks(sheet, week), found=load / best, limit=rule.number)


def judge_missed_weeks(sheet: Sheet, rule: Rule) -> Iterator[Finding]:
    """Whole weeks at home, soon after missed ones, with more load than what was done allows."""
    shares = _shares_back(sheet)
    for week, load, before in _whole_weeks(sheet):
        since = [(week.first - day).days for day in sheet.done]
        soon = any(0 < days <= 7 * MISSED_WEEKS for days in since)
        share = shares.get(week.first, 1.0) if not _on_rock(sheet, week) else 1.0
        most = share * max(before, default=0.0)
        bound = SLACK * rule.number * most
        if soon and most and load > bound and _asked(sheet, week, most=bound):
            yield broken(rule, week, *_blocks(sheet, week), found=load / most, limit=rule.number)


def _shares_back(sheet: Sheet) -> dict[date, float]:
    """The share of what was borne before that weeks may hold after weeks missed in most.

    Such weeks in a row count as days off, each for as much of its days as was missed in it.
    """
    found: dict[date, float] = {}
    off = 0.0
    for week in sheet.almanac.weeks():
        share = sheet.done.get(week.first, 1.0)
        if share < MISSED_IN_MOST:
            off += (1 - share) * 7
            continue
        row = after_days_off(int(off))
        off = 0.0
        for n, part in enumerate(row.shares if row is not None else ()):
            found.setdefault(week.first + timedelta(days=7 * n), part)
    return found


def _on_rock(sheet: Sheet, week: Span) -> bool:
    return any(w.rock_days for b in _blocks(sheet, week) for w in b.weeks if w.span.meet(week))


def _whole_weeks(sheet: Sheet) -> Iterator[tuple[Span, float, Sequence[float]]]:
    """Whole weeks with their load, and the loads of the twelve before, as they were done; weeks
    off, or missed in most, are none of them."""
    loads = list(weekly_before(sheet.year))
    for week in sheet.almanac.weeks():
        if week.length == 7:
            done = sheet.done.get(week.first, 1.0)
            load = sheet.load(week) * done
            yield week, load, loads[-LOOK_BACK_WEEKS:]
            if done >= MISSED_IN_MOST and not is_off(sheet.almanac, week):
                loads.append(load)


def _blocks(sheet: Sheet, week: Span) -> list[Block]:
    return [block for block in sheet.blocks if block.span.meet(week)]


def _asked(sheet: Sheet, week: Span, *, most: float) -> bool:
    """Whether it is a week at home, no day of which alone would hold more than it may."""
    blocks = _blocks(sheet, week)
    days = sum(w.training_days for b in blocks for w in b.weeks if w.span.meet(week))
    trip = any(block.kind is Kind.TRIP for block in blocks)
    return sheet.load(week) <= days * most and sheet.is_home(week) and not trip


def _best_month(loads: Sequence[float]) -> float:
    """The best four weeks running, counted as a little at least; 0 with fewer."""
    fours = [sum(loads[n : n + 4]) / 4 for n in range(len(loads) - 3)]
    return max(LEAST, *fours) if fours else 0.0
