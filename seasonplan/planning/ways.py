"""The edit that a way out of a conflict means. Says nothing and solves nothing."""

from __future__ import annotations

from seasonplan.edits import AnEdit, ChangeEntry, ChangeRule, RemoveEntry
from seasonplan.planner.conflict import WayOut
from seasonplan.year import Injury, Year


def edit_of_way(way: WayOut, year: Year) -> AnEdit | None:
    """The edit, or None where it is nothing to choose: what came before, or is hurt, is a fact."""
    name = way.party.name
    if way.party.is_rule:
        limit = way.limit
        return (
            ChangeRule(code=name, on=False) if limit is None else ChangeRule(code=name, limit=limit)
        )
    entry = year.entry(name)
    if entry is None or isinstance(entry, Injury):
        return None
    if way.span is None:
        return RemoveEntry(id=name)
    return ChangeEntry(id=name, values={"first": way.span.first, "last": way.span.last})
