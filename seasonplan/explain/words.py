"""Names, dates and lengths as people say them."""

from __future__ import annotations

import re
from datetime import date

from seasonplan.days import calendar_weeks
from seasonplan.days import day_text as day_text
from seasonplan.days import length_text as length_text
from seasonplan.days import span_text as span_text
from seasonplan.plan import Block
from seasonplan.vocabulary import BodyPart, Emphasis, Kind, Phase, Quality
from seasonplan.year import Entry, Injury, Pin, Trip, Year

NUMBERED = re.compile(rf"(?:{'|'.join(kind.value for kind in Kind)})-\d+")
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


TIME_OFF = "time off"
UNTIL_BETTER = "nothing is trained until it is better"


def a_kind(kind: Kind) -> str:
    """Such as "a base block", "an absence", "days off for an injury or illness"."""
    if kind is Kind.INJURED:
        return "days off for an injury or illness"
    return f"{'an' if kind is Kind.ABSENCE else 'a'} {KIND_NAMES[kind]}"


def join(parts: list[str], *, last: str = "and") -> str:
    """ "a", "a and b", "a, b and c"; `last` stands before the last."""
    return parts[0] if len(parts) == 1 else f"{', '.join(parts[:-1])} {last} {parts[-1]}"


def number_text(value: float) -> str:
    """Without a needless ".0"."""
    return f"{value:.1f}".removesuffix(".0")


def time_text(minutes: float) -> str:
    """Such as "45 min", "4 h", "7 h 35 min"."""
    whole, rest = divmod(round(minutes), 60)
    parts = [f"{whole} h"] if whole else []
    parts += [f"{rest} min"] if rest or not whole else []
    return " ".join(parts)


def quality_text(quality: Quality) -> str:
    """Such as "finger strength"."""
    return quality.value.replace("_", " ")


def good_days_text(days: float) -> str:
    """Such as "1 good day", "8.5 good days"."""
    number = number_text(days)
    return f"{number} good day{'' if number == '1' else 's'}"


def percent_text(share: float) -> str:
    """Such as "+4 %", "-1 %", "±0 %"."""
    percent = round(100 * share)
    return f"{percent:+d} %" if percent else "±0 %"


def form_text(share: float) -> str:
    """Change of form since the start: "+12 % since the start", "as at the start"."""
    percent = round(100 * share)
    return f"{percent:+d} % since the start" if percent else "as at the start"


def entry_name(year: Year, entry_id: str) -> str:
    """The climber's own name for an entry, in quotes."""
    entry = year.entry(entry_id)
    return f"“{entry.name}”" if entry else f"“{entry_id}”"


def names_itself(entry: Entry | None) -> bool:
    """Whether an entry is a block that was fixed and is called as blocks number themselves."""
    return isinstance(entry, Pin) and bool(NUMBERED.fullmatch(entry.name))


def emphasis_text(kind: Kind, emphasis: Emphasis) -> str:
    """What a block trains most, or what is kept up in a season: "fingers", "fingers kept"."""
    if not emphasis:
        return ""
    return f"{emphasis} kept" if kind is Kind.PERFORMANCE else f"{emphasis}"


def kind_name(kind: Kind, emphasis: Emphasis) -> str:
    """Such as "strength block, fingers", "performance block; fingers kept", "rest block"."""
    told = emphasis_text(kind, emphasis)
    joined = "; " if kind is Kind.PERFORMANCE else ", "
    return f"{KIND_NAMES[kind]}{joined}{told}" if told else KIND_NAMES[kind]


def counted_text(block: Block, day: date, *, year: Year, until: date | None = None) -> str:
    """How far a block has come: ", week 2 of 5"; what the year gives ", day 4 of 9".

    With `until` the days up to it: ", days 4 to 9 of 9"; without an end where nobody knows one.
    """
    if block.kind.chosen:
        weeks = calendar_weeks(block.span, year.climber.week_begins)
        number = next(n for n, week in enumerate(weeks, start=1) if day in week)
        return f", week {number} of {len(weeks)}" if len(weeks) > 1 else ""
    if block.span.length == 1:
        return ""
    first, last = (
        (one - block.span.first).days + 1 for one in (day, min(until or day, block.span.last))
    )
    number_of = f"day {first}" if first == last else f"days {first} to {last}"
    entry = year.entry(block.entry) if block.entry else None
    if isinstance(entry, Injury) and entry.waits:
        return f", {number_of}"
    return f", {number_of} of {block.span.length}"


def is_illness(block: Block, year: Year) -> bool:
    """Whether days off are for an illness, or for what has no part."""
    entry = year.entry(block.entry or "")
    ill = isinstance(entry, Injury) and entry.part is BodyPart.OTHER
    return ill and block.kind is Kind.INJURED


def block_name(block: Block, year: Year) -> str:
    """Kind and emphasis, or the climber's own word for what was given."""
    if block.kind.chosen or block.entry is None:
        name = kind_name(block.kind, block.emphasis)
        return name[0].upper() + name[1:]
    phase = f", {block.phase.value}" if block.phase not in (None, Phase.OFF) else ""
    given = Kind.TRIP if isinstance(year.entry(block.entry), Trip) else block.kind  # no climbing
    kind = TIME_OFF if is_illness(block, year) else KIND_NAMES[given]
    return f"{kind.capitalize()} {entry_name(year, block.entry)}{phase}"
