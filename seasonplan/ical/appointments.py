"""When sessions are, ready to be written: one record for each. Knows no calendar format.

A session is a wall clock of its zone: 18:00 stays 18:00 over every change of the clocks. How
long it lasts is real time, so one that runs through a change ends an hour off by the clock.
"""

from __future__ import annotations

from collections.abc import Container, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, timedelta
from functools import cached_property
from itertools import pairwise
from uuid import UUID, uuid5
from zoneinfo import ZoneInfo

from seasonplan.diary import DiaryEntry
from seasonplan.edits.sessions import OWN
from seasonplan.ical.changes import Change, day_changes, session_changes
from seasonplan.ical.labels import did_line, did_title, way_line
from seasonplan.ical.layers import Layer
from seasonplan.ical.manner import PLAIN, Manner
from seasonplan.ical.places import Point, where
from seasonplan.ical.text import one_line
from seasonplan.ical.together import Part, day_key, together
from seasonplan.plan import Plan, Session
from seasonplan.recipes import Recipe, recipes
from seasonplan.vocabulary import Kind
from seasonplan.year import Trip, Year

Ways = tuple[int, int]  # minutes of the way there, and of the way back
HERE: Ways = (0, 0)

CATEGORY = "Session"
UNWELL = {Kind.INJURED, Kind.RETURN}


@dataclass(frozen=True, slots=True)
class Appointment:
    """A session at its hours, or the sessions of a day; `part_of` is the event of its block or
    trip, where that is shown."""

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
    point: Point | None = None
    url: str = ""


def appointments(
    year: Year,
    plan: Plan,
    *,
    layers: frozenset[Layer],
    texts: Mapping[str, str],
    busy: bool,
    alarm_minutes: int | None,
    manner: Manner = PLAIN,
) -> list[Appointment]:
    """Every session of the current revision, by its beginning; none without their layer.

    With `days_as_one` one for each day that has any.
    """
    if Layer.SESSIONS not in layers:
        return []
    making = _Making(year, plan, texts, layers, manner, busy=busy, alarm_minutes=alarm_minutes)
    sessions = [session for session in plan.current.sessions if session.minutes > 0]
    found = making.days(sessions) if manner.days_as_one else map(making.of, sessions)
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
        layers: frozenset[Layer],
        manner: Manner,
        *,
        busy: bool,
        alarm_minutes: int | None,
    ) -> None:
        self._year, self._plan, self._texts, self._manner = year, plan, texts, manner
        self._busy, self._alarm_minutes = busy, alarm_minutes
        self._health = Layer.INJURIES in layers
        self._diary = manner.diary if Layer.DIARY in layers else {}
        self._recipes = recipes(year.recipes)
        self._own = {recipe.id for recipe in self._recipes.values() if recipe.changed}

    @cached_property
    def _ways(self) -> dict[str, Ways]:
        return ways_of(self._plan.current.sessions, self._year)

    @cached_property
    def _changes(self) -> dict[str, Change]:
        return session_changes(self._plan, own_recipes=self._own)

    def of(self, session: Session) -> Appointment:
        row = self._row(session)
        made = self._made(session, self._changes[session.id])
        return replace(made, title=did_title(made.title, row, refused=self._is_refused(session)))

    def days(self, sessions: Iterable[Session]) -> Iterator[Appointment]:
        """The sessions of each day as one event."""
        changes = day_changes(self._plan, own_recipes=self._own)
        for day, found in by_day(sessions).items():
            parts = [
                Part(
                    self._made(one, changes[day]),
                    session_hours(one, self._year),
                    self._row(one),
                    self._is_refused(one),
                )
                for one in found
            ]
            yield together(parts, uid=uuid5(self._plan.calendar_key, day_key(day)))

    def _is_refused(self, session: Session) -> bool:
        return session.id in self._manner.refused

    def _made(self, session: Session, change: Change) -> Appointment:
        """A session by itself, with the way to it, and without its outcome in the title."""
        recipe = self._recipes.get(session.recipe)
        trip = trip_on(session, self._year)
        there = where(session, recipe, trip, self._year)
        start, end = session_hours(session, self._year)
        ways = self._ways[session.id] if self._manner.way else HERE
        leave, back = with_way(start, end, ways)
        notes = (
            did_line(self._row(session)), way_line(leave, start, end, back),
            self._texts.get(session.id, ""),
        )  # fmt: skip
        return Appointment(
            uid=uuid5(self._plan.calendar_key, session.id),
            start=leave,
            end=back,
            title=self._title(session, recipe),
            change=change,
            part_of=uuid5(self._plan.calendar_key, f"trip:{trip.id}" if trip else session.block),
            description="\n".join(filter(None, notes)),
            place=there.name,
            point=there.point,
            busy=self._busy,
            alarm_minutes=self._alarm_minutes,
        )

    def _row(self, session: Session) -> DiaryEntry | None:
        """What the diary says of a session whose day has come by then."""
        return did(session, self._diary)

    def _title(self, session: Session, recipe: Recipe | None) -> str:
        if recipe is None:
            return one_line(session.recipe)
        return CATEGORY if tells_of_health(recipe) and not self._health else one_line(recipe.name)


