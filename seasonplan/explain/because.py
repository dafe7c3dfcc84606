"""Why a proposal changes a block: for which news, and what keeping the block as it was would do."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from datetime import date

from seasonplan.days import Span
from seasonplan.explain.causes import Causes, CausingNews, ShareOfChange
from seasonplan.explain.news import Years, cause_text
from seasonplan.explain.noplan import party_name
from seasonplan.explain.words import join
from seasonplan.explain.worth_told import all_told
from seasonplan.plan import Block
from seasonplan.planner.accepted import Accepted
from seasonplan.planner.conflict import Party, conflict_parties
from seasonplan.planner.fill import fill
from seasonplan.planner.prices import PricedYear
from seasonplan.planner.run import Found, best_plan
from seasonplan.planning.proposal import Proposal, ProposedChange
from seasonplan.rules.statements import RuleBook
from seasonplan.year import Pin, Year

KEPT = "kept-as-it-was"
SMALL_POINTS = 0.05


@dataclass(frozen=True, slots=True)
class Because:
    """One change, the news it hangs on, and what forbids or speaks against keeping the block.

    `parties` no longer let it stand, or it would cost `points`; neither: nothing was to be kept.
    """

    change: ProposedChange
    cause: CausingNews
    parties: tuple[Party, ...] = ()
    points: float | None = None


def reasons(proposal: Proposal, *, book: RuleBook) -> Iterator[Because]:
    """The reason of each change: years without some of the news, and with the block kept.

    What keeping a block would do is told without busy calendars: they change hours, hardly ever
    blocks.
    """
    causes = Causes(proposal)
    accepted = Accepted.of(proposal.before, proposal.today, done=proposal.after.done)
    priced: PricedYear | None = None
    searched = False
    for change in proposal.blocks:
        block, cause = change.before, causes.of(change)
        news = cause.part is ShareOfChange.ITSELF
        if block is None or news or not block.kind.chosen or block.span.first < proposal.today:
            yield Because(change, cause)
            continue
        if not searched:
            found = best_plan(proposal.year_as_tested, book=book, accepted=accepted, confirm=False)
            blocks, searched = proposal.after.blocks, True
            priced = PricedYear(found.search, blocks) if isinstance(found, Found) else None
        kept = _by_keeping(block, proposal, priced, accepted=accepted, book=book)
        yield Because(change, cause, *kept)


def _by_keeping(
    block: Block, proposal: Proposal, priced: PricedYear | None, *,
    accepted: Accepted, book: RuleBook,
) -> tuple[tuple[Party, ...], float | None]:  # fmt: skip
    """What forbids keeping a block, or the points that it costs."""
    worth = priced.with_block(block) if priced is not None and priced.fits else None
    if worth is not None:
        return (), -worth
    year = _with_block(proposal.year_as_tested, block, today=proposal.today)
    if year is None:
        return (), None
    kept = best_plan(year, book=book, accepted=accepted, confirm=False)
    if isinstance(kept, Found):  # on days that no block of ours begins or ends on
        search = kept.search
        score = fill(search.weeks, search.candidates, kept.blocks, accepted=accepted).score
        return (), proposal.after.score.points - score.points
    parties = conflict_parties(year, book=book, accepted=accepted)
    return tuple(party for party in parties if party.name != KEPT), None


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


def kept_text(because: Because, years: Years, *, book: RuleBook, many: bool = False) -> str:
    """What keeping a block would do, in a sentence; empty where its news say enough."""
    it, them = ("They", "them") if many else ("It", "it")
    if because.parties:
        names = [party_name(party, years.new, book=book) for party in because.parties]
        return f"{it} could not stay because of {join(names)}."
    if because.points is None:
        if because.cause.pieces:
            return ""
        fill, go = ("fill", "go") if many else ("fills", "goes")
        return f"{it} {fill} days that opened, or {go} on from what was done."
    if because.points > SMALL_POINTS:
        each = " for each" if many else ""
        return f"Keeping {them} would cost {all_told(because.points)}{each}."
    return f"Keeping {them} would be about as good; the days around {them} fit better so."


def lines(proposal: Proposal, given: Iterable[Because], *, book: RuleBook) -> list[str]:
    """For which news blocks change, then what keeping them would do: each reason once."""
    years = Years(proposal.old_year, proposal.year)
    order = sorted(given, key=lambda one: one.change.stands.span.first)
    more = [one for one in order if not _said(one)]
    return [
        *_grouped(order, lambda one, many: cause_text(one.cause, years, book=book, many=many)),
        *_grouped(more, lambda one, many: kept_text(one, years, book=book, many=many)),
    ]


def _said(because: Because) -> bool:
    """Whether what forbids keeping the block is nothing but the news it changes for."""
    news = {piece.name for piece in because.cause.pieces}
    return bool(because.parties) and {party.name for party in because.parties} <= news


def _grouped(given: Iterable[Because], text: Callable[[Because, bool], str]) -> Iterator[str]:
    """Each sentence once, after all the blocks that it is about, in order of their days."""
    groups: dict[str, list[Because]] = {}
    for one in given:
        groups.setdefault(text(one, False), []).append(one)
    for said, group in groups.items():
        if said:
            names = join([one.change.stands.id for one in group])
            yield f"{names}: {text(group[0], len(group) > 1)}"
