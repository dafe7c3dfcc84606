"""The rule on how long training may go on without rest. Enforces `rest-every`."""

from __future__ import annotations

from collections.abc import Iterator

from seasonplan.planner.candidates import Candidates
from seasonplan.planner.grid import LIGHT


def rest_windows(candidates: Candidates) -> Iterator[tuple[int, int]]:
    """Shortest runs of cells that are too long to hold no rest at all, both ends inside.

    A run ends in a free cell: where a given thing alone is too long, rest comes right after it.
    """
    rule = candidates.book.active("rest-every")
    if rule is None:
        return
    most = 7 * rule.number
    grid = candidates.grid
    cells = grid.cells
    since = grid.almanac.year.before.days_since_rest
    carried = most - since
    for first in range(len(cells)):
        allowed = carried if first == 0 else most
        for last in range(first, len(cells)):
            given = cells[last].given
            if given is not None and given.kind in LIGHT:
                break
            if grid.is_past(cells[last].span.first):
                continue
            if given is None and (cells[last].span.after - cells[first].span.first).days > allowed:
                yield first, last
                break
