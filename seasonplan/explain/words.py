"""Names, dates and lengths as people say them."""

from __future__ import annotations

from datetime import date

from seasonplan.days import Span
from seasonplan.plan import Block
from seasonplan.vocabulary import Kind, Phase
from seasonplan.year import Year

KIND_NAMES = {
    Kind.BASE: "base block",
    Kind.STRENGTH: "strength block",
    Kind.PERFORMANCE: "performance block",
    Kind.REST: "rest block",
    Kind.TRIP: "trip",
    Kind.ABSENCE: "absence",
    Kind.INJURED: "injured",
    Kind.RETURN: "return to load",
}


def day_text(day: date) -> str:
    """Such as "Mon 5 Jan 2026"; English whatever the locale."""
    weekday = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")[day.weekday()]
    month = (
        "Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec",
    )[day.month - 1]  # fmt: skip
    return f"{weekday} {day.day} {month} {day.year}"


def span_text(span: Span) -> str:
    return (
        f"{day_text(span.first)} to {day_text(span.last)}"
        if span.length > 1
        else day_text(span.first)
    )


def length_text(days: int) -> str:
    """Such as "3 weeks", "10 days", "3 weeks 2 days"."""
    weeks, rest = divmod(days, 7)
    if days < 14 and rest:
        return _count(days, "day")
    return " ".join(
        part
        for part in (_count(weeks, "week") if weeks else "", _count(rest, "day") if rest else "")
        if part
    )


def _count(number: int, thing: str) -> str:
    return f"{number} {thing}" if number == 1 else f"{number} {thing}s"


def join(parts: list[str]) -> str:
    """ "a", "a and b", "a, b and c"."""
    return parts[0] if len(parts) == 1 else f"{', '.join(parts[:-1])} and {parts[-1]}"


def number_text(value: float) -> str:
    """Without a needless ".0"."""
    return f"{value:.1f}".removesuffix(".0")


def entry_name(year: Year, entry_id: str) -> str:
    """The climber's own name for an entry, in quotes."""
    entry = year.entry(entry_id)
    return f"“{entry.name}”" if entry else f"“{entry_id}”"


def block_name(block: Block, year: Year) -> str:
    """Kind, or the climber's own word for what was given."""
    if block.kind.chosen or block.entry is None:
        return KIND_NAMES[block.kind].capitalize()
    phase = f", {block.phase.value}" if block.phase not in (None, Phase.OFF) else ""
    return f"{KIND_NAMES[block.kind].capitalize()} {entry_name(year, block.entry)}{phase}"
