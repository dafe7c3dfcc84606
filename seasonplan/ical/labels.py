"""The short words of the calendar: titles and one-line facts. Sentences belong to `explain`."""

from __future__ import annotations

from seasonplan.days import MONTHS, Span
from seasonplan.ical.text import one_line
from seasonplan.plan import Block
from seasonplan.vocabulary import Kind, Phase
from seasonplan.year import Goal, Rock, Season, Trip, Window

_BLOCKS = {
    Kind.BASE: "Base block",
    Kind.STRENGTH: "Strength block",
    Kind.PERFORMANCE: "Performance block",
    Kind.REST: "Rest block",
    Kind.INJURED: "Injured",
    Kind.RETURN: "Return to load",
}
_PHASES = {Phase.EASY: "easy", Phase.BUILDING: "building"}


def titled(word: str, name: str) -> str:
    """A word and what it is about: "Season: Karst"; the word alone if the name is blank."""
    name = one_line(name)
    return f"{word}: {name}" if name else word


def block_title(block: Block, goals: tuple[Goal, ...]) -> str:
    """The title of a block that is not shown by an entry; a hurt part is never named."""
    if block.kind is Kind.PERFORMANCE and goals:
        more = f" and {len(goals) - 1} more" if len(goals) > 1 else ""
        return titled("Performance", one_line(goals[0].name) + more)
    return titled(_BLOCKS[block.kind], _PHASES.get(block.phase, "") if block.phase else "")


def goal_line(goal: Goal) -> str:
    return titled(
        "Goal", ", ".join(filter(None, map(one_line, (goal.name, goal.grade, goal.place))))
    )


def rock_line(rock: Rock | Trip) -> str:
    """How one climbs there: "Discipline: sport", or nothing."""
    return titled("Discipline", rock.discipline.value if rock.discipline else "")


def chance_line(entry: Season | Window | Trip, spell: Span) -> str:
    """The chance of a good day over a spell, as it was entered: one, by week or by month."""
    chance = entry.chance
    if isinstance(chance, tuple):
        return f"Chance of a good day, by week: {', '.join(map(_percent, chance))}"
    if isinstance(chance, dict):
        months = dict.fromkeys(MONTHS[day.month - 1] for day in spell.days())
        told = (f"{month.capitalize()} {_percent(chance.get(month, 0.0))}" for month in months)
        return f"Chance of a good day: {', '.join(told)}"
    return f"Chance of a good day: {_percent(chance)}"


def _percent(share: float) -> str:
    return f"{100 * share:.0f} %"
