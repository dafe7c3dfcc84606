"""Builds the view of a year from the year, its blocks and its plan."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from seasonplan.body.almanac import Almanac, Opportunity, almanac_of
from seasonplan.days import Span
from seasonplan.explain.notes import occasion_text
from seasonplan.explain.wall import fullest_week, week_load
from seasonplan.explain.words import block_name
from seasonplan.plan import Block, Occasion, Revision, Week
from seasonplan.views.year import (
    AwayView,
    BlockView,
    GoalDays,
    GoalView,
    RockView,
    TestDay,
    WeekPart,
    WeekView,
    YearView,
)
from seasonplan.vocabulary import Kind, RockRole
from seasonplan.year import Absence, Goal, Trip, Year

if TYPE_CHECKING:
    from seasonplan.testing.study import Study

HEALTH = (Kind.INJURED, Kind.RETURN)


def year_view(
    year: Year, plan: Revision | None, *, blocks: Sequence[Block] | None = None,
    study: Study | None = None, stale: bool = False, health: bool = False,
) -> YearView:  # fmt: skip
    """The year with a plan; `blocks` where others stand in it than the plan's.

    `study` of the climber's tests tells when to test again. What tells of injuries is left out
    unless `health` is asked for.
    """
    almanac = almanac_of(year)
    given = tuple(blocks if blocks is not None else plan.blocks if plan else ())
    return YearView(
        first=year.span.first, last=year.span.last, climber=year.climber.name,
        week_begins=year.climber.week_begins,
        plan_number=plan.number if plan else None, planned=_local_day(plan, year) if plan else None,
        stale=stale,
        rock=tuple(_rock(almanac)), away=tuple(_away(year, given)),
        blocks=tuple(_block(one, year) for one in given if health or one.kind not in HEALTH),
        weeks=tuple(_weeks(almanac, given, health=health)),
        goals=tuple(_goal(goal, almanac, plan) for goal in year.goals),
        tests=tuple(_tests(study, year.span)),
    )  # fmt: skip


def _local_day(plan: Revision, year: Year) -> date:
    """The day on which a plan was made, where the climber lives."""
    return plan.stamp.astimezone(ZoneInfo(year.climber.time_zone)).date()


def _rock(almanac: Almanac) -> Iterator[RockView]:
    for spell in almanac.spells:
        entry = spell.entry
        yield RockView(
            entry=entry.id, name=entry.name, place=entry.place, discipline=entry.discipline,
            is_trip=spell.is_trip, first=spell.span.first, last=spell.span.last,
            chances=tuple(map(spell.chance, spell.span.days())),
        )  # fmt: skip


def _away(year: Year, blocks: Sequence[Block]) -> Iterator[AwayView]:
    given = {block.entry for block in blocks if not block.kind.chosen}
    every: tuple[Trip | Absence, ...] = (*year.trips, *year.absences)
    for entry in every:
        trip = isinstance(entry, Trip)
        yield AwayView(
            entry=entry.id, name=entry.name, kind=Kind.TRIP if trip else Kind.ABSENCE,
            climbing=isinstance(entry, Trip) and entry.climbing,
            left=0.0 if isinstance(entry, Trip) else entry.left,
            first=entry.span.first, last=entry.span.last, as_block=entry.id in given,
        )  # fmt: skip


def _block(block: Block, year: Year) -> BlockView:
    entry = year.entry(block.entry) if block.entry and not block.kind.chosen else None
    return BlockView(
        id=block.id, kind=block.kind, emphasis=block.emphasis, entry=block.entry,
        name=entry.name if entry else block_name(block, year),
        pinned=block.pinned, first=block.span.first, last=block.span.last,
    )  # fmt: skip


def _weeks(almanac: Almanac, blocks: Sequence[Block], *, health: bool) -> Iterator[WeekView]:
    full = fullest_week(almanac.year, blocks)
    pieces = [piece for block in blocks for piece in block.weeks]
    for week in almanac.weeks():
        mine = [piece for piece in pieces if piece.span.meet(week)]
        load = week_load(week, blocks)
        yield WeekView(
            first=week.first, last=week.last, load=load, share=load / full,
            parts=tuple(_parts(week, blocks, health=health)),
            light=any(piece.deload for piece in mine),
            lead_in=any(piece.lead_in for piece in mine),
            trained=tuple(day for day in week.days() if _trained(mine, day)),
        )  # fmt: skip


def _parts(week: Span, blocks: Sequence[Block], *, health: bool) -> Iterator[WeekPart]:
    """The blocks of a week by what they give to it; a piece gives each of its days as much."""
    for block in blocks:
        pieces = [(one, meet) for one in block.weeks if (meet := one.span.meet(week))]
        if pieces:
            shares = [(one, meet.length / one.span.length) for one, meet in pieces]
            yield WeekPart(
                kind=block.kind if health or block.kind not in HEALTH else None,
                load=sum(share * one.load for one, share in shares),
                asked=sum(share * one.aim for one, share in shares),
            )


def _trained(pieces: Sequence[Week], day: date) -> bool:
    return any(day in piece.span and piece.load > 0 for piece in pieces)


def _goal(goal: Goal, almanac: Almanac, plan: Revision | None) -> GoalView:
    mine = (one for one in almanac.opportunities if one.goal.id == goal.id)
    return GoalView(
        id=goal.id, name=goal.name, place=goal.place, discipline=goal.discipline,
        grade=str(goal.grade), priority=goal.priority,
        stretches=tuple(_goal_days(one, almanac.year, plan) for one in mine),
    )  # fmt: skip


def _goal_days(chance: Opportunity, year: Year, plan: Revision | None) -> GoalDays:
    entry, days = chance.spell.entry, chance.chances
    sessions = plan.sessions if plan else ()
    there = [one for one in sessions if one.rock == entry.id and one.day in days]
    planned = tuple(sorted({one.day for one in there}))
    tried = {one.day for one in there if one.role is RockRole.PROJECT}
    found = _occasion(chance, plan)
    return GoalDays(
        entry=entry.id, at=entry.name, first=min(days), last=max(days), possible=len(days),
        planned=planned, good_days=sum(days[day] for day in planned),
        good_tries=sum(days[day] for day in planned if day in tried),
        sentence=occasion_text(found, year, sessions) if found else "",
    )  # fmt: skip


def _occasion(chance: Opportunity, plan: Revision | None) -> Occasion | None:
    wanted = (chance.goal.id, chance.spell.entry.id, min(chance.chances))
    every = plan.score.occasions if plan else ()
    return next((o for o in every if (o.goal, o.entry, o.span.first) == wanted), None)


def _tests(study: Study | None, span: Span) -> Iterator[TestDay]:
    for one in study.judged if study else ():
        if one.next_day is not None and one.next_day in span:
            yield TestDay(day=one.next_day, name=one.series.name)
