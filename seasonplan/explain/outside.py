"""Entries of which nothing comes, and that are kept: days outside the year, sessions of no plan,
rock that was entered twice."""

from __future__ import annotations

from itertools import combinations

from seasonplan.edits import harm
from seasonplan.explain.words import entry_name, join, span_text
from seasonplan.plan import Revision
from seasonplan.year import Dated, Entry, Year


def lies_outside(entry: Entry, year: Year) -> bool:
    """Whether no day of an entry is in the year."""
    return isinstance(entry, Dated) and entry.span.meet(year.span) is None


def outside_note(year: Year) -> list[str]:
    """That entries lie outside the year, in one sentence; nothing where none does."""
    found = [
        entry_name(year, entry.id)
        for entries in year.entries_by_section().values()
        for _, entry in entries
        if lies_outside(entry, year)
    ]
    return [outside_text(found, year)] if found else []


def outside_text(names: list[str], year: Year) -> str:
    """Such as "“Isle” lies outside your year, ...: nothing comes of it"."""
    lie, it, its = ("lies", "it", "its") if len(names) == 1 else ("lie", "them", "their")
    return (
        f"{join(names)} {lie} outside your year, {span_text(year.span)}: nothing comes of {it}. If "
        f"that is a slip, change {its} days."
    )


def twice_note(year: Year) -> list[str]:
    """Each two seasons for one discipline at one place that share days, and what comes of them."""
    return [
        f"{entry_name(year, one.id)} and {entry_name(year, other.id)} are the same rock, and share "
        f"days: each such day counts once, at the better chance. If it was entered twice: "
        f"`seasonplan edit remove {other.id}`."
        for one, other in combinations(year.seasons, 2)
        if (one.place, one.discipline) == (other.place, other.discipline)
        and any(a.meet(b) for a in one.spells(year.span) for b in other.spells(year.span))
    ]


def unknown_note(year: Year, revision: Revision | None) -> list[str]:
    """That changes are of sessions which the plan does not hold, in one sentence; nothing of those
    it leaves out as they would do harm: that is said where they would stand."""
    if revision is None:
        return []
    held = {session.id for session in revision.sessions}
    changed = [one for one in year.fixed_sessions if one.session and not one.skip]
    gone = [one for one in changed if one.session not in held]
    lost = [one for one in gone if not any(harm.harmful(year, [one], revision.sessions))]
    if not lost:
        return []
    sessions, it = ("session", "it") if len(lost) == 1 else ("sessions", "them")
    return [
        f"The plan has no {sessions} {join([f'“{one.session}”' for one in lost])}: nothing comes "
        f"of what you changed of {it}. `seasonplan week --plain` tells the ids."
    ]
