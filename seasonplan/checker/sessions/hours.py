"""Judges when sessions are: `session-hours`, `session-order`, `session-rest-day`."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from itertools import combinations, groupby, pairwise

from seasonplan.checker.sessions.timetable import Timetable, begins, ends, faulty, minute_of
from seasonplan.checker.verdict import broken
from seasonplan.days import Span
from seasonplan.plan import Session
from seasonplan.recipes import Need
from seasonplan.rules.findings import Finding
from seasonplan.rules.statements import Rule
from seasonplan.year import Season, Window, rock_way, wall_way

DAY_MINUTES = 24 * 60


def judge_hours(table: Timetable, rule: Rule) -> Iterator[Finding]:
    """Sessions at hours that are not free, on days of another block, or overlapping."""
    for session in table.sessions:
        block = table.block(session)
        if block is None or session.day not in block.span:
            yield faulty(rule, session, about="no such block on that day")
        about = _misplaced(table, session)
        if about:
            yield faulty(rule, session, about=about)
    yield from _overlaps(table, rule)


def _misplaced(table: Timetable, session: Session) -> str:
    """What is wrong with the hours of a session, "" if nothing is."""
    start = minute_of(session)
    end = start + session.minutes
    trips = table.trips(session.day)
    if trips:
        zones = {trip.time_zone for trip in trips}
        if session.zone not in zones:
            return "not by the clock of the trip"
        return "" if end <= DAY_MINUTES else "past midnight"
    if session.zone is not None:
        return "on no trip"
    before, after = _travel(table, session)
    on_rock = session.role is not None
    free = table.rock_free(session.day, table.rock(session)) if on_rock else table.free(session.day)
    fits = any(begin <= start - before and end + after <= until for begin, until in free)
    return "" if fits else "no free time"


def _travel(table: Timetable, session: Session) -> tuple[int, int]:
    """Minutes of travel before and after a session."""
    year, recipe = table.sheet.year, table.recipe(session)
    if session.role is not None:
        rock = year.entry(session.rock) if session.rock else None
        to = rock_way(year, rock.place) if isinstance(rock, (Season, Window)) else None
        minutes = year.climber.rock_travel_minutes if to is None else to
        return minutes, minutes
    wall = recipe is not None and Need.WALL in recipe.needs
    home = Need.HOME_WALL in year.sessions.has
    minutes = wall_way(year) if wall and not home else 0
    return minutes, minutes


def _overlaps(table: Timetable, rule: Rule) -> Iterator[Finding]:
    for _, some in groupby(table.sessions, key=lambda session: session.day):
        for one, other in combinations(some, 2):
            if begins(other) < ends(one) and begins(one) < ends(other):
                yield faulty(rule, one, other, about="overlap")


def judge_order(table: Timetable, rule: Rule) -> Iterator[Finding]:
    """Sessions of one free time of which the later one wants a fresher climber."""
    for day, sessions in table.at_home.items():
        for begin, until in table.free(day):
            inside = [s for s in sessions if begin <= minute_of(s) < until and s.role is None]
            for one, other in pairwise(inside):
                first, second = table.recipe(one), table.recipe(other)
                if first is not None and second is not None and first.order > second.order:
                    yield faulty(
                        rule, one, other, about="order", found=first.order, limit=second.order
                    )


def judge_rest_day(table: Timetable, rule: Rule) -> Iterator[Finding]:
    """Seven days running at home with sessions on too many of them."""
    most = table.sheet.book.active("rest-day")
    if most is None:
        return
    trained = {day for day, found in table.at_home.items() if any(s.minutes for s in found)}
    told: date | None = None
    for day in table.sheet.year.span.days():
        week = Span(day, day + timedelta(days=7))
        if any(table.trips(each) for each in week.days()) or (told and day < told):
            continue
        days = [each for each in week.days() if each in trained]
        if len(days) > most.number:
            inside = [s for each in days for s in table.at_home[each]]
            known = [block for block in table.sheet.blocks if block.span.meet(week)]
            told = week.after
            yield broken(
                rule, week, *known, found=len(days), limit=most.number, about="days",
                sessions=inside,
            )  # fmt: skip
