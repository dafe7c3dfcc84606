"""Why free time stays free: what is trained of it, and what holds the rest back, in words.

Judges by the calendar alone, as the planner does: how high the load of a week may be.
"""

from __future__ import annotations

from contextlib import suppress
from datetime import date, timedelta

from seasonplan.body.almanac import Almanac
from seasonplan.body.response import Body, from_50, told_load, under_18
from seasonplan.days import Span, count_text
from seasonplan.explain.week import builds_between
from seasonplan.explain.words import UNTIL_BETTER, day_text, is_illness, join, time_text
from seasonplan.plan import Block, Revision, Session, Week
from seasonplan.planner.levels import Levels
from seasonplan.recipes import Need, recipes
from seasonplan.rules.tables import response_table
from seasonplan.vocabulary import Kind
from seasonplan.year import FixedSession, Year, wall_way

WORTH_TELLING_MINUTES, WORTH_TELLING_SHARE = 60, 0.15
HALF, MIDDLING = 0.5, 5  # of the free time; of effort, to tell a load in hours
NOT_SAID = (
    " You did not say what you did before (`weekly_load` under `before`), "
    "so little is taken for it."
)
SLOWLY = "your load rises by less than a tenth a week from what you did before"
FROM_LEAST = (
    "your load rises by less than a tenth a week from the {least:.0f} that the plan counts at least"
)
REASONS = {
    Kind.REST: "a rest block is little and easy",
    Kind.PERFORMANCE: "in a season you come fresh to the rock",
    Kind.INJURED: "only what spares the hurt part is trained",
    Kind.RETURN: "load builds back step by step",
}


def week_text(span: Span, revision: Revision, year: Year) -> str:
    """Such as "Of 12 h 15 min free you train 6 h: ..."; empty where little stays free."""
    found = [
        (block, week) for block in revision.blocks for week in block.weeks if week.span.meet(span)
    ]
    free = sum(week.free_minutes for _, week in found)
    used, way = _at_home(span, revision, year), _on_the_way(span, revision, year)
    if not _much(free, used + way) or any(s.span.meet(span) for s in revision.shortfalls):
        return ""
    block, week = max(found, key=lambda pair: pair[1].free_minutes)
    why = _reason(block, week, year, revision)
    if not why:
        return ""
    if block.kind is Kind.INJURED and (used < 1 or is_illness(block, year)):
        why = UNTIL_BETTER
    if used < 1:
        return f"All {time_text(free)} of free time stay free: {why}."
    beside = " beside the days on rock" if _own_rock(span, revision, year) else ""
    there = f", {time_text(way)} on the way to the wall" if way else ""
    return f"Of {time_text(free)} free you train {time_text(used)}{beside}{there}: {why}."


def year_text(revision: Revision, year: Year) -> str:
    """The same for the whole year: its first weeks, its fullest, and why no more."""
    full = [
        (week, _at_home(week.span, revision, year))
        for block in revision.blocks
        if block.kind in (Kind.BASE, Kind.STRENGTH)
        for week in block.weeks
        if week.span.length == 7 and week.free_minutes and not week.deload
    ]
    if not full:
        return ""
    most, used = max(full, key=lambda pair: pair[1])
    first, begun = full[0]
    taken = [
        (week.free_minutes, minutes + _on_the_way(week.span, revision, year))
        for week, minutes in ((most, used), (first, begun))
    ]
    if not any(_much(free, minutes) for free, minutes in taken):
        return ""
    told = f"Of {time_text(first.free_minutes)} free in the week from "
    told += f"{day_text(first.span.first)} you train {time_text(begun)}"
    if used > begun:
        told += f", in the fullest week {time_text(used)} of {time_text(most.free_minutes)}"
    if any(one.span.meet(most.span) for one in revision.shortfalls):
        return f"{told}: more does not fit, as said above."
    return f"{told}: {join(_of_the_year(year))}." + _entered_low(year, most, used)


