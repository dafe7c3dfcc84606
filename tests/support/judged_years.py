"""Fourteen years that plans are judged on: the four demos and ten more of invented climbers."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from typing import Any

from places import ROOT

from seasonplan.days import WEEKDAYS
from seasonplan.vocabulary import Discipline, Quality, Spread
from seasonplan.year import (
    Absence,
    Before,
    Climber,
    Goal,
    Horizon,
    Injury,
    Routine,
    Season,
    SessionWishes,
    Trip,
    Window,
    Year,
)
from seasonplan.year.toml import read_year

DEMOS = ROOT / "calendars_demo"
EVENINGS = {"monday": 60, "tuesday": 90, "wednesday": 60, "thursday": 90, "saturday": 240,
            "sunday": 180}  # fmt: skip


def judged_years() -> dict[str, Year]:
    """Every year by a short name."""
    demos = {
        path.parent.name: read_year(path.read_text(encoding="utf-8"), file=path.name)
        for path in sorted(DEMOS.glob("*/year.toml"))
    }
    return demos | {name: make() for name, make in MADE.items()}


def _year(*, weeks: int = 52, minutes: dict[str, Any] | None = None, **fields: Any) -> Year:
    said = fields.pop("climber", {})
    climber = Climber(
        time_zone="Europe/Vienna", minutes=Routine(**(minutes or EVENINGS)),
        **({"birth_year": 1992} | said),
    )  # fmt: skip
    before = fields.pop("before", Before(weekly_load=(1500.0,) * 4, last_kind="rest"))
    return Year(
        horizon=Horizon(first=date(2027, 1, 4), weeks=weeks), climber=climber, before=before,
        **fields,
    )  # fmt: skip


def _season(name: str, first: str, last: str, chance: float, **fields: Any) -> Season:
    values = {"place": "Larchfold", "discipline": Discipline.SPORT} | fields
    return Season(name=name, first=first, last=last, chance=chance, **values)


def _goal(name: str, *served: str, **fields: Any) -> Goal:
    values = {"place": "Larchfold", "discipline": Discipline.SPORT, "grade": "7b", "priority": 1}
    return Goal(name=name, served_by=served, **(values | fields))


def _rated(*ratings: int) -> dict[Quality, int]:
    names = (Quality.FINGER_STRENGTH, Quality.POWER, Quality.ENDURANCE, Quality.FITNESS,
             Quality.MOVEMENT)  # fmt: skip
    return dict(zip(names, ratings, strict=True))


def young() -> Year:
    return _year(
        climber={"birth_year": 2013, "level": _rated(3, 2, 2, 3, 4)},
        seasons=(
            _season("Spring", "04-01", "05-31", 0.4),
            _season("Autumn", "09-15", "10-31", 0.5),
        ),
        goals=(_goal("Line", "autumn"), _goal("Miles", "spring", priority=3)),
    )


def sixty() -> Year:
    return _year(
        climber={"birth_year": 1967, "level": _rated(3, 3, 2, 2, 4)},
        before=Before(weekly_load=(1100.0,) * 12, hard_finger_sessions=1.0),
        seasons=(_season("Autumn", "09-10", "11-10", 0.5),),
        goals=(_goal("Line", "autumn", style="onsight"),),
    )


def weekends() -> Year:
    return _year(
        minutes={"saturday": 240, "sunday": 240}, before=Before(weekly_load=(900.0,) * 4),
        climber={"level": _rated(2, 3, 3, 2, 3)},
        seasons=(
            _season("Spring", "03-20", "05-10", 0.4),
            _season("Autumn", "09-20", "11-05", 0.5),
        ),
        goals=(_goal("Line", "autumn"), _goal("Other", "spring", priority=2)),
    )  # fmt: skip


def three_trips() -> Year:
    def trip(name: str, first: date, last: date) -> Trip:
        return Trip(name=name, first=first, last=last, place="Saltmere",
                    discipline=Discipline.SPORT, chance=0.6)  # fmt: skip

    return _year(
        climber={"level": _rated(2, 3, 4, 3, 3)},
        trips=(
            trip("April", date(2027, 4, 10), date(2027, 4, 20)),
            trip("July", date(2027, 7, 3), date(2027, 7, 12)),
            trip("October", date(2027, 10, 9), date(2027, 10, 23)),
        ),
        goals=(_goal("Blue", "october", place="Saltmere"),
               _goal("Green", "april", "july", place="Saltmere", priority=2)),
    )  # fmt: skip


def alpine() -> Year:
    return _year(
        climber={"level": _rated(3, 3, 3, 2, 3), "rock_days": ("saturday", "sunday"),
                 "rock_minutes": 420},
        seasons=(
            _season("Summer", "06-20", "09-05", 0.45, place="Cinderbrook", discipline="mountain"),
            _season("Slabs", "04-10", "06-10", 0.4, discipline="multipitch"),
        ),
        goals=(_goal("Ridge", "summer", place="Cinderbrook", discipline="mountain"),
               _goal("Slab", "slabs", discipline="multipitch", priority=2)),
    )  # fmt: skip


def boulderer() -> Year:
    return _year(
        climber={"level": _rated(2, 2, 3, 3, 4)},
        seasons=(_season("Winter", "11-01", "12-31", 0.5, discipline="boulder"),
                 _season("Spring", "02-20", "04-15", 0.5, discipline="boulder")),
        goals=(_goal("Arete", "winter", discipline="boulder", grade="7B"),
               _goal("Roof", "spring", discipline="boulder", grade="7A+", priority=2)),
        sessions=SessionWishes(spread=Spread.SHORT_AND_HARD),
    )  # fmt: skip


def parent() -> Year:
    return _year(
        minutes=dict.fromkeys(WEEKDAYS[:6], 30), before=Before(weekly_load=(550.0,) * 4),
        climber={"level": _rated(1, 3, 3, 3, 4), "rock_days": ("saturday",), "rock_minutes": 240},
        seasons=(_season("Autumn", "09-20", "11-15", 0.55),), goals=(_goal("Line", "autumn"),),
    )  # fmt: skip


def shifts() -> Year:
    worn = [date(2027, 2, 1), date(2027, 4, 5), date(2027, 6, 14), date(2027, 8, 16)]
    return _year(
        climber={"level": _rated(3, 3, 2, 3, 3)},
        absences=tuple(
            Absence(name=f"Shift {n}", first=day, last=day.replace(day=day.day + 13), left=0.3)
            for n, day in enumerate(worn)
        ),
        seasons=(_season("Autumn", "09-10", "11-10", 0.5), _season("May", "05-01", "06-05", 0.4)),
        goals=(_goal("Line", "autumn"), _goal("Warm up", "may", priority=3)),
    )


def two_years() -> Year:
    return _year(
        weeks=104, climber={"level": _rated(2, 3, 3, 3, 4)},
        seasons=(
            _season("Spring", "03-25", "05-10", 0.4),
            _season("Autumn", "09-20", "11-10", 0.5),
        ),
        goals=(_goal("Line", "autumn"), _goal("Other", "spring", priority=2)),
    )  # fmt: skip


def hurt() -> Year:
    return _year(
        climber={"level": _rated(2, 3, 3, 3, 4)},
        injuries=(Injury(name="Finger", part="finger", happened=date(2026, 12, 20),
                         easy_from=date(2027, 1, 20), building_from=date(2027, 2, 20),
                         full_from=date(2027, 3, 28)),),
        seasons=(_season("Autumn", "09-20", "11-10", 0.5),),
        windows=(Window(name="June days", first=date(2027, 6, 12), last=date(2027, 6, 16),
                        place="Larchfold", discipline=Discipline.SPORT, chance=0.7),),
        goals=(_goal("Line", "autumn"), _goal("June", "june-days", priority=2)),
    )  # fmt: skip


MADE: dict[str, Callable[[], Year]] = {
    "young": young, "sixty": sixty, "weekends": weekends, "three trips": three_trips,
    "alpine": alpine, "boulderer": boulderer, "parent": parent, "shifts": shifts,
    "two years": two_years, "hurt": hurt,
}  # fmt: skip
