"""Years drawn by number, as wild as people's: the same number makes the same year everywhere.

Seasons, trips, windows, absences, injuries of every part, histories from 200 to 2,700 a week, half
an hour a day or weekends only, 14- and 60-year-olds, busy hours, few things to train on. Knows
nothing of plans.
"""

from __future__ import annotations

import random
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, timedelta

from seasonplan.days import WEEKDAYS, Span
from seasonplan.vocabulary import CHOSEN, BodyPart, Discipline, Quality, Spread
from seasonplan.year import (
    Absence,
    Before,
    Climber,
    Goal,
    Horizon,
    Injury,
    Need,
    Outing,
    Routine,
    Season,
    SessionWishes,
    Trip,
    Window,
    Year,
)

PLACES = ("Larchfold", "Saltmere", "Cinderbrook")
GRADES = {
    "sport": "7b+", "trad": "6c", "boulder": "7A", "multipitch": "7a", "mountain": "6a",
    "ice": "6a",
}  # fmt: skip
ROPED = (Discipline.SPORT, Discipline.TRAD, Discipline.MULTIPITCH)
DISCIPLINES = (*ROPED, Discipline.SPORT, Discipline.BOULDER, Discipline.BOULDER,
               Discipline.MOUNTAIN, Discipline.ICE)  # fmt: skip
THINGS = (
    (Need.HANGBOARD, Need.WALL, Need.WEIGHTS, Need.PARTNER),
    (Need.HANGBOARD, Need.HOME_WALL, Need.WEIGHTS, Need.PARTNER, Need.BOARD),
    (Need.HANGBOARD,),
    (Need.WALL, Need.PARTNER),
    (),
)
Taken = Mapping[date, tuple[tuple[int, int], ...]]


@dataclass(frozen=True)
class Drawn:
    """A year, and when busy calendars take the climber: (from, to) in minutes after midnight."""

    number: int
    year: Year
    taken: Taken = field(default_factory=dict)


def random_year(number: int) -> Drawn:
    """The year of that number."""
    rng = random.Random(f"wild {number}")
    weeks = rng.choice((26, 30, 39, 45, 52, 52, 52, 60, 78))
    first = date(2027, 1, 1) + timedelta(days=rng.randint(0, 364))
    span = Span(first, first + timedelta(days=7 * weeks))
    disciplines = [rng.choice(DISCIPLINES) for _ in PLACES]
    seasons = [_season(rng, span, n, disciplines) for n in range(rng.choice((0, 1, 1, 1, 2, 2, 3)))]
    trips = [_trip(rng, span, n, disciplines) for n in range(rng.choice((0, 0, 1, 1, 2, 3)))]
    windows = [_window(rng, span, n, disciplines) for n in range(rng.choice((0, 0, 0, 1, 2, 4)))]
    climber = _climber(rng)
    year = Year(
        horizon=Horizon(first=first, weeks=weeks),
        climber=climber,
        before=_before(rng, climber),
        goals=tuple(_goals(rng, [*seasons, *(t for t in trips if t.climbing), *windows])),
        seasons=tuple(seasons),
        windows=tuple(windows),
        trips=tuple(trips),
        absences=tuple(_absence(rng, span, n) for n in range(rng.choice((0, 0, 1, 2, 3, 6)))),
        injuries=(_injury(rng, span),) if rng.random() < 0.25 else (),
        outings=(_outing(rng, span),) if rng.random() < 0.1 else (),
        sessions=SessionWishes(
            spread=rng.choice(list(Spread)), has=rng.choice((*THINGS[:1] * 4, *THINGS))
        ),
    )
    return Drawn(number, year, _busy(rng, span) if rng.random() < 0.2 else {})


def _climber(rng: random.Random) -> Climber:
    rock: tuple[str, ...] = ()
    kind = rng.random()
    if kind < 0.15:  # half an hour a day, with rock at weekends
        minutes = dict.fromkeys(WEEKDAYS[:6], 30)
        rock = ("saturday", "sunday")
    elif kind < 0.25:  # weekends only
        minutes = {"saturday": rng.choice((120, 180, 240)), "sunday": rng.choice((120, 180, 300))}
    elif kind < 0.4:  # evenings at named hours
        days = rng.sample(WEEKDAYS, rng.randint(3, 6))
        minutes = dict.fromkeys(days, "18:30-20:30")
    else:
        days = rng.sample(WEEKDAYS, rng.randint(3, 7))
        minutes = {day: rng.choice((30, 45, 60, 90, 90, 120, 180, 240)) for day in days}
    if not rock and rng.random() < 0.35:
        rock = tuple(rng.sample(("friday", "saturday", "sunday"), rng.randint(1, 2)))
    return Climber(
        time_zone="Europe/Vienna",
        first_weekday=rng.choice(("monday", "monday", "sunday")),
        birth_year=rng.choice((None, None, 1990, 1995, 2013, 1967)),
        minutes=Routine(**minutes),
        rock_days=rock,
        rock_minutes=rng.choice((None, 180, 300)) if rock else None,
        rock_travel_minutes=rng.choice((0, 0, 45)),
        wall_travel_minutes=rng.choice((0, 0, 20)),
        level={q: rng.randint(1, 5) for q in Quality} if rng.random() < 0.7 else {},
    )


