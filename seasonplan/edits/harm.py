"""Sessions that would load what is hurt, or young fingers to the most: refused, and why.

Asks what the rules on sessions and on the body say; knows no way around a clinician's word. The
planner and the checker judge the same for themselves.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from seasonplan import injury
from seasonplan.body.almanac import Almanac, almanac_of
from seasonplan.days import ONE_DAY, day_text, week_start
from seasonplan.edits.draft import Draft, EditRefused
from seasonplan.injury import RampStep
from seasonplan.plan import Session
from seasonplan.recipes import Need, Recipe, recipes
from seasonplan.rules.statements import RuleBook, book_of
from seasonplan.vocabulary import BodyPart, Kind, Phase
from seasonplan.year import FixedSession, Injury, Year

MOST_NAMED = 4
CLINICIAN = "If your doctor or physiotherapist allows more, change the days of"
NAME_DAYS = "When you know from which day it may be loaded, name the days of"


@dataclass(frozen=True, slots=True)
class Harm:
    """Why a recipe is not for a day: an injury in its phase, in the steps after it (no phase), or
    (without an injury) young fingers.

    `until` is the last day on which the injury forbids it; with `often` it only bounds how often
    one may use the part so hard, in these words; `first`: it forbids every session on its first
    days.
    """

    recipe: Recipe
    hurt: Injury | None = None
    phase: Phase | None = None
    until: date | None = None
    often: str = ""
    first: bool = False


def harm(recipe: Recipe, day: date, *, almanac: Almanac, book: RuleBook) -> Harm | None:
    """What speaks against a recipe on a day; rules that are switched off say nothing."""
    if book.active("session-care") is None:
        return None
    if book.active("injury-caps") is not None:
        for hurt, phase in almanac.injuries_on(day):
            if _loads(recipe, hurt.part, phase):
                return Harm(recipe, hurt, phase, _until(recipe, hurt, day))
        for hurt in almanac.year.injuries:
            step = injury.ramp(hurt, day)
            if step is not None and _too_soon(recipe, step):
                return Harm(recipe, hurt, None, _until(recipe, hurt, day))
    young = book.active("young-fingers")
    grown = recipe.max_fingers or recipe.grown_up
    if grown and young is not None and almanac.under(young.number, day):
        return Harm(recipe)
    return None


def seldom(
    recipe: Recipe, day: date, *, year: Year, sessions: Iterable[Session]
) -> Harm | None:  # fmt: skip
    """What keeps a recipe out of the week of a day that holds these sessions: a hurt part just
    back in full is used hard only so often."""
    rules = book_of(year)
    if rules.active("session-care") is None or rules.active("injury-caps") is None:
        return None
    week, book = week_start(day, year.climber.week_begins), recipes(year.recipes)
    held = [one for one in sessions if week_start(one.day, year.climber.week_begins) == week]
    for hurt in year.injuries:
        step = injury.ramp(hurt, day)
        if step is None or not recipe.hard_on & {*step.tissues}:
            continue
        hard = [s for s in held if s.recipe in book and book[s.recipe].hard_on & {*step.tissues}]
        if len(hard) >= step.hard_a_week:
            return Harm(recipe, hurt, None, step.until_day, step.words)
    return None


def at_first(recipe: Recipe, day: date, *, year: Year) -> Harm | None:
    """What keeps every session out of the first days of an injury: a plan leaves them free, a
    climber need not."""
    for hurt in year.injuries:
        free = injury.first_days(hurt.happened)
        if day in free:
            return Harm(recipe, hurt, None, free.last, first=True)
    return None


def _too_soon(recipe: Recipe, step: RampStep) -> bool:
    """Whether a step after full does not hold a recipe yet."""
    too_much = any(recipe.stresses.get(one, 0) > step.most_stress for one in step.tissues)
    return too_much or (recipe.max_fingers and not step.max_fingers)


def _loads(recipe: Recipe, part: BodyPart, phase: Phase) -> bool:
    """Whether a recipe uses more of a hurt part than its phase allows, or is not named for it."""
    hurts = [(part, phase)]
    most, named = injury.most_stress(hurts), injury.finger_recipes(hurts)
    too_much = any(stress > most[tissue] for tissue, stress in recipe.stresses.items())
    too_much = too_much or recipe.id in injury.barred(hurts)
    unnamed = named is not None and Need.HANGBOARD in recipe.needs and recipe.id not in named
    return too_much or unnamed or (recipe.max_fingers and not injury.max_fingers(hurts))


def _until(recipe: Recipe, hurt: Injury, day: date) -> date:
    """The last day of the phases and steps from that day on that forbid a recipe."""
    last = day
    for phase, span in hurt.phases:
        if span.after > day and _loads(recipe, hurt.part, phase):
            last = span.last
    for step in injury.ramp_steps(hurt):
        if step.until_day >= day and _too_soon(recipe, step):
            last = step.until_day
    return last


def reason(found: Harm) -> str:
    """Such as "Your left finger is off until Tue 8 Jun 2027; this session loads it." """
    if found.hurt is None or found.until is None:
        return "This session loads the fingers to the most, which is not for the young."
    who, until = _who(found.hurt), found.until
    if found.first:
        return f"The first days of “{found.hurt.name}”, until {day_text(until)}, hold no session."
    if found.hurt.waits:
        return f"{who} off, no days named yet; this session {_too_much(found.hurt)}."
    if found.often:
        return f"{who} just back; until {day_text(until)}: {found.often}."
    off = f"off until {day_text(found.hurt.easy_from - ONE_DAY)}"
    if until < found.hurt.easy_from:
        return f"{who} {off}; this session {_too_much(found.hurt)}."
    back = _back(found.hurt, until)
    return f"{who} {off}, {back}." if found.phase is Phase.OFF else f"{who} {back}."


def _back(hurt: Injury, until: date) -> str:
    """When a session that loads a part hard may be done again; the hardest comes last."""
    if until < hurt.full_from:
        return f"not back in full until {day_text(until)}; this session {_hard(hurt)}"
    return (
        f"back in full from {day_text(hurt.full_from)}; this session {_hard(hurt)} and comes "
        f"after that, from {day_text(until + ONE_DAY)}"
    )


def _too_much(hurt: Injury) -> str:
    """What a session does to what is off; who is ill is no part that is loaded."""
    return "is too much" if hurt.part is BodyPart.OTHER else "loads it"


def _hard(hurt: Injury) -> str:
    return "is hard" if hurt.part is BodyPart.OTHER else "loads it hard"


def _who(hurt: Injury) -> str:
    """Such as "Your left finger is"; by its own name, as an illness, where the part has none."""
    if hurt.part is BodyPart.OTHER:
        return f"With “{hurt.name}” you are"
    side = {"left": "left ", "right": "right "}.get(hurt.side.value, "")
    return f"Your {side}{hurt.part.value} is"


def kind_on(draft: Draft, day: date) -> Kind | None:
    """The kind of block on a day: what the year gives by now, else what was planned."""
    given = next((one.kind for one in almanac_of(draft.year).givens if day in one.span), None)
    return given or next((block.kind for block in draft.blocks if day in block.span), None)


def sparing(year: Year, day: date, *, kind: Kind | None) -> list[Recipe]:
    """Recipes for a kind of block that may be done on a day, by name."""
    almanac, book = almanac_of(year), book_of(year)
    fitting = [
        recipe
        for recipe in recipes(year.recipes).values()
        if (kind is None or kind in recipe.kinds)
        and recipe.minutes
        and harm(recipe, day, almanac=almanac, book=book) is None
    ]
    return sorted(fitting, key=lambda recipe: recipe.name)


# --- wishes -----------------------------------------------------------------------------------


def kept_clear(before: Draft, after: Draft) -> Draft:
    """The draft after an edit; refused where a session said since would do harm.

    What was wished before an injury is no fault of this edit, and what is over is history.
    """
    old = set(before.year.fixed_sessions)
    new = [wish for wish in after.year.fixed_sessions if wish not in old]
    if not new:
        return after
    planned = after.plan.current.sessions if after.plan else ()
    for day, found in harmful(after.year, new, planned):
        if after.today is None or day >= after.today:
            raise EditRefused(reason(found), _instead(after, day, found))
    return after


def harmful(
    year: Year, wishes: Iterable[FixedSession], sessions: Sequence[Session]
) -> Iterator[tuple[date, Harm]]:
    """Each wish for a session on a day on which it would do harm."""
    almanac, book, all_recipes = almanac_of(year), book_of(year), recipes(year.recipes)
    for wish in wishes:
        day, recipe = meant(wish, sessions, all_recipes)
        if day is not None and recipe is not None and not wish.skip:
            found = harm(recipe, day, almanac=almanac, book=book)
            if found is not None:
                yield day, found


def meant(
    wish: FixedSession, sessions: Sequence[Session], book: Mapping[str, Recipe]
) -> tuple[date | None, Recipe | None]:
    """The day and recipe of a wish: its own, or those of the session it changes."""
    if not wish.session:
        return wish.day, book.get(wish.recipe)
    session = next((one for one in sessions if one.id == wish.session), None)
    if session is None:  # left out of the plan; its id still names the recipe
        return wish.day, book.get(wish.session.rpartition("/")[2].rpartition("-")[0])
    return wish.day or session.day, book.get(session.recipe)


def _instead(draft: Draft, day: date, found: Harm) -> str:
    """What would work on that day."""
    recipes_left = sparing(draft.year, day, kind=kind_on(draft, day))
    there = {*draft.year.sessions.has, Need.NOTHING, Need.DAYLIGHT, Need.ROCK}
    names = [f"“{recipe.name}”" for recipe in recipes_left if set(recipe.needs) <= there]
    some = ", ".join(names[:MOST_NAMED])
    spares = f"These spare it: {some}." if names else "Another day would work."
    if found.hurt is None:
        return spares
    ways = NAME_DAYS if found.hurt.waits else CLINICIAN
    return f"{spares} {ways} “{found.hurt.name}”."
