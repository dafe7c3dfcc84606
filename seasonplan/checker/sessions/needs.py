"""Judges whether sessions fit their block and what there is to train on: `session-needs`."""

from __future__ import annotations

from collections.abc import Iterator

from seasonplan.body.daylight import daylight_at
from seasonplan.body.wall import least_on_wall
from seasonplan.checker.sessions.timetable import Timetable, faulty, minute_of
from seasonplan.days import ONE_DAY
from seasonplan.plan import Session
from seasonplan.recipes import Need, Recipe
from seasonplan.rules.findings import Finding
from seasonplan.rules.statements import Rule
from seasonplan.rules.tables import usual_hours
from seasonplan.vocabulary import Kind, RockRole
from seasonplan.year import Trip

ALWAYS_THERE = {Need.NOTHING, Need.DAYLIGHT, Need.ROCK}  # the last two by day and hour
THERE_ON_TRIPS = {Need.PARTNER}
NEAR_RPE = 1e-6
HURT_DAYS = "days on rock in seven while hurt"


def judge_needs(table: Timetable, rule: Rule) -> Iterator[Finding]:
    """Sessions of no recipe, of the wrong kind or length, or without what they need."""
    for session in table.sessions:
        recipe = table.recipe(session)
        if recipe is None:
            yield faulty(rule, session, about="no such recipe")
            continue
        trips = table.trips(session.day)
        faults = [
            *_unlike(session, recipe),
            *lacking(table, recipe, away=bool(trips)),
            *(_away(recipe, trips) if trips else _at_home(table, session, recipe)),
            *(["daylight"] if _in_the_dark(table, session, recipe) else []),
        ]
        for about in faults:
            yield faulty(rule, session, about=about)
    yield from _rock_while_hurt(table, rule)


def _rock_while_hurt(table: Timetable, rule: Rule) -> Iterator[Finding]:
    """Days on rock while a part comes back that are not easy, more in seven than its phase allows,
    or on following days."""
    rock = [session for session in table.sessions if session.role is not None]
    for last in rock:
        most = table.sheet.almanac.rock_in_seven(last.day)
        if not most:  # healthy, or no rock at all: judged by itself
            continue
        if last.role is not RockRole.EASY:
            yield faulty(rule, last, about="project while hurt")
        seven = [one for one in rock if 0 <= (last.day - one.day).days < 7]
        days = {one.day for one in seven}
        if len(days) > most:
            yield faulty(rule, *seven, about=HURT_DAYS, found=len(days), limit=most)
        if last.day - ONE_DAY in days:
            yield faulty(rule, *seven[-2:], about="following days on rock while hurt")


def _unlike(session: Session, recipe: Recipe) -> Iterator[str]:
    """How a session is not what its recipe says."""
    if not recipe.least_minutes <= session.minutes <= recipe.most_minutes:
        yield "minutes"
    if abs(session.rpe - recipe.rpe) > NEAR_RPE:
        yield "effort"
    if session.active_share != recipe.active_share or session.role is not recipe.role:
        yield "what counts of its minutes"
    least, most = (0, 0) if not recipe.hang_seconds else (1, recipe.hangs[1])
    if not least <= session.hangs <= most:
        yield "hangs"


def lacking(table: Timetable, recipe: Recipe, *, away: bool = False) -> list[str]:
    """What a recipe needs and the climber has not."""
    there = {*table.sheet.year.sessions.has, *ALWAYS_THERE}
    if Need.HOME_WALL in there:
        there.add(Need.WALL)
    if away:
        there |= THERE_ON_TRIPS
    return [need.value for need in recipe.needs if need not in there]


def _away(recipe: Recipe, trips: list[Trip]) -> Iterator[str]:
    if Kind.TRIP not in recipe.kinds:
        yield "kind of block"
    if recipe.disciplines and not {trip.discipline for trip in trips} & {*recipe.disciplines}:
        yield "discipline"


def _at_home(table: Timetable, session: Session, recipe: Recipe) -> Iterator[str]:
    block = table.block(session)
    if block is not None and block.kind not in recipe.kinds:
        yield "kind of block"
    if Need.ROCK in recipe.needs and not _rock(table, recipe, session):
        yield "rock"
    if Need.WALL in recipe.needs and _too_short(table, session):
        yield "too short for the way to a wall"


def _too_short(table: Timetable, session: Session) -> bool:
    return session.minutes < least_on_wall(table.sheet.almanac, session.day)


def _in_the_dark(table: Timetable, session: Session, recipe: Recipe) -> bool:
    """Whether what needs light begins outside the usual hours of it; on rock, or is not over
    before it goes."""
    if Need.DAYLIGHT not in recipe.needs:
        return False
    start = minute_of(session)
    if session.role is None:
        usual = usual_hours()
        return not usual["daylight_begins"] <= start / 60 < usual["daylight_ends"]
    dawn, dusk = daylight_at(table.sheet.year, session.day, table.rock(session))
    return not dawn <= start <= start + session.minutes <= dusk


def _rock(table: Timetable, recipe: Recipe, session: Session) -> bool:
    """Whether the rock that a session goes to is in condition and the climber can be there."""
    almanac, day = table.sheet.almanac, session.day
    outing = next((o for o in table.sheet.year.outings if o.id == session.rock), None)
    if outing is not None:
        return day in outing.span and outing.discipline in recipe.disciplines
    return any(
        spell.entry.id == session.rock
        and spell.chance(day) > 0
        and almanac.can_go(day, spell)
        and spell.entry.discipline in recipe.disciplines
        for spell in almanac.spells
    )
