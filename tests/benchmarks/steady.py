"""How steady plans are: `python tests/benchmarks/steady.py`.

Small news that should change little: chances a tenth higher or lower, five per cent more minutes,
a season one day earlier; told are the days whose block is of another kind (and of another
emphasis). Then the own rating of the fingers from 1 to 5 against seconds of hard hangs a year,
which should fall. Nothing is asserted.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from datetime import date, timedelta
from itertools import pairwise
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).parent.parent / "support"))

from judged_years import judged_years

from seasonplan.planner.fill import Filled, fill
from seasonplan.planner.run import Found, best_plan
from seasonplan.rules.statements import book_of
from seasonplan.vocabulary import Quality
from seasonplan.year import Climber, Routine, Season, Trip, Window, Year

Rock = Season | Window | Trip


def planned(year: Year) -> Filled:
    found = best_plan(year, book=book_of(year), confirm=False)
    assert isinstance(found, Found)
    return fill(found.search.weeks, found.search.candidates, found.blocks)


def scaled(chance: Any, factor: float) -> Any:
    """A chance of any form, times a factor."""
    if isinstance(chance, dict):
        return {key: min(1.0, factor * each) for key, each in chance.items()}
    if isinstance(chance, (list, tuple)):
        return [min(1.0, factor * each) for each in chance]
    return min(1.0, factor * chance)


def likelier(year: Year, factor: float) -> Year:
    """Every chance times a factor."""

    def changed(entry: Rock) -> Rock:
        return type(entry)(**{**dict(entry), "chance": scaled(entry.chance, factor)})

    return year.with_fields(
        seasons=tuple(map(changed, year.seasons)), windows=tuple(map(changed, year.windows)),
        trips=tuple(map(changed, year.trips)),
    )  # fmt: skip


def freer(year: Year, factor: float) -> Year:
    """Every day's minutes times a factor; days with hours stay."""
    names = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
    more = {}
    for number, name in enumerate(names):
        free = year.climber.minutes.free(number)
        more[name] = free if free.hours else round(factor * free.minutes)
    return year.with_fields(climber=Climber(**{**dict(year.climber), "minutes": Routine(**more)}))


def earlier(year: Year) -> Year | None:
    """The first season a day earlier, both ends."""
    if not year.seasons:
        return None
    first = year.seasons[0]
    moved = Season(
        **{**dict(first), "first": _day_before(first.first), "last": _day_before(first.last)}
    )
    return year.with_fields(seasons=(moved, *year.seasons[1:]))


def _day_before(day: date | str) -> date | str:
    if isinstance(day, str):
        month, number = (int(part) for part in day.split("-"))
        return f"{date(2027, month, number) - timedelta(days=1):%m-%d}"
    return day - timedelta(days=1)


NEWS: dict[str, Callable[[Year], Year | None]] = {
    "chance +10 %": lambda year: likelier(year, 1.1),
    "chance -10 %": lambda year: likelier(year, 0.9),
    "minutes +5 %": lambda year: freer(year, 1.05),
    "season a day earlier": earlier,
}


def changed(old: Filled, new: Filled) -> tuple[int, int]:
    """Days of another kind, and days of another kind or emphasis."""
    was = {day: block for block in old.blocks for day in block.span.days()}
    pairs = [(was[day], block) for block in new.blocks for day in block.span.days()]
    kinds = sum(a.kind is not b.kind for a, b in pairs)
    both = sum((a.kind, a.emphasis) != (b.kind, b.emphasis) for a, b in pairs)
    return kinds, both


def hard_seconds(year: Year) -> Iterator[int]:
    """Seconds of hard hangs a year by the own rating of the fingers, 1 to 5."""
    for rating in range(1, 6):
        level = {**year.climber.level, Quality.FINGER_STRENGTH: rating}
        rated = year.with_fields(climber=Climber(**{**dict(year.climber), "level": level}))
        yield sum(week.hard_seconds for block in planned(rated).blocks for week in block.weeks)


def main() -> None:
    years = judged_years()
    print(f"{'year':20}" + "".join(f"{name:>24}" for name in NEWS))
    for name, year in years.items():
        old, told = planned(year), []
        for change in NEWS.values():
            other = change(year)
            kinds, both = changed(old, planned(other)) if other else (0, 0)
            told.append(f"{kinds:4} days, {both:4} in all")
        print(f"{name:20}" + "".join(f"{text:>24}" for text in told), flush=True)
    print("\nseconds of hard hangs a year, fingers rated 1 to 5")
    for name, year in years.items():
        seconds = list(hard_seconds(year))
        falls = all(a >= b for a, b in pairwise(seconds))
        print(f"{name:20} {seconds} {'falling' if falls else 'NOT FALLING'}", flush=True)


if __name__ == "__main__":
    main()
