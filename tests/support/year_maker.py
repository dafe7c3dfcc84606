"""Makes years by number: the same number makes the same Year, on every machine.

`any_year` throws in all that may be entered; `calm_year` has one or two open seasons for dear
goals, and `small_year` is short enough to try every plan. Knows nothing of plans.
"""

from __future__ import annotations

import random
from datetime import date, timedelta
from typing import Any

from seasonplan.days import MONTHS, WEEKDAYS, Span
from seasonplan.vocabulary import CHOSEN, Discipline, Kind, Quality
from seasonplan.year import (
    Absence,
    Before,
    Climber,
    Goal,
    Horizon,
    Injury,
    Routine,
    Season,
    Trip,
    Window,
    Year,
)

PLACES = ("Karst", "Granite", "Isle", "Slate")
ZONES = ("Europe/Vienna", "America/Denver", "Australia/Hobart", "Asia/Tokyo")
NORTH = (("spring", 3, 20), ("autumn", 9, 10), ("winter", 12, 1), ("summer", 6, 25))
SOUTH = (("spring", 9, 15), ("autumn", 3, 10), ("winter", 6, 1), ("summer", 12, 15))
GRADES = {
    "sport": "7b+",
    "trad": "6c",
    "boulder": "7A",
    "multipitch": "7a",
    "mountain": "6a",
    "ice": "WI4",
}
LEAP_DAYS = (date(2024, 2, 29), date(2028, 2, 29))


def any_year(number: int) -> Year:
    """A year with anything in it: overlapping seasons, trips inside them, an injury."""
    rng = random.Random(f"any {number}")
    weeks = rng.choice((4, 7, 12, 20, 26, 39, 52, 52, 52, 52, 60, 78, 104))
    span = _horizon(rng, weeks)
    seasons = _seasons(rng, span, count=rng.randint(1, 3 if weeks < 70 else 2))
    trips = [_trip(rng, span, n, seasons) for n in range(rng.choice((0, 1, 1, 2, 3)))]
    return Year(
        horizon=Horizon(first=span.first, weeks=weeks),
        climber=_climber(rng),
        before=_before(rng),
        goals=tuple(_goals(rng, seasons, trips)),
        seasons=tuple(seasons),
        windows=tuple(_window(rng, span, n) for n in range(rng.choice((0, 0, 1)))),
        trips=tuple(trips),
        absences=tuple(_absence(rng, span, n) for n in range(rng.choice((0, 1, 2)))),
        injuries=(_injury(rng, span),) if rng.random() < 0.15 else (),
    )


def calm_year(number: int) -> Year:
    """A year with one or two open seasons of four to eight weeks for priority 1 goals."""
    rng = random.Random(f"calm {number}")
    weeks = rng.choice((40, 48, 52, 52, 52, 56, 64))
    span = _horizon(rng, weeks)
    first = span.first + timedelta(days=rng.randint(100, 160))
    seasons = [_open_season(rng, "Main", first)]
    again = seasons[0].last + timedelta(days=rng.randint(60, 120))  # type: ignore[operator]
    if rng.random() < 0.5 and again + timedelta(days=60) < span.after:
        seasons.append(_open_season(rng, "Second", again))
    away = span.first + timedelta(days=rng.randint(5, 30))
    trips = [
        Trip(name="Away", first=away, last=away + timedelta(days=rng.randint(4, 12)),
             place="Isle", discipline=Discipline.SPORT)
    ] if rng.random() < 0.5 else []  # fmt: skip
    return Year(
        horizon=Horizon(first=span.first, weeks=weeks),
        climber=_climber(rng).model_copy(
            update={"rock_days": ("saturday", "sunday"), "rock_minutes": 300}
        ),
        before=Before(days_since_rest=rng.randint(0, 30)),
        goals=tuple(
            Goal(
                name=f"Goal {season.name}", place=season.place, discipline=season.discipline,
                grade=GRADES[season.discipline.value], priority=1, served_by=(season.id,),
            )
            for season in seasons
        ),
        seasons=tuple(seasons),
        trips=tuple(trips),
    )  # fmt: skip


