"""What the checker says of plans made by hand, boiled down to what tests compare.

Weeks made by hand have no sessions to add up, so what is said of their sums is left out here.
"""

from __future__ import annotations

from plan_maker import block

from seasonplan.checker import check
from seasonplan.checker.prices import costs_on
from seasonplan.checker.sheet import Sheet
from seasonplan.plan import Block
from seasonplan.rules.findings import SUMS, Finding
from seasonplan.rules.statements import book_of
from seasonplan.vocabulary import Kind
from seasonplan.year import Before, Year

# Used to so much load that no week made by hand is too much after days off.
STRONG = Before(weekly_load=(9000.0,) * 4)


def hard(year: Year, *blocks: Block) -> list[Finding]:
    found = check(year, blocks)
    return [each for each in found if each.strength == "hard" and each.code != SUMS]


def codes(year: Year, *blocks: Block) -> set[str]:
    return {found.code for found in hard(year, *blocks)}


def amounts(year: Year, *blocks: Block) -> dict[str, float]:
    """How far each soft rule that costs something is bent."""
    return {cost.rule: cost.amount for cost in costs_on(Sheet(year, blocks, book=book_of(year)))}


def soft(year: Year, *blocks: Block) -> list[Finding]:
    return [f for f in check(year, blocks) if f.strength == "soft"]


def only(year: Year, *blocks: Block) -> Finding:
    """The one hard finding there is."""
    found = hard(year, *blocks)
    assert len(found) == 1, found
    return found[0]


def row(*lengths: tuple[Kind, int]) -> list[Block]:
    """Blocks one after another from the first day of the year."""
    blocks: list[Block] = []
    first = 0
    for kind, days in lengths:
        blocks.append(block(kind, first, days))
        first += days
    return blocks
