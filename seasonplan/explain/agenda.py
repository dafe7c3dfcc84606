"""What a day holds: its block, its sessions, and in words why there are none.

Puts together for both faces what plan and year say of one day. Draws nothing.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from functools import cached_property

from seasonplan.body.almanac import almanac_of
from seasonplan.days import Span, calendar_weeks
from seasonplan.edits.harm import Harm, at_first, harm, seldom
from seasonplan.edits.sessions import OWN
from seasonplan.explain.care import caution_on, in_force, young_caution
from seasonplan.explain.left_out import LEAVE_OUT, leave_out_text, left_out, left_out_text
from seasonplan.explain.lost_days import bars_own_style
from seasonplan.explain.sessions import cautions_of, home_of, text_of
from seasonplan.explain.steps import steps_of
from seasonplan.explain.taken_since import BEFORE, GONE, taken_text
from seasonplan.explain.words import block_name, counted_text, day_text, entry_name
from seasonplan.ical.taken import Taken
from seasonplan.plan import Block, Revision, Session, Shortfall, Week
from seasonplan.planning.known import barring_since, gone_since
from seasonplan.recipes import UNTESTED, Need, OwnTests, Recipe, SessionText, Step
from seasonplan.rules.statements import book_of
from seasonplan.rules.tables import caution
from seasonplan.vocabulary import Kind, Phase
from seasonplan.year import Absence, Trip, Year

NO_SESSIONS = "This plan has no sessions yet: run `seasonplan plan`."
NOTHING = "Nothing is planned."
LIGHT, LEAD_IN = "light week", "lead-in: less but as hard"
WEEKLY = (LIGHT, LEAD_IN)  # remarks that are about the week of a day


@dataclass(frozen=True, slots=True)
class Day:
    """One day. `rest` says in words why there is no session; empty where there is one.

    `left_out` says which sessions the climber wished and must not do.
    """

    day: date
    block: Block | None
    sessions: tuple[Session, ...]
    rest: str
    remarks: tuple[str, ...]
    left_out: tuple[str, ...] = ()


WARM = "You come warm from what you did just before: leave out what you have done."
STAYS_WARM = 20  # minutes


class Agenda:
    """Answers what to do on which day, from the current revision."""

    def __init__(
        self, year: Year, revision: Revision, *, book: Mapping[str, Recipe],
        tested: OwnTests = UNTESTED, taken: Taken | None = None,
        gone: Sequence[Trip | Absence] | None = None,
    ) -> None:  # fmt: skip
        """`taken` is busy time; `gone` what the plan was made for and the year holds no more, where
        that may not be told or `year` is not the whole year."""
        self.year = year
        self.revision = revision
        self.book = book
        self._tested = tested
        self._taken: Taken = taken or {}
        self._gone = gone_since(revision, year) if gone is None else gone
        self._almanac = almanac_of(year)
        self._rules = book_of(year)

    def on(self, day: date) -> Day:
        block = self._block(day)
        sessions = tuple(one for one in self.revision.sessions if one.day == day and one.minutes)
        rest = "" if sessions else self._rest(day, block)
        gone = [one for _, one in left_out(self.year, self.revision, Span.through(day, day))]
        return Day(
            day, block, sessions, rest, tuple(self._remarks(day, block, rest)),
            tuple(left_out_text(one) for one in gone),
        )  # fmt: skip

    def text(self, session: Session) -> SessionText:
        """What a session says in its step."""
        step = self._steps.get(session.id)
        said = text_of(
            session, self.book.get(session.recipe), step=step, tested=self._tested,
            home=home_of(self.year, session),
        )  # fmt: skip
        if not said.warm_up or not self._comes_warm(session):
            return said
        return said.model_copy(update={"warm_up": (WARM, *said.warm_up)})

    def _comes_warm(self, session: Session) -> bool:
        """Whether another session with a warm-up ended shortly before it."""
        warmed = (
            one
            for one in self.revision.sessions
            if one.day == session.day and (recipe := self.book.get(one.recipe)) and recipe.warm_up
        )
        return any(0 <= session.minute - one.minute - one.minutes <= STAYS_WARM for one in warmed)

    @cached_property
    def _steps(self) -> dict[str, Step]:
        return steps_of(self.revision, self.book, self.year)

    def harm_text(self, session: Session) -> str:
        """That a session must be left out, and why; "" where it may be done.

        Of plans made before an injury, days off, a trip or busy time were entered, before a trip
        was taken out, or a rule switched on; and of what the climber wished and a plan left out.
        """
        found = self._harm(session)
        if found:
            return leave_out_text(found)
        if session.id in self._wished:
            return ""
        taken = taken_text(
            session, self.year, since=self._since, gone=self._gone, taken=self._taken
        )
        return f"{LEAVE_OUT} {taken}" if taken else ""

    def _harm(self, session: Session) -> Harm | None:
        recipe = self.book.get(session.recipe)
        if recipe is None:
            return None
        found = harm(recipe, session.day, almanac=self._almanac, book=self._rules)
        if found is None and session.id not in self._held:
            planned = self.revision.sessions
            found = seldom(recipe, session.day, year=self.year, sessions=planned)
        if found is None and session.id not in self._wished:
            found = at_first(recipe, session.day, year=self.year)
        return found

    @cached_property
    def _since(self) -> Year:
        return barring_since(self.revision, self.year)

    def _away(self, day: date) -> list[Absence]:
        return [one for one in self.year.absences if day in one.span]

    @cached_property
    def _wished(self) -> frozenset[str]:
        return frozenset(one.session or f"{OWN}{one.id}" for one in self.year.fixed_sessions)

    @cached_property
    def _held(self) -> frozenset[str]:
        return frozenset(one.id for one in self.revision.sessions)

    def late_text(self, session: Session) -> str:
        """That a session that is over was planned before what took its day was entered; else ""."""
        if session.id in self._wished:
            return ""
        entry = self._taker(session) or self._taker_since(session)
        return BEFORE.format(name=entry_name(self.year, entry)) if entry else ""

    def _taker(self, session: Session) -> str | None:
        """The entry that has the day of a session, as the plan knows."""
        block = self._block(session.day)
        if block is None or block.entry is None:
            return None
        taken = (
            block.kind is Kind.ABSENCE
            or (block.kind is Kind.TRIP and session.rock != block.entry)
            or (block.kind is Kind.INJURED and bool(self.harm_text(session)))
        )
        return block.entry if taken else None

    def _taker_since(self, session: Session) -> str | None:
        """The same of what the plan knows nothing of yet: days off, a trip, what is off."""
        away = (*(one for one in self._since.absences if not one.left), *self._since.trips)
        gone = (one.id for one in away if session.day in one.span and session.rock != one.id)
        hurt = (
            one.id
            for one, phase in almanac_of(self._since).injuries_on(session.day)
            if phase is Phase.OFF and self._harm(session)
        )
        return next(iter((*gone, *hurt)), None)

    def name_of(self, block: Block) -> str:
        """What a block is called, also where its trip or absence is gone."""
        return block_name(block, self._with_gone)

    @cached_property
    def _with_gone(self) -> Year:
        """The year with what is there no more: for what it is called."""
        trips, away = (tuple(o for o in self._gone if isinstance(o, k)) for k in (Trip, Absence))
        said = {"trips": (*self.year.trips, *trips), "absences": (*self.year.absences, *away)}
        return self.year.model_copy(update=said)

    def week_of(self, day: date) -> Span | None:
        """The calendar week of a day, cut at the ends of the year; None outside it."""
        weeks = calendar_weeks(self.year.span, self.year.climber.week_begins)
        return next((week for week in weeks if day in week), None)

    def next_after(self, day: date) -> Session | None:
        """The first session on a later day; of those to be left out none."""
        later = (one for one in self.revision.sessions if one.day > day and one.minutes)
        return next((one for one in later if not self.harm_text(one)), None)

    def shortfalls(self, span: Span) -> list[Shortfall]:
        return [one for one in self.revision.shortfalls if one.span.meet(span)]

    def standing(self, block: Block, day: date, *, until: date | None = None) -> str:
        """Such as "base-1: base block, week 2 of 5"; with `until` that of several days."""
        counted = counted_text(block, day, year=self.year, until=until)
        name = self.name_of(block)
        return f"{block.id}: {name[0].lower()}{name[1:]}{counted}"

    def cautions(
        self, sessions: Sequence[Session], blocks: Sequence[Block | None], *,
        days: Span | None = None,
    ) -> list[str]:  # fmt: skip
        """Words of caution for these sessions and blocks, each once, the gravest first.

        With `days` those come first that are in force on them because of what is hurt. Of sessions
        that must be left out nothing is to be minded but what the young must know.
        """
        told = in_force(self.year, days) if days else []
        kinds = {block.kind for block in blocks if block is not None}
        unwell = kinds & {Kind.INJURED, Kind.RETURN} or any(map(self._harm, sessions))
        if unwell or told:
            spans = [days] if days else [block.span for block in blocks if block is not None]
            told.append(caution_on(self.year, spans))
        to_do = [session for session in sessions if not self.harm_text(session)]
        young = young_caution(self.year)
        for session in sessions:
            own = cautions_of(self.book.get(session.recipe), self.year)
            told += own if session in to_do else [text for text in own if text == young]
        if any(map(self._outside, to_do)):
            told.append(caution("local_rules"))
        return list(dict.fromkeys([*told, caution("general")] if sessions else told))

    # --- one day --------------------------------------------------------------------------

    def _block(self, day: date) -> Block | None:
        return next((block for block in self.revision.blocks if day in block.span), None)

    def _rest(self, day: date, block: Block | None) -> str:
        if day not in self.year.span or block is None:
            return NOTHING
        if not self.revision.sessions and any(one.load for one in self.revision.blocks):
            return NO_SESSIONS
        lost = next((one for one in self._gone if day in one.span), None)
        if lost is not None and block.entry == lost.id:
            return GONE.format(name=f"“{lost.name}”")
        trip = next((trip for trip in self.year.trips if day in trip.span), None)
        if trip is not None:
            return _away(trip, day)
        gone = [one for one in self._away(day) if one.left == 0]
        if gone:
            return f"Away: {entry_name(self.year, gone[0].id)}. Nothing is planned."
        return "Rest day." if block.load else NOTHING

    def _remarks(self, day: date, block: Block | None, rest: str) -> list[str]:
        """Light week, lead-in, rock, trips and part absences; no trip that block or `rest` name."""
        week = _week(block, day)
        told = [LIGHT] if week and week.deload else []
        told += [LEAD_IN] if week and week.lead_in else []
        for trip in self.year.trips:
            named = trip.name in rest or (block is not None and block.entry == trip.id)
            if day in trip.span and (trip.time_zone or not named):
                zone = f", {trip.time_zone} time" if trip.time_zone else ""
                told.append(f"trip {entry_name(self.year, trip.id)}{zone}")
        for absence in self._away(day):
            if absence.left > 0:
                told.append(f"{entry_name(self.year, absence.id)}: less time")
        told += self._barred_styles(day)
        rock: dict[str, float] = {}  # the best that is entered of each place
        for spell in self._almanac.spells:
            if self._almanac.freedom(day, spell) > 0:  # of the weather alone, as `show` tells it
                at = spell.entry.place
                rock[at] = max(spell.chance(day), rock.get(at, 0.0))
        told += [f"rock at {at}: good day {100 * p:.0f} %" for at, p in rock.items() if p > 0]
        return told

    def _barred_styles(self, day: date) -> list[str]:
        """Why tries are of another style than the goal asks, while an injury comes back."""
        held = (one for one in self.revision.sessions if one.day == day)
        bars = filter(None, (bars_own_style(one, self.year) for one in held))
        return [
            f"{entry_name(self.year, one.id)} still bars what your goal asks for" for one in bars
        ]

    def _outside(self, session: Session) -> bool:
        recipe = self.book.get(session.recipe)
        return recipe is not None and bool({Need.ROCK, Need.DAYLIGHT} & set(recipe.needs))


def _away(trip: Trip, day: date) -> str:
    at_an_end = day in (trip.span.first, trip.span.last) and not trip.travel_days
    free = "a day to travel or to rest" if at_an_end else "a day to rest"
    what = free if trip.climbing else "no climbing is planned"
    what = "a day to travel" if day not in trip.there else what
    return f"On the trip “{trip.name}”: {what}."


def _week(block: Block | None, day: date) -> Week | None:
    return next((week for week in block.weeks if day in week.span), None) if block else None


def week_cautions(agenda: Agenda, days: Sequence[Day]) -> list[str]:
    """The general words of caution for some days; each session's own stand beside the session."""
    sessions = [session for day in days for session in day.sessions]
    own = {agenda.book[one.recipe].caution for one in sessions if one.recipe in agenda.book}
    span = Span.through(days[0].day, days[-1].day) if days else None
    told = agenda.cautions(sessions, [day.block for day in days], days=span)
    return [text for text in told if text not in own or text == caution("general")]


def outside_text(day: date, year: Year) -> str:
    """That a year has not begun on a day, or is over."""
    first, last = day_text(year.span.first), day_text(year.span.last)
    if day < year.span.first:
        return f"{day_text(day)}: your year has not begun. It runs from {first} to {last}."
    return f"{day_text(day)}: your year is over. It ran from {first} to {last}."