def _before(rng: random.Random, climber: Climber) -> Before:
    free = climber.minutes.week
    usual = free * 5.5 * rng.uniform(0.25, 1.0) if rng.random() < 0.6 else rng.uniform(200, 2700)
    usual = min(2700.0, max(200.0, usual))
    loads = tuple(float(round(usual * rng.uniform(0.7, 1.25))) for _ in range(rng.choice((4, 12))))
    return Before(
        weekly_load=loads if rng.random() < 0.8 else (),
        last_kind=rng.choice((None, *CHOSEN)),
        days_since_rest=rng.choice((0, 7, 21, 40, 60)),
        hard_finger_sessions=rng.choice((None, 0.0, 1.0, 2.0)),
        hung_daily=rng.random() < 0.2,
    )


def _season(rng: random.Random, span: Span, n: int, disciplines: list[Discipline]) -> Season:
    at = rng.randrange(len(PLACES))
    first = span.first + timedelta(days=rng.randint(-20, span.length - 15))
    length = rng.randint(14, 90)
    chance: object = rng.choice((0.2, 0.4, 0.6))
    if rng.random() < 0.4:
        chance = [rng.choice((0.0, 0.2, 0.4, 0.7)) for _ in range(-(-length // 7))]
    return Season(
        name=f"Season {n}", place=PLACES[at], discipline=disciplines[at],
        first=first, last=first + timedelta(days=length - 1), chance=chance,
    )  # fmt: skip


def _trip(rng: random.Random, span: Span, n: int, disciplines: list[Discipline]) -> Trip:
    at = rng.randrange(len(PLACES))
    first = span.first + timedelta(days=rng.randint(0, span.length - 1))
    climbing = rng.random() < 0.75
    return Trip(
        name=f"Trip {n}", first=first, climbing=climbing,
        last=first + timedelta(days=rng.choice((1, 3, 6, 9, 13, 20))),
        place=PLACES[at] if climbing else "", discipline=disciplines[at] if climbing else None,
    )  # fmt: skip


def _window(rng: random.Random, span: Span, n: int, disciplines: list[Discipline]) -> Window:
    at = rng.randrange(len(PLACES))
    first = span.first + timedelta(days=rng.randint(0, span.length - 1))
    return Window(
        name=f"Window {n}", place=PLACES[at], discipline=disciplines[at],
        first=first, last=first + timedelta(days=rng.choice((0, 1, 2, 6))),
    )  # fmt: skip


def _goals(rng: random.Random, served: list[Season | Trip | Window]) -> list[Goal]:
    if not served:
        return []
    chosen = rng.sample(served, rng.randint(1, min(4, len(served))))
    return [
        Goal(
            name=f"Goal {n}", place=entry.place, discipline=entry.discipline,
            grade=GRADES[entry.discipline.value], priority=rng.randint(1, 3),
            served_by=(entry.id,) if rng.random() < 0.6 else (),
            demands={q: rng.randint(1, 5) for q in Quality} if rng.random() < 0.4 else {},
            style=rng.choice(("redpoint", "redpoint", "onsight")),
        )
        for n, entry in enumerate(chosen)
    ]  # fmt: skip


def _absence(rng: random.Random, span: Span, n: int) -> Absence:
    first = span.first + timedelta(days=rng.randint(0, span.length - 1))
    return Absence(
        name=f"Absence {n}", first=first,
        last=first + timedelta(days=rng.choice((0, 2, 4, 6, 13, 20))),
        left=rng.choice((0.0, 0.0, 0.3, 0.5)),
    )  # fmt: skip


def _injury(rng: random.Random, span: Span) -> Injury:
    day = span.first + timedelta(days=rng.randint(-10, span.length - 1))
    steps = [rng.choice((0, 7, 14, 28)) for _ in range(3)]
    easy = day + timedelta(days=steps[0])
    building = easy + timedelta(days=steps[1])
    return Injury(
        name="Hurt", part=rng.choice(list(BodyPart)), happened=day, easy_from=easy,
        building_from=building, full_from=building + timedelta(days=steps[2] + 1),
    )  # fmt: skip


def _outing(rng: random.Random, span: Span) -> Outing:
    first = span.first + timedelta(days=rng.randint(0, span.length - 30))
    return Outing(
        name="Outing", first=first, last=first + timedelta(days=60),
        discipline=rng.choice(ROPED), weeks=rng.choice((1, 2, 4)),
    )  # fmt: skip


def _busy(rng: random.Random, span: Span) -> dict[date, tuple[tuple[int, int], ...]]:
    """Work by day, and an evening now and then."""
    days = {}
    for day in span.days():
        some = [(9 * 60, 17 * 60)] if day.weekday() < 5 else []
        if rng.random() < 0.2:
            some.append((18 * 60, 20 * 60))
        if some:
            days[day] = tuple(some)
    return days
