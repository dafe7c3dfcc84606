"""Shapes of a plan that make a climber shake the head, found from sessions and dates alone.

Each shape is a generator of (day, what) for one plan. Written apart from planner and checker: it
reads the year, the blocks and the sessions, and the planner's choice of days on rock.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cached_property
from itertools import pairwise

from random_years import Drawn

from seasonplan.body.almanac import Almanac
from seasonplan.body.response import weekly_before
from seasonplan.plan import Block, Revision, Session
from seasonplan.planner.rock_day import RockDay
from seasonplan.recipes import Need, Recipe, recipes
from seasonplan.rules.tables import table
from seasonplan.vocabulary import Emphasis, Kind, RockRole, Spread, Tissue

ONE_DAY = timedelta(days=1)
FULL_RPE = 5.5  # what minutes that are free can hold
BEST_MONTH = 1.4
FILLED = 0.85
EASY_RPE = 2.0  # mobility and the like are no training day here
FIRST_WEEKS_DAYS = 14
NO_LIGHTER = 0.95
HARD_RPE = 7.0
LONGEST_SEASON_DAYS = 56
WALLS = {Need.WALL, Need.ROCK}
WAVES = (Kind.BASE, Kind.STRENGTH)
LONG_ENOUGH = 100  # minutes, with a way there and back
LEAST_TO_CLIMB = 450.0  # load: an hour easily on a wall, and a short session of hangs
Sight = Iterator[tuple[date, str]]


@dataclass(frozen=True)
class Looked:
    """A plan as it is looked at."""

    drawn: Drawn
    made: Revision
    rock: Mapping[date, RockDay]

    @cached_property
    def almanac(self) -> Almanac:
        return Almanac(self.drawn.year)

    @cached_property
    def book(self) -> Mapping[str, Recipe]:
        return recipes(self.drawn.year.recipes)

    @cached_property
    def by_day(self) -> dict[date, list[Session]]:
        found: dict[date, list[Session]] = defaultdict(list)
        for session in self.made.sessions:
            found[session.day].append(session)
        return found

    def of(self, *kinds: Kind) -> list[Block]:
        return [block for block in self.made.blocks if block.kind in kinds]

    def load(self, first: date, days: int) -> float:
        return sum(
            one.load for n in range(days) for one in self.by_day.get(first + n * ONE_DAY, ())
        )

    def hard(self, day: date) -> bool:
        """Whether a session at home or a project day is hard on the fingers, or of effort 7."""
        return any(
            (one.rpe >= HARD_RPE or uses_hard(self, one, Tissue.FINGERS))
            and one.role is not RockRole.EASY
            for one in self.by_day.get(day, ())
        )

    def hard_fingers_at_home(self, day: date) -> bool:
        return any(
            one.rock is None and self.book[one.recipe].stresses.get(Tissue.FINGERS, 0) >= 2
            for one in self.by_day.get(day, ())
        )

    def tests(self, day: date) -> bool:
        return any(one.recipe == "test-day" for one in self.by_day.get(day, ()))

    def away(self, day: date) -> bool:
        return any(trip.climbing and day in trip.span for trip in self.drawn.year.trips)

    def by_a_trip(self, day: date) -> bool:
        """Whether it is the day before a climbing trip, or one of two after it, which are easy."""
        near = (day + ONE_DAY, day - ONE_DAY, day - 2 * ONE_DAY)
        return not self.away(day) and any(map(self.away, near))


def rock_left_out(seen: Looked) -> Sight:
    """A day chosen for rock, in a week of performance that is not light, without a session."""
    for block in seen.of(Kind.PERFORMANCE):
        light = [week.span for week in block.weeks if week.deload]
        for day in block.span.days():
            one = seen.rock.get(day)
            if one is None or not one.counts or any(day in span for span in light):
                continue
            if not any(s.rock for s in seen.by_day.get(day, ())):
                yield day, f"{one.entry} {one.role}"


def performance_without_rock(seen: Looked) -> Sight:
    """A performance block without a session on rock, or with three weeks or more before the first,
    four between two, two after the last, where no climbing trip ends it."""
    for block in seen.of(Kind.PERFORMANCE):
        days = [d for d in block.span.days() if any(s.rock for s in seen.by_day.get(d, ()))]
        if seen.away(block.span.after):
            days.append(block.span.after)
        if not days:
            yield block.span.first, f"{block.span.length} days"
            continue
        before, after = days[0] - block.span.first, block.span.after - days[-1]
        between = max((b - a for a, b in pairwise(days)), default=timedelta(0))
        if before.days > 20 or after.days > 14 or between.days > 28:
            yield block.span.first, f"{before.days}, {between.days}, {after.days} days"


def above_best_month(seen: Looked) -> Sight:
    """A whole week at home above 1.4 x the best four weeks running of the twelve before it, those
    with four days off or more left out."""
    history = list(weekly_before(seen.drawn.year))
    for week in seen.almanac.weeks():
        if week.length < 7:
            continue
        load = seen.load(week.first, 7)
        given = any(seen.almanac.is_given(day) or seen.away(day) for day in week.days())
        recent = history[-12:]
        months = [sum(recent[n : n + 4]) / 4 for n in range(max(1, len(recent) - 3))]
        best = max(months)
        if not given and load > BEST_MONTH * best * 1.001:
            yield week.first, f"{load:.0f} against {best:.0f}: {load / best:.2f}"
        kinds = [seen.almanac.given_kinds.get(day) for day in week.days()]
        if sum(kind in (Kind.ABSENCE, Kind.INJURED) for kind in kinds) < 4:
            history.append(load)


def little_in_a_week(seen: Looked) -> Sight:
    """A base or strength week with time and things enough that holds clearly less than its aim.

    Not asked of a week with a test, nor counted the day before a climbing trip and the two after.
    """
    for block in seen.of(Kind.BASE, Kind.STRENGTH):
        for week in block.weeks:
            rock = {s.day for s in seen.made.sessions if s.role is not None}
            free = sum(
                b - a for day in week.span.days() for a, b in seen.almanac.windows(day)
                if not seen.drawn.taken.get(day) and day not in rock and not seen.by_a_trip(day)
            )  # fmt: skip
            enough = free * FULL_RPE * 0.75 >= week.aim and seen.drawn.year.sessions.has
            days = list(week.span.days())
            if any(map(seen.tests, days)):
                continue  # a test wants days that are fresh
            if enough and week.span.length >= 4 and week.load < FILLED * week.aim:
                yield (
                    week.span.first,
                    f"{week.load:.0f} of {week.aim:.0f}, {free:.0f} min, {block.kind} "
                    f"{block.emphasis}{' light' if week.deload else ''}",
                )


def three_hard_days(seen: Looked) -> Sight:
    """Three days running with something hard at home or a project; four where hangs are short."""
    short = Spread.SHORT_AND_HARD in (
        seen.drawn.year.sessions.spread, *seen.drawn.year.sessions.spread_for.values()
    )  # fmt: skip
    yield from _runs(seen, seen.hard, most=3 if short else 2)


def seven_training_days(seen: Looked) -> Sight:
    """Seven days running with a session that is more than mobility."""

    def trains(day: date) -> bool:
        return any(one.minutes and one.rpe > EASY_RPE for one in seen.by_day.get(day, ()))

    yield from _runs(seen, trains, most=6)


def _runs(seen: Looked, marked: Callable[[date], bool], *, most: int) -> Sight:
    run = 0
    for day in seen.almanac.span.days():
        run = run + 1 if marked(day) else 0
        if run == most + 1:
            names = [
                "+".join(one.recipe for one in seen.by_day.get(day - n * ONE_DAY, ()))
                for n in range(most, -1, -1)
            ]
            yield day, " | ".join(names)


def hard_fingers_on_an_eve(seen: Looked) -> Sight:
    """Hard fingers at home on the day before a project day or a climbing trip."""
    for day in seen.almanac.span.days():
        tomorrow = day + ONE_DAY
        project = any(one.role is RockRole.PROJECT for one in seen.by_day.get(tomorrow, ()))
        begins = any(t.climbing and t.first == tomorrow for t in seen.drawn.year.trips)
        if (project or begins) and seen.hard_fingers_at_home(day):
            yield day, "project" if project else "trip"


def two_hangs_a_day(seen: Looked) -> Sight:
    for day, some in sorted(seen.by_day.items()):
        if sum(bool(one.hangs) for one in some) > 1:
            yield day, "+".join(one.recipe for one in some)


def hangs_on_rock(seen: Looked) -> Sight:
    for day, some in sorted(seen.by_day.items()):
        if any(one.hangs for one in some) and any(one.role for one in some):
            yield day, "+".join(one.recipe for one in some)


def rest_as_a_season_opens(seen: Looked) -> Sight:
    """A rest block that begins in the first two weeks of a season while good days still come.

    Asked only where a chosen day on rock falls into the rest or the two weeks after it.
    """
    opens = {
        min(chance.chances) for chance in seen.almanac.opportunities if not chance.spell.is_trip
    }
    for block in seen.of(Kind.REST):
        first = block.span.first
        near = [day for day in opens if day <= first < day + FIRST_WEEKS_DAYS * ONE_DAY]
        ahead = [first + n * ONE_DAY for n in range(block.span.length)]
        lost = [day for day in ahead if day in seen.rock and seen.rock[day].counts]
        if near and lost:
            yield first, f"opened {max(near)}, good days lost {len(lost)}"


def lead_in_after_little(seen: Looked) -> Sight:
    """Rest or a light week right before a lead-in: three small weeks, and then the rock."""
    for before, block in pairwise(seen.made.blocks):
        little = before.kind is Kind.REST or (before.kind in WAVES and before.weeks[-1].deload)
        first = block.weeks[0] if block.kind is Kind.PERFORMANCE else None
        if little and first is not None and first.lead_in and first.span.length == 7:
            yield block.span.first, f"after {before.kind.value}"


def good_days_unused(seen: Looked) -> Sight:
    """A chosen day of a dear goal that falls into rest, or is not used outside light weeks.

    Not asked of the rest that divides a season which is too long for one block.
    """
    dividing = [
        rest.span
        for before, rest, after in zip(seen.made.blocks, *_later(seen.made.blocks), strict=False)
        if (before.kind, rest.kind, after.kind) == (Kind.PERFORMANCE, Kind.REST, Kind.PERFORMANCE)
        and (after.span.after - before.span.first).days > LONGEST_SEASON_DAYS
    ]
    for day, one in seen.rock.items():
        if any(day in span for span in dividing):
            continue
        block = next(b for b in seen.made.blocks if day in b.span)
        light = any(day in week.span and week.deload for week in block.weeks)
        if one.counts >= 1 and not light and not any(s.rock for s in seen.by_day.get(day, ())):
            yield day, f"in {block.kind}, {one.counts:.1f} points"


def _later(blocks: Sequence[Block]) -> tuple[Sequence[Block], Sequence[Block]]:
    return blocks[1:], blocks[2:]


def long_way_under(seen: Looked) -> Sight:
    """Four whole weeks of base or strength running under half of the load before the year, or of
    what a week's free time holds where that is less."""
    holds = 0.75 * FULL_RPE * seen.drawn.year.climber.minutes.week
    usual = min(sum(weekly_before(seen.drawn.year)[-4:]) / 4, holds)
    run = 0
    for block, later in pairwise([*seen.made.blocks, seen.made.blocks[-1]]):
        for week in block.weeks:
            trains = block.kind in (Kind.BASE, Kind.STRENGTH) and week.span.length == 7
            run = run + 1 if trains and week.load < 0.5 * usual else 0
            if run == 4:
                yield week.span.first, f"{week.load:.0f} against {usual:.0f} ({later.kind})"


