"""The plan as a phone calendar (RFC 5545), pure bytes. Touches no disk, network or clock.

Light to import: icalendar is loaded when bytes are first asked for.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import TYPE_CHECKING, TypedDict, Unpack
from uuid import UUID, uuid5

from seasonplan.ical.layers import ALL, USUAL, Layer
from seasonplan.ical.look import WHOLE, Colour
from seasonplan.ical.manner import PLAIN, Manner
from seasonplan.plan import Plan, Session
from seasonplan.year import Year

if TYPE_CHECKING:
    from datetime import date, datetime

    from seasonplan.ical.appointments import Appointment
    from seasonplan.ical.happenings import Happening
    from seasonplan.ical.shown import Shown

    Link = Callable[[Happening | Appointment], str]

DEFAULT_NAME = "Climbing year"


class Asked(TypedDict, total=False):
    """What of a plan becomes events, and how; what is not said is as usual.

    `texts` describes blocks and sessions by their id. `sessions_busy` says whether others see the
    climber as taken; `alarm_minutes` asks for an alarm so long before each session, or before one
    leaves for it; `manner` is how days and blocks are shown, and what the diary says.
    """

    layers: frozenset[Layer]
    texts: Mapping[str, str] | None
    sessions_busy: bool
    alarm_minutes: int | None
    manner: Manner


def calendar_bytes(
    year: Year,
    plan: Plan,
    *,
    name: str = DEFAULT_NAME,
    colour: Colour = Colour.TEAL,
    part: str = WHOLE,
    whole_days: bool = True,
    known: Mapping[str, Shown] | None = None,
    link: Link | None = None,
    **asked: Unpack[Asked],
) -> bytes:
    """The current revision as an .ics file: the same arguments give the same bytes.

    `year` is the year as it was when the current revision was accepted. `known` is what `shown`
    makes of the same arguments: numbers and stamps come from it. Without it they are told from
    the revisions, which know neither texts nor alarms. `part` tells several calendars of one plan
    apart, which show the same events with the same identity; without `whole_days` there are
    sessions alone, and the layer of injuries only says whether they may tell of one. `link` gives
    the page of an event, where it has one (URL, RFC 5545 3.8.4.6).
    """
    from seasonplan.ical.shown import linked, newest, numbered
    from seasonplan.ical.write import written

    days, timed = _told(year, plan, **asked)
    known = known or {}
    days, timed = numbered(days if whole_days else [], known), numbered(timed, known)
    if link:
        days, timed = linked(days, link), linked(timed, link)
    return written(
        year, plan, days, timed, name=name, colour=colour, part=part, since=newest(known)
    )


def shown(
    year: Year,
    plan: Plan,
    *,
    before: Mapping[str, Shown],
    now: datetime,
    has_links: bool = False,
    **asked: Unpack[Asked],
) -> dict[str, Shown]:
    """Number and stamp of each event, by what this calendar showed of it `before`.

    They rise for what shows something else, whatever made it so, and for nothing else: that an
    event has a link counts as shown, where it leads does not.
    """
    from seasonplan.ical.shown import SOMEWHERE, linked, reckoned

    days, timed = _told(year, plan, **asked)
    if has_links:
        days, timed = linked(days, lambda one: SOMEWHERE), linked(timed, lambda one: SOMEWHERE)
    return reckoned([*days, *timed], before, now=now)


def events(
    year: Year, plan: Plan, *, whole_days: bool = True, **asked: Unpack[Asked]
) -> list[Happening | Appointment]:
    """What `calendar_bytes` writes of the same arguments, by when it begins, unwritten."""
    days, timed = _told(year, plan, **asked)
    every: Iterable[Happening | Appointment] = [*(days if whole_days else []), *timed]
    return sorted(every, key=lambda one: (first_day(one), one.title, str(one.uid)))


def first_day(one: Happening | Appointment) -> date:
    """The day on which an event begins, where it is."""
    from seasonplan.ical.happenings import Happening

    return one.span.first if isinstance(one, Happening) else one.start.date()


def session_uid(key: UUID, session: Session) -> str:
    """The identity of the event of a session in every calendar of a plan."""
    return str(uuid5(key, session.id))


def event_files(
    year: Year,
    plan: Plan,
    *,
    known: Mapping[str, Shown] | None = None,
    **asked: Unpack[Asked],
) -> dict[str, bytes]:
    """Each event of `calendar_bytes` as a file of its own, by UID, for a CalDAV collection."""
    from seasonplan.ical.shown import numbered
    from seasonplan.ical.write import written_alone

    whole_days, timed = _told(year, plan, **asked)
    known = known or {}
    told: list[Happening | Appointment] = [*numbered(whole_days, known), *numbered(timed, known)]
    return {str(one.uid): written_alone(one) for one in told}


def cancel_bytes(
    year: Year,
    plan: Plan,
    *,
    since: int,
    layers: frozenset[Layer] = USUAL,
    known: Mapping[str, Shown] | None = None,
    manner: Manner = PLAIN,
) -> bytes | None:
    """A file that takes back what revision `since` had and the current one has not, for those
    who imported it then; None where nothing is gone. A subscribed calendar needs no such file.

    `known` has the highest number that was ever shown of each event. Raises Misuse where there
    is no such revision.
    """
    from seasonplan.ical.cancel import gone
    from seasonplan.ical.write import written_cancelled

    whole_days, timed = gone(
        year, plan, since=since, layers=layers, known=known or {}, manner=manner
    )
    return written_cancelled(whole_days, timed) if whole_days or timed else None


def _told(
    year: Year,
    plan: Plan,
    *,
    layers: frozenset[Layer] = USUAL,
    texts: Mapping[str, str] | None = None,
    sessions_busy: bool = True,
    alarm_minutes: int | None = None,
    manner: Manner = PLAIN,
) -> tuple[list[Happening], list[Appointment]]:
    """The events of whole days, and those at hours."""
    from seasonplan.ical.appointments import appointments, related
    from seasonplan.ical.happenings import happenings

    texts = texts or {}
    days = happenings(year, plan, layers=layers, texts=texts, manner=manner)
    timed = appointments(
        year, plan, layers=layers, texts=texts, busy=sessions_busy, alarm_minutes=alarm_minutes,
        manner=manner,
    )  # fmt: skip
    return days, related(timed, {one.uid for one in days})


__all__ = [
    "ALL", "DEFAULT_NAME", "USUAL", "Colour", "Layer", "Manner", "calendar_bytes", "cancel_bytes",
    "event_files", "events", "first_day", "session_uid", "shown",
]  # fmt: skip
