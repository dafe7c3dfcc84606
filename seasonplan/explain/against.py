"""What a change of sessions does against hard rules: told at once, though the climber may.

Judges nothing: the checker found it, and calls what was wished a preference not met.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from seasonplan.explain.amounts import amount_text
from seasonplan.explain.words import span_text
from seasonplan.plan import Session
from seasonplan.recipes import Recipe
from seasonplan.rules.findings import Finding
from seasonplan.rules.statements import RuleBook

AMOUNT = "session-dose"  # how much a week holds is the climber's: they see what they left out
COUNTED = {"session-rest-day", "session-progression", "lead-in-volume", "session-rock"}  # by weeks
MOST_NAMED = 3


def since_lines(
    before: Sequence[Finding], now: Sequence[Finding], sessions: Sequence[Session], *,
    book: RuleBook, recipes: Mapping[str, Recipe],
) -> Iterator[str]:  # fmt: skip
    """A sentence for each hard rule on sessions that a change goes against, by day."""
    known = set(map(_key, before))
    held = {one.id: one for one in sessions}
    for finding in now:
        if finding.code != AMOUNT and book[finding.code].hard and _key(finding) not in known:
            named = [held[one] for one in finding.sessions if one in held]
            yield _sentence(finding, [_name(one, recipes) for one in named], book)


def _key(finding: Finding) -> tuple[object, ...]:
    return finding.code, finding.span, finding.about, finding.sessions


def _name(session: Session, recipes: Mapping[str, Recipe]) -> str:
    recipe = recipes.get(session.recipe)
    return f"“{recipe.name if recipe else session.recipe}”"


def _sentence(finding: Finding, names: Sequence[str], book: RuleBook) -> str:
    """Such as "“Hangs, few and long”, Fri 17 Sep 2027: against “Fresh for the days that count”
    (hard on the eve of a project day or trip)." """
    rule = book[finding.code]
    some = list(dict.fromkeys(names))[:MOST_NAMED] if len(finding.sessions) <= MOST_NAMED else []
    where = f"{' and '.join(some)}, {span_text(finding.span)}" if some else span_text(finding.span)
    why = _why(finding, amount_text(finding, rule))
    return f"{where}: against “{rule.title}”{f' ({why})' if why else ''}."


def _why(finding: Finding, amount: str) -> str:
    about = finding.about.replace("_", " ")
    if finding.code == "session-spacing":
        return f"{about}: {amount}"
    if finding.code == "session-order":  # its title says it
        return ""
    return amount or about if finding.code in COUNTED else about or amount
