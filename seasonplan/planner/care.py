"""What can be done at all: what there is to train on, what would load a hurt part or the young.

Enforces `session-needs`, `session-care`, `young-fingers` and `injury-caps`.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence, Set
from datetime import date

from seasonplan import injury
from seasonplan.body.almanac import Almanac
from seasonplan.plan import Session
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
    too_much = too_much or recipe.id in injury.barred(hurts)
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


def too_often(
    sessions: Sequence[Session], said: Set[str], almanac: Almanac,
    *, book: Mapping[str, Recipe], rules: RuleBook,
) -> Iterator[str]:  # fmt: skip
    """Ids of those the climber `said` that use hard what has just come back more often in a
    calendar week than its step allows, the last first."""
    held_back = said and rules.active("session-care") and rules.active("injury-caps")
    for steps in filter(None, map(injury.ramp_steps, almanac.year.injuries if held_back else ())):
        tissues = {*steps[0].tissues}
        hard = [s for s in sessions if s.recipe in book and book[s.recipe].hard_on & tissues]
        for week in almanac.weeks():
            held = [s for s in steps if s.from_day < week.after and s.until_day >= week.first]
            most = max((step.hard_a_week for step in held), default=len(hard))
            days = [s for s in hard if any(h.from_day <= s.day <= h.until_day for h in held)]
            used = [s for s in days if s.day in week]
            own = [s.id for s in reversed(used) if s.id in said]
            yield from own[: max(0, len(used) - most)]


def is_young(almanac: Almanac, day: date, *, rules: RuleBook) -> bool:
    """Whether the rule on young fingers holds on that day."""
    rule = rules.active("young-fingers")
    return rule is not None and almanac.under(rule.number, day)
