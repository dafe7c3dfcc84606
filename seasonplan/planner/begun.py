"""The week in which today lies: what is over of it, and what was planned for the rest."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import timedelta
from typing import NamedTuple

from seasonplan.body.response import Dose, dose_of
from seasonplan.days import ONE_DAY
from seasonplan.plan import Block
from seasonplan.planner.candidates import Role
from seasonplan.planner.frame import Frame
from seasonplan.planner.grid import Cell, Grid
from seasonplan.planner.standing import Item, item_again
from seasonplan.recipes import Recipe
from seasonplan.vocabulary import Kind

WEEK_BEFORE_TODAY = 6  # days that share seven days running with the first one


class OverPart(NamedTuple):
    """The free cell that is over of a week that goes on: its number, dose and load."""

    cell: int
    dose: Dose
    load: float


def over_part(grid: Grid, book: Mapping[str, Recipe]) -> OverPart | None:
    """What is over of the week in which today lies, where it goes on in a free cell."""
    accepted, rest = grid.accepted, grid.rest_of_week
    if accepted is None or rest is None or rest.given is not None or not rest.index:
        return None
    before = grid.cells[rest.index - 1]
    if before.given is not None:
        return None
    done = [one for one in accepted.sessions if one.day in before.span]
    return OverPart(before.index, dose_of(done, book), sum(one.load for one in done))


def cuts_a_week(grid: Grid, cell: Cell) -> bool:
    """Whether a block that begins with a cell would cut the week that has begun."""
    if grid.accepted is None or cell is not grid.rest_of_week:
        return False
    begun = grid.accepted.begun(cell.span.first - ONE_DAY)
    return begun is not None and cell.span.first in begun.span


def still_planned(
    grid: Grid, cell: Cell, role: Role | None, frame: Frame, book: Mapping[str, Recipe]
) -> tuple[Item, ...] | None:
    """What was planned for the rest of the week that has begun, if it still can be done; without a
    role while something is hurt."""
    accepted = grid.accepted
    if accepted is None or accepted.other_done or cell is not grid.rest_of_week:
        return None  # with another share done its load is another
    block = next((b for b in accepted.blocks if cell.span.first in b.span), None)
    if block is None or not _is_same(block, cell, role):
        return None
    days = {day.day: day for day in frame.days}
    homes = [one for one in accepted.homes if one.day in cell.span]
    found = [item_again(one, days[one.day], book) for one in homes]
    items = tuple(item for item in found if item is not None)
    tiring = any(i.recipe.hard_on and frame.shortly_before_trip(i.day) for i in items)
    return items if len(items) == len(found) and not tiring else None


def _is_same(block: Block, cell: Cell, role: Role | None) -> bool:
    """Whether a block is what a cell is for now."""
    if role is not None:
        return (block.kind, block.emphasis) == (role.kind, role.emphasis)
    given = cell.given
    same = given is not None and (block.kind, block.span, block.phase) == (
        given.kind, given.span, given.phase,
    )  # fmt: skip
    return same and block.kind in (Kind.INJURED, Kind.RETURN)


def just_over(
    grid: Grid, cell: Cell, *, frame: Frame, book: Mapping[str, Recipe]
) -> Sequence[Item]:
    """Sessions of the days before a cell that begins today: what they used hard counts."""
    accepted, first = grid.accepted, cell.span.first
    if accepted is None or first != accepted.today:
        return ()
    since = first - timedelta(days=max(WEEK_BEFORE_TODAY, len(frame.open_after)))
    return [
        Item(book[s.recipe], s.day, s.minute, s.minutes, s.hangs)
        for s in accepted.sessions
        if since <= s.day < first and s.recipe in book
    ]