def light_week_no_lighter(seen: Looked) -> Sight:
    """A whole light week that holds as much as the whole week before it in its block."""
    for block in seen.of(Kind.BASE, Kind.STRENGTH):
        for before, week in pairwise(block.weeks):
            whole = before.span.length == week.span.length == 7
            rock = before.rock_days or week.rock_days
            asked = whole and week.deload and not before.deload and not rock and before.load
            if asked and week.load >= NO_LIGHTER * before.load:
                yield week.span.first, f"{week.load:.0f} after {before.load:.0f}"


def named_for_what_it_lacks(seen: Looked) -> Sight:
    """A block of strength, fingers or power endurance without anything that trains it."""
    for block in seen.of(Kind.BASE, Kind.STRENGTH):
        inside = {s.recipe for day in block.span.days() for s in seen.by_day.get(day, ())}
        needed = table("menus")["needs"].get(f"{block.kind} {block.emphasis}")
        if block.span.length >= 14 and needed is not None and not inside & set(needed):
            yield block.span.first, f"{block.kind} {block.emphasis}"


def rest_after_days_off(seen: Looked) -> Sight:
    """A rest block right after days off: they were the rest."""
    for off, rest in pairwise(seen.made.blocks):
        if rest.kind is Kind.REST and off.kind in (Kind.ABSENCE, Kind.INJURED, Kind.RETURN):
            yield rest.span.first, f"after {off.span.length} days of {off.kind}"


