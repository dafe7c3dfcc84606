"""Which days of the year go to the rock: best chances first, in a rhythm a body can keep.

Chosen once for the year, before any block: a block of performance uses them all, base and strength
in a season one easier day a week. While a part comes back there are easy ones, as few and as short
as it allows; they count for no goal. Enforces `session-rock`. Knows no block.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from copy import copy
from dataclasses import dataclass, replace
from datetime import date, timedelta
from functools import cached_property

from seasonplan.body.almanac import Opportunity, RockSpell
from seasonplan.body.opening import opening_of
from seasonplan.body.response import from_50
from seasonplan.body.worth import goal_worth
from seasonplan.days import Span, runs
from seasonplan.injury import RampStep, region
from seasonplan.planner.care import is_young, ramps
from seasonplan.planner.levels import Levels
from seasonplan.planner.outings import Outings
from seasonplan.planner.returning import Returning
from seasonplan.planner.rock_day import Dates, RockDay, first_tries, part_of, quarters
from seasonplan.recipes import Recipe
from seasonplan.rules.tables import composing, response_table, rock_day_table
from seasonplan.vocabulary import Discipline, RockRole, Style
from seasonplan.year import rock_way

LONG = (Discipline.MULTIPITCH, Discipline.MOUNTAIN, Discipline.ICE)
ROCK = composing().rock
FIRST_DAYS_AWAY = 2  # of which a trip may begin on one
MEMORY = 6  # days that the choice looks back
TELLS = 6  # digits by which points of two choices differ
EASY, PROJECT, FIRST = 1, 2, 3  # marks of days it looks back at; 0: no rock


@dataclass(frozen=True, slots=True)
class _Chance:
    """A day that could be used: where, what it is worth in the choice; of the goals it serves the
    points of a project day, the best chance, and the style of the first. `hurt`: most days in seven
    while a part comes back, None where nothing is hurt; `spared`: it does, or is just back and
    bears no hard use yet."""

    day: date
    spell: RockSpell
    worth: float
    counts: float
    good: float
    style: Style
    hurt: int | None = None
    spared: bool = False


class RockCalendar:
    """The chosen days of a year."""

    def __init__(self, dates: Dates, levels: Levels) -> None:
        self._dates, self._levels = dates, levels
        self._almanac = dates.almanac
        self.returning = Returning(dates.almanac, dates.rules)
        self._chosen: dict[object, tuple[RockDay, ...]] = {}

    def bounded(self, levels: Levels) -> RockCalendar:
        """The same where some weeks hold less; runs of days without any stand."""
        other = copy(self)
        other._levels = levels
        del other.days
        return other

    @cached_property
    def days(self) -> dict[date, RockDay]:
        """Every chosen day, in order."""
        chosen: dict[date, RockDay] = {}
        for run in runs(sorted(self._chances), apart=2 * MEMORY):
            key = (run, *(self._levels.of(day).load for day in run.days()))
            if key not in self._chosen:
                self._chosen[key] = self._choose(run)
            chosen |= {one.day: one for one in self._chosen[key]}
        chosen = {one.day: one for one in self._longer_by_steps(chosen.values())}
        wished = list(Outings(self._dates, self._levels, self.returning).days(dict(chosen)))
        chosen |= {one.day: one for one in self._led_up_to(chosen.values(), wished)}
        for one in wished:
            chosen.setdefault(one.day, one)
        return {one.day: one for one in first_tries(chosen)}

    def _longer_by_steps(self, chosen: Iterable[RockDay]) -> Iterator[RockDay]:
        """While a part comes back, and then until a project meets it, no day is longer than a step
        above the longest before it; nor are days right after the short first one of any."""
        most = 0
        opened: RockDay | None = None
        last: date | None = None
        for one in chosen:
            if not one.first and self._long_without(one, last):
                one = opened = self._half(one)
            last = one.day
            if one.first:
                opened = one
            elif opened and self._just_opened(one, opened):
                longest = max(opened.minutes, quarters(opened.minutes * ROCK.opening_rise))
                one = replace(one, minutes=min(one.minutes, longest))
            comes_back = self._chances[one.day].hurt is not None or bool(self._steps(one.day))
            if not comes_back and not most:
                yield one
                continue
            least = max(rock_day_table().shortest_minutes, one.recipe.least_minutes)
            step = max(least, quarters(most * ROCK.led_rise)) if most else one.minutes
            yield replace(one, minutes=min(one.minutes, step))
            met = one.role is RockRole.PROJECT and one.minutes <= step
            most = 0 if met and not comes_back else max(most, min(one.minutes, step))

    def _long_without(self, one: RockDay, last: date | None) -> bool:
        """Whether a day comes after many without rock, wished days among them, but for long routes:
        a window or a trip too short to begin easily."""
        since = one.day - timedelta(days=ROCK.long_without_days)
        if one.discipline in LONG or since < self._almanac.span.first:
            return False
        wished = any(o.first < one.day and o.last >= since for o in self._almanac.year.outings)
        return not wished and (last is None or last < since)

    def _half(self, one: RockDay) -> RockDay:
        """A day half as long, as the first of a season is."""
        table = rock_day_table()
        least = max(table.shortest_minutes, one.recipe.least_minutes)
        return replace(one, minutes=max(least, quarters(one.minutes * table.first_share)))

    def _just_opened(self, one: RockDay, opened: RockDay) -> bool:
        """Whether a day comes soon after the first one, of the same trip or of a season; the long
        days of a trip are as long as their routes."""
        if one.away != opened.away or (one.away and one.discipline in LONG):
            return False
        soon = ROCK.opening_next_away if one.away else ROCK.opening_next_days
        return (one.day - opened.day).days <= soon

    def _led_up_to(self, chosen: Iterable[RockDay], wished: Sequence[RockDay]) -> Iterator[RockDay]:
        """First days longer, still easy, where days of the same kind shortly before led up; of
        trips those of long routes alone, as the next days are short."""
        for one in chosen:
            if one.away and one.discipline not in LONG:
                continue
            since = one.day - timedelta(days=ROCK.fresh_after_days)
            led = [
                other.minutes for other in wished
                if since <= other.day < one.day and other.recipe.id == one.recipe.id
            ]  # fmt: skip
            whole = self._made(self._chances[one.day], RockRole.EASY) if one.first and led else None
            if whole is not None:
                minutes = max(one.minutes, min(whole.minutes, quarters(max(led) * ROCK.led_rise)))
                yield replace(whole, first=True, minutes=minutes)

    # --- what could be used -----------------------------------------------------------------

    @cached_property
    def _chances(self) -> dict[date, _Chance]:
        """The best rock of each day, by priority x chance over all goals it serves."""
        goals: dict[str, list[Opportunity]] = defaultdict(list)
        for one in self._almanac.opportunities:
            goals[one.spell.entry.id].append(one)
        found: dict[date, _Chance] = {}
        for spell in self._almanac.spells:
            for day in spell.span.days():
                served = [one for one in goals[spell.entry.id] if day in one.chances]
                chance = self._chance(day, spell, served)
                if chance.worth > 0 and day in self._almanac.span:
                    best = found.get(day)
                    better = best is None or chance.worth > best.worth
                    if better and self._almanac.can_go(day, spell) and self._may(chance):
                        found[day] = chance
        return found

    def _may(self, one: _Chance) -> bool:
        """Whether what comes back allows an easy day there; the first days back hold none."""
        if one.hurt is None:
            return True
        first_days = self._levels.easy_until(one.day)
        return not first_days and self._made(one, RockRole.EASY) is not None

    def _chance(self, day: date, spell: RockSpell, served: Sequence[Opportunity]) -> _Chance:
        year, hurt = self._almanac.year, self._almanac.rock_in_seven(day)
        counts = sum((goal_worth(one.goal, year) * one.chances[day] for one in served), 0.0)
        goes = spell.is_trip or (hurt is not None and self._serves_some(spell))
        unserved = ROCK.trip_without_goal * spell.chance(day) if goes else 0.0
        good = max((one.chances[day] for one in served), default=0.0)
        style = served[0].goal.style if served else Style.REDPOINT
        spared = hurt is not None or self._bears_little(day)
        return _Chance(day, spell, counts or unserved, counts, good, style, hurt, spared)

    def _bears_little(self, day: date) -> bool:
        """Whether a part is just back in full and bears nothing hard yet: no project is there, as
        one falls there even where the climbing itself is easy on it."""
        return any(not step.hard_a_week for step in self._steps(day))

    def _steps(self, day: date) -> list[RampStep]:
        return ramps(self._almanac, day) if self.returning.caps else []

    def _serves_some(self, spell: RockSpell) -> bool:
        return any(self._almanac.serves(spell, goal) for goal in self._almanac.year.goals)

    # --- one day ----------------------------------------------------------------------------

    def _made(self, one: _Chance, role: RockRole, *, share: float = 1.0) -> RockDay | None:
        """The day as it would be, None where no recipe or no time is there for it."""
        discipline = one.spell.entry.discipline
        assert discipline is not None
        travel = self._travel(one)
        window = self._dates.window(one.day, one.spell.entry)
        easy = self._dates.recipe(one.day, discipline, RockRole.EASY)
        hard = None
        if role is RockRole.PROJECT:
            hard = self._dates.recipe(one.day, discipline, role, style=one.style)
        recipe, role = (hard, role) if hard else (easy, RockRole.EASY)
        if recipe is None or window is None:
            return None
        if one.spared or self._hard_on_what_is_back(recipe, one.day):
            share *= rock_day_table().easy_share
        minutes = self._minutes(one, recipe, window, share=share)
        if minutes is None:
            return None
        worth = one.worth * (response_table().easy_day if role is RockRole.EASY else 1.0)
        return RockDay(
            day=one.day, entry=one.spell.entry.id, discipline=discipline, role=role,
            recipe=recipe, easier=easy, start=window[0] + travel, minutes=minutes, worth=worth,
            counts=one.counts, good=one.good, away=one.spell.is_trip,
        )  # fmt: skip

    def _hard_on_what_is_back(self, recipe: Recipe, day: date) -> bool:
        """Whether it uses hard what the steps after an injury hold back."""
        return any(recipe.hard_on & {*step.tissues} for step in self._steps(day))

    def _travel(self, one: _Chance) -> int:
        return 0 if one.spell.is_trip else rock_way(self._almanac.year, one.spell.entry.place)

    def _minutes(
        self, one: _Chance, recipe: Recipe, window: tuple[int, int], *, share: float
    ) -> int | None:
        """How long: what there is time for, no more than a share of a week's load."""
        table, climber, away = rock_day_table(), self._almanac.year.climber, one.spell.is_trip
        room = window[1] - window[0] - 2 * self._travel(one)
        as_at_home = not away or self._spared_away(one.day)
        if climber.rock_minutes and as_at_home:
            wanted = climber.rock_minutes
        elif climber.rock_days or away:
            home = climber.rock_minutes or ROCK.usual_minutes
            wanted = (
                ROCK.usual_minutes
                if as_at_home
                else min(table.long_minutes, int(home * ROCK.away_load))
            )
        else:
            wanted = min(table.longest_minutes, room)
        if one.spell.entry.discipline in LONG:
            wanted = max(wanted, table.long_minutes, climber.rock_minutes or 0)
        if self._almanac.names_rock and not away:
            room = min(room, int(wanted * self._almanac.left(one.day)))
        load = self._week_holds(one) * table.load_share * (ROCK.away_load if away else 1.0)
        most = min(wanted, room, recipe.most_minutes, load / recipe.load_a_minute)
        minutes = max(quarters(most * share), table.shortest_minutes, recipe.least_minutes)
        return minutes if minutes <= room else None

    def _spared_away(self, day: date) -> bool:
        """Whether a day on a trip is no longer than one at home: of the young, and from 50."""
        young = is_young(self._almanac, day, rules=self._dates.rules)
        return young or from_50(self._almanac.year, day)

    def _week_holds(self, one: _Chance) -> float:
        """The load of its week, by its steps while training or a part comes back."""
        level = self._levels.of(one.day)
        return level.load * min(level.share, self.returning.share(one.day))

    # --- the choice -------------------------------------------------------------------------

    def _choose(self, span: Span) -> tuple[RockDay, ...]:
        """The best days of a run of days that could be used: a path, remembering the last six."""
        states: dict[tuple[int, ...], tuple[float, tuple[RockDay, ...]]] = {
            (0,) * MEMORY: (0.0, ())
        }
        for day in span.days():
            chance = self._chances.get(day)
            options = self._options(chance) if chance else ()
            new: dict[tuple[int, ...], tuple[float, tuple[RockDay, ...]]] = {}
            for past, (points, took) in states.items():
                moves = self._moves(past, chance, options) if chance and options else ()
                for mark, one in ((0, None), *moves):
                    state = (*past[1:], mark)
                    worth = points + (one.worth if one else 0.0)
                    if state not in new or worth > new[state][0]:
                        new[state] = (worth, (*took, one) if one else took)
            states = new
        return max(states.values(), key=_better)[1]

    @cached_property
    def _begins(self) -> dict[int, date]:
        """The first usable day of each spell."""
        found: dict[int, date] = {}
        for day in sorted(self._chances):
            found.setdefault(id(self._chances[day].spell), day)
        return found

    def _opens(self, one: _Chance) -> bool:
        """Whether a day is among the first of a season or trip that is long enough to begin easily.

        Of a trip that is its first usable day and the next, of a season its first week; so is the
        first week after days without rock for what was hurt.
        """
        spell, span = one.spell, one.spell.span
        if self._first_back(one):
            return True
        if not spell.is_trip:
            return one.day in self._openings.get(id(spell), ())
        if span.length <= ROCK.short_spell_days or span.first < self._almanac.span.first:
            return False
        begins = self._begins[id(spell)]
        since = begins - timedelta(days=ROCK.fresh_after_days)
        known = (one for day, one in self._chances.items() if since <= day < begins)
        if any(one.spell.entry.place == spell.entry.place for one in known):
            return False
        return (one.day - begins).days < FIRST_DAYS_AWAY

    @cached_property
    def _openings(self) -> dict[int, Span]:
        """The days of each spell until its easy opening is over."""
        found = ((id(s), opening_of(self._almanac, s)) for s in self._almanac.spells)
        return {spell: opening for spell, opening in found if opening}

    def _first_back(self, one: _Chance) -> bool:
        """Whether no rock could be used in the days before the week that ends with that day, as
        something was hurt; after an illness a trip begins as any other."""
        if not self._almanac.year.injuries:
            return False
        week = [one.day - timedelta(days=n) for n in range(ROCK.opening_days)]
        begins = min(day for day in week if day in self._chances)
        before = [begins - timedelta(days=1 + n) for n in range(ROCK.fresh_after_days)]
        hurts = {part for day in (one.day, *before) for part, _ in self._almanac.hurts(day)}
        if not hurts or any(day in self._chances for day in before):
            return False
        only_ill = all(region(part) == "whole" for part in hurts)
        return not (only_ill and one.spell.is_trip) or (one.day - begins).days < FIRST_DAYS_AWAY

    def _options(self, one: _Chance) -> list[RockDay]:
        """What a day could be: project, easy; the first of a season or trip only short and easy,
        the second of a trip also that."""
        table = rock_day_table()
        care = self._dates.rules.active("session-return") is not None
        back = care and self._levels.easy_until(one.day)
        first: list[RockDay] = []
        if self._opens(one):
            easy = self._made(one, RockRole.EASY, share=table.first_share)
            first = [replace(easy, first=True)] if easy else []
            tries = one.spell.is_trip and one.day > self._begins[id(one.spell)]
            if not tries or self._first_back(one):
                return first
        last = one.spell.is_trip and one.day == one.spell.entry.last  # on which one may travel
        easy_only = last or back or one.spared
        roles = (RockRole.EASY,) if easy_only else (RockRole.PROJECT, RockRole.EASY)
        made = [self._made(one, role) for role in roles]
        return [*first, *(day for day in made if day is not None)]

    def _moves(
        self, past: tuple[int, ...], one: _Chance, options: Sequence[RockDay]
    ) -> Iterator[tuple[int, RockDay]]:
        table, away = rock_day_table(), one.spell.is_trip
        if sum(mark > 0 for mark in past) >= self._most(one, options[0]):
            return
        if all(past[-(1 if one.spared else table.in_a_row) :]):
            return
        every = table.project_every_away if away else table.project_every
        near, none_yet = PROJECT in past[-(every - 1) :], not any(past)
        options = [one for one in options if one.first is none_yet] or options
        fresh = not past[-1] or (away and past[-1] == FIRST)
        for option in options:
            if option.role is RockRole.PROJECT:
                if fresh and not near:
                    yield PROJECT, option
            elif past[-1]:
                yield EASY, part_of(option, table.easy_share)
            else:
                yield FIRST if option.first else EASY, option

    def _most(self, one: _Chance, option: RockDay) -> int:
        """Days in seven: fewer where they would be more than a week's load, or at the start."""
        table, span = rock_day_table(), one.spell.span
        if one.hurt is not None:
            return one.hurt
        if one.spell.is_trip:
            return table.in_seven_away
        opens = (one.day - span.first).days < ROCK.opening_days
        opens = (opens and span.length > ROCK.short_season_days) or self._first_back(one)
        most = 1 if opens else table.in_seven[len(self._almanac.year.climber.rock_days)]
        load = ROCK.away_load * self._levels.of(one.day).load / max(option.load, 1.0)
        return max(1, min(most, int(load)))


def _better(path: tuple[float, tuple[RockDay, ...]]) -> tuple[float, list[int]]:
    """By worth; of equals the one that goes earlier."""
    points, took = path
    return round(points, TELLS), [-one.day.toordinal() for one in took]
