"""Years nearly as good as the plan, one under the other, with the days marked that differ.

Days on rock come first in each price. Knows no screen but its width.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date, timedelta
from itertools import pairwise
from typing import TYPE_CHECKING

from seasonplan.days import Span, count_text
from seasonplan.edits import AddEntry
from seasonplan.explain.signs import SIGNS
from seasonplan.explain.wall import months
from seasonplan.explain.words import join
from seasonplan.explain.worth_told import all_told, difference_told
from seasonplan.plan import Block, OtherYear
from seasonplan.rules.tables import composing

if TYPE_CHECKING:
    from seasonplan.planning.proposal import Proposal
    from seasonplan.year import Year

WITHIN = f"within about {100 * composing().new_plan.near_share:g} % of what the plan brings"
NONE = f"No other year brings as much, {WITHIN}"
STANDS = "1  as it stands"
LABEL = len(STANDS) + 1
MARKS = ("▔", "^")  # beneath days whose block is of another kind than in the plan
NEAR = 0.05
_SEVERAL = ("are", "they", "cost", "them")


def year_text(number: int, one: Proposal) -> str:
    """Such as "2: 124 days differ; costs 0.3 good days on rock, with form worth 0.5"."""
    differ = "differs" if len(one.changed) == 1 else "differ"
    return f"{number}: {count_text(len(one.changed), 'day')} {differ}; {price_text(one)}."


def price_text(one: Proposal) -> str:
    """What a year costs against the plan, good days on rock first."""
    days, points = one.after.score.good_days - one.before.score.good_days, one.points
    if abs(days) < NEAR and abs(points) < NEAR:
        return "costs nothing"
    return difference_told(days, points)


def none_text(year: Year, today: date) -> str:
    """That no other year is as good; fixed blocks to come leave few to choose from."""
    fixed = sum(pin.span.last >= today for pin in year.pins)
    if not fixed:
        return f"{NONE}: the plan stands alone."
    blocks = "a block is" if fixed == 1 else f"{fixed} blocks are"
    return f"{NONE}, as {blocks} fixed. Free some, and there may be others."


def taken_text(proposal: Proposal) -> str:
    """What was paid for a year that was taken, and that its blocks are fixed now."""
    fixed = sum(isinstance(edit, AddEntry) for edit in proposal.edits)
    blocks = "The block that differs is" if fixed == 1 else f"The {fixed} blocks that differ are"
    held = f" {blocks} fixed now; `seasonplan undo` takes it back." if fixed else ""
    return f"{price_text(proposal)}.{held}"


def near_text(others: Sequence[OtherYear]) -> str:
    """That years are nearly as good, how much of them differs, and what they cost at most."""
    count, days = len(others), join([str(one.days) for one in others])
    most = max(one.points for one in others)
    are, they, cost, them = ("is", "it", "costs", "it") if count == 1 else _SEVERAL
    price = f"at most {all_told(most)}" if most >= NEAR else "nothing"
    return (
        f"{count_text(count, 'other year')} {are} nearly as good: {days} days are of another kind, "
        f"and {they} {cost} {price}. `seasonplan others` shows {them}."
    )


def drawn(proposals: Sequence[Proposal], *, width: int, unicode: bool) -> Iterator[str]:
    """The plan and the other years under one another, in pieces as wide as there is room for."""
    if not proposals:
        return
    whole, room = proposals[0].year.span, max(20, width - LABEL)
    for piece in _pieces(whole, room):
        yield " " * LABEL + _months(piece, room)
        yield f"{STANDS} " + _line(proposals[0].before.blocks, piece, room, unicode=unicode)
        for number, one in enumerate(proposals, start=2):
            label = f"{number}  another year".ljust(LABEL)
            yield label + _line(one.after.blocks, piece, room, unicode=unicode)
            yield " " * LABEL + _differs(one.changed, piece, room, MARKS[0 if unicode else 1])


def _pieces(whole: Span, room: int) -> Iterator[Span]:
    """The year in as few pieces as leave a column for each week."""
    weeks = -(-whole.length // 7)
    count = -(-weeks // room)
    length = 7 * -(-weeks // count)
    first = whole.first
    while first < whole.after:
        after = min(whole.after, first + timedelta(days=length))
        yield Span(first, after)
        first = after


def _columns(piece: Span, room: int) -> list[list[date]]:
    """The days of each column."""
    days = list(piece.days())
    width = min(room, len(days))
    edges = [n * len(days) // width for n in range(width + 1)]
    return [days[first:after] for first, after in pairwise(edges)]


def _months(piece: Span, room: int) -> str:
    columns = _columns(piece, room)
    line = [" "] * len(columns)
    for month in months(piece):
        at = next(n for n, days in enumerate(columns) if month.first in days)
        name = month.first.strftime("%b")
        free = at == 0 or line[at - 1] == " "
        if free and at + len(name) <= len(line):
            line[at : at + len(name)] = name
    return "".join(line)


def _line(blocks: Sequence[Block], piece: Span, room: int, *, unicode: bool) -> str:
    kinds = {day: block.kind for block in blocks for day in block.span.days()}
    signs = [kinds.get(days[len(days) // 2]) for days in _columns(piece, room)]
    return "".join(SIGNS[kind].mark(unicode=unicode) if kind else " " for kind in signs)


def _differs(changed: Sequence[date], piece: Span, room: int, mark: str) -> str:
    other = set(changed)
    line = (mark if other.intersection(days) else " " for days in _columns(piece, room))
    return "".join(line).rstrip()
