"""The plan as a phone calendar (RFC 5545), pure bytes. Touches no disk, network or clock.

Light to import: icalendar is loaded when bytes are first asked for.
"""

from __future__ import annotations

from collections.abc import Mapping

from seasonplan.ical.layers import ALL, USUAL, Layer
from seasonplan.plan import Plan
from seasonplan.year import Year

DEFAULT_NAME = "Climbing year"


def calendar_bytes(
    year: Year,
    plan: Plan,
    *,
    layers: frozenset[Layer] = USUAL,
    name: str = DEFAULT_NAME,
    texts: Mapping[str, str] | None = None,
    sessions_busy: bool = True,
    alarm_minutes: int | None = None,
) -> bytes:
    """The current revision as an .ics file: the same arguments give the same bytes.

    `year` is the year as it was when the current revision was accepted: an edit that no revision
    knows of has no stamp. `texts` describes blocks and sessions by their id; a text should say
    nothing that its block or session, its recipe, and for performance blocks the year, does not:
    stamps follow those alone. `sessions_busy` says whether others see the climber as taken;
    `alarm_minutes` asks for an alarm so long before each session.
    """
    from seasonplan.ical.appointments import appointments
    from seasonplan.ical.happenings import happenings
    from seasonplan.ical.write import written

    texts = texts or {}
    whole_days = happenings(year, plan, layers=layers, texts=texts)
    timed = appointments(
        year, plan, layers=layers, texts=texts, busy=sessions_busy, alarm_minutes=alarm_minutes
    )
    return written(year, plan, whole_days, timed, name=name)


__all__ = ["ALL", "DEFAULT_NAME", "USUAL", "Layer", "calendar_bytes"]
