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
) -> bytes:
    """The current revision as an .ics file: the same arguments give the same bytes.

    `year` is the year as it was when the current revision was accepted: an edit that no revision
    knows of has no stamp. `texts` describes blocks by their id; a text should say nothing that
    its block, and for performance blocks the year, does not: stamps follow those alone.
    """
    from seasonplan.ical.happenings import happenings
    from seasonplan.ical.write import written

    return written(year, plan, happenings(year, plan, layers=layers, texts=texts or {}), name=name)


__all__ = ["ALL", "DEFAULT_NAME", "USUAL", "Layer", "calendar_bytes"]
