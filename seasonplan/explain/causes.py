"""Which piece of news changes a block: found by planning without it, never by where its days lie.

Each piece is left out alone, and then in turn. Days are compared by kind and emphasis.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from typing import Any

from pydantic import ValidationError

from seasonplan.plan import Block
from seasonplan.planner.accepted import Accepted
from seasonplan.planner.run import Found, best_plan
from seasonplan.planning.proposal import Proposal, ProposedChange
from seasonplan.rules.statements import book_of
from seasonplan.year import ENTRY_FIELDS, Entry, Goal, Year

SAME_SHARE = 0.5  # of the changed days that a plan must have alike to make the same change
TABLES = ("rules", "recipes")
SETTINGS = ("horizon", "climber", "before", "sessions")

Shape = dict[date, tuple[object, ...]]  # what stands on each day


class ShareOfChange(StrEnum):
    """How much of a change some news are."""

    ITSELF = "itself"  # the block is what was entered
    WHOLLY = "wholly"  # it comes with this piece alone, and not without
    MOSTLY = "mostly"  # it does not come without this one, and comes without any one of the others
    TOGETHER = "together"  # it takes several
    EITHER = "either"  # each of several is enough
    NONE = "not at all"  # it comes without any news


@dataclass(frozen=True, slots=True)
class Piece:
    """One thing that changed in the year: a field of the year, and what in it."""

    field: str
    name: str = ""


@dataclass(frozen=True, slots=True)
class CausingNews:
    """The news that a change hangs on, in the order of the file."""

    part: ShareOfChange
    pieces: tuple[Piece, ...] = ()


def pieces(old: Year, new: Year) -> tuple[Piece, ...]:
    """All that differs between two years, as pieces that can be left out one by one."""
    return tuple(_pieces(old, new))


def _pieces(old: Year, new: Year) -> Iterator[Piece]:
    for field in ENTRY_FIELDS.values():
        was, now = _by_id(getattr(old, field)), _by_id(getattr(new, field))
        yield from (Piece(field, name) for name in {**was, **now} if was.get(name) != now.get(name))
    for field in TABLES:
        was, now = getattr(old, field), getattr(new, field)
        yield from (Piece(field, name) for name in {**was, **now} if was.get(name) != now.get(name))
    yield from (Piece(field) for field in SETTINGS if getattr(old, field) != getattr(new, field))


def _by_id(entries: Sequence[Entry]) -> dict[str, Entry]:
    return {entry.id: entry for entry in entries}


def year_without(old: Year, new: Year, gone: Sequence[Piece]) -> Year | None:
    """The new year as if some of the news had not come; None where that is no year.

    A goal no longer names what is then not there.
    """
    fields: dict[str, Any] = {piece.field: _undone(old, new, piece.field, gone) for piece in gone}
    known = {
        entry.id
        for field in ("seasons", "windows", "trips")
        for entry in fields.get(field, getattr(new, field))
    }
    goals = fields.get("goals", new.goals)
    try:
        fields["goals"] = tuple(_served(goal, known) for goal in goals)
        return new.with_fields(**fields)
    except ValidationError:
        return None


def _undone(old: Year, new: Year, field: str, gone: Sequence[Piece]) -> object:
    """A field of the new year, with what the old one had for the pieces that are left out."""
    names = [piece.name for piece in gone if piece.field == field]
    was, now = getattr(old, field), getattr(new, field)
    if field in SETTINGS:
        return was
    entries = field not in TABLES
    before, after = (_by_id(was), _by_id(now)) if entries else (was, now)
    kept = {
        name: before[name] if name in names else one
        for name, one in after.items()
        if name not in names or name in before
    }
    kept |= {name: before[name] for name in names if name in before}
    return tuple(kept.values()) if entries else kept


def _served(goal: Goal, known: set[str]) -> Goal:
    left = tuple(name for name in goal.served_by if name in known)
    return goal if left == goal.served_by else Goal(**{**dict(goal), "served_by": left})


class Causes:
    """The causes of the changes of one proposal; each year without some news is planned once."""

    def __init__(self, proposal: Proposal) -> None:
        self.proposal = proposal
        self.all = pieces(proposal.old_year, proposal.year)
        self._was = _shape(proposal.before.blocks)
        self._is = _shape(proposal.after.blocks)
        self._known: dict[frozenset[Piece], Sequence[Block] | None] = {}

    def of(self, change: ProposedChange) -> CausingNews:
        """What one change hangs on."""
        own = self._itself(change)
        if own is not None:
            return CausingNews(ShareOfChange.ITSELF, (own,))
        if not self.all or self._stays(change, self.all):
            return CausingNews(ShareOfChange.NONE, self.all)
        needed = tuple(one for one in self.all if not self._stays(change, [one]))
        if len(needed) == 1:
            others = [one for one in self.all if one not in needed]
            whole = self._share(change, others) >= 1.0 and self._share(change, needed) <= 0.0
            return CausingNews(ShareOfChange.WHOLLY if whole else ShareOfChange.MOSTLY, needed)
        if needed:
            return CausingNews(ShareOfChange.TOGETHER, needed)
        return self._in_turn(change)

    def _itself(self, change: ProposedChange) -> Piece | None:
        """The piece of news that gave or gives the block its days."""
        given = {block.entry for block in (change.before, change.after) if block}
        return next((one for one in self.all if one.name and one.name in given), None)

    def _in_turn(self, change: ProposedChange) -> CausingNews:
        """Where no single piece is needed: every set that is enough, found one after the other."""
        sets: list[list[Piece]] = []
        pool = list(self.all)
        while pool and self._stays(change, [one for one in self.all if one not in pool]):
            enough = list(pool)
            for one in pool:
                rest = [other for other in enough if other is not one]
                if self._stays(change, [other for other in self.all if other not in rest]):
                    enough = rest
            sets.append(enough)
            pool = [one for one in pool if one not in enough]
        named = {one for enough in sets for one in enough}
        part = (
            ShareOfChange.EITHER
            if all(len(enough) == 1 for enough in sets)
            else ShareOfChange.TOGETHER
        )
        return CausingNews(part, tuple(one for one in self.all if one in named))

    def _stays(self, change: ProposedChange, gone: Sequence[Piece]) -> bool:
        """Whether the change comes all the same, without some of the news."""
        return self._share(change, gone) >= SAME_SHARE

    def _share(self, change: ProposedChange, gone: Sequence[Piece]) -> float:
        """The share of its changed days that are as in the proposal, without some of the news.

        Where no day is of another kind, only edges moved: then it is there, or it is not.
        """
        blocks = self._without(frozenset(gone))
        if blocks is None:
            return 0.0
        days = self._days(change)
        if not days:
            return float(_has_edges(blocks, change))
        shape = _shape(blocks)
        return sum(shape.get(day) == self._is.get(day) for day in days) / len(days)

    def _days(self, change: ProposedChange) -> list[date]:
        """The days from today on that the change makes another."""
        spans = [block.span for block in (change.before, change.after) if block]
        every = sorted({day for span in spans for day in span.days()})
        return [
            day for day in every
            if day >= self.proposal.today and self._was.get(day) != self._is.get(day)
        ]  # fmt: skip

    def _without(self, gone: frozenset[Piece]) -> Sequence[Block] | None:
        if gone not in self._known:
            one = self.proposal
            year = year_without(one.old_year, one.year, sorted(gone, key=self.all.index))
            self._known[gone] = self._planned(year) if year is not None else None
        return self._known[gone]

    def _planned(self, year: Year) -> Sequence[Block] | None:
        one = self.proposal
        accepted = Accepted.of(one.before, one.today, keep=one.keep, done=one.after.done)
        found = best_plan(
            year, book=book_of(year), accepted=accepted, taken=one.taken, confirm=False
        )
        return found.blocks if isinstance(found, Found) else None


def _has_edges(blocks: Sequence[Block], change: ProposedChange) -> bool:
    """Whether a plan has the block as it is to be; or has it no more."""
    stands = change.after or change.before
    assert stands is not None
    found = any((b.kind, b.span) == (stands.kind, stands.span) for b in blocks)
    return found is (change.after is not None)


def _shape(blocks: Sequence[Block]) -> Shape:
    """What stands on each day. Of what was chosen the entry says only who fixed it."""
    return {
        day: (block.kind, block.emphasis, None if block.kind.chosen else block.entry)
        for block in blocks
        for day in block.span.days()
    }