def small_year(number: int) -> Year:
    """Five to twelve weeks around one season, sometimes with a few days off or a short trip."""
    rng = random.Random(f"small {number}")
    weeks = 5 + number % 8
    span = _horizon(rng, weeks, whole_weeks=weeks > 6)
    first = span.first + timedelta(days=rng.choice((7, 14, 17)))
    season = Season(
        name="Season", place="Karst", discipline=Discipline.SPORT, first=first,
        last=first + timedelta(days=rng.choice((6, 10, 13, 20))),
        chance=rng.choice((0.3, 0.6, 1.0)),
    )  # fmt: skip
    extra: dict[str, Any] = {}
    if rng.random() < 0.3:
        day = span.first + timedelta(days=rng.randint(0, 7 * weeks - 8))
        away = day + timedelta(days=rng.randint(4, 6))
        extra["absences"] = (Absence(name="Work", first=day, last=away),)
    return Year(
        horizon=Horizon(first=span.first, weeks=weeks),
        climber=_climber(rng),
        before=_before(rng),
        goals=(
            Goal(name="Line", place="Karst", discipline=Discipline.SPORT, grade="7a",
                 priority=rng.randint(1, 3)),
        ),
        seasons=(season,),
        **extra,
    )  # fmt: skip


# --- parts ----------------------------------------------------------------------------------


def _horizon(rng: random.Random, weeks: int, *, whole_weeks: bool = False) -> Span:
    """Starts on any weekday from 2024 to 2031; one in five has a leap day a few weeks in."""
    if rng.random() < 0.2:
        first = rng.choice(LEAP_DAYS) - timedelta(days=rng.randint(0, 7 * weeks - 1))
        first = max(first, date(2024, 1, 1))
    else:
        last = date(2031, 12, 31) - timedelta(days=7 * weeks)
        first = date(2024, 1, 1)
        first += timedelta(days=rng.randint(0, (last - first).days))
    if whole_weeks:
        first -= timedelta(days=first.weekday())
    return Span(first, first + timedelta(days=7 * weeks))


def _climber(rng: random.Random) -> Climber:
    days = rng.sample(WEEKDAYS, rng.randint(3, 7))
    return Climber(
        time_zone=rng.choice(ZONES),
        first_weekday="monday",
        birth_year=rng.choice((None, None, None, 1990, 2012)),
        minutes=Routine(**{day: rng.choice((45, 60, 90, 120, 240)) for day in days}),
        level={q: rng.randint(1, 5) for q in Quality} if rng.random() < 0.4 else {},
    )


def _before(rng: random.Random) -> Before:
    return Before(
        weekly_load=tuple(rng.randint(500, 3000) for _ in range(6)) if rng.random() < 0.3 else (),
        last_kind=rng.choice((None, *CHOSEN)),
        days_since_rest=rng.randint(0, 50),
    )


def _seasons(rng: random.Random, span: Span, *, count: int) -> list[Season]:
    names = rng.sample(rng.choice((NORTH, SOUTH)), count)
    return [
        _yearly(rng, *named) if rng.random() < 0.6 else _dated(rng, span, n)
        for n, named in enumerate(names)
    ]


def _yearly(rng: random.Random, name: str, month: int, day: int) -> Season:
    first = date(2023, month, day) + timedelta(days=rng.randint(-15, 15))
    last = first + timedelta(days=rng.randint(20, 70))
    chance = rng.choice((0.3, 0.5, 0.8, dict.fromkeys(MONTHS, rng.choice((0.2, 0.6)))))
    return Season(
        name=name, place=rng.choice(PLACES), discipline=rng.choice(list(Discipline)),
        first=f"{first:%m-%d}", last=f"{last:%m-%d}", chance=chance,
    )  # fmt: skip