def _entered_low(year: Year, week: Week, used: float) -> str:
    """That all rests on the load before, where none was entered, or where the fullest week uses
    less than half its time."""
    if not year.before.weekly_load:
        return NOT_SAID
    if used >= HALF * week.free_minutes:
        return ""
    usual, least = told_load(year), response_table().least_load
    counted = f" The plan counts {least:.0f}." if usual < least else ""
    return (
        f" All of it rests on the {usual:.0f} a week entered as `weekly_load` under `before`: "
        f"{time_text(usual / MIDDLING)} a week at an effort of {MIDDLING} of 10, climbing and days "
        f"on rock with it.{counted} If you did more, say so there."
    )


def _of_the_year(year: Year) -> list[str]:
    """What holds the load of the year back."""
    told = [_slowly(year)]
    body = Levels(Almanac(year)).body
    ceiling = _ceiling(year, body)
    if body.top >= 0.99 * ceiling * body.usual:
        told.append(f"in a year to at most {ceiling:g} times that")
    return told


def _slowly(year: Year) -> str:
    """That load rises by little, and from where."""
    least = response_table().least_load
    return SLOWLY if told_load(year) >= least else FROM_LEAST.format(least=least)


def _ceiling(year: Year, body: Body) -> float:
    """How many times the load before it the load of a year may be."""
    table = response_table()
    careful = from_50(year, year.span.first) or under_18(year, year.span.first)
    rise: float = table.year_careful if careful else table.year_rise
    return max(rise, round(table.year_least / body.usual, 1))


def _reason(block: Block, week: Week, year: Year, revision: Revision) -> str:
    """What holds the load of a week back; empty where it is nothing told here."""
    skipped = sum(wish.skip and _of_week(wish, week.span) for wish in year.fixed_sessions)
    if skipped:
        return f"you left out {count_text(skipped, 'session')}"
    if week.lead_in:
        return "a lead-in is less but as hard"
    if week.deload:
        return "it is a light week"
    if block.kind in REASONS and not builds_between(week, revision):
        return REASONS[block.kind]
    if not block.kind.chosen:
        return ""
    levels = Levels(Almanac(year), done=revision.done)
    level = levels.of(week.span.first)
    if level.share < 1:
        return "after days off, weeks of little time or a long trip load comes back by steps"
    if level.load < 0.99 * levels.body.top:
        return _slowly(year)
    ceiling = _ceiling(year, levels.body)
    if levels.body.top >= 0.99 * ceiling * levels.body.usual:
        return f"in a year your load rises to at most {ceiling:g} times what you did before"
    return "what is planned is hard enough to fill the week in less time"


def _of_week(wish: FixedSession, span: Span) -> bool:
    """Whether a wish is of a session planned for that week, the first day of which its id names."""
    with suppress(IndexError, ValueError):  # whatever the climber may have written
        first = date.fromisoformat(wish.session.split("/")[1])
        return span.meet(Span(first, first + timedelta(days=7))) is not None
    return False


def _at_home(span: Span, revision: Revision, year: Year) -> float:
    """Minutes of sessions in free time; days on rock have their own where that was said."""
    rock = _own_rock(span, revision, year)
    return float(
        sum(one.minutes for one in revision.sessions if one.day in span and one not in rock)
    )


def _own_rock(span: Span, revision: Revision, year: Year) -> list[Session]:
    """Days on rock that have a time of their own."""
    if year.climber.rock_minutes is None:
        return []
    return [one for one in revision.sessions if one.day in span and one.role is not None]


def _on_the_way(span: Span, revision: Revision, year: Year) -> float:
    """Minutes to the wall and back, once on each day there."""
    book = recipes(year.recipes)
    at_wall = (one for one in revision.sessions if one.day in span and one.recipe in book)
    days = {one.day for one in at_wall if Need.WALL in book[one.recipe].needs}
    return 2.0 * wall_way(year) * len(days)


def _much(free: float, used: float) -> bool:
    unused = free - used
    return unused >= max(WORTH_TELLING_MINUTES, WORTH_TELLING_SHARE * free)
