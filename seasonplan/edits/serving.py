"""Rock that no goal asks for, and the edit that lets a goal be done there too. Pure."""

from __future__ import annotations

from collections.abc import Sequence

from seasonplan.body.almanac import Almanac
from seasonplan.edits.kinds import ChangeEntry
from seasonplan.year import Goal, Season, Trip, Window

Rock = Season | Window | Trip


def idle(almanac: Almanac) -> tuple[Rock, ...]:
    """Seasons, windows and climbing trips that serve no goal, where there are goals."""
    found: dict[str, Rock] = {}
    for spell in almanac.spells:
        if not any(almanac.serves(spell, goal) for goal in almanac.year.goals):
            found.setdefault(spell.entry.id, spell.entry)
    return tuple(found.values()) if almanac.year.goals else ()


def idle_text(rock: Rock, goals: Sequence[Goal]) -> str:
    """That days there count for nothing, and why."""
    kind = rock.discipline.value if rock.discipline else "anything"
    for goal in goals:
        if (goal.place, goal.discipline) == (rock.place, rock.discipline):
            return (
                f"“{rock.name}” serves no goal: “{goal.name}” is at “{rock.place}” for {kind}, but "
                "its `served_by` names others."
            )
    return f"“{rock.name}” serves no goal: none is at “{rock.place}” for {kind}."


def serving(goal: Goal, rock: Rock, almanac: Almanac) -> ChangeEntry:
    """The edit that lets a goal be done at that rock, beside where it is done now."""
    now = goal.served_by or tuple(
        dict.fromkeys(s.entry.id for s in almanac.spells if almanac.serves(s, goal))
    )
    return ChangeEntry(id=goal.id, values={"served_by": [*now, rock.id]})
