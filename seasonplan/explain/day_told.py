"""A day and a session as a page tells them: what, when, how hard, what to mind, what is not yet.

Owns what may be told to whom: layers that are left out are left out of every sentence here, and
without that of injuries nothing says that the climber is hurt. Knows no page and no clock.
"""

from __future__ import annotations

from collections.abc import Container, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from seasonplan.days import Span, day_month_text, weekday_text
from seasonplan.diary import DiaryEntry
from seasonplan.explain.agenda import Agenda, Day, outside_text
from seasonplan.explain.diary import entry_text
from seasonplan.explain.sessions import (
    cautions_of,
    facts_text,
    goals_by_block,
    hours_text,
    session_title,
    short_text,
    why_text,
)
from seasonplan.explain.week import aim_text, standing_text
from seasonplan.ical.appointments import CATEGORY, UNWELL, tells_of_health
from seasonplan.ical.happenings import BLOCK_LAYERS
from seasonplan.ical.layers import Layer
from seasonplan.ical.taken import Taken
from seasonplan.plan import Block, Revision, Session
from seasonplan.planning.known import barring_since, gone_since
from seasonplan.recipes import UNTESTED, OwnTests, recipes
from seasonplan.rules.tables import caution
from seasonplan.vocabulary import Kind
from seasonplan.year import Absence, Injury, Trip, Year

HIDDEN = {
    Layer.TRIPS: "trips", Layer.ABSENCES: "absences", Layer.SEASONS: "seasons",
    Layer.WINDOWS: "windows", Layer.INJURIES: "injuries",
}  # fmt: skip
GONE_LAYERS: dict[type[Trip | Absence], Layer] = {
    Trip: Layer.TRIPS, Absence: Layer.ABSENCES,
}  # fmt: skip
GIVEN_LAYERS = {Kind.TRIP: Layer.TRIPS, Kind.ABSENCE: Layer.ABSENCES}
SEE_HOME = "! Leave it out as it stands here: `seasonplan week {day}` says why."
WISHED = "A session you asked for is left out: `seasonplan week {day}` says why."


@dataclass(frozen=True, slots=True)
class SessionTold:
    """One session. `facts` is how long, how hard and with what; `refusal` that it must be left
    out; `brief` what to do and what is new; `steps` the whole how-to, each with its heading;
    `mind` what to mind in it."""

    session: Session
    title: str
    when: str
    facts: str
    refusal: str
    brief: tuple[str, ...]
    steps: tuple[tuple[str, tuple[str, ...]], ...]
    why: str
    mind: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class DayTold:
    """One day. `free` says why there is no session, `not_yet` what is forbidden because of what
    is hurt, `mind` what else to mind."""

    day: date
    standing: str
    remarks: str
    free: str
    sessions: tuple[SessionTold, ...]
    left_out: tuple[str, ...]
    not_yet: tuple[str, ...]
    mind: tuple[str, ...]