def links_twice(seen: Looked) -> Sight:
    """Two base blocks of power endurance with nothing but rest between."""
    for first, rest, other in zip(seen.made.blocks, *_later(seen.made.blocks), strict=False):
        both = {first.emphasis, other.emphasis} == {Emphasis.POWER_ENDURANCE}
        if both and rest.kind is Kind.REST:
            yield first.span.first, f"{first.span.length} and {other.span.length} days"


def no_climbing(seen: Looked) -> Sight:
    """A normal week of base or strength with hangs but without climbing, where a wall is at hand
    and two free times of the week hold it and the hangs."""
    at_hand = {Need.WALL, Need.HOME_WALL} & set(seen.drawn.year.sessions.has)
    for block in seen.of(Kind.BASE, Kind.STRENGTH) if at_hand else ():
        for week in block.weeks:
            days = list(week.span.days())
            here = [one for day in days for one in seen.by_day.get(day, ())]
            test = any(map(seen.tests, days))
            climbs = any(WALLS & set(seen.book[one.recipe].needs) for one in here)
            if climbs or test or week.deload or len(days) < 7 or not any(s.hangs for s in here):
                continue
            long = sum(
                b - a >= LONG_ENOUGH and not seen.drawn.taken.get(day)
                for day in days for a, b in seen.almanac.windows(day)
            )  # fmt: skip
            if long > 1 and week.aim >= LEAST_TO_CLIMB:
                yield week.span.first, f"{block.kind} {block.emphasis}, {week.aim:.0f}"


