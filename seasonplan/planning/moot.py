"""Findings that are true and yet matter to nobody: not told. Judges nothing itself."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from seasonplan.body.almanac import almanac_of
from seasonplan.body.opening import whole_from
from seasonplan.plan import Session
from seasonplan.rules.findings import Finding
from seasonplan.year import Year

LEAD_IN = "lead-in-start"


def that_matter(
    findings: Iterable[Finding], year: Year, sessions: Sequence[Session]
) -> tuple[Finding, ...]:  # fmt: skip
    """The findings without lead-ins to rock on which no day is planned: there is nothing to be
    fresh for, and why no day is planned is told by itself."""
    on_rock = [(one.rock, one.day) for one in sessions if one.role is not None]
    almanac = almanac_of(year)
    opens = {
        whole_from(almanac, spell)
        for spell in almanac.spells
        if any(rock == spell.entry.id and day in spell.span for rock, day in on_rock)
    }
    return tuple(one for one in findings if one.code != LEAD_IN or one.span.first in opens)
