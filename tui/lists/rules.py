"""The fourth page: every rule and recipe with its reason, evidence and source; switch and change.

A change is tried before it is kept. Posts edits; decides nothing.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import date
from typing import ClassVar

from textual.binding import Binding, BindingType
from textual.content import Content
from textual.widgets.option_list import Option

from seasonplan.edits import AnEdit, ChangeRecipe, ChangeRule, EditRefused
from seasonplan.edits.filled import together
from seasonplan.errors import BadInput
from seasonplan.explain.rulebook import (
    HEADS,
    RECIPES,
    limit_text,
    recipe_change_text,
    recipe_facts,
    rule_change_text,
    rule_facts,
    sign_of,
    standing_text,
)
from seasonplan.recipes import Recipe
from seasonplan.recipes.book import standard_recipes
from seasonplan.rules.statements import Rule, book_of
from tui.bench import Bench
from tui.canvas import clean, shortened
from tui.forms.keys import about_of
from tui.forms.screen import FormScreen
from tui.host import Host
from tui.listing import Listing
from tui.lists.page import EDGE, ListPage, Parts
from tui.lists.trial import TrialScreen

RULE, RECIPE = "rule", "recipe"
NEW = RECIPE  # one without a name yet


class RulesPage(ListPage):
    """The list, and beside it the chosen rule in full."""

    app: Host
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("space,o", "switch", "On or off", key_display="o"),
        Binding("d", "reset", "Default again"),
    ]

    def __init__(self, keep: Callable[[list[AnEdit]], bool], *, today: date) -> None:
        super().__init__(keep, today=today, id="rules")

    # --- the list -----------------------------------------------------------------------------

    def lines(self, bench: Bench, view: Listing) -> Iterator[Option]:
        book, first = bench.desk.book, True
        for (strength, about), head in HEADS.items():
            rules = [rule for rule in book if (rule.strength, rule.about) == (strength, about)]
            if rules:
                yield view.head(Content.styled(f" {head}", "bold"), first=first)
                yield from (_rule_option(rule, self.room) for rule in rules)
                first = False
        yield view.head(Content.styled(f" {RECIPES}", "bold"))
        for name, recipe in self._recipes(bench).items():
            on = name in bench.desk.recipes
            facts = f"{recipe.minutes} min" if recipe.minutes else ""
            yield _option(
                f"{RECIPE} {name}",
                recipe.name,
                facts,
                on=on,
                changed=recipe.changed,
                room=self.room,
            )
        yield Option(Content.styled("   + a recipe of yours", "$accent"), id=NEW)

    @staticmethod
    def _recipes(bench: Bench) -> dict[str, Recipe]:
        """All recipes; those switched off as they are by default."""
        return {**standard_recipes(), **bench.desk.recipes}

    def _law(self, key: str) -> Rule | Recipe | None:
        """The rule or recipe of a line."""
        kind, _, name = key.partition(" ")
        if self.bench is None or not name:
            return None
        return self.bench.desk.book[name] if kind == RULE else self._recipes(self.bench).get(name)

    # --- the chosen one -----------------------------------------------------------------------

    @property
    def is_new(self) -> bool:
        return self.chosen == NEW

    def told(self, bench: Bench, key: str) -> Parts:
        """Everything about the chosen one."""
        one = self._law(key)
        if key == NEW:
            yield "A recipe of yours\n\n", "bold $accent"
            yield "Enter opens a form.", "$quiet"
        if one is None:
            return
        yield f"{clean(one.title if isinstance(one, Rule) else one.name)}\n", "bold $accent"
        on = self._is_on(one)
        sign = sign_of(on=on, changed=one.changed)
        yield f"{sign} {standing_text(on=on, changed=one.changed)}", "bold"
        yield f"   {one.code if isinstance(one, Rule) else one.id}\n", "$quiet"
        for head, text in rule_facts(one) if isinstance(one, Rule) else recipe_facts(one):
            yield f"\n{head}: ", "bold"
            yield f"{clean(text)}\n", ""

    def _is_on(self, one: Rule | Recipe) -> bool:
        if isinstance(one, Rule):
            return one.on
        return self.bench is not None and one.id in self.bench.desk.recipes

    def offers(self, action: str) -> bool:
        """Whether a key does something for the chosen line."""
        one = self._law(self.chosen)
        if action == "reset":
            return one is not None and (one.changed or not self._is_on(one))
        return action != "switch" or one is not None

    # --- changes ------------------------------------------------------------------------------

    def action_switch(self) -> None:
        """Switch it on or off; see what that does before it is kept."""
        one = self._law(self.chosen)
        if isinstance(one, Rule):
            self._try([ChangeRule(code=one.code, on=not one.on)])
        elif one is not None:
            on = None if not self._is_on(one) and one.id in standard_recipes() else False
            self._try([ChangeRecipe(id=one.id, values={"on": on})])

    def action_reset(self) -> None:
        """Take back every change of it; see what that does before it is kept."""
        one = self._law(self.chosen)
        if isinstance(one, Rule):
            self._try([ChangeRule(code=one.code, reset=True)])
        elif one is not None:
            self._try([ChangeRecipe(id=one.id, reset=True)])

    def open_form(self, key: str) -> None:
        """Open the form of a rule or recipe. Raises EditRefused where it is gone."""
        assert self.bench is not None
        draft, kept = self.bench.desk.draft(), self.bench.unfinished
        wanted: list[AnEdit] = []

        def take(edits: list[AnEdit]) -> bool:
            wanted.extend(edits)
            return True

        def written(done: bool | None) -> None:
            if done:
                self._try(wanted, then=lambda _: kept.drop(key))
            else:
                kept.drop(key)

        form = FormScreen(about_of(draft, key), draft, take, today=self.today, kept=kept)
        self.app.push_screen(form, written)

    def _try(
        self, edits: list[AnEdit], *, then: Callable[[bool | None], None] = lambda _: None
    ) -> None:
        """Show what edits do, or do them where there is no plan to compare with."""
        bench = self.bench
        assert bench is not None
        try:
            words = self._told(edits, bench)
        except (EditRefused, BadInput) as no:
            self.app.say(str(no), grave=True)
            return
        if bench.desk.plan is None:
            if self._keep(edits):
                self.app.say(words)
                then(True)
            return
        screen = TrialScreen(words, edits, bench, self._keep, today=self.today)
        self.app.push_screen(screen, then)

    @staticmethod
    def _told(edits: list[AnEdit], bench: Bench) -> str:
        """The change in words. Raises EditRefused or BadInput where it cannot be."""
        after = together(bench.desk.draft(), edits)
        edit = edits[0]
        if isinstance(edit, ChangeRule):
            return rule_change_text(bench.desk.book[edit.code], book_of(after.year)[edit.code])
        assert isinstance(edit, ChangeRecipe)
        known = {**standard_recipes(), **bench.desk.recipes}.get(edit.id)
        return recipe_change_text(known.name if known else edit.id, edit)


def _rule_option(rule: Rule, room: int) -> Option:
    facts = limit_text(rule) if rule.changed else ""  # else its title says it
    return _option(
        f"{RULE} {rule.code}", rule.title, facts, on=rule.on, changed=rule.changed, room=room
    )


def _option(key: str, title: str, facts: str, *, on: bool, changed: bool, room: int) -> Option:
    """A line: sign, title, and how it stands where that is not the default."""
    standing = standing_text(on=on, changed=changed) if changed or not on else ""
    behind = sum(len(text) + 2 for text in (standing, facts) if text)
    title = shortened(clean(title), max(12, room - 4 - EDGE - behind))
    return Option(
        Content.assemble(
            (f"  {sign_of(on=on, changed=changed)} ", "bold $accent" if changed else ""),
            (title, "" if on else "$quiet"),
            (f"  {standing}" if standing else "", "$accent"),
            (f"  {facts}" if facts else "", "$quiet"),
        ),
        id=key,
    )
