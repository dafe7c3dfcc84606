"""What each day of the year is: free or taken, rock or none, healthy or hurt.

Reads the Year; knows no block and no load.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cached_property
from itertools import groupby, islice

from seasonplan.body.daylight import Rock, daylight_at
from seasonplan.days import Span, calendar_weeks, week_start
from seasonplan.injury import most_rock_days
from seasonplan.rules.tables import composing, least_given_days, rock_day_table, usual_hours
from seasonplan.vocabulary import BodyPart, Kind, Phase
from seasonplan.year import Absence, Goal, Injury, Outing, Season, Trip, Window, Year
from seasonplan.year.chance import chance_on
from seasonplan.year.forecast import Forecast
from seasonplan.year.way import rock_way

SATURDAY = 5
KEPT_ALMANACS = 8
AHEAD_DAYS = 400  # how far after the year rock that is still to come is looked for


@dataclass(frozen=True, slots=True)
class Given:
    """A block that the year gives: its kind, days, the entry behind it, an injury's phase."""

    kind: Kind
    span: Span
    entry: str
    phase: Phase | None = None


@dataclass(frozen=True, slots=True)
class RockSpell:
    """A season spell, window or climbing trip that gives rock: when, and from which entry."""

    entry: Season | Window | Trip
    span: Span
    forecasts: tuple[Forecast, ...] = ()

    def chance(self, day: date) -> float:
        """Chance of a good day, 0 outside the spell; a forecast's where there is one."""
        if day not in self.span:
            return 0.0
        told = (forecast.chance_on(day) for forecast in self.forecasts)
        usual = chance_on(self.entry.chance, self.span, day)
        return next((chance for chance in told if chance is not None), usual)

    @property
    def is_trip(self) -> bool:
        return isinstance(self.entry, Trip)

    @property
    def opens(self) -> date:
        """Its first day, of a trip with the way there."""
        return self.entry.span.first if isinstance(self.entry, Trip) else self.span.first


@dataclass(frozen=True, slots=True)
class Opportunity:
    """A goal at one rock spell: the chance of a good day on each day it is best served there."""

    goal: Goal
    spell: RockSpell
    chances: dict[date, float]

    @property
    def possible(self) -> float:
        """Expected good days if the climber performed throughout."""
        return sum(self.chances.values())


def _usual_window(day: date, minutes: int) -> tuple[tuple[int, int], ...]:
    """The usual time of day for an amount of time; earlier where it would end too late."""
    usual = usual_hours()
    begins = usual["weekend_begins" if day.weekday() >= SATURDAY else "weekday_begins"] * 60
    start = max(0, min(begins, usual["ends"] * 60 - minutes))
    return ((start, start + minutes),) if minutes else ()


