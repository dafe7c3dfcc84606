"""What comes back only by steps after an injury: single recipes, and what a block is named for."""

from __future__ import annotations

from datetime import date

from seasonplan.checker.sheet import Sheet
from seasonplan.injury import ramp
from seasonplan.plan import Block
from seasonplan.recipes import Need, Recipe, recipes
from seasonplan.rules.tables import table
from seasonplan.vocabulary import Emphasis, Kind
from seasonplan.year import Year

ANYWHERE = (Need.NOTHING, Need.DAYLIGHT)


def too_soon(year: Year, recipe: Recipe, day: date) -> str:
    """What of a recipe comes back only later after an injury, "" if nothing does."""
    for entry in year.injuries:
        step = ramp(entry, day)
        if step is None:
            continue
        if recipe.max_fingers and not step.max_fingers:
            return "maximal finger loading, which comes back last"
        for tissue in step.tissues:
            if recipe.stresses.get(tissue, 0) > step.most_stress:
                return f"stresses {tissue.value} more than this step back"
    return ""


def named_too_soon(sheet: Sheet, block: Block) -> bool:
    """Whether on most days the steps back bar all that makes what a block is named for."""
    if not block.emphasis or not sheet.year.injuries:
        return False
    made = made_by(sheet.year, block.kind, block.emphasis) or ()
    days = block.span.days() if made else ()
    barred = sum(all(too_soon(sheet.year, one, day) for one in made) for day in days)
    return 2 * barred > block.span.length


def made_by(year: Year, kind: Kind, emphasis: Emphasis) -> list[Recipe] | None:
    """The sessions at hand of which a block needs one to be named so; None: it needs none."""
    names = table("menus")["needs"].get(f"{kind.value} {emphasis.value}")
    known = recipes(year.recipes)
    at_all = [known[name] for name in names or () if name in known]
    return None if names is None else [one for one in at_all if at_hand(one, year)]


def at_hand(recipe: Recipe, year: Year) -> bool:
    """Whether all that a recipe needs was entered; a wall at home is a wall."""
    has = year.sessions.has
    return all(
        need in has or need in ANYWHERE or (need is Need.WALL and Need.HOME_WALL in has)
        for need in recipe.needs
    )
