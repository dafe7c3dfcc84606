"""Easy days outside the seasons: outings that were wished, long days before a mountain season.

They give way to the days on rock that are chosen by chance (`rock`). While a part comes back they
are as few and as short as it allows.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date, timedelta

from seasonplan.days import ONE_DAY, Span
from seasonplan.planner.care import ramps
from seasonplan.planner.levels import Levels
from seasonplan.planner.returning import Returning
from seasonplan.planner.rock_day import Dates, RockDay, quarters
from seasonplan.rules.tables import composing, rock_day_table
from seasonplan.vocabulary import Discipline, Kind, RockRole
from seasonplan.year import Outing

ALPINE = (Discipline.MULTIPITCH, Discipline.MOUNTAIN)
ROCK = composing().rock


class Outings:
    """The wished days of a year."""

    def __init__(self, dates: Dates, levels: Levels, back: Returning) -> None:
        self._dates, self._levels, self._back = dates, levels, back
        self._almanac = dates.almanac

    def days(self, chosen: Mapping[date, RockDay]) -> Iterator[RockDay]:
        """Easy days outside the seasons: outings, and long days before a mountain season."""
        taken = set(chosen)
        for outing in self._almanac.year.outings:
            yield from self._in_turn(outing, taken, entry=outing.id)
        for first in self._mountain_openings(chosen):
            span = Span(
                first - timedelta(weeks=ROCK.mountain_weeks), first - timedelta(days=3)
            ).meet(self._almanac.span)
            if span is not None:
                long_day = Outing(
                    name="long day", discipline=Discipline.MOUNTAIN, first=span.first,
                    last=span.last, weeks=ROCK.mountain_every_weeks, minutes=ROCK.mountain_minutes,
                )  # fmt: skip
                yield from self._in_turn(long_day, taken, entry=None)

    def _mountain_openings(self, chosen: Mapping[date, RockDay]) -> list[date]:
        """First days in the mountains after a fortnight without one."""
        days = [d for d, one in chosen.items() if one.discipline in ALPINE]
        return [
            day
            for before, day in zip([None, *days], days, strict=False)
            if before is None or (day - before).days > ROCK.fresh_after_days
        ]

    def _in_turn(self, outing: Outing, taken: set[date], *, entry: str | None) -> Iterator[RockDay]:
        """The freest day in every so many weeks that keeps clear of other days on rock."""
        inside = outing.span.meet(self._almanac.span)
        if inside is None:
            return
        last: int | None = None
        for number, week in enumerate(self._almanac.weeks()):
            if week.meet(inside) is None or (last is not None and number - last < outing.weeks):
                continue
            days = [day for day in week.days() if day in inside and not self._hindered(day, taken)]
            made = filter(None, (self._made(day, outing, entry) for day in days))
            freest = max(made, key=lambda one: (one.minutes, one.day.weekday()), default=None)
            if freest is not None:
                last = number
                taken.add(freest.day)
                yield freest

    def _hindered(self, day: date, taken: set[date]) -> bool:
        """Whether something else has a day, or a day on rock is near."""
        away = (*self._almanac.year.trips, *self._almanac.year.absences)
        near = {day - ONE_DAY, day, day + ONE_DAY} & taken
        given = self._almanac.given_kinds.get(day, Kind.RETURN) is not Kind.RETURN
        return given or bool(near) or any(day in one.span for one in away) or self._hurt(day, taken)

    def _hurt(self, day: date, taken: set[date]) -> bool:
        """Whether with it a day on which something is hurt would have too much rock in seven."""
        if not self._almanac.year.injuries:
            return False
        later = {day + n * ONE_DAY for n in range(1, 7)} & taken
        return any(self._too_many(last, {*taken, day}) for last in (day, *later))

    def _too_many(self, last: date, rock: set[date]) -> bool:
        most = self._almanac.rock_in_seven(last)
        return most is not None and sum(last - n * ONE_DAY in rock for n in range(7)) > most

    def _made(self, day: date, outing: Outing, entry: str | None) -> RockDay | None:
        """The day as it would be, None where it would do harm or is not long enough."""
        travel = self._almanac.year.climber.rock_travel_minutes
        window = self._window(day, outing)
        recipe = self._dates.recipe(day, outing.discipline, RockRole.EASY) if window else None
        if window is None or recipe is None or self._dates.hurts(recipe, day):
            return None
        level = self._levels.of(day)
        holds = level.load * min(level.share, self._back.share(day))
        load = holds * rock_day_table().load_share
        room = window[1] - window[0] - 2 * travel
        most = min(outing.minutes, room, load / recipe.load_a_minute)
        steps = ramps(self._almanac, day) if self._back.caps else ()
        if any(recipe.hard_on & {*step.tissues} for step in steps):
            most *= rock_day_table().easy_share
        minutes = quarters(most)
        if minutes < recipe.least_minutes:
            return None
        return RockDay(
            day=day, entry=entry, discipline=outing.discipline, role=RockRole.EASY, recipe=recipe,
            easier=recipe, minutes=minutes, worth=0.0, start=window[0] + travel,
        )  # fmt: skip

    def _window(self, day: date, outing: Outing) -> tuple[int, int] | None:
        weekdays = self._almanac.year.climber.rock_weekdays
        if self._almanac.names_rock and day.weekday() not in weekdays:
            return None
        return self._dates.window(day, outing)