def hard_fingers_after_first_rock(seen: Looked) -> Sight:
    """Hard fingers at home on the day after the first rock of a season."""
    for day, one in seen.rock.items():
        used = any(session.rock for session in seen.by_day.get(day, ()))
        if one.first and used and seen.hard_fingers_at_home(day + ONE_DAY):
            yield day + ONE_DAY, "+".join(s.recipe for s in seen.by_day.get(day + ONE_DAY, ()))


def light_week_as_hard(seen: Looked) -> Sight:
    """A whole light week with more days of hard work than the whole week before it; a test is
    in its right place there."""
    for block in seen.of(Kind.BASE, Kind.STRENGTH):
        for before, week in pairwise(block.weeks):
            whole = before.span.length == week.span.length == 7
            if not whole or not week.deload or before.deload:
                continue
            hard = [
                sum(seen.hard(day) and not seen.tests(day) for day in one.span.days())
                for one in (before, week)
            ]
            if hard[1] > hard[0]:
                yield week.span.first, f"{hard[1]} after {hard[0]}"


def uses_hard(seen: Looked, one: Session, tissue: Tissue) -> bool:
    """Whether a session uses a tissue hard."""
    return seen.book[one.recipe].stresses.get(tissue, 0) >= 2


SHAPES: dict[str, Callable[[Looked], Sight]] = {
    "rock left out": rock_left_out,
    "performance without rock": performance_without_rock,
    "above best month": above_best_month,
    "little in a week": little_in_a_week,
    "three hard days": three_hard_days,
    "seven training days": seven_training_days,
    "hard fingers on an eve": hard_fingers_on_an_eve,
    "two hangs a day": two_hangs_a_day,
    "hangs on rock": hangs_on_rock,
    "rest as a season opens": rest_as_a_season_opens,
    "good days unused": good_days_unused,
    "under half of before": long_way_under,
    "light week no lighter": light_week_no_lighter,
    "named for what it lacks": named_for_what_it_lacks,
    "rest after days off": rest_after_days_off,
    "links twice": links_twice,
    "no climbing": no_climbing,
    "hard fingers after the first rock": hard_fingers_after_first_rock,
    "light week as hard": light_week_as_hard,
    "lead-in after little": lead_in_after_little,
}
