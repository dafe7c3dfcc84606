"""Finds the words for a mark: asks `explain` for its slip, and picks the findings about it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date

from seasonplan.explain import slip
from seasonplan.explain.breaks import sentence
from seasonplan.explain.slip import Slip
from seasonplan.findings import Finding
from seasonplan.year import Absence, Injury, Trip
from tui.bench import Bench
from tui.spoken import spoken
from tui.year.chances import season_at, weather_at
from tui.year.lanes import Lane, Mark, Sheet

TAKE = "press c"


def slip_of(mark: Mark, bench: Bench, sheet: Sheet) -> Slip:
    """What is told at once of a mark of a sheet."""
    year = bench.desk.year
    if mark.lane is Lane.CHANCE:
        return _chance_slip(mark, sheet, bench.now)
    if mark.lane is Lane.PLAN and (block := sheet.block(mark.key)) is not None:
        return slip.block_slip(
            block, year, blocks=bench.blocks, book=bench.desk.book, number=block.id
        )
    if mark.lane is Lane.ROCK:
        spell = next(
            s for s in sheet.almanac.spells if s.entry.id == mark.key and s.span == mark.span
        )
        found = slip.rock_slip(spell, year)
        return replace(found, why=(*found.why, *_by_records(mark, sheet)))
    if mark.lane is Lane.HOURS:
        week = next(week for week in sheet.times if week.span == mark.span)
        return slip.week_slip(
            week.span, blocks=bench.blocks, asked=week.asked, free=week.free, load=week.load
        )
    entry = year.entry(mark.key)
    if isinstance(entry, (Trip, Absence, Injury)):
        return slip.away_slip(entry, year)
    return _goal_slip(mark, bench)


def _chance_slip(mark: Mark, sheet: Sheet, today: date | None) -> Slip:
    from seasonplan.explain import conditions as words  # slow: only where there are records

    weather, found = weather_at(mark, sheet), season_at(mark, sheet)
    assert weather is not None, "a mark on this lane is of some place"
    if weather.study is not None:
        return words.chance_slip(
            weather.study,
            mark.span,
            season=found[0] if found else None,
            year=sheet.year,
            today=today,
            take=TAKE,
        )
    if weather.faults:
        return words.faulty_slip(weather.name, mark.span, weather.faults)
    return words.reading_slip(weather.name, mark.span)


def _by_records(mark: Mark, sheet: Sheet) -> Iterator[str]:
    """What the weather records say of a season, in a line."""
    weather, found = weather_at(mark, sheet), season_at(mark, sheet)
    if weather is None or found is None:
        return
    from seasonplan.explain import conditions as words

    if weather.study is not None:
        yield words.record_line(weather.study, found[0], mark.span, year=sheet.year, take=TAKE)
    elif weather.faults:
        yield words.FAULTY


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
    made = slip.goal_slip(row.goal, bench.desk.year, found=found, at=mark.span, state=state)
    return replace(made, why=tuple(spoken(text) for text in made.why))


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
        yield spoken(sentence(found, book=bench.desk.book))
