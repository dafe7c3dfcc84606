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
from seasonplan.planner.prices import PricedYear
from seasonplan.planner.run import Found, best_plan
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
    """The reason of each change; what is not the news itself is weighed against every other year.

    Busy calendars are left aside: they change hours, hardly ever blocks.
    """
    accepted = Accepted(
        proposal.before.blocks, proposal.today, sessions=proposal.before.sessions,
        homes=proposal.before.sessions,
    )  # fmt: skip
    priced: PricedYear | None = None
    searched = False
    for change in proposal.blocks:
        block = change.before
        if change.by is not None:
            yield Because(change, by=change.by)
        elif block is None or not block.kind.chosen or block.span.first < proposal.today:
            yield Because(change)
        else:
            if not searched:
                found = best_plan(
                    proposal.year_as_tested, book=book, accepted=accepted, confirm=False
                )
                blocks, searched = proposal.after.blocks, True
                priced = PricedYear(found.search, blocks) if isinstance(found, Found) else None
            yield _by_keeping(change, block, proposal, priced, accepted=accepted, book=book)


def _by_keeping(
    change: ProposedChange, block: Block, proposal: Proposal, priced: PricedYear | None, *,
    accepted: Accepted, book: RuleBook,
) -> Because:  # fmt: skip
    worth = priced.with_block(block) if priced is not None and priced.fits else None
    if worth is not None:
        return Because(change, points=-worth)
    year = _with_block(proposal.year_as_tested, block, today=proposal.today)
    if year is None:
        return Because(change)
    kept = best_plan(year, book=book, accepted=accepted, confirm=False)
    if isinstance(kept, Found):  # on days that no block of ours begins or ends on
        search = kept.search
        score = fill(search.weeks, search.candidates, kept.blocks, accepted=accepted).score
        return Because(change, points=proposal.after.score.points - score.points)
    parties = conflict_parties(year, book=book, accepted=accepted)
    return Because(change, parties=tuple(p for p in parties if p.name != KEPT))


def _with_block(year: Year, block: Block, *, today: date) -> Year | None:
    """The year with the block fixed as it was; None where it is over or begun."""
    if block.span.first < today or any(pin.span.meet(block.span) for pin in year.pins):
        return None
    span = Span(block.span.first, min(block.span.after, year.span.after))
    pin = Pin(
        name=block.id, id=KEPT, kind=block.kind, first=span.first, last=span.last,
        emphasis=block.emphasis,
    )  # fmt: skip
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
