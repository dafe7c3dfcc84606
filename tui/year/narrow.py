"""The year as a list, for narrow windows: one thing on a line, in order of its days."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date

from textual.content import Content
from textual.widgets import OptionList
from textual.widgets.option_list import Option

from seasonplan.days import day_month_text
from seasonplan.explain.signs import SIGNS
from tui.canvas import clean, shortened
from tui.listing import Listing
from tui.year.lanes import Lane, Mark, Sheet
from tui.year.named import block_words
from tui.year.strip import Strip

HOW = "↑ ↓ , . carry it, Enter lets it go"
LONGEST = 13  # letters of a name, so that a line stays one at 40 columns
ROCK_LISTED, TODAY = "▒", "▼"  # signs of rock, and of the block of today
LISTED = (Lane.ROCK, Lane.AWAY, Lane.PLAN)


class YearList(Listing):
    """Blocks, rock and days away."""

    def __init__(
        self, *, today: date, carry: Callable[[int], bool], pick: Callable[[Mark], None]
    ) -> None:
        """`carry` carries what is held on or back, lets it go with 0, and says whether it did.

        `pick` hears of another line at once: the next key may be there already.
        """
        super().__init__(id="year-list")
        self._carry, self._pick = carry, pick
        self.today = today
        self._marks: list[Mark] = []

    def show(self, sheet: Sheet, selected: Mark | None) -> None:
        given = {block.entry for block in sheet.blocks}
        trips = {trip.id for trip in sheet.year.trips}
        self._marks = sorted(
            (
                mark
                for row in sheet.rows
                if row.lane in LISTED
                for mark in row.marks
                if mark.lane is not Lane.AWAY or mark.key not in given
                if mark.lane is not Lane.ROCK or mark.key not in trips  # its trip is listed
            ),
            key=lambda mark: (mark.span.first, mark.lane is not Lane.PLAN),
        )
        with self.prevent(OptionList.OptionHighlighted):
            self.fill([Option(_line(mark, sheet, self.today)) for mark in self._marks], 0)
        if selected is not None:
            self.point_at(selected)

    def point_at(self, mark: Mark) -> None:
        if mark in self._marks:
            at = self._marks.index(mark)
            with self.prevent(OptionList.OptionHighlighted):
                self.highlighted = at
            self.mark(at)

    def on_option_list_option_highlighted(self, event: OptionList.OptionHighlighted) -> None:
        event.stop()
        self._tell_picked()

    def _tell_picked(self) -> None:
        at = self.highlighted
        if self.has_focus and at is not None and at < len(self._marks):
            self._pick(self._marks[at])

    def action_cursor_up(self) -> None:
        if not self._carry(-1):
            super().action_cursor_up()
            self._tell_picked()

    def action_cursor_down(self) -> None:
        if not self._carry(1):
            super().action_cursor_down()
            self._tell_picked()

    def action_select(self) -> None:
        if not self._carry(0):
            super().action_select()


def held_line(strip: Strip) -> str:
    """What the held block costs where the hand is, and the keys that carry it."""
    return f"{strip.label} {day_month_text(strip.day)}: {strip.told}\n{HOW}"


def _name(mark: Mark, sheet: Sheet) -> str:
    """The longest name that fits whole."""
    block = sheet.block_of(mark)
    if block is None or mark.lane is not Lane.PLAN or not block.kind.chosen:
        return shortened(clean(mark.name), LONGEST)
    return next((name for name in block_words(block) if len(name) <= LONGEST), block.kind.value)


def _line(mark: Mark, sheet: Sheet, today: date) -> Content:
    sign = SIGNS[mark.kind].drawn if mark.kind else ROCK_LISTED
    days = f"{day_month_text(mark.span.first):>6} - {day_month_text(mark.span.last):>6}"
    name = _name(mark, sheet)
    fixed = " ◆" if mark.pinned else ""
    now = today in mark.span and mark.lane is Lane.PLAN
    return Content.assemble(
        (f" {sign}{TODAY if now else ' '}", "bold $accent" if now else ""),
        (f"{days} ", "$quiet"),
        (f"{name}{fixed}", "bold" if mark.lane is Lane.PLAN else ""),
    )
