"""The forms of a rule and of a recipe. Composes what `seasonplan.edits` offers; draws nothing."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from seasonplan.edits import AnEdit, ChangeRecipe, Draft, EditRefused, filled
from seasonplan.edits.forms import Line, recipe_lines, rule_lines
from seasonplan.recipes import Recipe, recipes, standard_recipes
from seasonplan.rules.statements import Rule, book_of
from seasonplan.year import slug
from tui.forms.about import About

Values = Mapping[str, Any]


def about_law(draft: Draft, how: str, name: str) -> About:
    """The form of a rule by its code, or of a recipe by its id; without one, of a new recipe."""
    book, known = book_of(draft.year), {**standard_recipes(), **recipes(draft.year.recipes)}
    if how == "rule" and name in book:
        return rule_form(draft, book[name])
    if how == "recipe" and (name in known or not name):
        return recipe_form(known[name]) if name else new_recipe()
    raise EditRefused(f"There is no {how} {name!r} any more.", "The list has those there are.")


def rule_form(draft: Draft, rule: Rule) -> About:
    """A form for what can be changed of a rule."""
    given = {"on": rule.on, "limit": rule.limit, "weight": rule.weight}
    asked = {
        "on",
        *(["limit"] if rule.limit is not None else []),
        *([] if rule.hard else ["weight"]),
    }
    units = {"limit": rule.unit}
    lines = tuple(
        Line(**{**dict(line), "unit": units.get(line.key, "")})
        for line in rule_lines()
        if line.key in asked
    )
    before = {line.key: given[line.key] for line in lines}
    return About(
        title=rule.title,
        section="rule",
        place=("rules", rule.code),
        lines=lines,
        before=before,
        make=lambda values: filled.rule(draft, rule.code, before, values),
        aside=lambda values: (rule.statement, f"Limits are in {rule.unit}." if rule.unit else ""),
    )


def recipe_form(recipe: Recipe) -> About:
    """A form for a recipe there is."""
    lines = tuple(line for line in recipe_lines() if line.key != "on")
    before = _flat(recipe, lines)
    return About(
        title=f"Change “{recipe.name}”",
        section="recipe",
        place=("recipes", recipe.id),
        lines=lines,
        before=before,
        make=lambda values: filled.recipe(recipe.id, before, values),
    )


def new_recipe() -> About:
    """A form for a recipe of one's own; its id is made from its name."""
    lines = tuple(line for line in recipe_lines() if line.key != "on")
    before: dict[str, Any] = dict.fromkeys(line.key for line in lines)

    def make(values: Values) -> list[AnEdit]:
        edits = filled.recipe(_id(values), before, values)
        return edits or [ChangeRecipe(id=_id(values), values={"minutes": 0})]

    return About(
        title="Enter a recipe of yours",
        section="recipe",
        place=lambda values: ("recipes", _id(values)),
        lines=lines,
        before=before,
        make=make,
    )


def _id(values: Values) -> str:
    return slug(str(values.get("name") or "a recipe of mine"))


def _flat(recipe: Recipe, lines: tuple[Line, ...]) -> dict[str, Any]:
    """What a recipe says on each line of its form."""
    said = recipe.model_dump(mode="json")
    found: dict[str, Any] = {}
    for line in lines:
        here: Any = said
        for part in line.key.split("."):
            here = here.get(part) if isinstance(here, dict) else None
        found[line.key] = here
    return found
