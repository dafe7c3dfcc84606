"""The short words of the calendar: titles and one-line facts. Sentences belong to `explain`."""

from __future__ import annotations

from datetime import datetime

from seasonplan.days import MONTHS, Span, dates_text
from seasonplan.diary import DiaryEntry, Did
from seasonplan.ical.text import one_line
from seasonplan.plan import Block, Week
from seasonplan.vocabulary import BodyPart, Kind, Phase
from seasonplan.year import Entry, Goal, Injury, Rock, Season, Trip, Window

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


def block_title(block: Block, goals: tuple[Goal, ...], *, given_by: Entry | None = None) -> str:
    """The title of a block that is not shown by an entry, with its emphasis ("Base: endurance",
    "Performance: Long Crack; fingers kept"); a hurt part is never named, an illness is time off."""
    if block.kind is Kind.INJURED and isinstance(given_by, Injury):
        return "Time off" if given_by.part is BodyPart.OTHER else _BLOCKS[Kind.INJURED]
    emphasis = block.emphasis.value
    if block.kind is Kind.PERFORMANCE:
        kept = f"{emphasis} kept" if emphasis else ""
        more = f" and {len(goals) - 1} more" if len(goals) > 1 else ""
        name = titled("Performance", one_line(goals[0].name) + more) if goals else ""
        return "; ".join(filter(None, (name or _BLOCKS[block.kind], kept)))
    if emphasis:
        return titled(block.kind.value.capitalize(), emphasis)
    return titled(_BLOCKS[block.kind], _PHASES.get(block.phase, "") if block.phase else "")


def week_title(title: str, number: int, count: int) -> str:
    return f"{title}, week {number} of {count}"


def week_line(week: Week) -> str:
    """A week in a line: what was planned of it, and whether it is light."""
    parts = [f"{week.minutes:.0f} minutes" if week.minutes >= 1 else "no sessions"]
    parts += ["light week"] if week.deload else []
    parts += ["lead-in"] if week.lead_in else []
    return f"{', '.join(parts).capitalize()}."


def way_line(leave: datetime, start: datetime, end: datetime, back: datetime) -> str:
    """When to leave for a session and when one is back; nothing where there is no way."""
    if (leave, back) == (start, end):
        return ""
    parts = [f"leave at {leave:%H:%M}"] if leave != start else []
    parts += [f"there {start:%H:%M}-{end:%H:%M}"]
    parts += [f"back at {back:%H:%M}"] if back != end else []
    told = "; ".join(parts)
    return f"{told[0].upper()}{told[1:]}."


def travel_line(trip: Trip) -> str:
    """The days of a trip on which one is on the way."""
    if not trip.travel_days:
        return ""
    there, back = Span(trip.span.first, trip.there.first), Span(trip.there.after, trip.span.after)
    return f"On the way: {dates_text(there)}, and {dates_text(back)}."


OUT = "Leave out"
_DID = {Did.DONE: "Done", Did.MISSED: "Missed"}


def did_title(title: str, row: DiaryEntry | None, *, refused: bool = False) -> str:
    """The title of a session by what the diary says of it, "Done: Routes on the wall"; of one it
    says nothing of, whether it must be left out."""
    if row is None:
        return titled(OUT, title) if refused else title
    return titled(_DID[row.kind], title)


def did_line(row: DiaryEntry | None) -> str:
    """What the diary says of a session: "Done: 85 minutes, effort 7 of 10."; never its note."""
    if row is None:
        return ""
    facts = [f"{row.minutes} minutes"] if row.minutes is not None else []
    facts += [f"effort {row.rpe:.1f}".removesuffix(".0") + " of 10"] if row.rpe is not None else []
    return f"{titled(_DID[row.kind], ', '.join(facts))}."


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
