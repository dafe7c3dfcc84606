"""Makes plans by hand: blocks by day number from Monday 4 January 2027, with sound weeks inside.

Written apart from planner and checker, so that neither vouches for itself.
"""

from __future__ import annotations

from datetime import date, timedelta
from itertools import cycle, pairwise
from typing import Any

from seasonplan.days import Span
from seasonplan.plan import Block, Loads, Week
from seasonplan.vocabulary import Kind, Phase
from seasonplan.year import Absence, Goal, Injury, Pin, Season, Trip, Year

FIRST = date(2027, 1, 4)
MINUTES = {"tuesday": 90, "wednesday": 60, "thursday": 90, "saturday": 180, "sunday": 150}
BY_WEEKDAY = (0, 90, 60, 90, 0, 180, 150)
FULL_WEEK = sum(BY_WEEKDAY)
SHARES = {
    Kind.BASE: (0.88, 0.95, 1.0, 0.6),
    Kind.STRENGTH: (0.8, 0.85, 0.9, 0.54),
    Kind.PERFORMANCE: (0.85,),
    Kind.REST: (0.25,),
    Kind.TRIP: (1.0,),
    Kind.ABSENCE: (0.0,),
    Kind.INJURED: (0.4,),
    Kind.RETURN: (0.5,),
}
LIGHT_SHARE = 0.63  # a week of base or strength that holds no more is marked as a light one
RPE = {Kind.BASE: 5.5, Kind.STRENGTH: 7.0, Kind.PERFORMANCE: 7.5, Kind.REST: 3.0}


def day(n: int) -> date:
    return FIRST + timedelta(days=n)


def span(first: int, days: int) -> Span:
    return Span(day(first), day(first + days))


def a_year(weeks: int = 12, **fields: Any) -> Year:
    """A year of whole weeks; `climber` adds to the climber, other fields are those of Year."""
    climber = {"time_zone": "Europe/Vienna", "minutes": MINUTES} | fields.pop("climber", {})
    return Year(horizon={"first": FIRST, "weeks": weeks}, climber=climber, **fields)


def season(first: int, days: int, **fields: Any) -> Season:
    values = {"name": "Season", "place": "Karst", "discipline": "sport", "chance": 0.5} | fields
    return Season(first=day(first), last=day(first + days - 1), **values)


def goal(**fields: Any) -> Goal:
    values = {"name": "Line", "place": "Karst", "discipline": "sport", "grade": "7b"}
    return Goal(**(values | fields))


def trip(first: int, days: int, **fields: Any) -> Trip:
    values = {"name": "Trip", "place": "Isle", "discipline": "sport"} | fields
    return Trip(first=day(first), last=day(first + days - 1), **values)


def absence(first: int, days: int, **fields: Any) -> Absence:
    values = {"name": "Away"} | fields
    return Absence(first=day(first), last=day(first + days - 1), **values)


def pin(kind: Kind, first: int, days: int) -> Pin:
    return Pin(name="Pin", kind=kind, first=day(first), last=day(first + days - 1))


def injury(happened: int, *, easy: int, building: int, full: int) -> Injury:
    return Injury(
        name="Finger", part="finger", happened=day(happened), easy_from=day(easy),
        building_from=day(building), full_from=day(full),
    )  # fmt: skip


def block(
    kind: Kind, first: int, days: int, *, shares: tuple[float, ...] = (), **fields: Any
) -> Block:
    """A block of calendar weeks that hold `shares` of the full minutes in turn.

    `week` changes every week; other fields are those of Block.
    """
    of_weeks = fields.pop("week", {})
    turns = zip(_mondays(first, days), cycle(shares or SHARES[kind]), strict=False)
    weeks = tuple(_week(kind, begins, length, share, of_weeks) for (begins, length), share in turns)
    values = {"id": f"{kind}-{first}"} | fields
    return Block(kind=kind, span=span(first, days), weeks=weeks, **values)


def given(kind: Kind, first: int, days: int, *, entry: str, phase: Phase | None = None) -> Block:
    return block(kind, first, days, entry=entry, phase=phase)


def exchanged(old: Block, **changes: Any) -> Block:
    """`old` with some fields changed."""
    return Block(**{**dict(old), **changes})


def sound_year() -> tuple[Year, list[Block]]:
    """A dear season and a plan for it that breaks no hard rule."""
    year = a_year(12, seasons=[season(56, 21)], goals=[goal(priority=1)])
    return year, [
        block(Kind.BASE, 0, 28),
        block(Kind.STRENGTH, 28, 28),
        block(Kind.PERFORMANCE, 56, 21),
        block(Kind.REST, 77, 7),
    ]


def away_year() -> tuple[Year, list[Block]]:
    """A year with every given thing, and a plan that keeps them."""
    year = a_year(
        12,
        trips=[trip(21, 7)],
        absences=[absence(42, 7)],
        injuries=[injury(63, easy=70, building=77, full=84)],
    )
    return year, [
        block(Kind.BASE, 0, 21),
        given(Kind.TRIP, 21, 7, entry="trip"),
        block(Kind.BASE, 28, 14),
        given(Kind.ABSENCE, 42, 7, entry="away"),
        block(Kind.BASE, 49, 14),
        given(Kind.INJURED, 63, 7, entry="finger", phase=Phase.OFF),
        given(Kind.RETURN, 70, 7, entry="finger", phase=Phase.EASY),
        given(Kind.RETURN, 77, 7, entry="finger", phase=Phase.BUILDING),
    ]


def _mondays(first: int, days: int) -> list[tuple[int, int]]:
    cuts = [first, *(n for n in range(first + 1, first + days) if n % 7 == 0), first + days]
    return [(a, b - a) for a, b in pairwise(cuts)]


def _week(kind: Kind, first: int, days: int, share: float, changes: dict[str, Any]) -> Week:
    open_days = [n for n in range(first, first + days) if BY_WEEKDAY[n % 7]]
    full = float(sum(BY_WEEKDAY[n % 7] for n in open_days))
    rpe = RPE.get(kind, 4.0)
    values: dict[str, Any] = {
        "span": span(first, days),
        "minutes": full * share,
        "free_minutes": full,
        "training_days": len(open_days),
        "rpe": rpe,
        "loads": _loads(kind, full * share * rpe),
        "deload": kind in (Kind.BASE, Kind.STRENGTH) and share <= LIGHT_SHARE,
    }
    return Week(**(values | changes))


def _loads(kind: Kind, load: float) -> Loads:
    """All of it in one quality: fitness where an injury leaves nothing else."""
    return Loads(fitness=load) if kind is Kind.INJURED else Loads(endurance=load)
