"""Why a rest stands where it stands: the rule that asks for it, in the climber's own blocks.

Reads blocks in a row; searches nothing.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import timedelta

from seasonplan.body.almanac import almanac_of
from seasonplan.body.little_time import as_good_as_rest, share_left
from seasonplan.days import Span, calendar_weeks, length_text
from seasonplan.explain.words import a_kind, entry_name
from seasonplan.plan import Block
from seasonplan.rules.statements import RuleBook
from seasonplan.rules.tables import composing
from seasonplan.vocabulary import Kind
from seasonplan.year import Year

RESTS = (Kind.REST, Kind.ABSENCE, Kind.INJURED, Kind.RETURN)


def rest_reason(
    block: Block, year: Year, blocks: Sequence[Block], *, book: RuleBook, shared: bool = False
) -> str:
    """Why a rest is there, in one sentence; what is `shared` does not name trips, nor tell of
    weeks with little time."""
    order = sorted(blocks, key=lambda one: one.span)
    before = [one for one in order if one.span.after <= block.span.first]
    after = [one for one in order if one.span.first >= block.span.after]
    trip = _trip(before[-1], year, shared=shared) if before else ""
    told = _after_climbing(before, book, trip=trip) or _before_strength(before, after, book)
    told = told or _by_weeks(block, year, before=before, after=after, book=book, shared=shared)
    if told:
        return told
    nexts = a_kind(after[0].kind) if after and after[0].kind.chosen else ""
    nexts = nexts or (_trip(after[0], year, shared=shared) if after else "")
    ahead = f" before {nexts}" if nexts else ""
    return f"It is there so that body and head recover{ahead}; no rule asks for it."


def _after_climbing(before: Sequence[Block], book: RuleBook, *, trip: str) -> str:
    """After long performing, or a trip; `trip` is what that is called, where one comes last."""
    owed = book.active("rest-after-performance")
    climbed = [one for one in before if one.kind is Kind.PERFORMANCE]
    if not before or before[-1].kind not in (Kind.PERFORMANCE, Kind.TRIP):
        return ""
    if owed and climbed and _joined(climbed[-1], before) and _weeks(climbed[-1]) >= owed.number:
        length = length_text(climbed[-1].span.length)
        also = f" and {trip}" if trip else ""
        return (
            f"It is there because {length} of performing{also} lie before it: after "
            f"{owed.number:g} weeks or more the rules ask for rest."
        )
    return f"It is there so that skin, fingers and head recover from {trip}." if trip else ""


def _before_strength(before: Sequence[Block], after: Sequence[Block], book: RuleBook) -> str:
    """Between performing, however short, and strength."""
    follows = bool(after) and after[0].kind is Kind.STRENGTH
    performed = bool(before) and before[-1].kind is Kind.PERFORMANCE
    if not (follows and performed and book.active("rest-before-strength")):
        return ""
    return (
        "It is there because strength follows: the rules ask for rest between performing and "
        "strength."
    )


def _joined(block: Block, before: Sequence[Block]) -> bool:
    """Whether nothing but trips lies between a block and the end of those before."""
    later = before[before.index(block) + 1 :]
    return all(one.kind is Kind.TRIP for one in later)


def _by_weeks(
    block: Block, year: Year, *, before: Sequence[Block], after: Sequence[Block], book: RuleBook,
    shared: bool,
) -> str:  # fmt: skip
    """Where the year would go on for too long without a rest."""
    rule = book.active("rest-every")
    if rule is None:
        return ""
    little = as_good_as_rest(almanac_of(year))
    rests = [one.span.after for one in before if one.kind in RESTS]
    rests += [span.after for span in little if span.after <= block.span.first]
    since = (block.span.first - year.span.first).days + year.before.days_since_rest
    gone = (block.span.first - max(rests)).days if rests else since
    nexts = [one.span.first for one in after if one.kind in RESTS]
    nexts += [span.first for span in little if span.first >= block.span.after]
    ahead = min(nexts, default=year.span.after)
    days = gone + block.span.length + (ahead - block.span.after).days
    if days <= 7 * rule.number:
        return ""
    lies = _before(block, year, gone, shared=shared)
    return (
        f"It is there because {lies}without it {length_text(days)} would pass with no rest; the "
        f"rules allow {rule.number:g} weeks."
    )


def _before(block: Block, year: Year, gone: int, *, shared: bool) -> str:
    """What lies between the last rest and this one: such as "7 weeks of training, 2 of them with
    little time, lie before it and "."""
    if not gone:
        return ""
    long, little = length_text(7 * round(gone / 7) or gone), _little_weeks(block, year, gone)
    if not little:
        return f"{long} of training lie before it and "
    if shared:
        return f"{long} lie before it and "
    return f"{long} of training, {little} of them with little time, lie before it and "


def _little_weeks(block: Block, year: Year, gone: int) -> int:
    """The calendar weeks of so many days before a rest in which absences leave too little time to
    train as usual, `cut_below` in shared/weeks.toml."""
    first = max(block.span.first - timedelta(days=gone), year.span.first)
    if first >= block.span.first:
        return 0
    weeks = calendar_weeks(Span(first, block.span.first), year.climber.week_begins)
    almanac, below = almanac_of(year), composing().load.cut_below
    return sum(share_left(almanac, week) < below for week in weeks)


def _weeks(block: Block) -> float:
    return block.span.length / 7


def _trip(block: Block, year: Year, *, shared: bool) -> str:
    """Such as "the trip “Saltmere”"; empty of what is no trip."""
    if block.kind is not Kind.TRIP:
        return ""
    named = block.entry is not None and not shared
    return f"the trip {entry_name(year, block.entry or '')}" if named else "the trip"
