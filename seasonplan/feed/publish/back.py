"""What a person moved or removed in the phone's calendar, as edits for them to accept.

Reads only events of ours that are not as we left them. Changes nothing.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime

from seasonplan.edits import (
    AnEdit,
    ChangeEntry,
    MoveBlock,
    MoveSession,
    ResizeBlock,
    SkipSession,
)
from seasonplan.explain.words import block_name, day_text, entry_name
from seasonplan.feed.private import Collection
from seasonplan.feed.publish.collection import Place, file_of
from seasonplan.ical.appointments import by_day
from seasonplan.ical.back import About, Moved, Odd, moved
from seasonplan.plan import Plan
from seasonplan.recipes import recipes
from seasonplan.year import Year


@dataclass(frozen=True, slots=True)
class Wished:
    """What was done to an event, and the edits that together do the same to the year.

    Without `edits` the year cannot follow: it can only be put back.
    """

    title: str
    moved: Moved
    edits: tuple[AnEdit, ...] = ()

    @property
    def id(self) -> str:
        return self.moved.id


def wishes(place: Place, year: Year, plan: Plan, known: Collection) -> list[Wished]:
    """Every move and removal since we last wrote there. Raises what `place` raises.

    A day that is one event takes all its sessions along, by as much.
    """
    there = place.listing()
    files: dict[str, bytes] = {}
    for uid, put in known.events.items():
        if there.get(file_of(uid), put.etag) != put.etag:  # no tag is kept where the list was lost
            found = place.read(file_of(uid))
            files |= {uid: found[1]} if found else {}
    gone = {uid for uid, put in known.events.items() if put.etag and file_of(uid) not in there}
    return [
        Wished(_title(one, year, plan), one, _edits(one, year, plan))
        for one in moved(year, plan, files, gone=gone, manner=known.wish.manner(year))
    ]


def _edits(one: Moved, year: Year, plan: Plan) -> tuple[AnEdit, ...]:
    """The edits that a move means; none where it means nothing that can be entered."""
    if one.about is About.DAY:
        return tuple(_of_day(one, year, plan))
    if one.odd is Odd.REMOVED and one.about is About.SESSION:
        return (SkipSession(session=one.id),)
    if one.odd is not None or one.yearly:
        return ()
    if one.about is About.SESSION and one.start is not None:
        return (_of_session(one, year, start=one.start, minutes=one.minutes),)
    if one.span is None or one.was is None:
        return ()
    if one.about is About.ENTRY:
        return (ChangeEntry(id=one.id, values={"first": one.span.first, "last": one.span.last}),)
    if one.span.length == one.was.length:
        return (MoveBlock(block=one.id, days=(one.span.first - one.was.first).days),)
    return (ResizeBlock(block=one.id, first=one.span.first, last=one.span.last),)


def _of_day(one: Moved, year: Year, plan: Plan) -> Iterator[AnEdit]:
    """Every session of a day as far as its event was moved, by the wall clock; or skipped."""
    for session in by_day(plan.current.sessions)[date.fromisoformat(one.id)]:
        if one.odd is Odd.REMOVED:
            yield SkipSession(session=session.id)
        elif one.odd is None and one.start is not None and one.was_start is not None:
            by = one.start.replace(tzinfo=None) - one.was_start.replace(tzinfo=None)
            own = Moved(About.SESSION, session.id, one.uid, was_minutes=session.minutes)
            there = datetime.combine(session.day, session.start) + by
            yield _of_session(own, year, start=there, minutes=session.minutes)


def _of_session(one: Moved, year: Year, *, start: datetime, minutes: int | None) -> AnEdit:
    """Day and hour both as they are there: what is not said is chosen anew by the year.

    An edit of a session replaces what was said of it before, so its length is said again.
    """
    said = next((wish for wish in year.fixed_sessions if wish.session == one.id), None)
    own = minutes != one.was_minutes or (said is not None and said.minutes is not None)
    at = start.time().replace(tzinfo=None)
    return MoveSession(session=one.id, day=start.date(), start=at, minutes=minutes if own else None)


def _title(one: Moved, year: Year, plan: Plan) -> str:
    """What a person calls it."""
    if one.about is About.ENTRY:
        return entry_name(year, one.id)
    if one.about is About.BLOCK:
        block = next(block for block in plan.current.blocks if block.id == one.id)
        return f"“{block_name(block, year)}”"
    if one.about is About.DAY:
        return f"the training day {day_text(date.fromisoformat(one.id))}"
    session = next(session for session in plan.current.sessions if session.id == one.id)
    recipe = recipes(year.recipes).get(session.recipe)
    return f"“{recipe.name if recipe else session.recipe}”"
