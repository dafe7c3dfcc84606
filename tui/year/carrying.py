"""A sheet whose blocks can be carried by keys or the mouse: taken up, priced, let go.

Posts what was done; decides nothing and draws nothing.
"""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING, ClassVar

from textual.binding import Binding, BindingType
from textual.message import Message
from textual.widget import Widget

from seasonplan.days import Span
from seasonplan.edits import EditRefused
from tui.posts import Refused
from tui.year.holding import Holding, by_keys
from tui.year.lanes import Lane, Mark
from tui.year.strip import Priced

if TYPE_CHECKING:
    from seasonplan.planner.held import Place

HELD_KEYS = ("let_go", "leave_it")
NOT_HELD = "Only blocks of training and rest are carried."
TO_PLAN, OTHER = "Go to the lane “plan”.", "← and → go to one beside it."


class Carrying(Widget):
    """Holds at most one mark."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("h", "hold", "Carry"),
        Binding("enter", "let_go", "Let go here"),
        Binding("escape", "leave_it", "Put back"),
    ]

    class Picked(Message):
        """Another thing is pointed at."""

        def __init__(self, mark: Mark) -> None:
            super().__init__()
            self.mark = mark

    class Grabbed(Message):
        """A block is held: what each date would cost is wanted."""

        def __init__(self, mark: Mark) -> None:
            super().__init__()
            self.mark = mark

    class Dragged(Message):
        """A mark was let go on other days; `place` is what was priced there, if anything was.

        `possible`: not known to be impossible, and the year can be planned around it.
        """

        def __init__(
            self, mark: Mark, span: Span, place: Place | None = None, *,
            possible: bool = False,
        ) -> None:  # fmt: skip
            super().__init__()
            self.mark, self.span, self.place, self.possible = mark, span, place, possible

    def __init__(
        self, *, id: str | None, carries: bool, today: date,  # noqa: A002  (Textual's)
    ) -> None:  # fmt: skip
        super().__init__(id=id)
        self._carries, self.today = carries, today
        self.selected: Mark | None = None
        self.holding: Holding | None = None

    def redraw(self) -> None:
        """Draw anew."""
        raise NotImplementedError

    def bring(self, *days: date) -> None:
        """Bring some days into view."""
        raise NotImplementedError

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Letting go asks for something that is held."""
        if action == "hold":
            return self._carries
        return action not in HELD_KEYS or (self.holding is not None and self.holding.by_keys)

    def offers(self, action: str) -> bool:
        """Whether a key does something for what is pointed at, or in the hand."""
        if self.holding is not None and self.holding.by_keys:
            return action in HELD_KEYS
        begins = self.selected.span.first if self.selected else self.today
        return action != "hold" or (self.can_be_held and begins >= self.today)

    @property
    def can_be_held(self) -> bool:
        mark = self.selected
        return bool(mark and mark.lane is Lane.PLAN and mark.kind and mark.kind.chosen)

    def action_hold(self) -> None:
        """Take the block up: arrows carry it, Enter lets it go, Esc leaves it where it was."""
        mark = self.selected
        if mark is None or not self.can_be_held:
            here = mark is not None and mark.lane is Lane.PLAN
            self.post_message(Refused(EditRefused(NOT_HELD, OTHER if here else TO_PLAN)))
            return
        self.holding = by_keys(mark)
        self.post_message(self.Grabbed(mark))
        self.redraw()
        self.refresh_bindings()

    def action_let_go(self) -> None:
        """Let the block go here."""
        self.let_go()

    def action_leave_it(self) -> None:
        """Leave the block where it was."""
        self.holding = None
        self.redraw()
        self.refresh_bindings()
        if self.selected is not None:
            self.post_message(self.Picked(self.selected))

    def carry(self, days: int) -> bool:
        """Carry what is held by keys some days on; whether anything is."""
        if self.holding is None or not self.holding.by_keys:
            return False
        self.holding.shift(days)
        self._in_view()
        return True

    def _in_view(self) -> None:
        if self.holding is not None and self.holding.span is not None:
            self.bring(self.holding.span.first, self.holding.span.last)
        self.redraw()

    def carry_on(self, by: int) -> bool:
        """Carry what is held by keys to its next place; whether anything is."""
        if self.holding is None or not self.holding.by_keys:
            return False
        self.holding.step(by)
        self._in_view()
        return True

    def let_go(self) -> None:
        """Let go of what is held, and post where."""
        holding, self.holding = self.holding, None
        self.redraw()
        self.refresh_bindings()
        if holding is not None and holding.ghost is not None:
            ghost, place = holding.ghost, holding.place
            unknown = self._carries and holding.can_be_priced and not holding.known
            possible = place is not None or unknown
            self.post_message(self.Dragged(ghost.mark, ghost.span, place, possible=possible))
        elif holding is not None:
            self.post_message(self.Picked(holding.mark))

    def price(self, priced: Priced | None) -> None:
        """What each date would cost for the block that is held; nothing: no plan is possible."""
        if self.holding is not None:
            self.holding.priced, self.holding.known = priced, True
            self.redraw()
