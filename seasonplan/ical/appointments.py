"""When sessions are, ready to be written: one record for each. Knows no calendar format.

A session is a wall clock of its zone: 18:00 stays 18:00 over every change of the clocks. How
long it lasts is real time, so one that runs through a change ends an hour off by the clock.
"""

from __future__ import annotations

from collections.abc import Container, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from uuid import UUID, uuid5
from zoneinfo import ZoneInfo

from seasonplan.ical.changes import Change, session_changes
from seasonplan.ical.layers import Layer
from seasonplan.ical.text import one_line
from seasonplan.plan import Plan, Session
from seasonplan.recipes import Recipe, recipes
from seasonplan.vocabulary import Kind
from seasonplan.year import Trip, Year

CATEGORY = "Session"
UNWELL = {Kind.INJURED, Kind.RETURN}


@dataclass(frozen=True, slots=True)
class Appointment:
    """A session at its hours; `part_of` is the event of its block or trip, where that is shown."""

    uid: UUID
    start: datetime
    end: datetime
    title: str
    change: Change
    part_of: UUID | None
    description: str = ""
    place: str = ""
    busy: bool = True
    alarm_minutes: int | None = None
    url: str = ""


def appointments(
    year: Year,
    plan: Plan,
    *,
    layers: frozenset[Layer],
    texts: Mapping[str, str],
    busy: bool,
    alarm_minutes: int | None,
) -> list[Appointment]:
    """Every session of the current revision, by its beginning; none without their layer."""
    if Layer.SESSIONS not in layers:
        return []
    health = Layer.INJURIES in layers
    making = _Making(year, plan, texts, busy=busy, alarm_minutes=alarm_minutes, health=health)
    found = (making.of(session) for session in plan.current.sessions if session.minutes > 0)
    return sorted(found, key=lambda one: (one.start.astimezone(UTC), one.title, str(one.uid)))


def related(timed: Iterable[Appointment], shown: Container[UUID]) -> list[Appointment]:
    """The appointments with no relation to what is not in the same calendar."""
    return [one if one.part_of in shown else replace(one, part_of=None) for one in timed]


class _Making:
    """Makes appointments of one plan's sessions."""

    def __init__(
        self,
        year: Year,
        plan: Plan,
        texts: Mapping[str, str],
        *,
        busy: bool,
        alarm_minutes: int | None,
        health: bool,
    ) -> None:
        self._year, self._plan, self._texts = year, plan, texts
        self._busy, self._alarm_minutes, self._health = busy, alarm_minutes, health
        self._recipes = recipes(year.recipes)
        own = {recipe.id for recipe in self._recipes.values() if recipe.changed}
        self._changes = session_changes(plan, own_recipes=own)

    def of(self, session: Session) -> Appointment:
        start, end = hours(session, self._year.climber.time_zone)
        recipe = self._recipes.get(session.recipe)
        trip = next(_trips_on(session, self._year), None)
        whole = f"trip:{trip.id}" if trip else session.block
        return Appointment(
            uid=uuid5(self._plan.calendar_key, session.id),
            start=start,
            end=end,
            title=self._title(session, recipe),
            change=self._changes[session.id],
            part_of=uuid5(self._plan.calendar_key, whole),
            description=self._texts.get(session.id, ""),
            place=one_line(trip.place) if trip else "",
            busy=self._busy,
            alarm_minutes=self._alarm_minutes,
        )

    def _title(self, session: Session, recipe: Recipe | None) -> str:
        if recipe is None:
            return one_line(session.recipe)
        return CATEGORY if tells_of_health(recipe) and not self._health else one_line(recipe.name)


def tells_of_health(recipe: Recipe) -> bool:
    """Whether to see the recipe is to know that the climber is hurt."""
    return set(recipe.kinds) <= UNWELL


def hours(session: Session, home: str) -> tuple[datetime, datetime]:
    """Beginning and end in the session's zone (`home` if it names none).

    A wall clock that a change of the clocks leaves out moves on by what was left out, as
    RFC 5545 3.3.5 reads it; one that comes twice is the first.
    """
    zone = ZoneInfo(session.zone or home)
    begun = datetime.combine(session.day, session.start, zone).astimezone(UTC)
    ended = begun + timedelta(minutes=session.minutes)
    return begun.astimezone(zone), ended.astimezone(zone)


def _trips_on(session: Session, year: Year) -> Iterator[Trip]:
    return (trip for trip in year.trips if trip.climbing and session.day in trip.span)
