"""A climber with tests: a year and a diary made in a line or two. Knows no verdict."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

from seasonplan.diary import DiaryEntry, Did
from seasonplan.year import Climber, Goal, Horizon, Injury, OwnTest, Routine, Year

FIRST = date(2027, 1, 4)


def on(days: int) -> date:
    """So many days after the year began."""
    return FIRST + timedelta(days=days)


PULL = OwnTest(name="Pull", like="edge-pull", grip="20 mm")
HANG = OwnTest(name="Hang", like="edge-hang", anchors={1: -10.0, 5: 50.0})
HURT = Injury(
    name="Finger", part="finger", happened=on(40), easy_from=on(50), building_from=on(60),
    full_from=on(70),
)  # fmt: skip


def year(*tests: OwnTest, climber: dict[str, Any] | None = None, **entries: Any) -> Year:
    who = {"time_zone": "UTC", "minutes": Routine(tuesday=90), **(climber or {})}
    return Year(
        horizon=Horizon(first=FIRST, weeks=52), climber=Climber(**who), tests=tests, **entries
    )


def tries(
    what: str, results: dict[int, float | tuple[float, ...]], **cells: Any
) -> list[DiaryEntry]:
    """Rows of a test: results by days after the year began, several tries in a tuple."""
    unit = cells.pop("unit", "kg")
    return [
        DiaryEntry(date=on(day), kind=Did.TEST, what=what, value=value, unit=unit, **cells)
        for day, several in results.items()
        for value in (several if isinstance(several, tuple) else (several,))
    ]


def weights(kilograms: float, *days: int, unit: str = "kg") -> list[DiaryEntry]:
    return [
        DiaryEntry(date=on(day), kind=Did.WEIGHT, value=kilograms, unit=unit) for day in days
    ]  # fmt: skip


def goal(**said: Any) -> Goal:
    return Goal(
        **{
            "name": "The long roof", "place": "Larchfold", "discipline": "sport", "grade": "7b",
            **said,
        }
    )  # fmt: skip
