"""Everything of an open year that can be gone to by its name: what it is called, and the way there.

Reads a bench; turns no page itself.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from seasonplan.days import dates_text
from seasonplan.edits.form_words import SECTIONS, SETTINGS
from seasonplan.explain.entries import entry_title
from seasonplan.pictures.asked import PICTURES
from seasonplan.recipes import standard_recipes
from tui.bench import Bench
from tui.canvas import clean
from tui.forms.about import ILL
from tui.forms.diary import LOG, WHAT
from tui.forms.repeated import AGAIN
from tui.forms.repeated import WHAT as AWAY_AGAIN
from tui.year.named import block_title


@dataclass(frozen=True, slots=True)
class Found:
    """A name, what it is, and the action of the open year that goes there."""

    name: str
    what: str
    action: str


def things(bench: Bench) -> Iterator[Found]:
    """What can be entered, then blocks, entries, settings, rules and recipes by their names."""
    year = bench.desk.year
    for section, (_, one) in SECTIONS.items():
        yield Found(f"Enter {one}", "an empty form", f"screen.open_form({f'new {section}'!r})")
    yield Found("Enter an illness", "an empty form", f"screen.open_form({ILL!r})")
    yield Found(f"Enter {AWAY_AGAIN}", "an empty form", f"screen.open_form({AGAIN!r})")
    for did, words in WHAT.items():
        key = f"{LOG} {did.value}"
        yield Found(f"Log {words}", "into your diary", f"screen.open_form({key!r})")
    for picture, title in PICTURES.items():
        yield Found(f"Picture: {title}", f"writes {picture}.svg", f"screen.picture({picture!r})")
    for block in bench.blocks:
        name = f"{block_title(block, year)}, {dates_text(block.span)}"
        yield Found(clean(name), "a block of the plan", f"screen.go_to_block({block.id!r})")
    for section, entries in year.entries_by_section().items():
        for _, entry in entries:
            name = clean(entry_title(entry, year))
            yield Found(name, SECTIONS[section][1], _row(f"{section} {entry.id}"))
    for part, (title, more) in SETTINGS.items():
        yield Found(f"{title}: {more}", "a part of your settings", _row(f"set {part}"))
    for test in year.tests:
        yield Found(
            f"A result of {clean(test.name)}", "a form", f"screen.enter_result({test.id!r})"
        )
    for rule in bench.desk.book:
        yield Found(rule.title, "a rule", f"screen.go_to_law({f'rule {rule.code}'!r})")
    for name, recipe in {**standard_recipes(), **bench.desk.recipes}.items():
        yield Found(clean(recipe.name), "a recipe", f"screen.go_to_law({f'recipe {name}'!r})")


def _row(key: str) -> str:
    return f"screen.go_to_entry({key!r})"
