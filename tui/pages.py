"""The pages of an open year: which is in front, what is drawn anew, what can be gone to by name."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

from textual.screen import Screen
from textual.widgets import ContentSwitcher

from seasonplan.errors import Fault
from tui.bench import Bench
from tui.find import Found, things
from tui.forms.diary import LOG
from tui.lists.entries import EntriesPage
from tui.lists.rules import RulesPage
from tui.masthead import Masthead
from tui.measures.page import MeasuresPage
from tui.standing import standing
from tui.year.page import YearPage


class Pages(Screen[None]):
    """A screen of pages under a masthead. Pages behind the one in front wait until turned to."""

    bench: Bench
    trouble: Fault | None = None  # of files that another program changed

    def __init__(self) -> None:
        super().__init__()
        self._old: set[str | None] = set()  # pages that were not drawn since the last change

    def refill(self) -> None:
        """Show everything as it stands now; pages behind the one in front once turned to."""
        pages: list[Any] = list(self.query_one("#pages").children)
        for page in pages:
            page.bench = self.bench  # its forms open from other pages, too
        self._old = {page.id for page in pages}
        self._show_front()
        trouble = self.trouble
        told = f"! {Path(trouble.file).name} cannot be read" if trouble else standing(self.bench)
        self.query_one(Masthead).standing = told

    def _show_front(self) -> None:
        """Draw the page in front, if it is of before."""
        name = self.query_one("#pages", ContentSwitcher).current
        if name in self._old:
            self._old.discard(name)
            page: Any = self.query_one(f"#{name}")
            page.show(self.bench)

    def action_page(self, name: str) -> None:
        """Turn to a page."""
        self.query_one("#pages", ContentSwitcher).current = name
        self._show_front()
        self.query_one(Masthead).current = name
        page: Any = self.query_one(f"#{name}")
        if hasattr(page, "focus_sheet"):
            page.focus_sheet()

    def things(self) -> Iterator[Found]:
        """Everything that can be gone to by name."""
        return things(self.bench)

    def action_open_form(self, key: str) -> None:
        """Open a form on its page; one of the diary has none, and where one was stays in front."""
        if key.partition(" ")[0] != LOG:
            self.action_page("entries")
        self.query_one(EntriesPage).open_form(key)

    def action_go_to_entry(self, key: str) -> None:
        """Choose an entry or a part of the settings."""
        self.action_page("entries")
        self.query_one(EntriesPage).point(key)

    def action_go_to_law(self, key: str) -> None:
        """Choose a rule or a recipe."""
        self.action_page("rules")
        self.query_one(RulesPage).point(key)

    def action_enter_result(self, test: str) -> None:
        """Open the form for a result of a test on its page."""
        self.action_page("tests")
        self.query_one(MeasuresPage).enter_result(test)

    def action_go_to_block(self, block: str) -> None:
        """Point at a block."""
        self.action_page("year")
        self.query_one(YearPage).point_at(block)

    def point_at_plan(self) -> None:
        """Once the plan is shown, point at its block of today."""
        self.query_one(YearPage).point_at_plan()

    def on_masthead_turned(self, event: Masthead.Turned) -> None:
        self.action_page(event.page)
