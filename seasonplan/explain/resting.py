"""Why a rest stands where it stands: the rule that asks for it, in the climber's own blocks.

Reads blocks in a row; searches nothing.
"""

from __future__ import annotations

from collections.abc import Sequence

from seasonplan.days import length_text
from seasonplan.explain.words import a_kind, entry_name
from seasonplan.plan import Block
from seasonplan.rules.statements import RuleBook
from seasonplan.vocabulary import Kind
from seasonplan.year import Year

RESTS = (Kind.REST, Kind.ABSENCE, Kind.INJURED, Kind.RETURN)


def rest_reason(block: Block, year: Year, blocks: Sequence[Block], *, book: RuleBook) -> str:
    """Why a rest is there, in one sentence."""
    order = sorted(blocks, key=lambda one: one.span)
    before = [one for one in order if one.span.after <= block.span.first]
    after = [one for one in order if one.span.first >= block.span.after]
    told = _after_climbing(before, year, book) or _by_weeks(block, before, after, year, book)
    if told:
        return told
    shown = bool(after) and (after[0].kind.chosen or after[0].kind is Kind.TRIP)
    nexts = f" before {_the(after[0], year)}" if shown else ""  # what ails one is not told here
    return f"It is there so that body and head recover{nexts}; no rule asks for it."


def _after_climbing(before: Sequence[Block], year: Year, book: RuleBook) -> str:
    """After long performing, or between a climbing trip or performing and strength."""
    last = before[-1] if before else None
    owed = book.active("rest-after-performance")
    climbed = [one for one in before if one.kind is Kind.PERFORMANCE]
    if last is None or last.kind not in (Kind.PERFORMANCE, Kind.TRIP):
        return ""
    if owed and climbed and _joined(climbed[-1], before) and _weeks(climbed[-1]) >= owed.number:
        length = length_text(climbed[-1].span.length)
        trip = f" and {_the(last, year)}" if last.kind is Kind.TRIP else ""
        return (
            f"It is there because {length} of performing{trip} lie before it: after "
            f"{owed.number:g} weeks or more the rules ask for rest."
        )
    if last.kind is Kind.TRIP:
        return f"It is there so that skin, fingers and head recover from {_the(last, year)}."
    return ""


def _joined(block: Block, before: Sequence[Block]) -> bool:
    """Whether nothing but trips lies between a block and the end of those before."""
    later = before[before.index(block) + 1 :]
    return all(one.kind is Kind.TRIP for one in later)


def _by_weeks(
    block: Block, before: Sequence[Block], after: Sequence[Block], year: Year, book: RuleBook
) -> str:
    """Where the year would go on for too long without a rest."""
    rule = book.active("rest-every")
    if rule is None:
        return ""
    rests = [one.span.after for one in before if one.kind in RESTS]
    since = (block.span.first - year.span.first).days + year.before.days_since_rest
    gone = (block.span.first - max(rests)).days if rests else since
    ahead = next((one.span.first for one in after if one.kind in RESTS), year.span.after)
    days = gone + block.span.length + (ahead - block.span.after).days
    if days <= 7 * rule.number:
        return ""
    return (
        f"It is there because {length_text(7 * round(gone / 7) or gone)} of training lie before it "
        f"and without it {length_text(days)} would pass with no rest; the rules allow "
        f"{rule.number:g} weeks."
    )


def _weeks(block: Block) -> float:
    return block.span.length / 7


def _the(block: Block, year: Year) -> str:
    """Such as "the trip “Saltmere”", or "a strength block"."""
    if block.entry and not block.kind.chosen:
        return f"the {block.kind.value} {entry_name(year, block.entry)}"
    return a_kind(block.kind)