class DayTeller:
    """Tells days and sessions of one plan, as far as `layers` let it.

    `injuries` are those known by now, where they are others than the plan was made for.
    """

    def __init__(
        self,
        year: Year,
        revision: Revision,
        *,
        layers: frozenset[Layer],
        injuries: Sequence[Injury] | None = None,
        tested: OwnTests = UNTESTED,
        taken: Taken | None = None,
        gone: Sequence[Trip | Absence] | None = None,
    ) -> None:
        """`gone` is what the plan was made for and the year holds no more, where `year` is not the
        whole year."""
        book = recipes(year.recipes)
        known = year.model_copy(
            update={"injuries": year.injuries if injuries is None else tuple(injuries)}
        )
        hidden: dict[str, Any] = {name: () for layer, name in HIDDEN.items() if layer not in layers}
        self._layers, self._health = layers, Layer.INJURIES in layers
        lost = tuple(gone_since(revision, known) if gone is None else gone)
        told = tuple(one for one in lost if GONE_LAYERS[type(one)] in layers)
        self._whole = Agenda(known, revision, book=book, tested=tested, taken=taken, gone=lost)
        self._agenda = Agenda(
            known.model_copy(update=hidden), revision, book=book, tested=tested, taken=taken,
            gone=told,
        )  # fmt: skip
        self._blocks = {block.id: block for block in revision.blocks}
        self._goals = goals_by_block(revision)

    @property
    def year(self) -> Year:
        """The year as far as it may be told."""
        return self._agenda.year

    def day(self, day: date) -> DayTold:
        found = self._agenda.on(day)
        sessions = found.sessions if Layer.SESSIONS in self._layers else ()
        remarks = ", ".join(found.remarks)
        block = found.block if found.block and self._shows(found.block) else None
        return DayTold(
            day=day,
            standing=standing_text(self._agenda, found) if block else "",
            remarks=f"{remarks[0].upper()}{remarks[1:]}." if remarks else "",
            free=self._free(found),
            sessions=tuple(map(self.session, sessions)),
            left_out=self._left_out(day),
            not_yet=self.not_yet(day),
            mind=tuple(self._mind(sessions)),
        )

    def not_yet(self, day: date) -> tuple[str, ...]:
        """What is forbidden on a day because of what is hurt, where that may be told."""
        if not self._health:
            return ()
        found = self._whole.on(day)
        general = (caution("general"), *self._mind(found.sessions))
        told = self._whole.cautions(found.sessions, [found.block], days=Span.through(day, day))
        return tuple(text for text in told if text not in general)

    def aim(self, day: date, *, out: Container[str] = ()) -> str:
        """What the week of a day is for, or was without the sessions that are `out`; empty where
        that is not shown."""
        found = self._agenda.on(day)
        shown = found.block is not None and self._shows(found.block)
        return aim_text(self._agenda, found, out=out) if shown else ""

    def week(self, day: date) -> tuple[DayTold, ...]:
        """The calendar week of a day, as far as it is in the year."""
        week = self._agenda.week_of(day)
        return tuple(map(self.day, week.days())) if week else ()

    def next_after(self, day: date) -> SessionTold | None:
        """The first session on a later day."""
        coming = self._agenda.next_after(day)
        shown = coming is not None and Layer.SESSIONS in self._layers
        return self.session(coming) if coming and shown else None

    def session(self, session: Session) -> SessionTold:
        agenda = self._agenda
        recipe = agenda.book.get(session.recipe)
        private = recipe is not None and tells_of_health(recipe) and not self._health
        text = self._whole.text(session)  # alike on every page
        zone = f" ({session.zone} time)" if session.zone else ""
        refusal = self.refusal(session)
        quiet = private or bool(refusal)
        return SessionTold(
            session=session,
            title=CATEGORY if private else session_title(session, recipe),
            when=f"{hours_text(session, agenda.year.climber.time_zone)}{zone}",
            facts=facts_text(session, recipe, needs=not private),
            refusal=refusal,
            brief=() if quiet else tuple(filter(None, (text.do, *short_text(text)))),
            steps=() if quiet else tuple(_steps(text)),
            why="" if quiet else self._why(session),
            mind=() if private else cautions_of(recipe, agenda.year),
        )

    def diary_text(self, entry: DiaryEntry) -> str:
        """What the diary says of a session; what hurt only where injuries are shown."""
        if entry.pain is not None and not self._health:
            told = DiaryEntry(**{**dict(entry), "part": None, "pain": None})
            return f"{entry_text(told, self._agenda.book)} What hurt is in it, too."
        return entry_text(entry, self._agenda.book)

    # --- what may be told ---------------------------------------------------------------------

    def _shows(self, block: Block) -> bool:
        return (GIVEN_LAYERS | BLOCK_LAYERS).get(block.kind, Layer.BLOCKS) in self._layers

    def _free(self, found: Day) -> str:
        if found.day not in self.year.span:
            return outside_text(found.day, self.year)
        return found.rest

    def _left_out(self, day: date) -> tuple[str, ...]:
        told = self._whole.on(day).left_out if Layer.SESSIONS in self._layers else ()
        return told if self._health else (WISHED.format(day=day),) if told else ()

    def refusal(self, session: Session) -> str:
        """That it would do harm; by what only where that may be told."""
        told = self._whole.harm_text(session)
        return told and (self._agenda.harm_text(session) or SEE_HOME.format(day=session.day))

    def _why(self, session: Session) -> str:
        block = self._blocks.get(session.block)
        if block is None or (block.kind in UNWELL and not self._health):
            return ""
        return why_text(session, block, self.year, goals=self._goals.get(session.block, ()))

    def _mind(self, sessions: Sequence[Session]) -> Iterator[str]:
        """Of the sessions alone; what all pages say stands at their end."""
        known = [one for one in sessions if self._health or not self._is_private(one)]
        for text in self._agenda.cautions(known, []):
            if text not in (caution("injury"), caution("unwell"), caution("general")):
                yield text

    def _is_private(self, session: Session) -> bool:
        recipe = self._agenda.book.get(session.recipe)
        return recipe is not None and tells_of_health(recipe)


def refusals(
    year: Year, revision: Revision, *, layers: frozenset[Layer], taken: Taken | None = None
) -> dict[str, str]:
    """What to say of each session that what was entered since a plan was made forbids, by its id;
    `taken` is busy time.

    Says what a page says of it, and hangs on no clock.
    """
    new, gone = barring_since(revision, year), gone_since(revision, year)
    if not (new.injuries or new.absences or new.trips or gone or taken):
        return {}
    teller = DayTeller(new, revision, layers=layers, taken=taken, gone=gone)
    found = {one.id: teller.refusal(one) for one in revision.sessions}
    return {name: told for name, told in found.items() if told}


def _steps(text: Any) -> Iterator[tuple[str, tuple[str, ...]]]:
    """The parts of a session in the order in which they are needed, each with its heading."""
    told = (
        ("Warm up", text.warm_up), ("Do", (text.do,)), ("New this week", (text.this_week,)),
        ("When to stop", (text.stop,)), ("Wet or too warm?", (text.wet,)),
    )  # fmt: skip
    for heading, lines in told:
        said = tuple(line for line in lines if line)
        if said:
            yield heading, said


def heading_text(day: date, today: date) -> str:
    """Such as "Today, Tue 9 Mar"."""
    word = {0: "Today, ", 1: "Tomorrow, "}.get((day - today).days, "")
    return f"{word}{weekday_text(day)} {day_month_text(day)}"
