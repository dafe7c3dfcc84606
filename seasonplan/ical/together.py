"""The sessions of a day as one event: from the first to the last, with a list in its notes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING, NamedTuple
from uuid import UUID

from seasonplan.diary import DiaryEntry, Did
from seasonplan.ical.labels import OUT, did_title, titled

if TYPE_CHECKING:
    from seasonplan.ical.appointments import Appointment

LONG_PAUSE = timedelta(hours=2)  # between sessions of a day shown as one; a preference


class Part(NamedTuple):
    """One session of a day: as an event of its own, its hours, what the diary says of it, and
    whether it must be left out."""

    event: Appointment
    hours: tuple[datetime, datetime]
    row: DiaryEntry | None
    refused: bool = False

    @property
    def title(self) -> str:
        return did_title(self.event.title, self.row, refused=self.refused)


def day_key(day: date) -> str:
    """What the identity of the event of a day hangs on."""
    return f"day:{day.isoformat()}"


def together(parts: Sequence[Part], *, uid: UUID) -> Appointment:
    """One event from the first beginning to the last end; a list first, then each session.

    Where a long pause lies between two the whole leaves free: nobody is busy all that day.
    """
    events = [part.event for part in parts]
    first = events[0]
    end = max(event.end for event in events).astimezone(first.start.tzinfo)
    paused = any(
        later.start - max(one.end for one in events[: number + 1]) > LONG_PAUSE
        for number, later in enumerate(events[1:])
    )
    places = list(dict.fromkeys(event.place for event in events if event.place))
    whole = {event.part_of for event in events}
    return replace(
        first, uid=uid, end=end, title=_day_title(parts), description=_day_notes(parts),
        part_of=whole.pop() if len(whole) == 1 else None, place=", ".join(places),
        point=first.point if len(places) == 1 else None, busy=first.busy and not paused,
    )  # fmt: skip


def _day_title(parts: Sequence[Part]) -> str:
    title = " + ".join(part.event.title for part in parts)
    kinds = {(part.row.kind if part.row else None, part.refused) for part in parts}
    if len(kinds) == 1:
        return did_title(title, parts[0].row, refused=parts[0].refused)
    if not any(part.row for part in parts):
        return titled(f"{OUT} {sum(part.refused for part in parts)} of {len(parts)}", title)
    done = sum(part.row is not None and part.row.kind is Did.DONE for part in parts)
    return titled(f"Done {done} of {len(parts)}", title)


def _day_notes(parts: Sequence[Part]) -> str:
    """When to do what, then what there is to know of each."""
    if len(parts) == 1:
        return parts[0].event.description
    told = [f"{part.hours[0]:%H:%M}-{part.hours[1]:%H:%M} {part.title}" for part in parts]
    told += [f"\n{part.event.title}\n{part.event.description}" for part in parts]
    return "\n".join(told)
