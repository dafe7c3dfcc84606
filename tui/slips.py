"""Finds the words for a mark: asks `explain` for its slip, and picks the findings about it."""

from __future__ import annotations

from collections.abc import Iterator

from seasonplan.explain import slip
from seasonplan.explain.breaks import sentence
from seasonplan.explain.slip import Slip
from seasonplan.findings import Finding
from seasonplan.year import Absence, Injury, Trip
from tui.bench import Bench
from tui.lanes import Lane, Mark
from tui.spoken import spoken


def slip_of(mark: Mark, bench: Bench) -> Slip:
    """What is told at once of a mark."""
    year, sheet = bench.desk.year, bench.sheet
    if mark.lane is Lane.PLAN and (block := sheet.block(mark.key)) is not None:
        return slip.block_slip(
            block, year, blocks=bench.blocks, book=bench.desk.book, number=block.id
        )
    if mark.lane is Lane.ROCK:
        spell = next(
            s for s in sheet.almanac.spells if s.entry.id == mark.key and s.span == mark.span
        )
        return slip.rock_slip(spell, year)
    if mark.lane is Lane.HOURS:
        week = next(week for week in sheet.times if week.span == mark.span)
        return slip.week_slip(
            week.span, year, blocks=bench.blocks, asked=week.asked, free=week.free, load=week.load
        )
    entry = year.entry(mark.key)
    if isinstance(entry, (Trip, Absence, Injury)):
        return slip.away_slip(entry, year)
    return _goal_slip(mark, bench)


def _goal_slip(mark: Mark, bench: Bench) -> Slip:
    row = next(row for row in bench.sheet.rows if mark in row.marks)
    assert row.goal is not None
    plan = bench.desk.plan
    found = None
    if plan is not None and not bench.desk.stale:
        found = next(
            (
                one
                for one in plan.current.score.occasions
                if one.goal == row.goal.id and one.span == mark.span
            ),
            None,
        )
    state = bench.sheet.states(row.goal).get(mark.span.first)
    return slip.goal_slip(row.goal, bench.desk.year, found=found, at=mark.span, state=state)


def findings_at(mark: Mark, bench: Bench) -> list[Finding]:
    """Findings about these days or this block, hard ones first."""
    mine = [
        found
        for found in bench.findings
        if (mark.key in found.blocks if found.blocks and mark.lane is Lane.PLAN
            else found.span.meet(mark.span))
    ]  # fmt: skip
    return sorted(mine, key=lambda found: found.strength != "hard")


def told(findings: list[Finding], bench: Bench) -> Iterator[str]:
    """Each finding as a sentence."""
    for found in findings:
        yield spoken(sentence(found, bench.desk.year, book=bench.desk.book))
