"""The third page: everything that was entered, by sort; add, change and take out.

Posts edits and opens forms; decides nothing.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, VerticalScroll
from textual.content import Content
from textual.message import Message
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from seasonplan.edits import AnEdit, EditRefused, RemoveEntry
from seasonplan.edits.form_words import SECTIONS, SETTINGS
from seasonplan.edits.said import words_of
from seasonplan.explain.care import cautions, phase_texts, waiting_text
from seasonplan.explain.entries import entry_title, fact_line, setting_line
from seasonplan.injury import waits
from seasonplan.year import Entry, Injury, Year
from tui.ask import Choice, Choose
from tui.bench import Bench
from tui.canvas import clean
from tui.entries_list import ROOMY, Listing
from tui.forms import FormScreen
from tui.forms_about import ILL, About, about_of
from tui.forms_injury import is_young

NAME_WIDTH = 26
YOURS = "You and your time"
ILLNESS = "an illness, days off and the way back"


@dataclass(frozen=True, slots=True)
class Row:
    """One line of the list: a head, a part of the settings, an entry, or a place for another."""

    key: str
    section: str
    entry: str = ""
    new: bool = False


class EntriesPage(Horizontal):
    """The list, and beside it what the chosen one says."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("c,enter", "change", "Change", key_display="Enter"),
        Binding("a", "add", "Add"),
        Binding("x,delete", "remove", "Take out", key_display="x"),
    ]

    class Wanted(Message):
        """Edits are asked for, to be done as one."""

        def __init__(self, *edits: AnEdit) -> None:
            super().__init__()
            self.edits = edits

    class Refused(Message):
        """What was asked for cannot be done."""

        def __init__(self, refusal: EditRefused) -> None:
            super().__init__()
            self.refusal = refusal

    def __init__(self, keep: Callable[[list[AnEdit]], bool], *, today: date) -> None:
        super().__init__(id="entries")
        self.today, self._keep = today, keep
        self.bench: Bench | None = None
        self._rows: dict[str, Row] = {}
        self._roomy = False

    def compose(self) -> ComposeResult:
        yield Listing(id="entry-list")
        with VerticalScroll(id="entry-slip"):
            yield Static(id="entry-words", markup=False)

    def focus_sheet(self) -> None:
        self.query_one(Listing).focus()

    # --- the list -----------------------------------------------------------------------------

    def show(self, bench: Bench) -> None:
        """Show a bench as it is now; what was chosen stays so, or the line in its place."""
        view = self.query_one(Listing)
        before, at = view.chosen, view.highlighted
        self.bench = bench
        self._rows = {}
        view.fill(self._options(bench.desk.year, view), 1 if at is None else at)
        view.point(before)
        self.tell()

    def point(self, key: str) -> None:
        """Choose a line."""
        self.query_one(Listing).point(key)

    def _options(self, year: Year, view: Listing) -> Iterator[Option]:
        yield view.head(Content.styled(f" {YOURS}", "bold"), first=True)
        for part, (title, _) in SETTINGS.items():
            yield self._option(Row(f"set {part}", part), title, setting_line(part, year))
        for section, entries in year.entries_by_section().items():
            title, one = SECTIONS[section]
            row = Row(f"new {section}", section, new=True)
            self._rows[row.key] = row
            text = Content.assemble(
                (f" {title:<{NAME_WIDTH + 2}}  ", "bold"), (f"+ {one}", "$accent")
            )
            yield view.head(text, key=row.key)
            for _, entry in entries:
                row = Row(f"{section} {entry.id}", section, entry.id)
                yield self._option(row, entry_title(entry), fact_line(entry))

    def _option(self, row: Row, name: str, facts: str) -> Option:
        self._rows[row.key] = row
        name = clean(name)
        short = name if len(name) <= NAME_WIDTH else f"{name[: NAME_WIDTH - 1]}…"
        told = Content.assemble(f"   {short:<{NAME_WIDTH}}  ", (clean(facts), "$quiet"))
        return Option(told, id=row.key)

    def on_resize(self) -> None:
        """Room between the sections where there is some."""
        roomy = self.app.size.height >= ROOMY
        if self.bench is not None and roomy is not self._roomy:
            self._roomy = roomy
            self.show(self.bench)

    @property
    def _chosen(self) -> Row | None:
        return self._rows.get(self.query_one(Listing).chosen)

    def on_option_list_option_highlighted(self, event: OptionList.OptionHighlighted) -> None:
        event.stop()
        self.tell()

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        event.stop()
        self.action_change()

    # --- what the chosen one says -------------------------------------------------------------

    def tell(self) -> None:
        """Tell everything that is said of what is chosen."""
        row, bench = self._chosen, self.bench
        parts = list(self._parts(row, bench)) if row is not None and bench is not None else []
        self.query_one("#entry-words", Static).update(Content.assemble(*parts))
        self.query_one("#entry-slip").scroll_home(animate=False)

    def _parts(self, row: Row, bench: Bench) -> Iterator[tuple[str, str]]:
        about = self._about(row)
        yield (
            f"{clean(about.title if row.new else _title(row, bench.desk.year))}\n\n",
            "bold $accent",
        )
        if row.new:
            yield f"Enter opens an empty form for {SECTIONS[row.section][1]}.\n", "$quiet"
            return
        entry = bench.desk.year.entry(row.entry) if row.entry else None
        yield from self._care(entry, bench.desk.year)
        group = ""
        for line in about.lines:
            words = words_of(about.before.get(line.key))
            if not words:
                continue
            if line.group != group:
                group = line.group
                yield f"\n{group}\n", "$quiet"
            yield f"{line.label:<22}", "$quiet"
            yield f"{clean(words)}\n", ""

    @staticmethod
    def _care(entry: Entry | None, year: Year) -> Iterator[tuple[str, str]]:
        """What an injury leaves possible, under its caution."""
        if not isinstance(entry, Injury):
            return
        for text in cautions([entry.part], young=is_young(year, entry.happened)):
            yield f"{text}\n", ""
        for text in [waiting_text(entry)] if waits(entry) else phase_texts(entry):
            yield f"\n{clean(text)}\n", ""
        yield "\n", ""

    # --- changes ------------------------------------------------------------------------------

    def action_change(self) -> None:
        """Change what is chosen, in a form."""
        row = self._chosen
        if row is not None:
            self.open_form(row.key)

    def action_add(self) -> None:
        """Enter one more of this sort; among the settings, of a sort to choose."""
        row = self._chosen
        if row is not None and row.section in SECTIONS and row.section != "injury":
            self._open_new(f"new {row.section}")
            return
        hurt = row is not None and row.section == "injury"
        known = {"injury": SECTIONS["injury"]} if hurt else SECTIONS
        choices = [Choice(f"new {section}", one) for section, (_, one) in known.items()]
        choices.insert(1 if hurt else list(known).index("injury") + 1, Choice(ILL, ILLNESS))
        self.app.push_screen(Choose("What do you want to enter?", choices), self._open_new)

    def action_remove(self) -> None:
        """Take the entry out, and every mention of it; u brings it back."""
        row = self._chosen
        if row is None or not row.entry:
            no = EditRefused("Only entries can be taken out.", "Settings can be changed: Enter.")
            self.post_message(self.Refused(no))
            return
        self.post_message(self.Wanted(RemoveEntry(id=row.entry)))

    def _open_new(self, key: str | None) -> None:
        if key is not None:
            self.open_form(key)

    def _about(self, row: Row) -> About:
        assert self.bench is not None
        return about_of(self.bench.desk.draft(), row.key)

    def open_form(self, key: str) -> None:
        """Open the form of a key. Raises EditRefused where what it is about is gone."""
        assert self.bench is not None
        draft, kept = self.bench.desk.draft(), self.bench.unfinished
        before = {entry for _, entry in _ids(self.bench.desk.year)}

        def written(done: bool | None) -> None:
            assert self.bench is not None
            kept.drop(key)
            new = [key for key, entry in _ids(self.bench.desk.year) if entry not in before]
            if done and new:
                self.point(new[0])

        form = FormScreen(about_of(draft, key), draft, self._keep, today=self.today, kept=kept)
        self.app.push_screen(form, written)


def _ids(year: Year) -> Iterator[tuple[str, str]]:
    """Key of the line and id of every entry."""
    for section, entries in year.entries_by_section().items():
        for _, entry in entries:
            yield f"{section} {entry.id}", entry.id


def _title(row: Row, year: Year) -> str:
    return entry_title(year.entry(row.entry)) if row.entry else SETTINGS[row.section][0]
