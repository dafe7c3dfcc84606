"""Entries with days outside the year: they are kept, and nothing comes of them."""

from __future__ import annotations

from seasonplan.explain.words import entry_name, join, span_text
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
