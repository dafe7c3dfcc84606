"""What bending soft rules costs, candidate by candidate.

Enforces `few-changes` and `lead-in-start` (each a constant of a candidate) and gives `model`
what it needs for `load-step` and `base-first`, which depend on neighbours.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import timedelta

from seasonplan.planner.columns import Column, Columns
from seasonplan.planner.order import boundaries
from seasonplan.response import weekly_before
from seasonplan.rules import Rule
from seasonplan.vocabulary import Kind

EARLY_SEASON_DAYS = 14


def amount_alone(column: Column, columns: Columns, rule: Rule) -> float:
    """How far one candidate bends a rule that looks at single blocks, in the rule's `per`."""
    if rule.code == "few-changes":
        return 1.0
    if rule.code == "lead-in-start" and column.kind is Kind.PERFORMANCE:
        return float(_begins_late(column, columns, rule))
    return 0.0


ALONE = ("few-changes", "lead-in-start")


def _begins_late(column: Column, columns: Columns, rule: Rule) -> bool:
    """Whether a performance block opens a dear season with too short a lead-in."""
    grid = columns.grid
    if column.first == 0 or grid.cells[column.first - 1].given is not None:
        return False
    begins = column.span.first
    for chance in grid.almanac.opportunities:
        opens = chance.spell.span.first
        if chance.goal.priority != 1 or chance.spell.is_trip:
            continue
        latest = opens - timedelta(days=rule.number)
        if (
            latest < begins < opens + timedelta(days=EARLY_SEASON_DAYS)
            and opens < column.span.after
        ):
            return True
    return False


@dataclass(frozen=True, slots=True)
class Step:
    """A calendar week whose load is held against `limit` x the mean of the weeks before it.

    `week` and `before` are calendar week numbers; `known` is load of weeks before the year.
    """

    week: int
    before: tuple[int, ...]
    known: float


LOOK_BACK_WEEKS = 4


def steps(columns: Columns) -> Iterator[Step]:
    """Whole weeks of chosen days; weeks with given days or a short trip are not judged."""
    grid = columns.grid
    history = weekly_before(grid.almanac.year)
    days: dict[int, int] = {}
    taken: set[int] = set()
    for cell in grid.cells:
        days[cell.week] = days.get(cell.week, 0) + cell.span.length
        if cell.given is not None or grid.almanac.short_trip(cell.span.first):
            taken.add(cell.week)
    first = 0 if days[0] == 7 else 1  # a short first week is no measure
    for week, length in days.items():
        if length < 7 or week in taken:
            continue
        back = range(week - LOOK_BACK_WEEKS, week)
        inside = tuple(w for w in back if w >= first)
        missing = LOOK_BACK_WEEKS - len(inside)
        if missing > len(history):
            continue
        known = sum(history[len(history) - missing :]) if missing else 0.0
        yield Step(week, inside, known)


def rest_then_strength(columns: Columns) -> Iterator[tuple[list[int], list[int]]]:
    """Candidates (rest ends, strength begins) at each boundary with nothing given between."""
    for boundary in boundaries(columns):
        if boundary.gap:
            continue
        ends = [
            n for n, c in enumerate(columns.all) if c.kind is Kind.REST and c.last == boundary.last
        ]
        begins = [
            n
            for n, c in enumerate(columns.all)
            if c.kind is Kind.STRENGTH and c.first == boundary.first
        ]
        if ends and begins:
            yield ends, begins
