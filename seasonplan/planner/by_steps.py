"""A week of a return beside what the week before it really holds.

Weeks of a return are given, so what stands before them is known: load and minutes of climbing rise
from it, in the first weeks after it as well, load until it is what it was, and days running go on
over the edge of a week. Trips and days off between change nothing; no step is taken in weeks off.
Enforces `injury-caps` (loads) and `session-return`.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from datetime import date

from seasonplan import injury
from seasonplan.planner.frame import Frame
from seasonplan.planner.gently import Gently, row_with
from seasonplan.planner.grid import Cell, Grid
from seasonplan.planner.kept import ComposedWeek
from seasonplan.planner.menus import Serving
from seasonplan.planner.returning import BACK, Returning, is_return
from seasonplan.planner.rock_day import RockDay
from seasonplan.planner.standing import Item
from seasonplan.planner.week_order import Order
from seasonplan.recipes import Recipe
from seasonplan.vocabulary import Kind, Phase


class BySteps:
    """Orders of weeks of a return, held to steps. `given`: the week of a given cell."""

    def __init__(
        self,
        grid: Grid,
        returning: Returning,
        *,
        given: Callable[[Cell], ComposedWeek],
        rock: Mapping[date, RockDay],
        book: Mapping[str, Recipe],
    ) -> None:
        self._grid, self._returning, self._given, self._book = grid, returning, given, book
        self._rock = rock

    def order(self, cell: Cell, frame: Frame, *, serving: Serving) -> Order:
        """The order of a given week, that of a return held to steps."""
        order = self._returning.order(cell, frame, serving=serving)
        if not is_return(cell) or not self._returning.caps:
            return order
        found = self._held(order, cell, frame)
        if not self._returning.gently:
            return found
        hurts = (hurt for day in cell.span.days() for hurt in self._grid.almanac.hurts(day))
        in_a_row = min(BACK.days_running[phase] for _, phase in hurts)
        gently = self._gently(cell, cell, in_a_row=in_a_row, session=BACK.climb_session)
        return found._replace(gently=gently)

    def after(self, order: Order, cell: Cell, frame: Frame) -> Order:
        """The order of a chosen week, held to the same steps from the last of a return: its load
        until it is what it was, climbing in the first weeks."""
        if not self._returning.gently or not self._grid.almanac.year.injuries:
            return order
        before = self._grid.cells[: cell.index]
        last = next((one for one in reversed(before) if is_return(one)), None)
        if last is None:
            return order
        week = last.week
        if any(one.given is None for one in self._grid.cells if one.week == week):
            week -= 1
        given = [one for one in before[last.index + 1 :] if one.given is not None]
        steps = cell.week - week - _weeks_away(given)
        if steps * BACK.most_step >= 1:
            return order
        held = self._held(order, cell, frame, steps=steps, week=week)
        if given or steps > BACK.steps_after:
            return held
        gently = self._gently(
            cell, last, in_a_row=BACK.days_running[Phase.FULL], session=24 * 60, steps=steps
        )
        return held._replace(gently=gently)

    def _held(
        self, order: Order, cell: Cell, frame: Frame, *, steps: int = 1, week: int | None = None
    ) -> Order:
        """No more load than so many steps above a `week`, that before if none, of a light one that
        before it; so much as the first may hold always."""
        weeks = self._weeks_before(cell.week - 1 if week is None else week)
        before = next((some for some, light in weeks if not light), None)
        if before is None:
            return order
        share = max(BACK.first_share - BACK.most_step, _load(before) / frame.level.load)
        most = frame.level.load * (share + steps * BACK.most_step)
        earlier = self._earlier(cell)
        most = max(0.0, most - _load(earlier)) if earlier else most * cell.span.length / 7
        aim = min(order.aim, int(most))
        over = min(order.over, most / aim) if aim else 1.0
        return order._replace(aim=aim, over=over, slack=min(order.slack, most - over * aim))

    def _gently(
        self, cell: Cell, back: Cell, *, in_a_row: int, session: int, steps: int = 1
    ) -> Gently:
        """How a week loads what came back in a cell, as far as that was."""
        hurts = (self._grid.almanac.hurts(day) for day in back.span.days())
        holds = any(injury.region(part) == "upper" for some in hurts for part, _ in some)
        minutes = self._minutes(cell, steps=steps)
        gently = Gently(in_a_row, ran=0, minutes=minutes, session=session, holds=holds)
        return gently._replace(ran=self._ran(cell, gently))

    def _minutes(self, cell: Cell, *, steps: int = 1) -> int:
        """Of climbing: so many steps more than in the fuller of the two weeks before."""
        weeks = self._weeks_before(cell.week - steps)
        most = float(max([_climbed(some) for some, _ in weeks], default=0))
        for _ in range(steps):
            most = max(BACK.climb_first, most + max(BACK.climb_more, BACK.climb_step * most))
        earlier = self._earlier(cell)
        if earlier:
            return int(most - _climbed(earlier))
        part = cell.span.length / 7
        if part == 1:
            return int(most)
        return max(0, int(min(max(BACK.climb_session, most * part), most - self._ahead(cell))))

    def _ahead(self, cell: Cell) -> int:
        """Minutes on rock in the rest of its calendar week, as far as a part comes back in it."""
        later = self._grid.cells[cell.index + 1 :]
        days = [d for one in later if one.week == cell.week and is_return(one)
                for d in one.span.days()]  # fmt: skip
        return sum(self._rock[day].minutes for day in days if day in self._rock)

    def _ran(self, cell: Cell, gently: Gently) -> int:
        """Days running just before a cell that load what comes back."""
        cells = filter(is_return, self._grid.cells[max(0, cell.index - 7) : cell.index])
        items = [item for one in cells for item in self._items(one)]
        days = {item.day.toordinal() for item in items if gently.loads(item.recipe)}
        return row_with(days, cell.span.first.toordinal()) - 1

    def _weeks_before(self, last: int) -> list[tuple[Sequence[Item], bool]]:
        """The sessions of a calendar week and of the one before it, as far as all of them was
        given, and whether they were light; the last first."""
        found: list[tuple[Sequence[Item], bool]] = []
        for week in (last, last - 1):
            cells = [one for one in self._grid.cells if one.week == week]
            if not cells or any(one.given is None for one in cells):
                break
            items = [item for one in cells for item in self._items(one)]
            found.append((items, any(map(self._returning.light, cells))))
        return found

    def _earlier(self, cell: Cell) -> Sequence[Item]:
        """Sessions of its calendar week before it, as far as they are given."""
        cells = [one for one in self._grid.cells[: cell.index] if one.week == cell.week]
        return [item for one in cells for item in self._items(one)]

    def _items(self, cell: Cell) -> Sequence[Item]:
        """The sessions of a cell that is given; as they were planned where it is over."""
        accepted = self._grid.accepted
        if cell.given is None:
            return ()
        if accepted is None or not self._grid.is_past(cell.span.first):
            return self._given(cell).items
        return [
            Item(self._book[s.recipe], s.day, s.minute, s.minutes, s.hangs, s.rock, s.role)
            for s in accepted.sessions
            if s.day in cell.span and s.recipe in self._book
        ]


def _weeks_away(given: Sequence[Cell]) -> int:
    """Weeks off among cells: no step is taken in them."""
    days = sum(one.span.length for one in given if one.given and one.given.kind is Kind.ABSENCE)
    return days // 7


def _load(items: Sequence[Item]) -> float:
    return sum(item.load for item in items)


def _climbed(items: Sequence[Item]) -> int:
    """Minutes of climbing, on rock too."""
    return sum(item.minutes for item in items if item.recipe.climbs)
