"""Judges what sessions do to a body: `session-spacing`, `session-care`."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from math import inf

from seasonplan.body.response import from_50
from seasonplan.checker.body import bars_fingers
from seasonplan.checker.sessions.timetable import Timetable, faulty
from seasonplan.checker.steps_back import too_soon
from seasonplan.days import Span
from seasonplan.injury import RampStep, barred, finger_recipes, most_stress, ramp_steps
from seasonplan.plan import Session
from seasonplan.recipes import Need, Recipe
from seasonplan.rules.findings import Finding
from seasonplan.rules.statements import Rule
from seasonplan.rules.tables import composing
from seasonplan.vocabulary import Quality, Tissue

HARD_STRESS = 2
ELSEWHERE = {Need.WALL, Need.ROCK, Need.HANGBOARD}  # pulls on ice tools need none of them


def judge_spacing(table: Timetable, rule: Rule) -> Iterator[Finding]:
    """Pairs of sessions that use a tissue hard with too few whole days between."""
    known = [(s, recipe) for s in table.sessions if (recipe := table.recipe(s)) is not None]
    hard = [(s, recipe, used_hard(recipe)) for s, recipe in known if used_hard(recipe)]
    for at, (one, first, used) in enumerate(hard):
        own = first.days_after(from_50=from_50(table.sheet.year, one.day))
        for other, second, also_used in hard[at + 1 :]:
            if one.day == other.day and _hangs_then(one, first, other, second):
                continue
            between = (other.day - one.day).days - 1
            wanted = max(own, 1) if _drain(first, second) else own
            if between >= max(own, 1):
                break
            if between >= wanted:
                continue
            both = used & also_used
            if both and not _on_rock(table, one, other):
                about = ", ".join(sorted(tissue.value for tissue in both))
                yield faulty(rule, one, other, about=about, found=max(between, 0), limit=wanted)


def _drain(*both: Recipe) -> bool:
    """Whether each of two is mostly power endurance, which wants a day between."""
    least = composing().day.drains_from
    return all(one.qualities.get(Quality.POWER_ENDURANCE, 0.0) >= least for one in both)


def used_hard(recipe: Recipe) -> set[Tissue]:
    """The tissues that a recipe uses hard."""
    return {tissue for tissue, stress in recipe.stresses.items() if stress >= HARD_STRESS}


def _hangs_then(one: Session, first: Recipe, other: Session, second: Recipe) -> bool:
    """Whether hard hangs come first on a day, and then work off the hangboard; before tries at the
    limit, and beside pulls on ice tools, few of them."""
    if other.start < one.start:
        one, first, second = other, second, first
    few = one.hangs <= _most_before(second)
    return first.hard_hangs and few and Need.HANGBOARD not in second.needs


def _most_before(recipe: Recipe) -> float:
    """Hard hangs at most on a day on which such work follows."""
    day = composing().day
    if {Tissue.WRISTS, Tissue.ELBOWS} <= used_hard(recipe) and not ELSEWHERE & set(recipe.needs):
        return day.hangs_before_tools
    tries = recipe.stresses.get(Tissue.FINGERS, 0) > HARD_STRESS
    return day.hangs_before_tries if tries else inf


def _on_rock(table: Timetable, *sessions: Session) -> bool:
    """Whether all of them are days on rock, which have their own rhythm."""
    return all(session.role is not None for session in sessions)


def judge_care(table: Timetable, rule: Rule) -> Iterator[Finding]:
    """Sessions that stress what is hurt, or load the fingers to the most when they must not."""
    for session in table.sessions:
        recipe = table.recipe(session)
        about = forbidden(table, recipe, session.day) if recipe is not None else ""
        if about:
            yield faulty(rule, session, about=about)
    if table.sheet.book.active("injury-caps") is not None:
        yield from _too_often(table, rule)


def _too_often(table: Timetable, rule: Rule) -> Iterator[Finding]:
    """Calendar weeks with more hard uses of what has just come back than its step allows.

    Days on rock count; where there is nothing else they are not asked about.
    """
    for entry in table.sheet.year.injuries:
        steps = ramp_steps(entry)
        for week in table.sheet.almanac.weeks() if steps else ():
            held = [s for s in steps if s.from_day < week.after and s.until_day >= week.first]
            days = Span.through(held[0].from_day, held[-1].until_day) if held else None
            inside = days.meet(week) if days else None
            if inside is None:
                continue
            used = [s for s in table.sessions if s.day in inside and _uses(table, s, held)]
            most = max(step.hard_a_week for step in held)
            if len(used) > most and not _on_rock(table, *used):
                about = "hard use of what has just come back in a week"
                yield faulty(rule, *used, about=about, found=len(used), limit=most)


def _uses(table: Timetable, session: Session, steps: Sequence[RampStep]) -> bool:
    """Whether a session uses hard what these steps hold back."""
    recipe = table.recipe(session)
    return recipe is not None and bool(used_hard(recipe) & {*steps[0].tissues})


def forbidden(table: Timetable, recipe: Recipe, day: date) -> str:
    """Why a recipe must not be done on a day, "" if it may."""
    if (recipe.max_fingers or recipe.grown_up) and too_young(table, day):
        return "for grown climbers only"
    if table.sheet.book.active("injury-caps") is None:
        return ""
    return _hurt(table, recipe, day) or too_soon(table.sheet.year, recipe, day)


def too_young(table: Timetable, day: date) -> bool:
    """Whether the rule on young fingers holds on that day."""
    rule = table.sheet.book.active("young-fingers")
    return rule is not None and table.sheet.almanac.under(rule.number, day)


def _hurt(table: Timetable, recipe: Recipe, day: date) -> str:
    """What of a recipe the phase of an injury forbids on that day."""
    hurts = table.sheet.almanac.hurts(day)
    if not hurts:
        return ""
    named = finger_recipes(hurts)
    if recipe.hang_seconds and named is not None and recipe.id not in named:
        return "hangs that a hurt finger does not do yet"
    most = most_stress(hurts)
    for tissue, stress in recipe.stresses.items():
        if stress > most[tissue]:
            return f"stresses {tissue.value} by {stress}, and {most[tissue]} is the most while hurt"
    if recipe.id in barred(hurts):
        return "what a part that comes back does not do yet"
    hard = recipe.max_fingers and bars_fingers(hurts)
    return "maximal finger loading while hurt" if hard else ""
