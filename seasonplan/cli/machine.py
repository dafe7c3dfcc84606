"""The keys of `--json`: dates in ISO 8601, `first` and `last` both inside. Keys stay."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from seasonplan.body.load import LoadFigures
from seasonplan.days import Span
from seasonplan.explain import sessions as words
from seasonplan.explain.agenda import Agenda, Day
from seasonplan.ical.appointments import hours
from seasonplan.injury import in_force_within
from seasonplan.plan import Block, Occasion, Revision, Session, Shortfall, Week
from seasonplan.rules.findings import Finding
from seasonplan.rules.statements import Rule
from seasonplan.year import Year

Facts = dict[str, Any]


def span_facts(span: Span) -> Facts:
    return {"first": span.first.isoformat(), "last": span.last.isoformat()}


def block_facts(block: Block) -> Facts:
    return {
        "id": block.id,
        "kind": block.kind.value,
        "emphasis": block.emphasis.value or None,
        **span_facts(block.span),
        "days": block.span.length,
        "minutes": round(block.minutes),
        "load": round(block.load),
        "entry": block.entry,
        "pinned": block.pinned,
        "phase": block.phase.value if block.phase else None,
        "weeks": [week_facts(week) for week in block.weeks],
    }


def week_facts(week: Week) -> Facts:
    return {
        **span_facts(week.span),
        "minutes": round(week.minutes),
        "effort": round(week.rpe, 1),
        "load": round(week.load),
        "aim": round(week.aim),
        "free_minutes": round(week.free_minutes),
        "hard_seconds": week.hard_seconds,
        "rock_days": week.rock_days,
        "training_days": week.training_days,
        "light": week.deload,
        "lead_in": week.lead_in,
    }


def occasion_facts(occasion: Occasion) -> Facts:
    return {
        "goal": occasion.goal,
        "entry": occasion.entry,
        **span_facts(occasion.span),
        "possible_days": round(occasion.possible, 2),
        "good_days": round(occasion.good_days, 2),
        "rock_days": occasion.rock_days,
        "form": round(occasion.form, 4),
    }


def revision_facts(revision: Revision) -> Facts:
    """A plan: its blocks, what it is worth and how far that is proven."""
    return {
        "revision": revision.number,
        "cause": revision.cause,
        "stamp": revision.stamp.isoformat(),
        "points": round(revision.score.points, 3),
        "best": revision.proof.optimal,
        "confirmed": revision.proof.confirmed,
        "nearly_as_good": [one.model_dump() for one in revision.others],
        "blocks": [block_facts(block) for block in revision.blocks],
        "occasions": [occasion_facts(occasion) for occasion in revision.score.occasions],
        "ratings_by_tests": {quality.value: one for quality, one in revision.ratings.items()},
        "sessions": [planned_facts(session) for session in revision.sessions],
        "shortfalls": [shortfall_facts(one) for one in revision.shortfalls],
    }


def planned_facts(session: Session) -> Facts:
    """A session as the plan keeps it; `start` is the wall clock of `zone`, null at home."""
    return session.model_dump(mode="json")


def shortfall_facts(shortfall: Shortfall) -> Facts:
    return {
        "block": shortfall.block,
        **span_facts(shortfall.span),
        "asked_minutes": shortfall.asked_minutes,
        "missing_minutes": shortfall.missing_minutes,
        "cause": shortfall.cause.value,
        "text": words.shortfall_text(shortfall),
    }


def session_facts(session: Session, agenda: Agenda, *, home: str) -> Facts:
    """A session with its recipe; `start` and `end` carry their offset from UTC."""
    recipe = agenda.book.get(session.recipe)
    start, end = hours(session, home)
    text = agenda.text(session)
    return {
        "id": session.id,
        "block": session.block,
        "recipe": session.recipe,
        "title": words.session_title(session, recipe),
        "day": session.day.isoformat(),
        "start": start.isoformat(),
        "end": end.isoformat(),
        "zone": session.zone or home,
        "minutes": session.minutes,
        "warm_up_minutes": words.warm_up_minutes(session, recipe) if recipe else 0,
        "effort": session.rpe,
        "effort_word": words.effort_word(session.rpe),
        "needs": [need.value for need in recipe.needs] if recipe else [],
        "rock": session.rock,
        "role": session.role.value if session.role else None,
        "light": session.light,
        "hangs": session.hangs,
        "load": round(session.load),
        "warm_up": list(text.warm_up),
        "do": text.do,
        "this_week": text.this_week,
        "stop": text.stop,
        "wet": text.wet,
        "cautions": list(words.cautions_of(recipe, agenda.year)),
        "leave_out": agenda.harm_text(session) or None,
    }


def day_facts(day: Day, agenda: Agenda, *, home: str) -> Facts:
    return {
        "day": day.day.isoformat(),
        "block": day.block.id if day.block else None,
        "kind": day.block.kind.value if day.block else None,
        "sessions": [session_facts(one, agenda, home=home) for one in day.sessions],
        "rest": day.rest or None,
        "remarks": list(day.remarks),
        "left_out": list(day.left_out),
    }


def hurting_facts(year: Year, span: Span) -> list[Facts]:
    """The cautions in force on some days; `until` is null where nobody has named an end."""
    return [one.model_dump(mode="json") for one in in_force_within(year, span)]


def load_facts(figures: LoadFigures, block: Block | None = None) -> Facts:
    """Load of a week or a block; null where a figure is undefined."""
    return {
        **span_facts(figures.span),
        **({"block": block.id} if block else {}),
        "load": round(figures.total),
        "monotony": _rounded(figures.monotony),
        "strain": None if figures.strain is None else round(figures.strain),
        "change_rolling": _rounded(figures.change_rolling),
        "change_weighted": _rounded(figures.change_ewma),
    }


def _rounded(value: float | None) -> float | None:
    return None if value is None else round(value, 3)


def finding_facts(finding: Finding, sentence: str) -> Facts:
    return {
        "code": finding.code,
        "strength": finding.strength,
        **span_facts(finding.span),
        "blocks": list(finding.blocks),
        "found": finding.found,
        "limit": finding.limit,
        "sentence": sentence,
    }


def rule_facts(rule: Rule) -> Facts:
    return {
        "code": rule.code,
        "title": rule.title,
        "asks": rule.statement,
        "why": rule.why,
        "evidence": rule.evidence.value,
        "sources": _sources(rule),
        "strength": rule.strength,
        "limit": rule.limit,
        "unit": rule.unit,
        "weight": rule.weight,
        "per": rule.per,
        "on": rule.on,
        "changed": rule.changed,
    }


def _sources(rule: Rule) -> Sequence[Facts]:
    return [
        {"cite": source.cite, "says": source.says, "verified": source.verified.value}
        for source in rule.cited()
    ]
