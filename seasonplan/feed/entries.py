"""The page entries of a plan: of every event what its calendar says, of a session the whole how-to.

What a calendar leaves out its entries leave out, too. Knows no HTML and no address.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from datetime import date, datetime
from functools import cached_property
from typing import NamedTuple
from zoneinfo import ZoneInfo

from seasonplan.body.almanac import almanac_of
from seasonplan.diary import DiaryEntry, followed
from seasonplan.explain.day_told import DayTeller, SessionTold
from seasonplan.explain.missed import told_on
from seasonplan.explain.words import day_text, span_text
from seasonplan.feed.contents import Contents, calendar_texts
from seasonplan.feed.links import month_file
from seasonplan.feed.parts import LOOKS, Part
from seasonplan.ical import Layer, events, session_uid
from seasonplan.ical.appointments import HERE, Appointment, Ways, did, going, ways_of
from seasonplan.ical.happenings import Happening
from seasonplan.ical.labels import did_line, did_title
from seasonplan.plan import Session
from seasonplan.recipes import recipes
from seasonplan.year import Injury, Year


@dataclass(frozen=True, slots=True)
class Present:
    """What holds now: the time, the injuries known by now (None: those of the plan), what the diary
    says last of each planned session, and all its rows."""

    now: datetime
    injuries: tuple[Injury, ...] | None = None
    diary: Mapping[str, DiaryEntry] = field(default_factory=dict)
    rows: tuple[DiaryEntry, ...] = ()

    def today(self, year: Year, *, zone: str | None = None) -> date:
        """Today where the climber is, or in a zone."""
        return self.now.astimezone(ZoneInfo(zone or year.climber.time_zone)).date()

    def has_come(self, session: Session, year: Year) -> bool:
        """Whether the day of a session has begun, at home or where it is."""
        return session.day <= max(self.today(year), self.today(year, zone=session.zone))


def _begins(event: Happening | Appointment) -> tuple[date, str]:
    """The day of an event, and the hour on it; whole days come first."""
    if isinstance(event, Appointment):
        return event.start.date(), f"{event.start:%H:%M}"
    return event.span.first, ""


TOLD_MISSED = frozenset((Layer.DIARY, Layer.SESSIONS, Layer.BLOCKS))


class Entry(NamedTuple):
    """One event: when it is, what its calendar says; of a session all there is to it, and what
    is not yet on its day. `parts` are the sessions of an event that holds several."""

    uid: str
    title: str
    when: str
    lines: tuple[str, ...]
    not_yet: tuple[str, ...] = ()
    session: SessionTold | None = None
    parts: tuple[Entry, ...] = ()


class Entries:
    """The entries of one calendar of a plan, or of the whole of it without a part."""

    def __init__(self, contents: Contents, present: Present, part: Part | None = None) -> None:
        look = LOOKS[part or Part.ALL]
        self._layers = look.layers & contents.layers
        self._contents, self._whole_days = contents, part is not Part.SESSIONS
        self.teller = DayTeller(
            contents.year,
            contents.plan.current,
            layers=self._layers,
            injuries=present.injuries,
            tested=contents.tested,
            taken=contents.manner.taken,
        )
        key, shown = contents.plan.calendar_key, Layer.SESSIONS in self._layers
        self._sessions = {
            session_uid(key, one): one
            for one in contents.plan.current.sessions
            if shown and one.minutes
        }

    @cached_property
    def _events(self) -> dict[str, Happening | Appointment]:
        """What the calendar shows, as it shows it."""
        manner = self._contents.manner
        year, plan = self._contents.year, self._contents.plan
        found = events(
            year, plan, layers=self._layers, whole_days=self._whole_days, manner=manner,
            texts=calendar_texts(
                year, plan, layers=self._layers, tested=self._contents.tested, manner=manner
            ),
        )  # fmt: skip
        return {str(one.uid): one for one in found}

    def by_month(self) -> dict[str, list[Entry]]:
        """The entries of all events, one after the other, by the name of their month's page."""
        found: dict[str, list[Entry]] = {}
        for uid, event in sorted(self._events.items(), key=lambda one: _begins(one[1])):
            entry = self._session(uid) or self._event(uid)
            if entry:
                found.setdefault(month_file(event), []).append(entry)
        return found

    def get(self, uid: str) -> Entry | None:
        """An entry; None where the calendar shows no such event or session. The event of a day
        with one session is that session."""
        entry = self._session(uid) or self._event(uid)
        return entry.parts[0] if entry and len(entry.parts) == 1 else entry

    def going(self, session: Session) -> str:
        """Where a session is, and when to leave for it, as its event says in every calendar."""
        ways = self._ways.get(session.id, HERE) if self._contents.manner.way else HERE
        trips = Layer.TRIPS in self._contents.layers
        return going(session, self._contents.year, ways=ways, trips=trips)

    @cached_property
    def _ways(self) -> dict[str, Ways]:
        return ways_of(self._contents.plan.current.sessions, self._contents.year)

    @property
    def tells_diary(self) -> bool:
        """Whether anything of the diary may be told."""
        return Layer.DIARY in self._layers

    def missed(self, present: Present) -> list[str]:
        """What is to be said today of sessions missed lately, where the calendar tells of them."""
        year, plan = self._contents.year, self._contents.plan.current
        today = present.today(year)
        if not present.rows or not self._layers >= TOLD_MISSED or today not in year.span:
            return []
        weeks = followed(
            plan.blocks, plan.sessions, present.rows, weeks=almanac_of(year).weeks(),
            recipes=recipes(year.recipes),
        )  # fmt: skip
        return told_on(today, plan, present.rows, weeks)

    def did(self, session: Session) -> DiaryEntry | None:
        """What the diary says of a session, as far as the calendar tells it."""
        return did(session, self._contents.manner.diary) if self.tells_diary else None

    def _session(self, uid: str) -> Entry | None:
        session = self._sessions.get(uid)
        if session is None:
            return None
        told, row = self.teller.session(session), self.did(session)
        told = replace(told, refusal="") if row else told
        lines = tuple(filter(None, (did_line(row), self.going(session), told.facts)))
        when = f"{day_text(session.day)}, {told.when}"
        not_yet = self.teller.not_yet(session.day)
        refused = session.id in self._contents.manner.refused
        title = did_title(told.title, row, refused=refused)
        return Entry(uid, title, when, lines, not_yet, told)

    def _event(self, uid: str) -> Entry | None:
        event = self._events.get(uid)
        if event is None:
            return None
        parts = tuple(self._parts(event))
        lines = tuple(event.description.split("\n")) if event.description and not parts else ()
        return Entry(uid, event.title, _days(event), lines, parts=parts)

    def _parts(self, event: Happening | Appointment) -> Iterator[Entry]:
        """The sessions of an event that holds all of a day."""
        if isinstance(event, Appointment):
            for uid, session in self._sessions.items():
                entry = self._session(uid) if session.day == event.start.date() else None
                if entry:
                    yield entry

    def uid_of(self, session: Session) -> str:
        return session_uid(self._contents.plan.calendar_key, session)


def _days(event: Happening | Appointment) -> str:
    return span_text(event.span) if isinstance(event, Happening) else day_text(event.start.date())
