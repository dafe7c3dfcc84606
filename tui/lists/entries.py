"""The third page: everything that was entered, by sort; add, change and take out.

Posts edits and opens forms; decides nothing.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date
from typing import ClassVar

from textual.binding import Binding, BindingType
from textual.content import Content
from textual.widgets.option_list import Option

from seasonplan.edits import AnEdit, EditRefused, RemoveEntry
from seasonplan.edits.form_words import SECTIONS, SETTINGS
from seasonplan.explain.care import cautions, healed_text, phase_texts, waiting_text
from seasonplan.explain.entries import entry_title, fact_line, setting_line, value_told
from seasonplan.injury import waits
from seasonplan.year import Entry, Injury, Year
from tui.ask import Choice, Choose
from tui.bench import Bench
from tui.canvas import clean, padded, shortened
from tui.forms.about import ILL, About
from tui.forms.injury import is_young
from tui.forms.keys import about_of
from tui.forms.repeated import AGAIN
from tui.forms.repeated import WHAT as AWAY_AGAIN
from tui.listing import Listing
from tui.lists.page import EDGE, ListPage, Parts
from tui.posts import Refused, Wanted
from tui.spoken import spoken

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


class EntriesPage(ListPage):
    """The list, and beside it what the chosen one says."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("a", "add", "Enter something"),
        Binding("x,delete", "remove", "Remove", key_display="x"),
    ]

    def __init__(self, keep: Callable[[list[AnEdit]], bool], *, today: date) -> None:
        super().__init__(keep, today=today, id="entries")
        self._rows: dict[str, Row] = {}

    # --- the list -----------------------------------------------------------------------------

    def lines(self, bench: Bench, view: Listing) -> Iterator[Option]:
        year, self._rows = bench.desk.year, {}
        yield view.head(Content.styled(f" {YOURS}", "bold"), first=True)
        for part, (title, _) in SETTINGS.items():
            yield self._option(Row(f"set {part}", part), title, setting_line(part, year))
        for section, entries in year.entries_by_section().items():
            title, one = SECTIONS[section]
            row = Row(f"new {section}", section, new=True)
            self._rows[row.key] = row
            text = Content.assemble(
                (f" {title:<{self._column + 2}}  ", "bold"), (f"+ {one}", "$accent")
            )
            yield view.head(text, key=row.key)
            for _, entry in entries:
                row = Row(f"{section} {entry.id}", section, entry.id)
                yield self._option(row, entry_title(entry, year), fact_line(entry))

    def _option(self, row: Row, name: str, facts: str) -> Option:
        self._rows[row.key] = row
        name = clean(name)
        head = f"   {padded(shortened(name, NAME_WIDTH), self._column)}  "
        told = Content.assemble(
            head, (shortened(clean(facts), self.room - len(head) - EDGE), "$quiet")
        )
        return Option(told, id=row.key)

    @property
    def _column(self) -> int:
        """Columns for names; in a narrow list none, so that what they say has room."""
        return NAME_WIDTH if self.room >= 2 * NAME_WIDTH else 0

    @property
    def _chosen(self) -> Row | None:
        return self._rows.get(self.chosen)

    # --- what the chosen one says -------------------------------------------------------------

    def told(self, bench: Bench, key: str) -> Parts:
        row = self._rows.get(key)
        if row is None:
            return
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
            words = value_told(line, about.before.get(line.key))
            if not words:
                continue
            if line.group != group:
                group = line.group
                yield f"\n{group}\n", "$quiet"
            yield f"{line.label:<22}", "$quiet"
            yield f"{clean(words)}\n", ""

    def _care(self, entry: Entry | None, year: Year) -> Iterator[tuple[str, str]]:
        """What an injury leaves possible, under its caution."""
        if not isinstance(entry, Injury):
            return
        if healed := healed_text(entry, self.today):
            yield f"{healed}\n", ""
            return
        young = is_young(year, entry.happened)
        for text in cautions([entry.part], young=young):
            yield f"{text}\n", ""
        for text in [waiting_text(entry)] if waits(entry) else phase_texts(entry, young=young):
            yield f"\n{clean(spoken(text))}\n", ""
        yield "\n", ""

    @property
    def is_new(self) -> bool:
        return self._chosen is not None and self._chosen.new

    def offers(self, action: str) -> bool:
        """Whether a key does something for the chosen line."""
        row = self._chosen
        return action != "remove" or bool(row and row.entry)

    # --- changes ------------------------------------------------------------------------------

    def action_add(self) -> None:
        """Enter something: asks what, the sort of the chosen line first."""
        row = self._chosen
        here = row.section if row is not None else ""
        order = sorted(SECTIONS, key=lambda section: section != here)
        choices = [Choice(f"new {section}", SECTIONS[section][1]) for section in order]
        choices.insert(order.index("injury") + 1, Choice(ILL, ILLNESS))
        away = next(n for n, one in enumerate(choices) if one.key == "new absence")
        choices.insert(away + 1, Choice(AGAIN, AWAY_AGAIN))
        self.app.push_screen(Choose("What do you want to enter?", choices), self._open_new)

    def action_remove(self) -> None:
        """Take the entry out, and every mention of it; u brings it back."""
        row = self._chosen
        if row is None or not row.entry:
            no = EditRefused("Only entries can be removed.", "Settings can be changed: Enter.")
            self.post_message(Refused(no))
            return
        self.post_message(Wanted(RemoveEntry(id=row.entry)))

    def _open_new(self, key: str | None) -> None:
        if key is not None:
            self.open_form(key)

    def _about(self, row: Row) -> About:
        assert self.bench is not None
        return about_of(self.bench.desk.draft(), row.key)

    def open_form(self, key: str) -> None:
        """Open the form of a key. Raises EditRefused where what it is about is gone."""
        assert self.bench is not None
        before = {entry for _, entry in _ids(self.bench.desk.year)}

        def written(done: bool) -> None:
            assert self.bench is not None
            new = [key for key, entry in _ids(self.bench.desk.year) if entry not in before]
            if done and new:
                self.point(new[0])

        self.fill_in(key, then=written)


def _ids(year: Year) -> Iterator[tuple[str, str]]:
    """Key of the line and id of every entry."""
    for section, entries in year.entries_by_section().items():
        for _, entry in entries:
            yield f"{section} {entry.id}", entry.id


def _title(row: Row, year: Year) -> str:
    return entry_title(year.entry(row.entry), year) if row.entry else SETTINGS[row.section][0]
