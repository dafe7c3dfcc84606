"""Judges when sessions are: `session-hours`, `session-order`, `session-rest-day`."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations, pairwise

from seasonplan.checker.sessions.timetable import Timetable, begins, ends, faulty, minute_of
from seasonplan.checker.verdict import broken
from seasonplan.findings import Finding
from seasonplan.plan import Session
from seasonplan.rules import Rule

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
    free = table.free(session.day)
    fits = any(begin <= start and end <= until for begin, until in free)
    return "" if fits else "no free time"


def _overlaps(table: Timetable, rule: Rule) -> Iterator[Finding]:
    for day in dict.fromkeys(session.day for session in table.sessions):
        for one, other in combinations([s for s in table.sessions if s.day == day], 2):
            if begins(other) < ends(one) and begins(one) < ends(other):
                yield faulty(rule, one, other, about="overlap")


def judge_order(table: Timetable, rule: Rule) -> Iterator[Finding]:
    """Sessions of one free time of which the later one wants a fresher climber."""
    for day, sessions in table.at_home.items():
        for begin, until in table.free(day):
            inside = [s for s in sessions if begin <= minute_of(s) < until]
            for one, other in pairwise(inside):
                first, second = table.recipe(one), table.recipe(other)
                if first is not None and second is not None and first.order > second.order:
                    yield faulty(
                        rule, one, other, about="order", found=first.order, limit=second.order
                    )


def judge_rest_day(table: Timetable, rule: Rule) -> Iterator[Finding]:
    """Calendar weeks with a session on too many days at home."""
    most = table.sheet.book.active("rest-day")
    if most is None:
        return
    for week in table.sheet.almanac.weeks():
        inside = [s for d, found in table.at_home.items() if d in week for s in found if s.minutes]
        days = len({session.day for session in inside})
        if days > most.number:
            known = [block for block in table.sheet.blocks if block.span.meet(week)]
            yield broken(
                rule, week, *known, found=days, limit=most.number, about="days", sessions=inside
            )
