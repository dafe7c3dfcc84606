"""What can be done at all: what there is to train on, what would load a hurt part or the young.

Enforces `session-needs`, `session-care`, `young-fingers` and `injury-caps`.
"""

from __future__ import annotations

from datetime import date

from seasonplan import injury
from seasonplan.body.almanac import Almanac
from seasonplan.recipes import Need, Recipe
from seasonplan.rules.statements import RuleBook
from seasonplan.year import Year


def is_there(recipe: Recipe, year: Year) -> bool:
    """Whether there is all that a recipe needs; a wall at home is a wall."""
    has = {*year.sessions.has, Need.NOTHING, Need.DAYLIGHT, Need.ROCK}
    if Need.HOME_WALL in has:
        has.add(Need.WALL)
    return has.issuperset(recipe.needs)


def harms(recipe: Recipe, almanac: Almanac, day: date, *, rules: RuleBook) -> bool:
    """Whether it is not for the young, or loads a hurt part more than its phase allows."""
    if rules.active("session-care") is None:
        return False
    if (recipe.max_fingers or recipe.grown_up) and is_young(almanac, day, rules=rules):
        return True
    if rules.active("injury-caps") is None:
        return False
    return _while_hurt(recipe, almanac, day) or _soon_after(recipe, almanac, day)


def _while_hurt(recipe: Recipe, almanac: Almanac, day: date) -> bool:
    """Whether a phase does not allow it."""
    hurts = almanac.hurts(day)
    if not hurts:
        return False
    named = injury.finger_recipes(hurts)
    if named is not None and recipe.hang_seconds and recipe.id not in named:
        return True
    most = injury.most_stress(hurts)
    too_much = any(stress > most[tissue] for tissue, stress in recipe.stresses.items())
    return too_much or (recipe.max_fingers and not injury.max_fingers(hurts))


def _soon_after(recipe: Recipe, almanac: Almanac, day: date) -> bool:
    """Whether a step back after full does not allow it yet."""
    return any(
        (recipe.max_fingers and not step.max_fingers)
        or any(recipe.stresses.get(tissue, 0) > step.most_stress for tissue in step.tissues)
        for step in ramps(almanac, day)
    )


def ramps(almanac: Almanac, day: date) -> list[injury.RampStep]:
    """The steps back after full that hold on a day."""
    found = (injury.ramp(one, day) for one in almanac.year.injuries)
    return [step for step in found if step is not None]


def is_young(almanac: Almanac, day: date, *, rules: RuleBook) -> bool:
    """Whether the rule on young fingers holds on that day."""
    rule = rules.active("young-fingers")
    return rule is not None and almanac.under(rule.number, day)
