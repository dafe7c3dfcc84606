"""A finding of the checker as one sentence."""

from __future__ import annotations

from seasonplan.explain.amounts import amount_text
from seasonplan.explain.words import span_text
from seasonplan.rules import findings
from seasonplan.rules.findings import Finding
from seasonplan.rules.statements import RuleBook

_INTEGRITY = {
    findings.COVER: "these days lie in no block, or in more than one",
    findings.GIVEN: "a trip, absence or injury of the year is not where the plan has it",
    findings.PIN: "a block you fixed is not kept",
    findings.MINUTES: "more is asked than these days have time for",
    findings.SCORE: "what the plan claims to be worth is not what it is worth",
    findings.SUMS: "the plan file contradicts itself",
    findings.PROOF: "what the plan says of how good it is cannot be so",
    findings.PAST: "what is over is not as it was",
}
MAKE_ANEW = "Run `seasonplan replan` to make the plan anew."


def sentence(finding: Finding, *, book: RuleBook) -> str:
    """What is wrong, where, by how much, and which rule says so."""
    where = span_text(finding.span)
    if finding.blocks:
        where += f" ({', '.join(finding.blocks)})"
    if finding.code in _INTEGRITY:
        about = f" ({finding.about})" if finding.about else ""
        return f"{where}: {_INTEGRITY[finding.code]}{about}. {MAKE_ANEW}"
    rule = book[finding.code]
    amount = amount_text(finding, rule)
    measured = f" Found {amount}." if amount else ""
    how = "" if rule.hard else " (a preference, not met)"
    return f"{where}: {rule.title}{how}.{measured} {rule.statement}"
