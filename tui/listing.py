"""Lists whose chosen line bears a sign besides its colour: of pages, questions, the start."""

from __future__ import annotations

from collections.abc import Iterable
from textwrap import wrap

from textual.content import Content
from textual.widgets import OptionList
from textual.widgets.option_list import Option

HERE = "\u203a"  # the mark of the line one is on
LEAST = 10  # columns below which nothing is broken any more
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

    def on_resize(self) -> None:
        """The chosen line stays in sight where words below take room."""
        self.call_after_refresh(self.scroll_to_highlight)

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


class Hanging(Listing):
    """A list whose lines, where they are wider than it, go on under their own beginning."""

    _hung: tuple[int, list[Content]] | None = None  # for that width: the lines as they were given

    def fill(self, options: Iterable[Option | None], chosen: int) -> None:
        """Show other lines, as of any list, each hung anew."""
        self._hung = None
        super().fill(options, chosen)
        self.call_after_refresh(self._hang)

    def on_resize(self) -> None:
        """Another width breaks the lines elsewhere."""
        self._hang()
        super().on_resize()

    def _hang(self) -> None:
        width = self.scrollable_content_region.width
        if width < LEAST or (self._hung is not None and self._hung[0] == width):
            return
        marked = self._marked
        if marked is not None:
            self.replace_option_prompt_at_index(*marked)
            self._marked = None
        given = self._hung[1] if self._hung else [_given(option) for option in self.options]
        self._hung = width, given
        for index, text in enumerate(given):
            self.replace_option_prompt_at_index(index, hung(text, width))
        if marked is not None:
            self.mark(marked[0])
        self.refresh(layout=True)  # it may be higher or lower now
        self.call_after_refresh(self._hang)  # and without its scrollbar wider


def hung(text: Content, width: int) -> Content:
    """The text broken between words, each line going on as far to the right as it begins."""
    told: list[Content] = []
    for line in text.split("\n", allow_blank=True):
        plain = line.plain
        lead = at = len(plain) - len(plain.lstrip(" "))
        for piece in wrap(plain[lead:], max(width - lead, LEAST), break_on_hyphens=False) or [""]:
            first = plain.index(piece, at)
            at = first + len(piece)
            told.append(Content.assemble(" " * lead, line[first:at]))
    return Content("\n").join(told)


def _given(option: Option) -> Content:
    assert isinstance(option.prompt, Content)
    return option.prompt
