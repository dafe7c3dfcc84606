"""Judges what stands before and after a block, given things between included.

Judges `order`, `strength-before-trip`, `rest-before-strength`, `rest-after-performance`,
`rest-every`.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta
from itertools import pairwise

from seasonplan.body.little_time import as_good_as_rest
from seasonplan.checker.sheet import DAYS_OFF, Sheet, runs
from seasonplan.checker.verdict import broken
from seasonplan.days import Span
from seasonplan.rules.findings import Finding
from seasonplan.rules.statements import Rule
from seasonplan.vocabulary import Kind

RESTING = (Kind.REST, *DAYS_OFF, Kind.RETURN)  # what ends a stretch that `rest-every` counts


def judge_order(sheet: Sheet, rule: Rule) -> Iterator[Finding]:
    """Two chosen blocks of one kind, nothing between."""
    for first, second in pairwise(sheet.blocks):
        if first.kind.chosen and first.kind is second.kind:
            span = Span(first.span.first, max(first.span.after, second.span.after))
            yield broken(rule, span, first, second)


def judge_strength_before_trip(sheet: Sheet, rule: Rule) -> Iterator[Finding]:
    """A strength day among the last days before a trip block begins."""
    for trip in (given for given in sheet.almanac.givens if given.kind is Kind.TRIP):
        kept_free = Span(trip.span.first - timedelta(days=rule.number), trip.span.first)
        for block in sheet.of(Kind.STRENGTH):
            shared = block.span.meet(kept_free)
            if shared:
                apart = max(0, (trip.span.first - block.span.after).days)
                yield broken(rule, shared, block, found=apart, limit=rule.number, about=trip.entry)


def judge_rest_before_strength(sheet: Sheet, rule: Rule) -> Iterator[Finding]:
    """Going back from a strength block: performing met before any rest or days off."""
    for index, block in enumerate(sheet.blocks):
        if block.kind is Kind.STRENGTH:
            given, chosen = sheet.looking_back(index)
            nearest = next((b for b in given if b.kind is not Kind.RETURN), chosen)
            kind = nearest.kind if nearest else sheet.year.before.last_kind
            if kind in (Kind.TRIP, Kind.PERFORMANCE):
                yield broken(rule, block.span, *([nearest] if nearest else []), block)


def judge_rest_after_performance(sheet: Sheet, rule: Rule) -> Iterator[Finding]:
    """A long performance block whose next chosen block is no rest, without days off between."""
    for index, block in enumerate(sheet.blocks):
        weeks = block.span.length / 7
        if block.kind is not Kind.PERFORMANCE or weeks < rule.number:
            continue
        given, following = sheet.looking_ahead(index)
        had_days_off = any(other.kind in DAYS_OFF for other in given)
        if following and following.kind is not Kind.REST and not had_days_off:
            yield broken(rule, following.span, block, following, found=weeks, limit=rule.number)


def judge_rest_every(sheet: Sheet, rule: Rule) -> Iterator[Finding]:
    """A stretch of days without rest or days off that is too long.

    A trip at its end is not counted: nobody rests in the middle of a trip.
    """
    resting = [block.span for block in sheet.of(*RESTING)]
    easy = {day for span in (*resting, *as_good_as_rest(sheet.almanac)) for day in span.days()}
    away = {day for block in sheet.of(Kind.TRIP) for day in block.span.days()}
    for stretch in runs(day for day in sheet.year.span.days() if day not in easy):
        home = [day for day in stretch.days() if day not in away]
        if not home:
            continue
        counted = Span.through(stretch.first, home[-1])
        opens = stretch.first == sheet.year.span.first
        carried = sheet.year.before.days_since_rest if opens else 0
        weeks = (counted.length + carried) / 7
        if weeks > rule.number:
            touched = [block for block in sheet.blocks if block.span.meet(counted)]
            yield broken(rule, counted, *touched, found=weeks, limit=rule.number)
