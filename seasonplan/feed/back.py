"""What a person moved or removed in the phone's calendar, as edits for them to accept.

Reads only events of ours that are not as we left them. Changes nothing.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from uuid import uuid5

from seasonplan.edits import (
    AnEdit,
    ChangeEntry,
    MoveBlock,
    MoveSession,
    ResizeBlock,
    SkipSession,
)
from seasonplan.feed.private import Collection
from seasonplan.feed.publish import Place, file_of
from seasonplan.ical.back import About, Moved, moved
from seasonplan.plan import Plan
from seasonplan.year import Year


@dataclass(frozen=True, slots=True)
class Wished:
    """What was done to an event, and the edit that does the same to the year.

    `moved` is None where a session was removed.
    """

    id: str
    edit: AnEdit
    moved: Moved | None = None


def wishes(place: Place, year: Year, plan: Plan, known: Collection) -> list[Wished]:
    """Every move and removal since we last wrote there. Raises what `place` raises."""
    there = place.listing()
    changed = [
        uid for uid, put in known.events.items()
        if put.etag and there.get(file_of(uid), put.etag) != put.etag
    ]  # fmt: skip
    found = (place.read(file_of(uid)) for uid in changed)
    files = [content for one in found if one for content in one[1:]]
    gone = {uid for uid, put in known.events.items() if put.etag and file_of(uid) not in there}
    return [*edits_of(moved(year, plan, files)), *_skips(plan, gone)]


def edits_of(moves: Iterable[Moved]) -> Iterator[Wished]:
    """The edit that each move means."""
    for one in moves:
        edit = _edit(one)
        if edit is not None:
            yield Wished(one.id, edit, one)


def _edit(one: Moved) -> AnEdit | None:
    if one.about is About.SESSION and one.start and one.was_start:
        day, start = one.start.date(), one.start.time().replace(tzinfo=None)
        return MoveSession(
            session=one.id,
            day=day if day != one.was_start.date() else None,
            start=start if start != one.was_start.time() else None,
        )
    if one.span is None or one.was is None:
        return None
    if one.about is About.ENTRY:
        return ChangeEntry(id=one.id, values={"first": one.span.first, "last": one.span.last})
    if one.span.length == one.was.length:
        return MoveBlock(block=one.id, days=(one.span.first - one.was.first).days)
    return ResizeBlock(block=one.id, first=one.span.first, last=one.span.last)


def _skips(plan: Plan, gone: set[str]) -> Iterator[Wished]:
    for session in plan.current.sessions:
        if str(uuid5(plan.calendar_key, session.id)) in gone:
            yield Wished(session.id, SkipSession(session=session.id))
