"""How form and days on rock become worth, straight in the levels, so that it is a sum over weeks.

Constants and their labels: `shared/response.toml`. Knows no rule and no planner.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from functools import cached_property
from itertools import groupby
from math import log1p

from seasonplan.body.almanac import Almanac, Opportunity
from seasonplan.body.response import QUALITIES, Body, Morning, body_of, mornings, trainings
from seasonplan.days import ONE_DAY, Span, week_start
from seasonplan.plan import Block, Occasion, Session
from seasonplan.recipes import Recipe
from seasonplan.rules.tables import response_table, rock_day_table
from seasonplan.vocabulary import Quality, RockRole
from seasonplan.year import Goal, Year

# --- goals ------------------------------------------------------------------------------------


def goal_worth(goal: Goal, year: Year) -> float:
    """Points of a sure day for a goal, by its priority: the highest that any goal of the year has
    counts as the first, as goals are held against each other and all else is held against them."""
    first = min(one.priority for one in year.goals)
    return response_table().priority_worth[goal.priority - first]


def demands(goal: Goal) -> tuple[float, ...]:
    """What a goal asks of each quality, 1 to 5: as said, else as usual for its discipline and
    style."""
    table = response_table()
    usual = dict(table.demands[goal.discipline])
    for quality, more in table.style_demands.get(goal.style, {}).items():
        usual[quality] = min(5, max(1, usual[quality] + more))
    asked = {**usual, **goal.demands}
    if Quality.ENDURANCE in goal.demands and Quality.POWER_ENDURANCE not in goal.demands:
        asked[Quality.POWER_ENDURANCE] = goal.demands[Quality.ENDURANCE]
    return tuple(float(asked[quality]) for quality in QUALITIES)


def weights(goal: Goal) -> tuple[float, ...]:
    """The share of each quality in what a goal asks, adding up to 1."""
    asked = list(demands(goal))
    for quality in (Quality.ENDURANCE, Quality.POWER_ENDURANCE):  # one demand in two parts
        asked[QUALITIES.index(quality)] *= response_table().in_two_parts
    return tuple(each / sum(asked) for each in asked)


def shortfalls(year: Year) -> tuple[float, ...]:
    """How far each quality is behind what goals of the highest priority ask; none: 0."""
    if not year.goals:
        return (0.0,) * len(QUALITIES)
    highest = min(goal.priority for goal in year.goals)
    body = body_of(year)
    asked = [demands(goal) for goal in year.goals if goal.priority == highest]
    return tuple(max(one[n] for one in asked) - body.rating[n] for n in range(len(QUALITIES)))


def fingers_limit(year: Year) -> bool:
    """Whether finger strength is further behind than endurance of either sort."""
    behind = dict(zip(QUALITIES, shortfalls(year), strict=True))
    return behind[Quality.FINGER_STRENGTH] > max(
        0.0, behind[Quality.ENDURANCE], behind[Quality.POWER_ENDURANCE]
    )


def shortfall_worth(steps: float) -> float:
    """Worth of one more rating step where `steps` are missing: the further behind, the more."""
    return next(slope for upto, slope in response_table().shortfall if steps <= upto or upto == 9)


def around(steps: float, quality: Quality) -> float:
    """The same on both sides of the start: on the days that count a level is now above, now below
    it, the more often the faster it fades."""
    aside, below = response_table().aside, response_table().below.get(quality, 0.5)
    sides = shortfall_worth(steps + aside), shortfall_worth(steps - aside)
    return below * sides[0] + (1 - below) * sides[1]


@dataclass(frozen=True)
class FormWorth:
    """What levels on some days are worth: `a_level` for each unit of level, straight.

    `days` are weights of the days, adding up to 1; `worth` is in points for one rating step;
    `chance` is the goal at its rock, none of form all through the year; it may lie after the year.
    """

    days: Mapping[date, float]
    worth: float
    asked: tuple[float, ...]
    weights: tuple[float, ...]
    tires: bool = True
    chance: Opportunity | None = None

    @property
    def first(self) -> date:
        """The day from which it is wanted."""
        return min(self.days if self.chance is None else self.chance.chances)

    def a_level(self, body: Body) -> tuple[float, ...]:
        """Points for each unit of level of each quality: the slope at the start."""
        step = log1p(response_table().step)
        return tuple(
            self.worth * weight * around(asked - own, quality) / ((1 + level) * step)
            for quality, weight, asked, own, level in zip(
                QUALITIES, self.weights, self.asked, body.rating, body.start, strict=True
            )
        )

    def a_load(self, body: Body) -> float:
        """Points lost for each unit of weekly load of late."""
        return self.worth * response_table().fatigue_steps / body.top if self.tires else 0.0


@dataclass(frozen=True)
class Aims:
    """All that form is worth in a year, by what the climber entered alone."""

    almanac: Almanac

    @cached_property
    def body(self) -> Body:
        return body_of(self.almanac.year)

    def used(self, chance: Opportunity) -> dict[date, float]:
        """Chance x role of the days that could be used: the best few of each week, all of a trip.

        Which days are used in the end hangs on the plan; this does not.
        """
        days = chance.chances
        table = rock_day_table()
        if chance.spell.is_trip:
            share = table.in_seven_away / 7
            return {day: share * each for day, each in days.items()}
        begins = self.almanac.week_begins
        most = table.in_seven[len(self.almanac.year.climber.rock_days)]
        found = {}
        for _, group in groupby(sorted(days), key=lambda day: week_start(day, begins)):
            best = sorted(group, key=lambda day: (-days[day], day))[:most]
            for day, role in zip(best, (1.0, *[response_table().easy_day] * 6), strict=False):
                found[day] = days[day] * role
        return found

    @cached_property
    def forms(self) -> tuple[FormWorth, ...]:
        """Form on the days of each opportunity, all through the year, and beyond its end."""
        found = [form for chance in self.almanac.opportunities if (form := self._form(chance))]
        later = [form for chance in self.almanac.later if (form := self._form(chance))]
        return (*found, self._all_year(found or later), *self._beyond(found, later))

    def _form(self, chance: Opportunity) -> FormWorth | None:
        """Form at one opportunity; none where no day could be used."""
        table, used = response_table(), self.used(chance)
        good = sum(used.values())
        if good <= 0:
            return None
        worth = goal_worth(chance.goal, self.almanac.year) * table.step_days * good
        days = {day: share / good for day, share in used.items()}
        return FormWorth(days, worth, demands(chance.goal), weights(chance.goal), chance=chance)

    def _all_year(self, found: Sequence[FormWorth]) -> FormWorth:
        table, span = response_table(), self.almanac.span
        total = sum(form.worth for form in found)
        if total:
            mixed = [
                tuple(sum(f.worth * getattr(f, part)[n] for f in found) / total for n in range(6))
                for part in ("asked", "weights")
            ]
        else:
            mixed = [(3.0,) * 6, (1 / 6,) * 6]
        days = dict.fromkeys(span.days(), 1 / span.length)
        return FormWorth(days, table.all_year * max(total, 3.0), mixed[0], mixed[1], tires=False)

    def _beyond(
        self, found: Sequence[FormWorth], later: Sequence[FormWorth]
    ) -> Iterator[FormWorth]:
        """Form at the rock to come after the year, a third into it.

        It is worth a share of what the year had of it, where that was a whole spell, else of what
        its own days could hold.
        """
        seen = set()
        had = self._had(found)
        for form in later:
            assert form.chance is not None
            span = form.chance.spell.span
            first = max(span.first, self.almanac.span.after)
            key = _key(form)
            if key not in seen:
                seen.add(key)
                day = first + ((span.after - first).days // 3) * ONE_DAY
                worth = response_table().beyond * had.get(key, form.worth)
                yield replace(form, days={day: 1.0}, worth=worth, tires=False)

    def _had(self, found: Sequence[FormWorth]) -> dict[tuple[str, tuple[float, ...]], float]:
        """The worth of the first spell that lay in the year as a whole."""
        had: dict[tuple[str, tuple[float, ...]], float] = {}
        for form in found:
            assert form.chance is not None
            if self.almanac.span.covers(form.chance.spell.span):
                had.setdefault(_key(form), form.worth)
        return had


def _key(form: FormWorth) -> tuple[str, tuple[float, ...]]:
    """The rock of a form and what it asks: goals that ask the same of the same rock are one."""
    assert form.chance is not None
    return form.chance.spell.entry.id, form.asked


def rock_worth(almanac: Almanac, session: Session) -> float:
    """Points of a session on rock: chance of a good day x priority x role, over all goals."""
    table = response_table()
    share = table.easy_day if session.role is RockRole.EASY else 1.0
    return share * sum(
        goal_worth(chance.goal, almanac.year) * chance.chances.get(session.day, 0.0)
        for chance in almanac.opportunities
        if session.rock == chance.spell.entry.id
    )


def form_worth(form: FormWorth, found: Mapping[date, Morning], body: Body) -> float:
    """Points of a form under these mornings, which reach as far as its days."""
    slopes, tired = form.a_level(body), form.a_load(body)
    total = 0.0
    for day, share in form.days.items():
        morning = found[day]
        gained = sum(
            slope * (level - start)
            for slope, level, start in zip(slopes, morning.levels, body.start, strict=True)
        )
        total += share * (gained - tired * morning.tired)
    return total


def occasions(
    almanac: Almanac, blocks: Sequence[Block], sessions: Sequence[Session],
    book: Mapping[str, Recipe], done: Mapping[date, float] | None = None,
) -> tuple[Occasion, ...]:  # fmt: skip
    """What the plan makes of each goal at each season spell, window or trip.

    Of weeks that were missed in part as much counts as was `done`: share of their load by first
    day.
    """
    body = body_of(almanac.year)
    found = mornings(almanac.year, trainings(blocks, sessions, book, done), body)
    return tuple(_occasion(chance, sessions, found, body) for chance in almanac.opportunities)


def _occasion(
    chance: Opportunity, sessions: Sequence[Session], found: Mapping[date, Morning], body: Body
) -> Occasion:
    span = Span(min(chance.chances), max(chance.chances) + ONE_DAY)
    entry = chance.spell.entry.id
    there = [one for one in sessions if one.rock == entry and one.day in chance.chances]
    days = sorted({one.day for one in there})
    tried = {one.day for one in there if one.role is RockRole.PROJECT}
    good = sum(chance.chances[day] for day in days)
    shares = {day: chance.chances[day] / good for day in days} if good else {
        day: share / chance.possible for day, share in chance.chances.items()
    }  # fmt: skip
    form = sum(
        share * found[day].form(weights(chance.goal), body)
        for day, share in sorted(shares.items()) if day in found
    )  # fmt: skip
    return Occasion(
        goal=chance.goal.id, entry=entry, span=span, possible=chance.possible,
        rock_days=len(days), easy_days=len(days) - len(tried), good_days=good, form=form,
    )  # fmt: skip