def _dated(rng: random.Random, span: Span, n: int) -> Season:
    first = span.first + timedelta(days=rng.randint(-20, max(1, span.length - 10)))
    length = rng.randint(10, 60)
    chance: Any = 0.5
    if rng.random() < 0.5:
        chance = [rng.choice((0.0, 0.2, 0.5, 0.9)) for _ in range(-(-length // 7))]
    return Season(
        name=f"Dated {n}", place=rng.choice(PLACES), discipline=rng.choice(list(Discipline)),
        first=first, last=first + timedelta(days=length - 1), chance=chance,
    )  # fmt: skip


def _open_season(rng: random.Random, name: str, first: date) -> Season:
    return Season(
        name=name, place=rng.choice(PLACES), first=first,
        discipline=rng.choice((Discipline.SPORT, Discipline.BOULDER, Discipline.TRAD)),
        last=first + timedelta(days=rng.randint(28, 56) - 1), chance=rng.choice((0.3, 0.5, 0.8)),
    )  # fmt: skip


def _trip(rng: random.Random, span: Span, n: int, seasons: list[Season]) -> Trip:
    """Anywhere, or inside a season; short or long; climbing or not."""
    inside = next(iter(rng.choice(seasons).spells(span)), span) if rng.random() < 0.4 else span
    inside = inside.meet(span) or span
    first = inside.first + timedelta(days=rng.randint(0, inside.length - 1))
    climbing = rng.random() < 0.7
    return Trip(
        name=f"Trip {n}", first=first, last=first + timedelta(days=rng.choice((1, 3, 6, 9, 13))),
        climbing=climbing, place=rng.choice(PLACES) if climbing else "",
        discipline=rng.choice(list(Discipline)) if climbing else None,
    )  # fmt: skip


def _goals(rng: random.Random, seasons: list[Season], trips: list[Trip]) -> list[Goal]:
    served: list[Season | Trip] = [*seasons, *(trip for trip in trips if trip.climbing)]
    chosen = rng.sample(served, rng.randint(1, min(3, len(served))))
    goals = []
    for n, entry in enumerate(chosen):
        discipline = entry.discipline or Discipline.SPORT
        goals.append(
            Goal(
                name=f"Goal {n}", place=entry.place or "Isle", discipline=discipline,
                grade=GRADES[discipline.value], priority=rng.randint(1, 3),
                served_by=(entry.id,) if rng.random() < 0.5 else (),
                demands={Quality.POWER: rng.randint(1, 5)} if rng.random() < 0.3 else {},
            )
        )  # fmt: skip
    return goals


def _window(rng: random.Random, span: Span, n: int) -> Window:
    first = span.first + timedelta(days=rng.randint(0, span.length - 1))
    return Window(
        name=f"Window {n}", place=rng.choice(PLACES), discipline=Discipline.SPORT,
        first=first, last=first + timedelta(days=rng.randint(1, 6)),
    )  # fmt: skip


def _absence(rng: random.Random, span: Span, n: int) -> Absence:
    first = span.first + timedelta(days=rng.randint(0, span.length - 1))
    return Absence(
        name=f"Absence {n}", first=first, last=first + timedelta(days=rng.choice((0, 4, 6, 17))),
        left=rng.choice((0.0, 0.0, 0.5)),
    )  # fmt: skip


def _injury(rng: random.Random, span: Span) -> Injury:
    day = span.first + timedelta(days=rng.randint(-10, span.length - 1))
    steps = [rng.choice((0, 10, 20)) for _ in range(3)]
    easy = day + timedelta(days=steps[0])
    building = easy + timedelta(days=steps[1])
    return Injury(
        name="Hurt finger", part="finger", happened=day, easy_from=easy, building_from=building,
        full_from=building + timedelta(days=steps[2] + 1),
    )  # fmt: skip


__all__ = ["Kind", "any_year", "calm_year", "small_year"]
