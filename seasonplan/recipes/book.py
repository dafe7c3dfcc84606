"""The recipes of `shared/recipes.toml` as this climber changed them, and the faults in that."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import cache
from typing import Any

from seasonplan.errors import Misuse, did_you_mean
from seasonplan.recipes.recipe import Recipe
from seasonplan.rules.tables import caution, composing, sources, table
from seasonplan.vocabulary import Evidence, Tissue
from seasonplan.year import Trouble
from seasonplan.year.recipe import Need, RecipeChange
from seasonplan.year.refusal import NOTHING

REQUIRED = ("name", "kinds", "qualities", "minutes", "rpe", "stresses")
FORMER = {"maximal-hangs": "fingerboard-long"}  # recipes that are gone, and what took their place


@cache
def standard_recipes() -> dict[str, Recipe]:
    """The recipes of `shared/recipes.toml`."""
    return {name: Recipe(id=name, **raw) for name, raw in table("recipes").items()}


def recipes(changes: Mapping[str, RecipeChange] | None = None) -> dict[str, Recipe]:
    """The recipes as this climber has them: changed, added and switched off.

    The changes must have no `troubles`.
    """
    changes = changes or {}
    found = troubles(changes)
    if found:
        raise Misuse(f"recipes with troubles: {found[0].found}; wanted {found[0].wanted}")
    book = dict(standard_recipes())
    for name, change in _by_present_id(changes).items():
        if change.on is False:
            book.pop(name, None)
        elif change.said:
            book[name] = Recipe(**{**_values(name, change), "changed": True})
    return book


def troubles(changes: Mapping[str, RecipeChange]) -> list[Trouble]:
    """Everything that is wrong with the climber's recipes, by place in the year file."""
    found = [trouble for name, change in changes.items() for trouble in _wrong(name, change)]
    return found or _wrong_together(changes)


def present_id(name: str) -> str:
    """The id of today for a recipe that had another name in older files; else the name."""
    return FORMER.get(name, name)


def _by_present_id(changes: Mapping[str, RecipeChange]) -> dict[str, RecipeChange]:
    """Changes of former recipes with those of the present one, which win field by field."""
    former = {name: change for name, change in changes.items() if name in FORMER}
    told = {name: change for name, change in changes.items() if name not in FORMER}
    for name, change in former.items():
        newer = told.get(FORMER[name], RecipeChange())
        told[FORMER[name]] = RecipeChange(**{**_set(change), **_set(newer)})
    return told


def _set(change: RecipeChange) -> dict[str, Any]:
    return {field: value for field, value in dict(change).items() if value is not None}


def _wrong_together(changes: Mapping[str, RecipeChange]) -> list[Trouble]:
    """What is wrong only because an older and a newer name of one recipe are both changed."""
    merged = _by_present_id(changes)
    return [
        trouble
        for former, name in FORMER.items()
        if former in changes and name in changes
        for trouble in _wrong(name, merged[name])
    ]


def _values(name: str, change: RecipeChange) -> dict[str, Any]:
    """The fields of a changed or new recipe; what a new one does not say is set with care.

    Who says what to do in words of their own takes away what the weeks made of the old words.
    """
    old = standard_recipes().get(present_id(name))
    said = change.said
    if old is not None:
        minutes = said.get("minutes", old.minutes)
        lengths = {
            "least_minutes": min(minutes, old.least_minutes),
            "most_minutes": max(minutes, old.most_minutes),
        }
        short = None if "name" in said else old.short
        weeks = {"progress": (), "light": ""} if "do" in said else {}
        kept = {field: getattr(old, field) for field in Recipe.model_fields}
        return {**kept, **lengths, **weeks, "short": short, **said}
    stresses = said.get("stresses", {})
    hardest = max(stresses.values(), default=0)
    minutes = said.get("minutes", 0)
    return {
        "id": name,
        "warm_up_minutes": 0,
        "least_minutes": minutes,
        "most_minutes": minutes,
        "needs": (Need.NOTHING,),
        "spacing_hours": composing().own_recipes.spacing_hours[hardest],
        "order": 1,
        "max_fingers": stresses.get(Tissue.FINGERS, 0) == 3,
        "do": "",
        "caution": caution("general"),
        "evidence": Evidence.PREFERENCE,
        "sources": ("your-own",),
        **said,
    }


def _wrong(name: str, change: RecipeChange) -> Iterator[Trouble]:
    place = ("recipes", name)
    known = standard_recipes()
    if present_id(name) not in known:
        if change.on is not None and not change.said:
            do = did_you_mean(name, known, otherwise="Correct the id.", quoted=True)
            yield Trouble(place, f"the unknown recipe {name!r}", "the id of a recipe", do)
            return
        missing = [field for field in REQUIRED if getattr(change, field) is None]
        if missing:
            for field in missing:
                do = "Fill it in, or use the id of a recipe there is."
                yield Trouble((*place, field), NOTHING, f"`{field}` of the new recipe", do)
            return
    yield from _odd(place, _values(name, change))


def _odd(place: tuple[str, str], values: Mapping[str, Any]) -> Iterator[Trouble]:
    total = sum(values["qualities"].values())
    if abs(total - 1) > 0.001:
        yield Trouble(
            (*place, "qualities"), f"shares that add up to {total:g}", "shares that add up to 1",
            "Change the shares.",
        )  # fmt: skip
    lengths = [values[f"{which}minutes"] for which in ("least_", "", "most_")]
    if lengths != sorted(lengths):
        yield Trouble(
            (*place, "minutes"), " / ".join(map(str, lengths)),
            "`least_minutes`, `minutes` and `most_minutes` in this order",
            "Put the three in order.",
        )  # fmt: skip
    if values["warm_up_minutes"] > values["minutes"]:
        yield Trouble(
            (*place, "warm_up_minutes"), f"{values['warm_up_minutes']}",
            f"at most its {values['minutes']} minutes", "The minutes hold the warm-up.",
        )  # fmt: skip
    for key in values["sources"]:
        if key not in sources():
            yield Trouble(
                (*place, "sources"), f"the unknown source {key!r}", "the key of a source",
                'Leave it out, or write `sources = ["your-own"]`.',
            )  # fmt: skip
