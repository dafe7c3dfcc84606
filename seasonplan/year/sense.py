"""What must hold between entries: unique ids, names that exist, chances for every week."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from seasonplan.days import Span, count_text
from seasonplan.errors import did_you_mean
from seasonplan.vocabulary import EMPHASES
from seasonplan.year.chance import gaps
from seasonplan.year.entries import Dated, Entry, Goal, Pin, Season, Trip, Window
from seasonplan.year.fixed import FixedSession
from seasonplan.year.refusal import Trouble

Sections = Mapping[str, Sequence[tuple[int, Entry]]]
SERVING = ("season", "window", "trip")


def troubles(
    sections: Sections, horizon: Span | None, *, unread: frozenset[str] = frozenset()
) -> list[Trouble]:
    """Every trouble between entries; without a horizon, those that do not depend on it.

    `unread` are ids of entries that had faults themselves.
    """
    found = [*_ids(sections), *_served(sections, unread), *_emphases(sections)]
    if horizon is not None:
        found += [*_chances(sections, horizon), *_outside(sections, horizon)]
    return found


def _ids(sections: Sections) -> Iterator[Trouble]:
    seen: dict[str, str] = {}
    for section, entries in sections.items():
        for index, entry in entries:
            if entry.id in seen:
                yield Trouble(
                    (section, index, "id"),
                    f"the id {entry.id!r} twice (also in {seen[entry.id]})",
                    "an id of its own for each entry",
                    f'Give it one of its own, such as `id = "{entry.id}-2"`.',
                )
            seen.setdefault(entry.id, section)


def _served(sections: Sections, unread: frozenset[str]) -> Iterator[Trouble]:
    for index, goal in sections.get("goal", ()):
        assert isinstance(goal, Goal)
        yield from unserved(index, goal.served_by, sections, unread=unread)


def unserved(
    index: int, served_by: Sequence[str], sections: Sections, *, unread: frozenset[str]
) -> Iterator[Trouble]:
    """Names in a goal's `served_by` that no season, window or trip has."""
    known = {entry.id for section in SERVING for _, entry in sections.get(section, ())}
    for name in served_by:
        if name in known or name in unread:
            continue
        yield Trouble(
            ("goal", index, "served_by"),
            repr(name),
            "the id of a season, window or trip"
            + (f" ({', '.join(sorted(known))})" if known else " (there is none yet)"),
            did_you_mean(name, known, otherwise="Correct the id or add the entry.", quoted=True),
        )


def _emphases(sections: Sections) -> Iterator[Trouble]:
    """A pinned block that is to train what blocks of its kind do not."""
    for index, pin in sections.get("pin", ()):
        assert isinstance(pin, Pin)
        known = [one for one in EMPHASES[pin.kind] if one]
        if not pin.emphasis or pin.emphasis in known:
            continue
        yield Trouble(
            ("pin", index, "emphasis"),
            f"{pin.emphasis.value!r} in a {pin.kind} block",
            ", ".join(known) if known else "nothing: a rest block trains nothing most",
            "Choose one of them, or leave it out." if known else "Leave it out.",
        )


def _chances(sections: Sections, horizon: Span) -> Iterator[Trouble]:
    for section in SERVING:
        for index, entry in sections.get(section, ()):
            if isinstance(entry, Season):
                spells = list(entry.spells(horizon))[:1]
            elif isinstance(entry, (Window, Trip)):
                spells = [entry.span]
            else:
                continue
            for spell in spells:
                missing = gaps(entry.chance, spell)
                if missing:
                    yield Trouble(
                        (section, index, "chance"),
                        _told(entry.chance),
                        missing,
                        "Add or remove numbers, or write one number for the whole time.",
                    )


def _told(chance: float | tuple[float, ...] | dict[str, float]) -> str:
    names = list(chance) if isinstance(chance, dict) else []
    if isinstance(chance, tuple):
        return count_text(len(chance), "chance")
    return ", ".join(names) or str(chance)


def _outside(sections: Sections, horizon: Span) -> Iterator[Trouble]:
    """A pin or session outside the year can never be kept; other things there are not needed."""
    for index, entry in sections.get("pin", ()):
        if isinstance(entry, Dated) and not horizon.covers(entry.span):
            yield Trouble(
                ("pin", index, "first"),
                f"{entry.first} to {entry.last}",
                f"days inside the year, {horizon.first} to {horizon.last}",
                "Change the dates of the pin, or the year.",
            )
    for index, entry in sections.get("session", ()):
        if isinstance(entry, FixedSession) and entry.day and entry.day not in horizon:
            yield Trouble(
                ("session", index, "day"),
                str(entry.day),
                f"a day inside the year, {horizon.first} to {horizon.last}",
                "Change the day of the session, or the year.",
            )