def did(session: Session, diary: Mapping[str, DiaryEntry]) -> DiaryEntry | None:
    """What the diary says of a session whose day has come by then."""
    row = diary.get(session.id)
    return row if row is not None and session.day <= row.date else None


def going(session: Session, year: Year, *, ways: Ways, trips: bool = True) -> str:
    """Where a session is and when to leave for it: "The barn. Leave at 17:30; ..."."""
    recipe = recipes(year.recipes).get(session.recipe)
    there = where(session, recipe, trip_on(session, year), year, trips=trips)
    start, end = session_hours(session, year)
    leave, back = with_way(start, end, ways)
    place = f"{there.name.rstrip('.')}." if there.name else ""
    return " ".join(filter(None, (place, way_line(leave, start, end, back))))


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


def session_hours(session: Session, year: Year) -> tuple[datetime, datetime]:
    return hours(session, year.climber.time_zone)


def with_way(start: datetime, end: datetime, ways: Ways) -> tuple[datetime, datetime]:
    """Hours with the way there before and the way back after, in real minutes."""
    (there, home), zone = ways, start.tzinfo
    leave = start.astimezone(UTC) - timedelta(minutes=there)
    back = end.astimezone(UTC) + timedelta(minutes=home)
    return leave.astimezone(zone), back.astimezone(zone)


def ways_of(sessions: Iterable[Session], year: Year) -> dict[str, Ways]:
    """The ways of each session, by its id. Who trains on where they are does not go home between
    two sessions."""
    found: dict[str, Ways] = {}
    for day in by_day(sessions).values():
        ways = [[way_of(one, year)] * 2 for one in day]
        for n, (one, other) in enumerate(pairwise(day)):
            way, between = ways[n][0], ways[n + 1][1]
            pause = session_hours(other, year)[0] - session_hours(one, year)[1]
            same = _place(one, year) == _place(other, year)
            if same and pause < timedelta(minutes=way + between):
                ways[n][1] = ways[n + 1][0] = 0
        found |= {one.id: (there, home) for one, (there, home) in zip(day, ways, strict=True)}
    return found


def _place(session: Session, year: Year) -> str:
    recipe = recipes(year.recipes).get(session.recipe)
    return where(session, recipe, trip_on(session, year), year).name


def way_of(session: Session, year: Year) -> int:
    """Minutes of the way to a session, one way."""
    recipe = recipes(year.recipes).get(session.recipe)
    return where(session, recipe, trip_on(session, year), year).way


def by_day(sessions: Iterable[Session]) -> dict[date, list[Session]]:
    """The sessions of each day that has any, in order."""
    days: dict[date, list[Session]] = {}
    for session in sorted(sessions, key=lambda one: (one.day, one.start, one.id)):
        if session.minutes > 0:
            days.setdefault(session.day, []).append(session)
    return days


def day_hours(
    sessions: Sequence[Session], year: Year, *, way: bool
) -> tuple[datetime, datetime]:  # fmt: skip
    """From when to when a day of sessions is shown as one event."""
    ways = ways_of(sessions, year) if way else {}
    shown = [with_way(*session_hours(one, year), ways.get(one.id, HERE)) for one in sessions]
    return shown[0][0], max(end for _, end in shown).astimezone(shown[0][0].tzinfo)


def trip_on(session: Session, year: Year) -> Trip | None:
    """The trip that a session is on: one of its rock, or that the climber put on its days. One
    that was planned at home before the trip was entered is on none."""
    own = any(session.id in (one.session, f"{OWN}{one.id}") for one in year.fixed_sessions)
    found = (t for t in year.trips if t.climbing and session.day in t.span)
    return next((trip for trip in found if own or session.rock == trip.id), None)
