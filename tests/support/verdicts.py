"""What the checker says of plans made by hand, boiled down to what tests compare.

Weeks made by hand have no sessions to add up, so what is said of their sums is left out here.
"""

from __future__ import annotations

from plan_maker import block

from seasonplan.checker import check
from seasonplan.plan import Block
from seasonplan.rules.findings import SUMS, Finding
from seasonplan.vocabulary import Kind
from seasonplan.year import Before, Year

# Used to so much load that no week made by hand is too much after days off.
STRONG = Before(weekly_load=(9000.0,) * 4)


def hard(year: Year, *blocks: Block) -> list[Finding]:
    found = check(year, blocks)
    return [each for each in found if each.strength == "hard" and each.code != SUMS]


def codes(year: Year, *blocks: Block) -> set[str]:
    return {found.code for found in hard(year, *blocks)}


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
