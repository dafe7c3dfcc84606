"""Lists whose chosen line bears a sign besides its colour: of pages, questions, the start."""

from __future__ import annotations

from collections.abc import Iterable

from textual.content import Content
from textual.widgets import OptionList
from textual.widgets.option_list import Option

HERE = "\u203a"  # the mark of the line one is on
ROOMY = 40  # lines of a window from which heads stand apart


class Listing(OptionList):
    """Lines begin with a space, in which the sign of the chosen one has room."""

    _marked: tuple[int, Content] | None = None

    def fill(self, options: Iterable[Option | None], chosen: int) -> None:
        """Show other lines, and choose one by its number or the nearest there is."""
        self._marked = None
        self.clear_options()
        self.add_options(list(options))
        self.highlighted = max(0, min(chosen, self.option_count - 1))

    def point(self, key: str) -> None:
        """Choose the line of that id, if there is one."""
        if any(option.id == key for option in self.options):
            self.highlighted = self.get_option_index(key)

    @property
    def chosen(self) -> str:
        """Id of the chosen line."""
        if self.highlighted is None:
            return ""
        return self.get_option_at_index(self.highlighted).id or ""

    def head(self, text: Content, *, key: str | None = None, first: bool = False) -> Option:
        """A head; with a key it can be chosen. It stands apart where there is room."""
        above = "" if first or self.app.size.height < ROOMY else "\n"
        return Option(Content.assemble(above, text), id=key, disabled=key is None)

    def on_option_list_option_highlighted(self, event: OptionList.OptionHighlighted) -> None:
        self.mark(event.option_index)

    def mark(self, index: int) -> None:
        """Give the line of that number the sign of the chosen one, and take it from the last."""
        if index >= self.option_count:
            return
        if self._marked is not None:
            self.replace_option_prompt_at_index(*self._marked)
        prompt = self.get_option_at_index(index).prompt
        assert isinstance(prompt, Content)
        self._marked = index, prompt
        at = len(prompt.plain) - len(prompt.plain.lstrip("\n"))
        self.replace_option_prompt_at_index(
            index,
            Content.assemble(prompt[:at], (HERE, "bold $accent"), prompt[at + 1 :]),
        )
