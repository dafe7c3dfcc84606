"""Easy days outside the seasons: outings that were wished, long days before a mountain season.

They give way to the days on rock that are chosen by chance (`rock`).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date, timedelta

from seasonplan.body.almanac import Almanac
from seasonplan.days import Span
from seasonplan.planner.levels import Levels
from seasonplan.planner.rock_day import RockDates, RockDay
from seasonplan.recipes import Recipe
from seasonplan.rules.tables import composing, rock_day_table
from seasonplan.vocabulary import Discipline, RockRole
from seasonplan.year import Outing

ALPINE = (Discipline.MULTIPITCH, Discipline.MOUNTAIN)
ROCK = composing().rock


class Outings:
    """The wished days of a year."""

    def __init__(self, almanac: Almanac, levels: Levels, dates: RockDates) -> None:
        self._almanac = almanac
        self._levels = levels
        self._dates = dates

    def days(self, chosen: Mapping[date, RockDay]) -> Iterator[RockDay]:
        """Easy days outside the seasons: outings, and long days before a mountain season."""
        taken = set(chosen)
        for outing in self._almanac.year.outings:
            yield from self._in_turn(outing, outing.span, taken, entry=outing.id)
        for first in self._mountain_openings(chosen):
            span = Span(
                first - timedelta(weeks=ROCK.mountain_weeks), first - timedelta(days=3)
            ).meet(self._almanac.span)
            if span is not None:
                long_day = Outing(
                    name="long day", discipline=Discipline.MOUNTAIN, first=span.first,
                    last=span.last, weeks=ROCK.mountain_every_weeks, minutes=ROCK.mountain_minutes,
                )  # fmt: skip
                yield from self._in_turn(long_day, span, taken, entry=None)

    def _mountain_openings(self, chosen: Mapping[date, RockDay]) -> list[date]:
        """First days in the mountains after a fortnight without one."""
        days = [d for d, one in chosen.items() if one.entry and one.discipline in ALPINE]
        return [
            day
            for before, day in zip([None, *days], days, strict=False)
            if before is None or (day - before).days > ROCK.fresh_after_days
        ]

    def _in_turn(
        self, outing: Outing, span: Span, taken: set[date], *, entry: str | None
    ) -> Iterator[RockDay]:
        """The freest day in every so many weeks that keeps clear of other days on rock."""
        recipe = self._dates.recipe(span.first, outing.discipline, RockRole.EASY)
        inside = span.meet(self._almanac.span)
        if recipe is None or inside is None:
            return
        last: int | None = None
        for number, week in enumerate(self._almanac.weeks()):
            if week.meet(inside) is None or (last is not None and number - last < outing.weeks):
                continue
            found = self._freest(week, inside, outing, taken, recipe)
            if found is not None:
                day, window, minutes = found
                taken.add(day)
                last = number
                yield RockDay(
                    day=day, entry=entry, discipline=outing.discipline, role=RockRole.EASY,
                    recipe=recipe, easier=recipe, minutes=minutes, worth=0.0,
                    start=window[0] + self._almanac.year.climber.rock_travel_minutes,
                )  # fmt: skip

    def _freest(
        self, week: Span, inside: Span, outing: Outing, taken: set[date], recipe: Recipe
    ) -> tuple[date, tuple[int, int], int] | None:
        near = timedelta(days=1)
        best: tuple[tuple[float, int], date, tuple[int, int], int] | None = None
        climber = self._almanac.year.climber
        for day in week.days():
            if day not in inside or self._almanac.is_given(day) or self._dates.hurts(recipe, day):
                continue
            if {day - near, day, day + near} & taken or self._away(day):
                continue
            window = self._outing_window(day, outing)
            if window is None:
                continue
            load = self._levels.of(day).load * rock_day_table().load_share
            heavy = recipe.rpe * recipe.active_share
            room = window[1] - window[0] - 2 * climber.rock_travel_minutes
            minutes = int(min(outing.minutes, room, load / heavy)) // 15 * 15
            if minutes < recipe.least_minutes:
                continue
            key = (float(minutes), day.weekday())
            if best is None or key > best[0]:
                best = key, day, window, minutes
        return best[1:] if best else None

    def _away(self, day: date) -> bool:
        return any(day in trip.span for trip in self._almanac.year.trips) or any(
            day in absence.span for absence in self._almanac.year.absences
        )

    def _outing_window(self, day: date, outing: Outing) -> tuple[int, int] | None:
        climber = self._almanac.year.climber
        named = bool(climber.rock_days or climber.rock_minutes)
        if named and day.weekday() not in climber.rock_weekdays:
            return None
        return self._dates.window(day, outing)
