"""What a plan is worth, worked out again from its blocks, and held against what was claimed."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date

from seasonplan.body.response import body_of, mornings, trainings
from seasonplan.body.worth import Aims, form_worth, occasions, rock_worth
from seasonplan.checker.prices import costs_on
from seasonplan.checker.sheet import Sheet
from seasonplan.days import Span
from seasonplan.plan import Occasion, Score, Session
from seasonplan.recipes import recipes
from seasonplan.rules.findings import SCORE, Finding

# Two sums of floats in another order: their rounding, not a licence.
NEAR_DAYS = 1e-6
NEAR_FORM = 1e-6
NEAR_POINTS = 1e-6


def score_on(sheet: Sheet, sessions: Sequence[Session]) -> Score:
    """The worth of a plan already laid out."""
    recipe_book = recipes(sheet.year.recipes)
    found = occasions(sheet.almanac, sheet.blocks, sessions, recipe_book, sheet.done)
    costs = costs_on(sheet)
    body, aims = body_of(sheet.year), Aims(sheet.almanac)
    last = max(day for form in aims.forms for day in form.days)
    done = trainings(sheet.blocks, sessions, recipe_book)
    forms = mornings(sheet.year, done, body, until=last)
    gained = sum(form_worth(form, forms, body) for form in aims.forms)
    gained += sum(rock_worth(sheet.almanac, one) for one in sessions)
    return Score(occasions=found, costs=costs, points=gained - sum(cost.points for cost in costs))


def judge_claim(
    sheet: Sheet, claimed: Score, sessions: Sequence[Session], *, today: date | None = None
) -> Iterator[Finding]:
    """Every number of the claim that is not the one worked out again.

    What goals had of seasons that are over by `today` was told with the year as it was then.
    """
    true = score_on(sheet, sessions)
    whole = sheet.year.span
    yield from _differ(whole, claimed.points, true.points, about="points")
    claims = {cost.rule: cost.points for cost in claimed.costs}
    owed = {cost.rule: cost.points for cost in true.costs}
    for code in sorted(claims.keys() | owed.keys()):
        yield from _differ(whole, claims.get(code, 0.0), owed.get(code, 0.0), about=code)
    for finding in _judge_occasions(claimed.occasions, true.occasions):
        missing = finding.found is None or finding.limit is None
        if missing or today is None or finding.span.after > today:
            yield finding


def _differ(span: Span, claim: float, true: float, *, about: str) -> Iterator[Finding]:
    if not abs(claim - true) <= NEAR_POINTS:
        yield _lie(span, claim, true, about=about)


def _lie(span: Span, claim: float | None, true: float | None, *, about: str) -> Finding:
    return Finding(code=SCORE, strength="hard", span=span, found=claim, limit=true, about=about)


def _judge_occasions(claimed: Sequence[Occasion], true: Sequence[Occasion]) -> Iterator[Finding]:
    claims = {(one.goal, one.entry, one.span): one for one in claimed}
    truths = {(one.goal, one.entry, one.span): one for one in true}
    for goal, entry, span in sorted(claims.keys() | truths.keys()):
        claim, truth = claims.get((goal, entry, span)), truths.get((goal, entry, span))
        where = f"{goal} at {entry}"
        if claim is None or truth is None:
            yield _lie(
                span,
                claim.good_days if claim else None,
                truth.good_days if truth else None,
                about=f"good days, {where}",
            )
            continue
        if not abs(claim.good_days - truth.good_days) <= NEAR_DAYS:
            yield _lie(span, claim.good_days, truth.good_days, about=f"good days, {where}")
        if claim.easy_days not in (None, truth.easy_days):
            yield _lie(span, claim.easy_days, truth.easy_days, about=f"easy days, {where}")
        if not abs(claim.form - truth.form) <= NEAR_FORM:
            yield _lie(span, claim.form, truth.form, about=f"form, {where}")
