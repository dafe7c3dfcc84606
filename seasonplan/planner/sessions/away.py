"""Days on climbing trips: some of climbing, one of rest, travel days free."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date, time

from seasonplan.almanac import Almanac
from seasonplan.plan import Block, Session, Week
from seasonplan.planner.sessions.ask import harms
from seasonplan.recipes import Need, Recipe
from seasonplan.reference import least_given_days, trip_days
from seasonplan.rules import RuleBook
from seasonplan.vocabulary import Kind
from seasonplan.year import Trip

STEP = 5  # minutes


def trip_sessions(
    block: Block, almanac: Almanac, *, book: Mapping[str, Recipe], rules: RuleBook
) -> Iterator[Session]:
    """Sessions on the climbing trips of a block: the block itself, or short ones inside."""
    for trip in almanac.year.trips:
        if not trip.climbing:
            continue
        weeks = [week for week in block.weeks if _on(trip, week, block, almanac)]
        if weeks:
            days = [day for week in weeks for day in week.span.days()]
            climbed = list(_climbing_days(trip, days))
            load = sum(week.load for week in weeks)
            suited = [recipe for recipe in book.values() if _suits(recipe, trip, almanac)]
            for number, day in enumerate(climbed):
                menu = [r for r in suited if not harms(r, almanac, day, rules=rules)]
                if menu and load:
                    recipe = menu[number % len(menu)]
                    yield _day(trip, block, recipe, day=day, load=load / len(climbed))


def _on(trip: Trip, week: Week, block: Block, almanac: Almanac) -> bool:
    if block.kind is Kind.TRIP:
        return block.entry == trip.id
    return almanac.short_trip(week.span.first) == trip


def _day(trip: Trip, block: Block, recipe: Recipe, *, day: date, load: float) -> Session:
    minutes = STEP * round(load / recipe.rpe / STEP) if recipe.rpe else recipe.minutes
    longest = min(recipe.most_minutes, _day_minutes())
    return Session(
        id=f"{block.id}/{day}/{recipe.id}",
        block=block.id,
        recipe=recipe.id,
        day=day,
        start=time(trip_days().begins),
        minutes=min(longest, max(recipe.least_minutes, minutes)),
        rpe=recipe.rpe,
        zone=trip.time_zone,
    )


def _day_minutes() -> int:
    """From when days on trips begin to midnight."""
    return 60 * (24 - trip_days().begins)


def _climbing_days(trip: Trip, days: list[date]) -> Iterator[date]:
    """Every day but rest days in their turn and, on longer trips, the days of travel."""
    rhythm = trip_days()
    travel = {trip.first, trip.last} if trip.span.length >= least_given_days() else set()
    number = 0
    for day in days:
        if day in travel:
            continue
        if number % (rhythm.climbing + rhythm.resting) < rhythm.climbing:
            yield day
        number += 1


def _suits(recipe: Recipe, trip: Trip, almanac: Almanac) -> bool:
    has = {*almanac.year.sessions.has, Need.NOTHING, Need.DAYLIGHT, Need.ROCK, Need.PARTNER}
    return (
        Kind.TRIP in recipe.kinds
        and recipe.minutes > 0
        and recipe.least_minutes <= _day_minutes()
        and (not recipe.disciplines or trip.discipline in recipe.disciplines)
        and set(recipe.needs) <= has
    )
