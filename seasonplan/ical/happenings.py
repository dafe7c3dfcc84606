"""What happens when, ready to be written: one record for each event. Knows no calendar format.

A trip or absence is told once, from its entry; the block it gives adds its description.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from uuid import UUID, uuid5

from seasonplan.days import Span
from seasonplan.ical.changes import Change, block_change, entry_change, goals_of
from seasonplan.ical.labels import (
    block_title,
    chance_line,
    goal_line,
    rock_line,
    titled,
    travel_line,
    week_line,
    week_title,
)
from seasonplan.ical.layers import Layer
from seasonplan.ical.manner import PLAIN, Manner
from seasonplan.ical.places import Point, point_of
from seasonplan.ical.text import one_line
from seasonplan.plan import Block, Plan
from seasonplan.vocabulary import BlocksAs, Kind
from seasonplan.year import Absence, Entry, Goal, Season, Trip, Window, Year

BLOCK_LAYERS = {
    Kind.BASE: Layer.BLOCKS,
    Kind.STRENGTH: Layer.BLOCKS,
    Kind.PERFORMANCE: Layer.BLOCKS,
    Kind.REST: Layer.REST,
    Kind.INJURED: Layer.INJURIES,
    Kind.RETURN: Layer.INJURIES,
}


@dataclass(frozen=True, slots=True)
class Happening:
    """An event over whole days. `busy` says whether others should see the climber as taken."""

    uid: UUID
    span: Span
    title: str
    category: str
    change: Change
    description: str = ""
    place: str = ""
    busy: bool = False
    point: Point | None = None
    url: str = ""


def happenings(
    year: Year, plan: Plan, *, layers: frozenset[Layer], texts: Mapping[str, str],
    manner: Manner = PLAIN,
) -> list[Happening]:  # fmt: skip
    """Every happening of the chosen layers, by first day; long ones first, then by title."""
    telling = _Telling(year, plan, layers, texts, manner.blocks)
    return sorted(
        (*telling.blocks(), *telling.entries()),
        key=lambda one: (one.span.first, -one.span.length, one.title, str(one.uid)),
    )


@dataclass(frozen=True, slots=True)
class _Telling:
    """One telling of a plan: what it draws on and what it leaves out."""

    year: Year
    plan: Plan
    layers: frozenset[Layer]
    texts: Mapping[str, str]
    shape: BlocksAs

    def blocks(self) -> Iterator[Happening]:
        for block in self.plan.current.blocks:
            if BLOCK_LAYERS.get(block.kind) in self.layers:
                yield from self._shaped(block)

    def entries(self) -> Iterator[Happening]:
        for season in self.year.seasons if Layer.SEASONS in self.layers else ():
            for spell in season.spells(self.year.span):
                yield self._rock(season, spell, word="Season", key=f":{spell.first}")
        for window in self.year.windows if Layer.WINDOWS in self.layers else ():
            if window.span.meet(self.year.span):
                yield self._rock(window, window.span, word="Weather window", key="")
        for trip in self.year.trips if Layer.TRIPS in self.layers else ():
            if trip.span.meet(self.year.span):
                yield self._trip(trip)
        for absence in self.year.absences if Layer.ABSENCES in self.layers else ():
            if absence.span.meet(self.year.span):
                yield self._absence(absence)

    def _shaped(self, block: Block) -> Iterator[Happening]:
        """A block over its days, or less of it: its first day, and the first of each week."""
        whole = self._block(block)
        if self.shape is BlocksAs.WHOLE or block.span.length == 1:
            yield whole
            return
        weekly = self.shape is BlocksAs.WEEKS and len(block.weeks) > 1
        title, weeks = whole.title, block.weeks[1:] if weekly else ()
        count = len(block.weeks)
        yield replace(
            whole, span=first_day(block.span),
            title=week_title(title, 1, count) if weekly else title,
        )  # fmt: skip
        for number, week in enumerate(weeks, start=2):
            yield replace(
                whole, uid=uuid5(self.plan.calendar_key, week_key(block.id, number)),
                span=first_day(week.span), title=week_title(title, number, count),
                description=week_line(week),
            )  # fmt: skip

    def _block(self, block: Block) -> Happening:
        goals = self._goals(block) if block.kind is Kind.PERFORMANCE else ()
        facts = (part for goal in goals for part in (goal_line(goal), self._note(goal)))
        return Happening(
            uid=uuid5(self.plan.calendar_key, block.id),
            span=block.span,
            title=block_title(block, goals, given_by=self.year.entry(block.entry or "")),
            category=_category(block.kind),
            change=block_change(self.plan, block.id),
            description=_joined([self.texts.get(block.id, ""), *facts]),
        )

    def _rock(self, entry: Season | Window, spell: Span, *, word: str, key: str) -> Happening:
        section = "season" if isinstance(entry, Season) else "window"
        return Happening(
            uid=self._uid(section, entry.id + key),
            span=spell,
            title=titled(word, entry.name),
            category=section.capitalize(),
            change=entry_change(self.plan, entry.id),
            description=_joined([chance_line(entry, spell), rock_line(entry), self._note(entry)]),
            place=one_line(entry.place),
            point=point_of(self.year, entry.place),
        )

    def _trip(self, trip: Trip) -> Happening:
        facts = [chance_line(trip, trip.span), rock_line(trip)] if trip.climbing else []
        return Happening(
            uid=self._uid("trip", trip.id),
            span=trip.span,
            title=titled("Trip", trip.name),
            category="Trip",
            change=entry_change(self.plan, trip.id),
            description=_joined(
                [*self._told_of(trip), travel_line(trip), *facts, self._note(trip)]
            ),
            place=one_line(trip.place),
            point=point_of(self.year, trip.place),
            busy=True,
        )

    def _absence(self, absence: Absence) -> Happening:
        left = f"Training time left: {100 * absence.left:.0f} %"
        return Happening(
            uid=self._uid("absence", absence.id),
            span=absence.span,
            title=titled("Absence", absence.name),
            category="Absence",
            change=entry_change(self.plan, absence.id),
            description=_joined([*self._told_of(absence), left, self._note(absence)]),
        )

    def _uid(self, section: str, key: str) -> UUID:
        return uuid5(self.plan.calendar_key, f"{section}:{key}")

    def _goals(self, block: Block) -> tuple[Goal, ...]:
        found = [self.year.entry(goal) for goal in goals_of(self.plan.current, block)]
        goals = [goal for goal in found if isinstance(goal, Goal)]
        return tuple(sorted(goals, key=lambda goal: goal.priority))

    def _told_of(self, entry: Entry) -> list[str]:
        """The texts of the blocks that a trip or absence gives."""
        given = (Kind.TRIP, Kind.ABSENCE)
        blocks = (b for b in self.plan.current.blocks if b.entry == entry.id and b.kind in given)
        return [self.texts.get(block.id, "") for block in blocks]

    def _note(self, entry: Entry) -> str:
        return entry.note if Layer.NOTES in self.layers else ""


def first_day(span: Span) -> Span:
    return Span.through(span.first, span.first)


def week_key(block_id: str, number: int) -> str:
    """What the identity of a later week of a block hangs on; the first has the block's."""
    return f"{block_id}:week:{number}"


def _category(kind: Kind) -> str:
    return "Injury" if BLOCK_LAYERS[kind] is Layer.INJURIES else kind.value.capitalize()


def _joined(parts: Iterable[str]) -> str:
    return "\n".join(part.strip() for part in parts if part.strip())
