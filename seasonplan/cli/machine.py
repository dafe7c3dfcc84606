"""The keys of `--json`: dates in ISO 8601, `first` and `last` both inside. Keys stay."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from seasonplan.days import Span
from seasonplan.findings import Finding
from seasonplan.plan import Block, Occasion, Plan, Revision, Week
from seasonplan.rules import Rule

Facts = dict[str, Any]


def span_facts(span: Span) -> Facts:
    return {"first": span.first.isoformat(), "last": span.last.isoformat()}


def block_facts(block: Block) -> Facts:
    return {
        "id": block.id,
        "kind": block.kind.value,
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
        "state": round(occasion.state, 4),
    }


def revision_facts(revision: Revision) -> Facts:
    """A plan: its blocks, what it is worth and how far that is proven."""
    return {
        "revision": revision.number,
        "cause": revision.cause,
        "stamp": revision.stamp.isoformat(),
        "points": round(revision.score.points, 3),
        "proven_best": revision.proof.optimal,
        "gap": round(revision.proof.gap, 6),
        "blocks": [block_facts(block) for block in revision.blocks],
        "occasions": [occasion_facts(occasion) for occasion in revision.score.occasions],
    }


def plan_facts(plan: Plan | None) -> Facts | None:
    return revision_facts(plan.current) if plan else None


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
