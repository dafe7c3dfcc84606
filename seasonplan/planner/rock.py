"""Which days of the year go to the rock: best chances first, in a rhythm a body can keep.

Chosen once for the year, before any block: a block of performance uses them all, base and strength
in a season one easier day a week. Enforces `rock-rhythm`. Knows no block.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from functools import cached_property

from seasonplan.almanac import Almanac, RockSpell
from seasonplan.days import ONE_DAY, Span
from seasonplan.planner.care import harms
from seasonplan.planner.levels import Levels
from seasonplan.recipes import Need, Recipe
from seasonplan.reference import response_table, rock_day_table, usual_hours
from seasonplan.rules import RuleBook
from seasonplan.vocabulary import Discipline, RockRole, Style
from seasonplan.year import Outing, rock_way

Taken = Mapping[date, Sequence[tuple[int, int]]]  # busy (from, to) in minutes after midnight
LONG = (Discipline.MULTIPITCH, Discipline.MOUNTAIN, Discipline.ICE)
TRIP_WITHOUT_GOAL = 0.3  # points of a sure day on a trip that serves no goal (preference)
SHORT_SPELL_DAYS = 4  # a spell as short has no easy beginning
LONG_DAYS_BEFORE = timedelta(weeks=10)  # of a mountain season: a long day each fortnight
LONG_DAY_MINUTES = 300
FRESH_AFTER_DAYS = 14  # without rock, after which a season or trip begins easily
MEMORY = 6  # days that the choice looks back


@dataclass(frozen=True, slots=True)
class RockDay:
    """A day on rock: where, what for, which recipe, when, and what it is worth in the choice.

    `counts` are the points of a project day there, `easier` the recipe of an easier day. `away`:
    on a trip. `first`: the first of its season or trip. `entry` None: a long day before a mountain
    season.
    """

    day: date
    entry: str | None
    discipline: Discipline
    role: RockRole
    recipe: Recipe
    easier: Recipe | None
    start: int
    minutes: int
    worth: float
    counts: float = 0.0
    away: bool = False
    first: bool = False

    @property
    def load(self) -> float:
        return self.recipe.load(self.minutes)


@dataclass(frozen=True, slots=True)
class _Chance:
    """A day that could be used: points of a project day, and where."""

    day: date
    spell: RockSpell
    worth: float
    counts: float
    style: Style


class RockCalendar:
    """The chosen days of a year."""

    def __init__(
        self,
        almanac: Almanac,
        levels: Levels,
        *,
        book: Mapping[str, Recipe],
        rules: RuleBook,
        taken: Taken,
    ) -> None:
        self._almanac = almanac
        self._levels = levels
        self._rules = rules
        self._taken = taken
        has = {*almanac.year.sessions.has, Need.NOTHING, Need.DAYLIGHT, Need.ROCK}
        self._recipes = [r for r in book.values() if r.role is not None and set(r.needs) <= has]

    @cached_property
    def days(self) -> dict[date, RockDay]:
        """Every chosen day, in order."""
        chosen: dict[date, RockDay] = {}
        for run in self._runs():
            for one in self._choose(run):
                chosen[one.day] = one
        for one in list(self._wished(dict(chosen))):
            chosen.setdefault(one.day, one)
        return dict(sorted(chosen.items()))

    # --- what could be used -----------------------------------------------------------------

    @cached_property
    def _chances(self) -> dict[date, _Chance]:
        """The best rock of each day, by priority x chance over all goals it serves."""
        table = response_table()
        points: dict[tuple[date, str], tuple[float, Style]] = {}
        for chance in self._almanac.opportunities:
            weight = table.priority_worth[chance.goal.priority - 1]
            for day, share in chance.chances.items():
                key = day, chance.spell.entry.id
                had, style = points.get(key, (0.0, chance.goal.style))
                points[key] = had + weight * share, style
        found: dict[date, _Chance] = {}
        for spell in self._almanac.spells:
            for day in spell.span.days():
                counts, style = points.get((day, spell.entry.id), (0.0, Style.REDPOINT))
                worth = counts
                if not worth and spell.is_trip:
                    worth = TRIP_WITHOUT_GOAL * spell.chance(day)
                if worth > 0 and day in self._almanac.span and self._almanac.can_go(day, spell):
                    best = found.get(day)
                    if best is None or worth > best.worth:
                        found[day] = _Chance(day, spell, worth, counts, style)
        return found

    def _runs(self) -> Iterator[list[_Chance]]:
        """Days that could be used, in runs with breaks of more than the memory between."""
        run: list[_Chance] = []
        for day in sorted(self._chances):
            if run and (day - run[-1].day).days > 2 * MEMORY:
                yield run
                run = []
            run.append(self._chances[day])
        if run:
            yield run

    # --- one day ----------------------------------------------------------------------------

    def _made(self, one: _Chance, role: RockRole, *, share: float = 1.0) -> RockDay | None:
        """The day as it would be, None where no recipe or no time is there for it."""
        discipline = one.spell.entry.discipline
        assert discipline is not None
        travel = self._travel(one)
        window = self._window(one.day, away=one.spell.is_trip, travel=travel)
        easy = self._recipe(one.day, discipline, RockRole.EASY)
        recipe = easy
        if role is RockRole.PROJECT:
            recipe = self._recipe(one.day, discipline, role, style=one.style)
            if recipe is None:
                recipe, role = easy, RockRole.EASY
        if recipe is None or window is None:
            return None
        minutes = self._minutes(one, recipe, window, share=share)
        if minutes is None:
            return None
        worth = one.worth * (response_table().easy_day if role is RockRole.EASY else 1.0)
        return RockDay(
            day=one.day, entry=one.spell.entry.id, discipline=discipline, role=role,
            recipe=recipe, easier=easy, start=window[0] + travel, minutes=minutes, worth=worth,
            counts=one.counts, away=one.spell.is_trip,
        )  # fmt: skip

    def _recipe(
        self, day: date, discipline: Discipline, role: RockRole, *, style: Style | None = None
    ) -> Recipe | None:
        found = [
            recipe
            for recipe in self._recipes
            if recipe.role is role
            and discipline in recipe.disciplines
            and not self._hurts(recipe, day)
        ]
        found.sort(key=lambda r: (style is not None and r.style not in (style, None), r.id))
        return found[0] if found else None

    def _hurts(self, recipe: Recipe, day: date) -> bool:
        return harms(recipe, self._almanac, day, rules=self._rules)

    def _travel(self, one: _Chance) -> int:
        return 0 if one.spell.is_trip else rock_way(self._almanac.year, one.spell.entry.place)

    def _window(self, day: date, *, away: bool, travel: int) -> tuple[int, int] | None:
        """The longest time at the rock that no calendar takes, begun by daylight."""
        busy = sorted(self._taken.get(day, ()))
        dusk = 60 * usual_hours()["daylight_ends"] - travel
        best: tuple[int, int] | None = None
        for start, end in self._almanac.rock_windows(day, away=away):
            at = start
            for begins, ends in [*busy, (end, end)]:
                longest = best[1] - best[0] if best else 0
                if at < dusk and min(begins, end) - at > longest:
                    best = (at, min(begins, end))
                at = max(at, ends)
        return best

    def _minutes(
        self, one: _Chance, recipe: Recipe, window: tuple[int, int], *, share: float
    ) -> int | None:
        """How long: what there is time for, no more than a share of a week's load."""
        table, climber, away = rock_day_table(), self._almanac.year.climber, one.spell.is_trip
        room = window[1] - window[0] - 2 * self._travel(one)
        if climber.rock_minutes and not away:
            wanted = climber.rock_minutes
        elif climber.rock_days or away:
            wanted = table.long_minutes if away else 180
        else:
            wanted = min(table.longest_minutes, room)
        if recipe.disciplines and one.spell.entry.discipline in LONG:
            wanted = max(wanted, table.long_minutes)
        heavy = recipe.rpe * recipe.active_share
        load = self._levels.of(one.day).load * table.load_share * (1.25 if away else 1.0)
        minutes = int(min(wanted, room, recipe.most_minutes, load / heavy) * share) // 15 * 15
        minutes = max(minutes, table.shortest_minutes, recipe.least_minutes)
        return minutes if minutes <= room else None

    # --- the choice -------------------------------------------------------------------------

    def _choose(self, run: Sequence[_Chance]) -> list[RockDay]:
        """The best days of a run: a path over days, remembering the last six."""
        by_day = {one.day: one for one in run}
        span = Span.through(run[0].day, run[-1].day)
        options = {day: self._options(one) for day, one in by_day.items()}
        states: dict[tuple[int, ...], tuple[float, tuple[RockDay, ...]]] = {
            (0,) * MEMORY: (0.0, ())
        }
        for day in span.days():
            new: dict[tuple[int, ...], tuple[float, tuple[RockDay, ...]]] = {}
            for past, (points, took) in states.items():
                moves: Iterable[tuple[int, RockDay | None]] = [
                    (0, None), *self._moves(past, by_day.get(day), options.get(day, ()))
                ]  # fmt: skip
                for mark, one in moves:
                    state = (*past[1:], mark)
                    worth = points + (one.worth if one else 0.0)
                    if state not in new or worth > new[state][0]:
                        new[state] = (worth, (*took, one) if one else took)
            states = new
        return list(max(states.values(), key=lambda item: item[0])[1])

    @cached_property
    def _begins(self) -> dict[int, date]:
        """The first usable day of each spell."""
        found: dict[int, date] = {}
        for day in sorted(self._chances):
            found.setdefault(id(self._chances[day].spell), day)
        return found

    def _opens(self, one: _Chance) -> bool:
        """Whether a day is among the first of a season or trip that is long enough to begin easily.

        Of a trip that is its first usable day and the next, of a season its first week.
        """
        spell = one.spell
        if spell.span.length <= SHORT_SPELL_DAYS or spell.span.first < self._almanac.span.first:
            return False
        begins = self._begins[id(spell)]
        since = begins - timedelta(days=FRESH_AFTER_DAYS)
        if any(since <= day < begins for day in self._chances):
            return False
        return (one.day - begins).days < (2 if spell.is_trip else 7)

    def _options(self, one: _Chance) -> list[RockDay]:
        """What a day could be: project, easy; the first of a season or trip only short and easy."""
        table = rock_day_table()
        if self._opens(one):
            easy = self._made(one, RockRole.EASY, share=table.first_share)
            return [replace(easy, first=True)] if easy else []
        last = one.spell.is_trip and one.day == one.spell.span.last
        roles = (RockRole.EASY,) if last else (RockRole.PROJECT, RockRole.EASY)
        made = [self._made(one, role) for role in roles]
        return [day for day in made if day is not None]

    def _moves(
        self, past: tuple[int, ...], one: _Chance | None, options: Sequence[RockDay]
    ) -> Iterator[tuple[int, RockDay]]:
        if one is None or not options:
            return
        table, away = rock_day_table(), one.spell.is_trip
        if sum(mark > 0 for mark in past) >= self._most(one, options[0]):
            return
        if all(past[-table.in_a_row :]):
            return
        every = table.project_every_away if away else table.project_every
        near = any(mark == 2 for mark in past[-(every - 1) :])
        for option in options:
            if option.role is RockRole.PROJECT:
                if not past[-1] and not near:
                    yield 2, option
            elif past[-1] and not option.first:
                minutes = int(option.minutes * table.easy_share) // 15 * 15
                least = max(table.shortest_minutes, option.recipe.least_minutes)
                yield 1, replace(option, minutes=min(option.minutes, max(minutes, least)))
            else:
                yield 1, option

    def _most(self, one: _Chance, option: RockDay) -> int:
        """Days in seven: fewer where they would be more than a week's load, or at the start."""
        table, away = rock_day_table(), one.spell.is_trip
        most = table.in_seven_away if away else table.in_seven
        opens = (one.day - one.spell.span.first).days
        if not away and one.spell.span.length > SHORT_SPELL_DAYS and opens < 7:
            most = 1
        load = 1.25 * self._levels.of(one.day).load / max(option.load, 1.0)
        return max(1, min(most, int(load))) if not away else most

    # --- wished -----------------------------------------------------------------------------

    def _wished(self, chosen: Mapping[date, RockDay]) -> Iterator[RockDay]:
        """Easy days outside the seasons: outings, and long days before a mountain season."""
        taken = set(chosen)
        for outing in self._almanac.year.outings:
            yield from self._in_turn(outing, outing.span, taken, entry=outing.id)
        for first in self._mountain_openings(chosen):
            span = Span(first - LONG_DAYS_BEFORE, first - timedelta(days=3)).meet(
                self._almanac.span
            )
            if span is not None:
                long_day = Outing(
                    name="long day", discipline=Discipline.MOUNTAIN, first=span.first,
                    last=span.last, weeks=2, minutes=LONG_DAY_MINUTES,
                )  # fmt: skip
                yield from self._in_turn(long_day, span, taken, entry=None)

    def _mountain_openings(self, chosen: Mapping[date, RockDay]) -> list[date]:
        """First days in the mountains after a fortnight without one."""
        days = [d for d, one in chosen.items() if one.entry and one.discipline in LONG[:2]]
        return [
            day
            for before, day in zip([None, *days], days, strict=False)
            if before is None or (day - before).days > 14
        ]

    def _in_turn(
        self, outing: Outing, span: Span, taken: set[date], *, entry: str | None
    ) -> Iterator[RockDay]:
        """The freest day in every so many weeks that keeps clear of other days on rock."""
        recipe = self._recipe(span.first, outing.discipline, RockRole.EASY)
        inside = span.meet(self._almanac.span)
        if recipe is None or inside is None:
            return
        weeks = [w for w in self._almanac.weeks() if w.first >= inside.first - ONE_DAY * 6]
        last: date | None = None
        for week in weeks:
            if week.first >= inside.after:
                break
            if last is not None and (week.first - last).days < 7 * (outing.weeks - 1):
                continue
            found = self._freest(week, inside, outing, taken, recipe)
            if found is not None:
                day, window, minutes = found
                taken.add(day)
                last = week.first
                yield RockDay(
                    day=day, entry=entry, discipline=outing.discipline, role=RockRole.EASY,
                    recipe=recipe, easier=recipe, minutes=minutes, worth=0.0,
                    start=window[0] + self._almanac.year.climber.rock_travel_minutes,
                )  # fmt: skip

    def _freest(
        self, week: Span, inside: Span, outing: Outing, taken: set[date], recipe: Recipe
    ) -> tuple[date, tuple[int, int], int] | None:
        best: tuple[tuple[float, int], date, tuple[int, int], int] | None = None
        climber = self._almanac.year.climber
        for day in week.days():
            if day not in inside or self._almanac.is_given(day) or self._hurts(recipe, day):
                continue
            if {day - ONE_DAY, day, day + ONE_DAY} & taken or self._away(day):
                continue
            window = self._outing_window(day)
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

    def _outing_window(self, day: date) -> tuple[int, int] | None:
        climber = self._almanac.year.climber
        named = bool(climber.rock_days or climber.rock_minutes)
        if named and day.weekday() not in climber.rock_weekdays:
            return None
        return self._window(day, away=False, travel=climber.rock_travel_minutes)


def projects(days: Mapping[date, RockDay]) -> frozenset[date]:
    """The days on which a project is tried."""
    return frozenset(day for day, one in days.items() if one.role is RockRole.PROJECT)
