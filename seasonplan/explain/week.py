"""What is told of a calendar week: its dates, how much, what it is for, what does not fit.

Both the head of a week and the few letters that a narrow day has room for. Draws nothing.
"""

from __future__ import annotations

from collections.abc import Container, Sequence
from datetime import date, datetime, time, timedelta
from itertools import pairwise
from zoneinfo import ZoneInfo

from seasonplan.days import Span, count_text, day_month_text, weekday_text
from seasonplan.explain.agenda import Agenda, Day
from seasonplan.explain.sessions import EFFORTS, goals_by_block
from seasonplan.explain.words import counted_text, entry_name, is_illness, join, time_text
from seasonplan.plan import Block, Cause, Revision, Shortfall, Week
from seasonplan.planner.in_season import between
from seasonplan.planner.menus import making
from seasonplan.vocabulary import Kind, RockRole
from seasonplan.year import Year

AIMS = {  # as it is, and as it was planned
    Kind.BASE: ("builds endurance", "was to build endurance"),
    Kind.STRENGTH: ("builds finger strength and power", "was to build finger strength and power"),
    Kind.PERFORMANCE: (
        "is for climbing what you trained for", "was for climbing what you trained for"
    ),
    Kind.REST: ("is little and easy", "was to be little and easy"),
    Kind.TRIP: ("is for climbing away from home", "was for climbing away from home"),
    Kind.ABSENCE: ("has no training", "was to have no training"),
    Kind.INJURED: ("spares the hurt part", "spares the hurt part"),
    Kind.RETURN: ("builds load back step by step", "was to build load back step by step"),
}  # fmt: skip
SHORT_CAUSES = {
    Cause.HOURS: "the free hours are too few or too short",
    Cause.BUSY: "busy calendars or absences take the time",
    Cause.SPACING: "hard sessions need hours between them, and rest",
}
ILL = "is for getting well"
ASKED = "How hard was it?"
HOW_TO_ANSWER = "Press a digit: 1 to 9, or 0 for 10. Esc leaves it unmarked."
OVER = "This day is over: mark the session done (d) or missed (m)."
OUTSIDE = ("Outside your year", "Outside")


def amount_text(count: int, minutes: int) -> str:
    """Such as "10 sessions, 7 h 35 min"."""
    if not count:
        return "no sessions"
    return f"{count_text(count, 'session')}, {time_text(minutes)}"


def standing_text(agenda: Agenda, day: Day) -> str:
    """The block of a day and which of its weeks this is: "Base block, week 1 of 4."."""
    block = day.block
    if block is None:
        return ""
    counted = counted_text(block, day.day, year=agenda.year)
    return f"{agenda.name_of(block)}{counted}."


def aim_text(agenda: Agenda, day: Day, *, out: Container[str] = ()) -> str:
    """What the week of a day is for; empty where nothing is planned.

    `out` are the ids of sessions that do not count by now: then what it was for, and how many of
    its sessions are left.
    """
    block = day.block
    if block is None:
        return ""
    week = next((one for one in block.weeks if day.day in one.span), None)
    what = "This week"
    if week is not None and week.lead_in:
        what = "This lead-in, with less but as hard training,"
    elif week is not None and week.deload:
        what = "This light week"
    now, then = _aims(agenda, block, week)
    left = _left_text(agenda, week, out)
    return f"{what} {then}; {left}." if left else f"{what} {now}."


def _aims(agenda: Agenda, block: Block, week: Week | None) -> tuple[str, str]:
    """What a week of a block does, and what it was planned to do; one that holds nothing of what
    its block is named for, as after days off, leads up to it."""
    goals = goals_by_block(agenda.revision).get(block.id, ())
    if goals:
        named = join([entry_name(agenda.year, goal) for goal in goals])
        if week is not None and builds_between(week, agenda.revision):
            then = f"between days on rock for {named}"
            return f"builds {then}", f"was to build {then}"
        return f"is for {named}", f"was for {named}"
    if block.emphasis and block.kind is not Kind.PERFORMANCE:
        makes, days = making(block.kind, block.emphasis), week.span if week else ()
        some = {one.recipe for one in agenda.revision.sessions if one.day in days}
        if makes and some and makes.isdisjoint(some):
            to = f"training {block.emphasis}"
            return f"leads up to {to}", f"was to lead up to {to}"
        return f"trains {block.emphasis} most", f"was to train {block.emphasis} most"
    return (ILL, ILL) if is_illness(block, agenda.year) else AIMS[block.kind]


def builds_between(week: Week, revision: Revision) -> bool:
    """Whether a normal week of a season without rock lies between projects, not beside its easy
    opening alone."""
    rock = [one for one in revision.sessions if one.rock]
    free = not (week.lead_in or week.deload or any(one.day in week.span for one in rock))
    return free and between(week.span, [o.day for o in rock if o.role is RockRole.PROJECT])


def _left_text(agenda: Agenda, week: Week | None, out: Container[str]) -> str:
    """How many sessions of a week are left without some; empty where all are."""
    days = week.span if week else ()
    held = [one.id in out for one in agenda.revision.sessions if one.day in days and one.minutes]
    left = held.count(False)
    if left == len(held):
        return ""
    number = "none" if left == 0 else f"{left}"
    return f"{number} of its {count_text(len(held), 'session')} {'is' if left < 2 else 'are'} left"


def missing_text(shortfalls: Sequence[Shortfall]) -> str:
    """How much of a week does not fit and why, in one line; empty where all fits."""
    if not shortfalls:
        return ""
    missing = sum(one.missing_minutes for one in shortfalls)
    worst = max(shortfalls, key=lambda one: one.missing_minutes)
    return f"{time_text(missing)} do not fit: {SHORT_CAUSES[worst.cause]}."


def clocks_text(span: Span, year: Year) -> str:
    """On which day the clocks change where the climber is, and which way; else empty."""
    for day in span.days():
        zone = ZoneInfo(_zone_on(day, year))
        before, after = (
            datetime.combine(one, time(), tzinfo=zone).utcoffset() or timedelta(0)
            for one in (day, day + timedelta(days=1))
        )
        if before != after:
            way = "forward" if after > before else "back"
            return f"The clocks go {way} on {weekday_text(day)} {day_month_text(day)}."
    return ""


def _zone_on(day: date, year: Year) -> str:
    away = next((one.time_zone for one in year.trips if day in one.span and one.time_zone), None)
    return away or year.climber.time_zone


def rest_words(day: Day, year: Year) -> tuple[str, str]:
    """Why a day has no session: in some words, and in one; empty where it has."""
    if day.day not in year.span:
        return OUTSIDE
    if not day.rest:
        return "", ""
    short = "Rest day" if day.block is not None and day.block.load else "Nothing"
    if any(day.day in trip.span for trip in year.trips):
        short = "Trip"
    elif any(day.day in one.span and one.left == 0 for one in year.absences):
        short = "Away"
    return day.rest.rstrip("."), short


def effort_scale() -> tuple[str, ...]:
    """The digits with their words, a line for each step of effort."""
    lines = []
    for (least, word), (after, _) in pairwise([*EFFORTS, (11, "")]):
        digits = [str(digit % 10) for digit in range(max(least, 1), after)]
        lines += [f"{' '.join(digits)}  {word}"] if digits else []
    return tuple(lines)
