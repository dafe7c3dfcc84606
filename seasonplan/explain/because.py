"""Why a proposal changes a block: the news, or what keeping the block as it was would do."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date

from seasonplan.days import Span
from seasonplan.explain.noplan import party_name
from seasonplan.explain.words import entry_name, join, number_text
from seasonplan.plan import Block
from seasonplan.planner.accepted import Accepted
from seasonplan.planner.conflict import Party, conflict_parties
from seasonplan.planner.fill import fill
from seasonplan.planner.run import Found, Impossible, best_plan
from seasonplan.proposal import Proposal, ProposedChange
from seasonplan.rules import RuleBook
from seasonplan.year import Pin, Year

KEPT = "kept-as-it-was"
SMALL_POINTS = 0.05


@dataclass(frozen=True, slots=True)
class Because:
    """One change and its reason: `by` the news, or the `parties` that no longer let the block
    stand, or the `points` it would cost to keep it; none of these: it fills days that opened.
    """

    change: ProposedChange
    by: str | None = None
    parties: tuple[Party, ...] = ()
    points: float | None = None


def reasons(proposal: Proposal, *, book: RuleBook) -> Iterator[Because]:
    """The reason of each change; what is not the news itself is planned again to see."""
    for change in proposal.blocks:
        if change.by is not None:
            yield Because(change, by=change.by)
        elif change.before is None or not change.before.kind.chosen:
            yield Because(change)
        else:
            yield _by_keeping(change, change.before, proposal, book)


def _by_keeping(
    change: ProposedChange, block: Block, proposal: Proposal, book: RuleBook
) -> Because:
    accepted = Accepted(proposal.before.blocks, proposal.today)
    year = _with_block(proposal.year, block, today=proposal.today)
    if year is None:
        return Because(change)
    found = best_plan(year, book=book, accepted=accepted)
    if isinstance(found, Impossible):
        parties = conflict_parties(year, book=book, accepted=accepted)
        return Because(change, parties=tuple(p for p in parties if p.name != KEPT))
    assert isinstance(found, Found)
    return Because(
        change,
        points=proposal.after.score.points
        - fill(
            found.search.weeks, found.search.candidates, found.blocks, accepted=accepted
        ).score.points,
    )


def _with_block(year: Year, block: Block, *, today: date) -> Year | None:
    """The year with the block fixed as it was; None where it is over or begun."""
    if block.span.first < today or any(pin.span.meet(block.span) for pin in year.pins):
        return None
    span = Span(block.span.first, min(block.span.after, year.span.after))
    pin = Pin(name=block.id, id=KEPT, kind=block.kind, first=span.first, last=span.last)
    return year.with_fields(pins=(*year.pins, pin))


def sentence(because: Because, year: Year, *, book: RuleBook, many: bool = False) -> str:
    """The reason in words, to stand behind what changes; `many` things change for it."""
    it, them = ("They", "them") if many else ("It", "it")
    if because.by is not None:
        news = "They all change for the news" if many else "It is the news"
        return f"{news} itself: {entry_name(year, because.by)}."
    if because.parties:
        names = [party_name(party, year, book=book) for party in because.parties]
        return f"{it} could not stay because of {join(names)}."
    if because.points is None:
        fill, go = ("fill", "go") if many else ("fills", "goes")
        return f"{it} {fill} days that opened, or {go} on from what was done."
    if because.points > SMALL_POINTS:
        each = " each" if many else ""
        return f"Keeping {them} would cost {number_text(because.points)} points{each}."
    return f"Keeping {them} would be about as good; the days around {them} fit better so."


def lines(given: Iterable[Because], year: Year, *, book: RuleBook) -> list[str]:
    """Every reason once, with all the blocks that change for it, in order of their days."""
    groups: dict[str, list[Because]] = {}
    for one in sorted(given, key=lambda one: one.change.stands.span.first):
        groups.setdefault(sentence(one, year, book=book), []).append(one)
    return [
        f"{join([one.change.stands.id for one in group])}: "
        f"{sentence(group[0], year, book=book, many=len(group) > 1)}"
        for group in groups.values()
    ]
