"""Why there is no plan, in the climber's words, and the ways out."""

from __future__ import annotations

from seasonplan.explain.amounts import ends_text
from seasonplan.explain.words import entry_name, good_days_text, join, names_itself, span_text
from seasonplan.planner.conflict import BEFORE, Conflict, Party, WayOut
from seasonplan.rules.statements import RuleBook
from seasonplan.year import Dated, Pin, Year


def party_name(party: Party, year: Year, *, book: RuleBook) -> str:
    """A rule by its title, an entry by the climber's own name for it."""
    if party.is_rule:
        return f"the rule “{book[party.name].title}”"
    if party.name == BEFORE:
        return "what came before the year"
    entry = year.entry(party.name)
    dates = f" ({span_text(entry.span)})" if isinstance(entry, Dated) else ""
    what = f"fixed {entry.kind.value} block" if isinstance(entry, Pin) else ""
    name = "" if names_itself(entry) else entry_name(year, party.name)
    return f"your {' '.join(filter(None, (what, name)))}{dates}"


def sentences(conflict: Conflict, year: Year, *, book: RuleBook) -> list[str]:
    """What cannot all hold, then the ways out, best first."""
    if not conflict.parties:
        return ["No plan exists even with every rule off and nothing entered: report this, please."]
    names = [party_name(party, year, book=book) for party in conflict.parties]
    if len(names) == 1:
        head = f"There is no plan: {names[0]} alone cannot be kept."
    else:
        head = f"There is no plan, because these cannot all hold: {join(names)}."
    if not conflict.ways:
        return [
            head,
            "No single change helps: there is more than one conflict. Change one of these, "
            "then plan again to see the next.",
        ]
    return [head, "Any one of these changes makes a plan possible, best first:"] + [
        f"- {way_text(way, year, book=book)}" for way in conflict.ways
    ]


def way_text(way: WayOut, year: Year, *, book: RuleBook) -> str:
    name = party_name(way.party, year, book=book)
    good = "" if way.good_days is None else f" ({good_days_text(way.good_days)} then)"
    if way.limit is not None:
        rule = book[way.party.name]
        old, new = ends_text(rule.limit, rule), ends_text(way.limit, rule)
        return f"change {name}: {new} instead of {old}{good}"
    if way.span is not None:
        return f"change {name} to {span_text(way.span)}{good}"
    return f"{'switch off' if way.party.is_rule else 'give up'} {name}{good}"
