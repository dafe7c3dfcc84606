"""Sessions laid beside the blocks and free hours of a year, and questions about them.

Owns lookups by day, hour, block and calendar week. Knows no session rule and must not fail on
sessions that overlap, lie outside their block, or are of a recipe that is not there.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from functools import cached_property
from itertools import groupby

from seasonplan.body.daylight import Rock
from seasonplan.checker.sheet import Sheet
from seasonplan.days import Span
from seasonplan.plan import Block, Session, Shortfall, Week
from seasonplan.recipes import Recipe, recipes
from seasonplan.rules.findings import Finding
from seasonplan.rules.statements import Rule
from seasonplan.vocabulary import Discipline, Kind
from seasonplan.year import Outing, Season, Trip, Window

Hours = tuple[tuple[int, int], ...]  # (from, to) in minutes after midnight, in order


@dataclass(frozen=True, slots=True)
class Portion:
    """What of a block lies in one calendar week at home, and the sessions put there."""

    block: Block
    weeks: tuple[Week, ...]
    sessions: tuple[Session, ...]
    shortfalls: tuple[Shortfall, ...]

    @property
    def span(self) -> Span:
        return Span(self.weeks[0].span.first, self.weeks[-1].span.after)

    @property
    def days(self) -> list[date]:
        return [day for week in self.weeks for day in week.span.days()]

    @property
    def asked(self) -> float:
        """Load that the week aims at."""
        return sum(week.aim for week in self.weeks)


class Timetable:
    """Sessions in order of their start, beside a plan laid out by dates."""

    def __init__(
        self,
        sheet: Sheet,
        *,
        sessions: Sequence[Session],
        shortfalls: Sequence[Shortfall],
        taken: Mapping[date, Sequence[tuple[int, int]]],
    ) -> None:
        self.sheet = sheet
        self.sessions = tuple(sorted(sessions, key=lambda s: (s.day, s.start, s.id)))
        self.shortfalls = tuple(shortfalls)
        self.recipes = recipes(sheet.year.recipes)
        self._taken = taken

    # --- one session ---------------------------------------------------------------------

    def recipe(self, session: Session) -> Recipe | None:
        return self.recipes.get(session.recipe)

    def block(self, session: Session) -> Block | None:
        return next((block for block in self.sheet.blocks if block.id == session.block), None)

    def rock(self, session: Session) -> Rock:
        """The rock to which a day on rock goes; long days before a season go to none by name."""
        entry = self.sheet.year.entry(session.rock) if session.rock else None
        if isinstance(entry, (Season, Window, Trip, Outing)) and entry.discipline is not None:
            return entry
        recipe = self.recipe(session)
        first = recipe.disciplines[0] if recipe and recipe.disciplines else Discipline.SPORT
        return Outing(name="a day", discipline=first, first=session.day, last=session.day)

    def load(self, session: Session) -> float:
        """RPE x minutes that count, by the recipe where there is one."""
        recipe = self.recipe(session)
        rpe, share = session.rpe, session.active_share
        if recipe is not None:
            rpe, share = recipe.rpe, recipe.active_share
        return rpe * session.minutes * share

    # --- days ----------------------------------------------------------------------------

    def trips(self, day: date) -> list[Trip]:
        """The climbing trips that have this day."""
        return [t for t in self.sheet.year.trips if t.climbing and day in t.span]

    @cached_property
    def at_home(self) -> dict[date, list[Session]]:
        """Sessions of each day at home, in order."""
        groups = groupby(self.sessions, key=lambda session: session.day)
        return {day: list(group) for day, group in groups if not self.trips(day)}

    def free(self, day: date) -> Hours:
        """Free times at home, less what calendars take; as said where a usual day has parts."""
        return self._left(day, self.sheet.almanac.windows(day))

    def rock_free(self, day: date, rock: Rock) -> Hours:
        """Times at which one can be at a rock and on the way to it, less what calendars take."""
        return self._left(day, self.sheet.almanac.rock_windows(day, rock))

    def _left(self, day: date, hours: Hours) -> Hours:
        """Those hours less what calendars take, minute by minute."""
        taken = self._taken.get(day)
        if not taken:
            return hours
        busy = {m for start, end in taken for m in range(start, end)}
        return tuple(
            run
            for start, end in hours
            for run in _runs(m for m in range(start, end) if m not in busy)
        )

    # --- weeks ---------------------------------------------------------------------------

    @cached_property
    def portions(self) -> tuple[Portion, ...]:
        """Each calendar week of each block, days on climbing trips left out."""
        return tuple(
            self._portion(block, weeks)
            for block in self.sheet.blocks
            if block.kind is not Kind.TRIP
            for part in self.sheet.calendar_weeks(block.span)
            if (weeks := tuple(self.sheet.at_home(block, part)))
        )

    def _portion(self, block: Block, weeks: tuple[Week, ...]) -> Portion:
        span = Span(weeks[0].span.first, weeks[-1].span.after)
        return Portion(
            block,
            weeks,
            tuple(
                s
                for s in self.sessions
                if s.block == block.id and any(s.day in week.span for week in weeks)
            ),
            tuple(s for s in self.shortfalls if s.block == block.id and s.span == span),
        )


def _runs(minutes: Iterator[int]) -> Iterator[tuple[int, int]]:
    """Minutes in a row as (from, to)."""
    for _, group in groupby(enumerate(minutes), key=lambda pair: pair[1] - pair[0]):
        row = [minute for _, minute in group]
        yield row[0], row[-1] + 1


def begins(session: Session) -> datetime:
    return datetime.combine(session.day, session.start)


def ends(session: Session) -> datetime:
    return begins(session) + timedelta(minutes=session.minutes)


def minute_of(session: Session) -> int:
    """Start in minutes after midnight."""
    return 60 * session.start.hour + session.start.minute


def faulty(
    rule: Rule,
    *sessions: Session,
    about: str,
    found: float | None = None,
    limit: float | None = None,
) -> Finding:
    """A break of `rule` by these sessions, on their days."""
    return Finding(
        code=rule.code,
        strength=rule.strength,
        span=Span.through(min(s.day for s in sessions), max(s.day for s in sessions)),
        blocks=tuple(dict.fromkeys(session.block for session in sessions)),
        found=found,
        limit=limit,
        about=about,
        sessions=tuple(session.id for session in sessions),
    )
