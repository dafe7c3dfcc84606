"""Judges what sessions do to a body: `session-spacing`, `session-care`."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from seasonplan.checker.sessions.timetable import Timetable, begins, faulty
from seasonplan.findings import Finding
from seasonplan.injury import most_stress
from seasonplan.plan import Session
from seasonplan.recipes import Recipe
from seasonplan.rules import Rule
from seasonplan.vocabulary import Tissue

HARD_STRESS = 2


def judge_spacing(table: Timetable, rule: Rule) -> Iterator[Finding]:
    """Pairs of sessions that use a tissue hard with too few hours from start to start."""
    known = [(s, recipe) for s in table.sessions if (recipe := table.recipe(s)) is not None]
    hard = [(s, recipe, _used_hard(recipe)) for s, recipe in known if _used_hard(recipe)]
    longest = max((recipe.spacing_hours for _, recipe, _ in hard), default=0.0)
    for at, (one, first, used) in enumerate(hard):
        for other, second, also_used in hard[at + 1 :]:
            apart = (begins(other) - begins(one)).total_seconds() / 3600
            if apart >= longest:
                break
            both = used & also_used
            wanted = max(first.spacing_hours, second.spacing_hours)
            if both and apart < wanted and not _away(table, one, other):
                about = ", ".join(sorted(tissue.value for tissue in both))
                yield faulty(rule, one, other, about=about, found=apart, limit=wanted)


def _used_hard(recipe: Recipe) -> set[Tissue]:
    return {tissue for tissue, stress in recipe.stresses.items() if stress >= HARD_STRESS}


def _away(table: Timetable, *sessions: Session) -> bool:
    """Whether all of them are on climbing trips, which have their own rhythm."""
    return all(table.trips(session.day) for session in sessions)


def judge_care(table: Timetable, rule: Rule) -> Iterator[Finding]:
    """Sessions that stress what is hurt, or load the fingers to the most when they must not."""
    for session in table.sessions:
        recipe = table.recipe(session)
        if recipe is None:
            continue
        about = stresses_hurt(table, recipe, session.day)
        if about:
            yield faulty(rule, session, about=about)
        if recipe.max_fingers and too_young(table, session.day):
            yield faulty(rule, session, about="too young for maximal finger loading")


def too_young(table: Timetable, day: date) -> bool:
    """Whether the rule on young fingers holds on that day."""
    rule = table.sheet.book.active("young-fingers")
    return rule is not None and table.sheet.almanac.under(rule.number, day)


def stresses_hurt(table: Timetable, recipe: Recipe, day: date) -> str:
    """What of a recipe an injury forbids on that day, "" if nothing."""
    hurts = table.sheet.almanac.hurts(day)
    if not hurts or table.sheet.book.active("injury-caps") is None:
        return ""
    most = most_stress(hurts)
    for tissue, stress in recipe.stresses.items():
        if stress > most[tissue]:
            return f"stresses {tissue.value} by {stress}, and {most[tissue]} is the most while hurt"
    return "maximal finger loading while hurt" if recipe.max_fingers else ""