class Almanac:
    """Questions about the days of one year, answered from what the climber entered."""

    def __init__(self, year: Year) -> None:
        self.year = year
        self.span = year.span
        self.week_begins = year.climber.week_begins

    def weeks(self) -> list[Span]:
        """The calendar weeks of the year; the first and last may be short."""
        return calendar_weeks(self.span, self.week_begins)

    def week_of(self, day: date) -> date:
        """The first day of the calendar week of a day."""
        return week_start(day, self.week_begins)

    # --- given things -------------------------------------------------------------------

    @cached_property
    def givens(self) -> tuple[Given, ...]:
        """Given blocks in order; on one day injured goes before trip, absence and return."""
        days = [(day, self._given_on(day)) for day in self.span.days()]
        return tuple(
            Given(kind, Span.through(run[0][0], run[-1][0]), entry, phase)
            for key, group in groupby(days, key=lambda item: item[1])
            if key is not None
            for kind, entry, phase in [key]
            for run in [list(group)]
        )

    def _given_on(self, day: date) -> tuple[Kind, str, Phase | None] | None:
        hurt = self.injury_on(day)
        if hurt is not None and hurt[1] is Phase.OFF:
            return Kind.INJURED, hurt[0].id, hurt[1]
        least = least_given_days()
        for trip in self.year.trips:
            if trip.climbing and day in trip.span and trip.span.length >= least:
                return Kind.TRIP, trip.id, None
        away: list[Trip | Absence] = [trip for trip in self.year.trips if not trip.climbing]
        away += [absence for absence in self.year.absences if absence.left == 0]
        for entry in away:
            span = entry.span
            if day in span and span.length >= least and any(map(self._has_time, span.days())):
                return Kind.ABSENCE, entry.id, None
        if hurt is not None:
            return Kind.RETURN, hurt[0].id, hurt[1]
        return None

    def injuries_on(self, day: date) -> tuple[tuple[Injury, Phase], ...]:
        """Every injury that is not healed on that day, the phase most restricted first."""
        order = (Phase.OFF, Phase.EASY, Phase.BUILDING)
        found = [
            (injury, phase)
            for injury in self.year.injuries
            for phase, span in injury.phases
            if day in span
        ]
        return tuple(sorted(found, key=lambda hurt: order.index(hurt[1])))

    def injury_on(self, day: date) -> tuple[Injury, Phase] | None:
        """The injury that restricts most on that day, and its phase."""
        return next(iter(self.injuries_on(day)), None)

    def hurts(self, day: date) -> tuple[tuple[BodyPart, Phase], ...]:
        """What is hurt on that day, and how far it is back."""
        return tuple((injury.part, phase) for injury, phase in self.injuries_on(day))

    def is_given(self, day: date) -> bool:
        return day in self.given_kinds

    @cached_property
    def given_kinds(self) -> dict[date, Kind]:
        """The kind of what is given, by day."""
        return {day: given.kind for given in self.givens for day in given.span.days()}

    # --- time -----------------------------------------------------------------------------

    def minutes(self, day: date) -> float:
        """Minutes free for training at home on that day; 0 on trips and full absences."""
        if day in self.trip_days:
            return 0.0
        return self.year.climber.minutes.on(day.weekday()) * self.left(day)

    def at_home(self, day: date) -> bool:
        """Whether a day lies in no trip, nor in an absence that leaves less than half its time."""
        return day not in self.trip_days and self.left(day) >= composing().day.home_share

    def left(self, day: date) -> float:
        """The share of the usual time that absences leave of a day."""
        return self._left.get(day, 1.0)

    @cached_property
    def trip_days(self) -> frozenset[date]:
        return frozenset(day for trip in self.year.trips for day in trip.span.days())

    @cached_property
    def _left(self) -> dict[date, float]:
        """The share of the usual time that absences leave, by day; the least where two meet."""
        left: dict[date, float] = {}
        for absence in self.year.absences:
            for day in filter(self._has_time, absence.span.days()):
                left[day] = min(absence.left, left.get(day, 1.0))
        return left

    def _has_time(self, day: date) -> bool:
        """Whether there is time for training or rock on that weekday: else nothing is missed."""
        climber, weekday = self.year.climber, day.weekday()
        return climber.minutes.on(weekday) > 0 or weekday in climber.rock_weekdays

    def windows(self, day: date) -> tuple[tuple[int, int], ...]:
        """Free times at home on that day, (from, to) in minutes after midnight.

        Where the climber named no hours, the amount lies at the usual ones. A part absence
        leaves the first part of each.
        """
        if day in self.trip_days:
            return ()
        left = self._left.get(day, 1.0)
        free = self.year.climber.minutes.free(day.weekday())
        hours = free.hours or _usual_window(day, free.minutes)
        cut = [(start, start + int((end - start) * left)) for start, end in hours]
        return tuple((start, end) for start, end in cut if end > start)

    def short_trip(self, day: date) -> Trip | None:
        """The climbing trip too short to be a block of its own, if the day lies in one."""
        trips = (trip for trip in self.year.trips if trip.climbing and day in trip.span)
        return next((one for one in trips if one.span.length < least_given_days()), None)

    def under(self, age: float, day: date) -> bool:
        """Whether the climber may still be younger than `age`; unknown birth years are adult."""
        born = self.year.climber.birth_year
        return born is not None and day.year - born - 1 < age

    # --- rock -----------------------------------------------------------------------------

    @cached_property
    def spells(self) -> tuple[RockSpell, ...]:
        """Every spell of rock that meets the year, in order of its first day."""
        found = [
            RockSpell(season, span, self._forecasts(season))
            for season in self.year.seasons
            for span in season.spells(self.span)
        ]
        found += [RockSpell(w, w.span) for w in self.year.windows if w.span.meet(self.span)]
        found += [
            RockSpell(t, t.there) for t in self.year.trips if t.climbing and t.there.meet(self.span)
        ]
        return tuple(sorted(found, key=lambda s: (s.span, s.entry.id)))

    def _forecasts(self, season: Season) -> tuple[Forecast, ...]:
        """The forecasts for a season's place and discipline."""
        own = (season.place, season.discipline)
        return tuple(f for f in self.year.forecasts if (f.place, f.discipline) == own)

    def can_go(self, day: date, spell: RockSpell) -> bool:
        """Whether a day is long enough to go to that rock, named for it, on a trip, or free; while
        something is hurt, whether easy days there are allowed."""
        return self.rock_in_seven(day) != 0 and self.could_go(day, spell)

    def could_go(self, day: date, spell: RockSpell) -> bool:
        """The same, hurt or not."""
        if self.reach(day, spell) <= 0:
            return False
        if spell.is_trip or self.names_rock:
            return True
        windows = self.rock_windows(day, spell.entry)
        longest = max((end - start for start, end in windows), default=0)
        return longest >= rock_day_table().least_minutes

    def rock_windows(self, day: date, rock: Rock) -> tuple[tuple[int, int], ...]:
        """When one can be on the way to that rock and there, in minutes after midnight: so that it
        is light there; where a day is not named for it nor on a trip, in the free time of the day.
        """
        table, trip = rock_day_table(), isinstance(rock, Trip)
        assert rock.discipline is not None
        begins, ends = 60 * table.begins[rock.discipline], 60 * table.ends
        usual = 60 * usual_hours()["daylight_begins"]
        whole = trip or self.names_rock
        free = ((0, 24 * 60),) if whole else self.windows(day)
        way = 0 if trip else self._way(rock)
        dawn, dusk = daylight_at(self.year, day, rock)
        first = max(begins if whole else min(begins, usual), dawn - way)
        last = min(dusk + way, 24 * 60 if trip else ends)
        found = ((max(start, first), min(end, last)) for start, end in free)
        return tuple((start, end) for start, end in found if start < end)

    def _way(self, rock: Rock) -> int:
        usual = self.year.climber.rock_travel_minutes
        return usual if isinstance(rock, Outing) else rock_way(self.year, rock.place)

    @cached_property
    def rock_days(self) -> frozenset[date]:
        """Days with rock in condition at home or on a trip: some chance above 0."""
        return frozenset(
            day
            for spell in self.spells
            if (inside := spell.span.meet(self.span))
            for day in inside.days()
            if spell.chance(day) > 0
        )

    def serves(self, spell: RockSpell, goal: Goal) -> bool:
        """Whether a spell serves a goal: named by it, or of its place and discipline."""
        if goal.served_by:
            return spell.entry.id in goal.served_by
        entry = spell.entry
        return entry.place == goal.place and entry.discipline is goal.discipline

    @cached_property
    def opportunities(self) -> tuple[Opportunity, ...]:
        """Every goal at every spell that serves it; a day counts at the best within reach."""
        return self._served(self.spells, self.span)

    @cached_property
    def later(self) -> tuple[Opportunity, ...]:
        """Every goal at the rock to come after the year: at each season, window or trip the days
        that are left of a spell that has begun, else of the next one."""
        beyond = Span(self.span.after, self.span.after + timedelta(days=AHEAD_DAYS))
        found = [
            RockSpell(season, spell)
            for season in self.year.seasons
            for spell in islice(season.spells(beyond), 1)
        ]
        found += [RockSpell(w, w.span) for w in self.year.windows if w.span.meet(beyond)]
        found += [
            RockSpell(t, t.there) for t in self.year.trips if t.climbing and t.there.meet(beyond)
        ]
        if not found:
            return ()
        until = max(spell.span.after for spell in found)
        spells = sorted(found, key=lambda s: (s.span, s.entry.id))
        return self._served(spells, Span(beyond.first, until))

    def _served(self, spells: Sequence[RockSpell], within: Span) -> tuple[Opportunity, ...]:
        return tuple(
            Opportunity(goal, spell, chances)
            for goal in self.year.goals
            for spell, chances in self._shared_out(goal, spells, within=within)
            if chances
        )

    def matters_most(self, goal: Goal) -> bool:
        """Whether a goal is of the highest priority that any goal of the year has."""
        return goal.priority == min(one.priority for one in self.year.goals)

    def _shared_out(
        self, goal: Goal, spells: Sequence[RockSpell], *, within: Span
    ) -> Iterator[tuple[RockSpell, dict[date, float]]]:
        mine = [spell for spell in spells if self.serves(spell, goal)]
        out: dict[int, dict[date, float]] = {index: {} for index in range(len(mine))}
        for day in within.days() if mine else ():
            best = max(
                (
                    (spell.chance(day) * self.freedom(day, spell), -index)
                    for index, spell in enumerate(mine)
                    if spell.chance(day) > 0 and self.can_go(day, spell)
                ),
                default=(0.0, 0),
            )
            if best[0] > 0:
                out[-best[1]][day] = best[0]
        return ((spell, out[index]) for index, spell in enumerate(mine))

    def freedom(self, day: date, spell: RockSpell) -> float:
        """How far the climber could be at that rock on that day, 0 to 1: free, healthy, there."""
        return self.reach(day, spell) if self.injury_on(day) is None else 0.0

    def rock_in_seven(self, day: date) -> int | None:
        """Most days on rock in seven that what is hurt on a day allows, all easy; None: healthy."""
        return most_rock_days(self.hurts(day)) if self.year.injuries else None

    def reach(self, day: date, spell: RockSpell) -> float:
        """The same, hurt or not."""
        if spell.is_trip:
            return 1.0
        if day in self.trip_days:
            return 0.0
        if day.weekday() not in self.year.climber.rock_weekdays:
            return 0.0
        return self.left(day) if self._long_enough(day) else 0.0

    def _long_enough(self, day: date) -> bool:
        """Whether what absences leave of a day at the rock, of a said or usual length, is one."""
        usual = self.year.climber.rock_minutes or composing().rock.usual_minutes
        shortest = min(usual, rock_day_table().shortest_minutes)
        return not self.names_rock or self.left(day) * usual >= shortest

    @property
    def names_rock(self) -> bool:
        """Whether days or minutes are named for the rock: else its time is the free time."""
        return bool(self.year.climber.rock_days or self.year.climber.rock_minutes)

    # --- edges ----------------------------------------------------------------------------

    def edges(self) -> set[date]:
        """Days on which something given, an injury's phase or a fixed block begins or has ended."""
        spans = [given.span for given in self.givens]
        spans += [span for injury in self.year.injuries for _, span in injury.phases]
        spans += [pin.span for pin in self.year.pins]
        return {edge for span in spans for edge in (span.first, span.after)}


def almanac_of(year: Year) -> Almanac:
    """The almanac of this very record, made once while it is among the last few asked about."""
    kept = _LATEST.pop(id(year), None)
    if kept is None or kept.year is not year:
        kept = Almanac(year)
    _LATEST[id(year)] = kept
    for oldest in list(_LATEST)[:-KEPT_ALMANACS]:
        _LATEST.pop(oldest, None)
    return kept


_LATEST: dict[int, Almanac] = {}
