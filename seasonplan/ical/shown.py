"""What was shown of each event the last time, and so whether it says anything else by now.

A number and a stamp rise for an event that shows something else than before, be it an hour, a
word, an alarm or whether it makes busy, and for no other. Reads no clock: `now` is handed in.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from typing import TypeVar

from pydantic import AwareDatetime

from seasonplan.ical.appointments import Appointment
from seasonplan.ical.changes import Change
from seasonplan.ical.event import event_bytes
from seasonplan.ical.happenings import Happening
from seasonplan.vocabulary import FrozenModel

Told = TypeVar("Told", Happening, Appointment)
_NEVER = Change(datetime(1970, 1, 1, tzinfo=UTC), 0)
SOMEWHERE = "about:blank"  # stands for any link: where it leads is not what an event shows
_TICK = timedelta(seconds=1)  # two contents never share a stamp


class Shown(FrozenModel):
    """An event as a calendar last had it; `digest` is empty once it is gone."""

    digest: str
    sequence: int
    stamp: AwareDatetime


def reckoned(
    told: Iterable[Happening | Appointment], before: Mapping[str, Shown], *, now: datetime
) -> dict[str, Shown]:
    """Number and stamp of each event, by UID; what is gone stays, with the time it went."""
    now = now.astimezone(UTC).replace(microsecond=0)
    found: dict[str, Shown] = {}
    for one in told:
        uid = str(one.uid)
        found[uid] = _next(one, before.get(uid), now)
    for uid, old in before.items():
        if uid not in found:
            found[uid] = _gone(old, now) if old.digest else old
    return found


def numbered(told: Iterable[Told], known: Mapping[str, Shown]) -> list[Told]:
    """The events with the numbers and stamps that are known of them."""
    return [_numbered(one, known.get(str(one.uid))) for one in told]


def linked(told: Iterable[Told], link: Callable[[Told], str]) -> list[Told]:
    """The events, each with its link."""
    return [replace(one, url=link(one)) for one in told]


def newest(known: Mapping[str, Shown]) -> datetime | None:
    """When anything last changed, deletions too."""
    return max((one.stamp for one in known.values()), default=None)


def highest(roads: Iterable[Mapping[str, Shown]]) -> dict[str, Shown]:
    """Of each event the highest number that any of several calendars has shown."""
    found: dict[str, Shown] = {}
    for known in roads:
        for uid, one in known.items():
            if uid not in found or found[uid].sequence < one.sequence:
                found[uid] = one
    return found


def _next(one: Happening | Appointment, old: Shown | None, now: datetime) -> Shown:
    digest = _digest(one)
    if old is None:
        return Shown(digest=digest, sequence=one.change.sequence, stamp=one.change.stamp)
    if old.digest == digest:
        return old
    number = max(old.sequence + 1, one.change.sequence)
    return Shown(digest=digest, sequence=number, stamp=max(now, old.stamp + _TICK))


def _gone(old: Shown, now: datetime) -> Shown:
    return Shown(digest="", sequence=old.sequence, stamp=max(now, old.stamp + _TICK))


def _digest(one: Happening | Appointment) -> str:
    """Of all that is written of an event but its number and stamp."""
    return hashlib.sha256(event_bytes(replace(one, change=_NEVER))).hexdigest()[:32]


def _numbered(one: Told, known: Shown | None) -> Told:
    if known is None or not known.digest:
        return one
    return replace(one, change=Change(known.stamp, known.sequence))
