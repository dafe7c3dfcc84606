"""A page that is a list under heads, and beside it what the chosen line says. Decides nothing."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from datetime import date
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, VerticalScroll
from textual.content import Content
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from seasonplan.edits import AnEdit
from tui.bench import Bench
from tui.forms.keys import about_of
from tui.forms.screen import FormScreen
from tui.listing import ROOMY, Listing

UNSEEN = 200
EDGE = 1  # columns that stay free at the end of a line
Parts = Iterator[tuple[str, str]]  # text and its style


class ListPage(Horizontal):
    """What a page of a sort fills in: its lines, what is told of one, and its form."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("c,enter", "change", "Change", key_display="Enter"),
        Binding("c,enter", "fill_in", "Fill in", key_display="Enter"),
        Binding("shift+down", "read(1)", "Read on below", show=False),
        Binding("shift+up", "read(-1)", "Read back below", show=False),
    ]

    def __init__(self, keep: Callable[[list[AnEdit]], bool], *, today: date, id: str) -> None:  # noqa: A002  (Textual's)
        super().__init__(id=id)
        self.today, self._keep = today, keep
        self.bench: Bench | None = None
        self._pointed = ""  # what is to be chosen next
        self._drawn_for = (False, 0)  # room between the heads, columns

    def lines(self, bench: Bench, view: Listing) -> Iterable[Option]:
        """The lines of the list and its heads."""
        raise NotImplementedError

    def told(self, bench: Bench, key: str) -> Parts:
        """What is told of a line."""
        raise NotImplementedError

    def open_form(self, key: str) -> None:
        """Open the form of a line. Raises EditRefused where what it is about is gone."""
        raise NotImplementedError

    def fill_in(self, key: str, then: Callable[[bool], None] = lambda _: None) -> None:
        """Open a form; what is typed there is kept until it is left. Raises EditRefused."""
        assert self.bench is not None
        draft, kept = self.bench.desk.draft(today=self.today), self.bench.unfinished

        def left(done: bool | None) -> None:
            kept.drop(key)
            then(bool(done))

        form = FormScreen(about_of(draft, key), draft, self._keep, today=self.today, kept=kept)
        self.app.push_screen(form, left)

    def compose(self) -> ComposeResult:
        yield Listing(classes="list")
        with VerticalScroll(classes="list-slip"):
            yield Static(classes="list-words", markup=False)

    def focus_sheet(self) -> None:
        self.screen.set_focus(self.query_one(Listing))  # before the next key

    @property
    def chosen(self) -> str:
        """The key of the chosen line."""
        return self.query_one(Listing).chosen

    def show(self, bench: Bench) -> None:
        """Show a bench as it is now; what was chosen stays so, or the line in its place."""
        view = self.query_one(Listing)
        before, at = view.chosen, view.highlighted
        self.bench = bench
        view.fill(self.lines(bench, view), 1 if at is None else at)
        view.point(self._pointed or before)
        self._pointed = ""
        self.tell()

    def point(self, key: str) -> None:
        """Choose a line; in a list that is behind, once it is shown."""
        self._pointed = "" if self.display else key
        self.query_one(Listing).point(key)

    def tell(self) -> None:
        """Tell everything that is said of what is chosen."""
        parts = list(self.told(self.bench, self.chosen)) if self.bench is not None else []
        self.query_one(".list-words", Static).update(Content.assemble(*parts))
        self.query_one(".list-slip").scroll_home(animate=False)
        self.refresh_bindings()  # other keys do something for another line

    def on_resize(self) -> None:
        """Room between the heads where there is some, and no line cut within a word."""
        self.call_after_refresh(self._draw_again)

    def _draw_again(self) -> None:
        drawn = (self.app.size.height >= ROOMY, self.room)
        if self.bench is not None and drawn != self._drawn_for:
            self._drawn_for = drawn
            self.show(self.bench)

    @property
    def room(self) -> int:
        """Columns of a line; many before the page was ever seen."""
        return self.query_one(Listing).scrollable_content_region.width or UNSEEN

    def on_option_list_option_highlighted(self, event: OptionList.OptionHighlighted) -> None:
        event.stop()
        self.tell()

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        event.stop()
        self.action_change()

    @property
    def is_new(self) -> bool:
        """Whether the chosen line stands for one that there is not yet."""
        return False

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """One key, by what it does for the chosen line."""
        del parameters
        return action not in ("change", "fill_in") or self.is_new is (action == "fill_in")

    def action_read(self, by: int) -> None:
        """Turn what is said of the chosen line."""
        slip = self.query_one(".list-slip", VerticalScroll)
        (slip.scroll_page_down if by > 0 else slip.scroll_page_up)(animate=False)

    def action_fill_in(self) -> None:
        """Enter one more, in an empty form."""
        self.action_change()

    def action_change(self) -> None:
        """Change what is chosen, in a form."""
        if self.chosen:
            self.open_form(self.chosen)
