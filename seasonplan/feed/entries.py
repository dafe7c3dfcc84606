"""The page entries of a plan: of every event what its calendar says, of a session the whole how-to.

What a calendar leaves out its entries leave out, too. Knows no HTML and no address.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from functools import cached_property
from typing import NamedTuple
from zoneinfo import ZoneInfo

from seasonplan.diary import DiaryEntry
from seasonplan.explain.day_told import DayTeller, SessionTold
from seasonplan.explain.words import day_text, span_text
from seasonplan.feed.contents import Contents, calendar_texts
from seasonplan.feed.parts import LOOKS, Part
from seasonplan.ical import events, session_uid
from seasonplan.ical.appointments import Appointment
from seasonplan.ical.happenings import Happening
from seasonplan.ical.manner import PLAIN, Manner
from seasonplan.plan import Session
from seasonplan.year import Injury, Year


@dataclass(frozen=True, slots=True)
class Present:
    """What holds now: the time, the injuries known by now (None: those of the plan), and what the
    diary says last of each planned session."""

    now: datetime
    injuries: tuple[Injury, ...] | None = None
    diary: Mapping[str, DiaryEntry] = field(default_factory=dict)

    def today(self, year: Year, *, zone: str | None = None) -> date:
        """Today where the climber is, or in a zone."""
        return self.now.astimezone(ZoneInfo(zone or year.climber.time_zone)).date()

    def has_come(self, session: Session, year: Year) -> bool:
        """Whether the day of a session has begun, at home or where it is."""
        return session.day <= max(self.today(year), self.today(year, zone=session.zone))


class Entry(NamedTuple):
    """One event: when it is, what its calendar says; of a session all there is to it, and what
    is not yet on its day."""

    uid: str
    title: str
    when: str
    lines: tuple[str, ...]
    not_yet: tuple[str, ...]
    session: SessionTold | None
    event: Happening | Appointment


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
        )
        key = contents.plan.calendar_key
        self._sessions = {session_uid(key, one): one for one in contents.plan.current.sessions}

    @cached_property
    def _events(self) -> dict[str, Happening | Appointment]:
        """What the calendar shows, as it shows it."""
        return self._shown_as(self._contents.manner)

    @cached_property
    def _alone(self) -> dict[str, Happening | Appointment]:
        """The same with each session as an event of its own: its how-to has an entry all the
        same."""
        return self._shown_as(PLAIN)

    def _shown_as(self, manner: Manner) -> dict[str, Happening | Appointment]:
        year, plan = self._contents.year, self._contents.plan
        found = events(
            year, plan, layers=self._layers, whole_days=self._whole_days, manner=manner,
            texts=calendar_texts(
                year, plan, layers=self._layers, tested=self._contents.tested
            ),
        )  # fmt: skip
        return {str(one.uid): one for one in found}

    def uids(self) -> list[str]:
        return list(self._events)

    def get(self, uid: str) -> Entry | None:
        """An entry; None where the calendar has no such event."""
        event = self._events.get(uid) or self._alone.get(uid)
        if event is None:
            return None
        session = self._sessions.get(uid)
        told = self.teller.session(session) if session else None
        if told is None or session is None:
            lines = tuple(event.description.split("\n")) if event.description else ()
            return Entry(uid, event.title, _days(event), lines, (), None, event)
        when = f"{day_text(session.day)}, {told.when}"
        not_yet = self.teller.not_yet(session.day)
        return Entry(uid, told.title, when, (told.facts,), not_yet, told, event)

    def uid_of(self, session: Session) -> str:
        return session_uid(self._contents.plan.calendar_key, session)


def _days(event: Happening | Appointment) -> str:
    return span_text(event.span) if isinstance(event, Happening) else day_text(event.start.date())
