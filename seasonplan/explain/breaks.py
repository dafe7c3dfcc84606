"""A finding of the checker as one sentence."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from seasonplan.days import Span
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
    return f"{_where((finding,))}: {_what(finding, book)}"


def in_turn(found: Iterable[Finding], *, book: RuleBook) -> Iterator[str]:
    """Each finding as a sentence; what its rule asks stands with the first of that rule alone."""
    told: set[str] = set()
    for finding in found:
        again = finding.code in told and finding.code in book
        yield f"{_where((finding,))}: {(_again if again else _what)(finding, book)}"
        told.add(finding.code)


def together(found: Iterable[Finding], *, book: RuleBook) -> list[str]:
    """A sentence for each thing that is wrong, however often it is."""
    alike: dict[str, list[Finding]] = {}
    for finding in found:
        alike.setdefault(_what(finding, book), []).append(finding)
    return [
        f"{_where(each)}{f', {len(each)} times' if len(each) > 1 else ''}: {what}"
        for what, each in alike.items()
    ]


def _where(found: Sequence[Finding]) -> str:
    """The days from the first to the last, and every block."""
    span = Span(min(one.span.first for one in found), max(one.span.after for one in found))
    blocks = dict.fromkeys(block for one in found for block in one.blocks)
    return span_text(span) + (f" ({', '.join(blocks)})" if blocks else "")


def _what(finding: Finding, book: RuleBook) -> str:
    if finding.code in _INTEGRITY:
        about = f" ({finding.about})" if finding.about else ""
        return f"{_INTEGRITY[finding.code]}{about}. {MAKE_ANEW}"
    rule = book[finding.code]
    amount = amount_text(finding, rule)
    measured = f"found {amount}. " if amount else "not kept. "
    how = "" if rule.hard else " (a preference, not met)"
    return f"{measured}{rule.statement}{how}"


def _again(finding: Finding, book: RuleBook) -> str:
    """The figure, and the rule by its title alone."""
    amount = amount_text(finding, book[finding.code])
    return f"{f'found {amount}, ' if amount else ''}against “{book[finding.code].title}”, too."
