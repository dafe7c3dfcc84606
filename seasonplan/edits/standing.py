"""How a block stands now: as planned, or as fixed since. And what is in the way of its days."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from seasonplan.body.almanac import almanac_of
from seasonplan.days import Span, day_text, span_text
from seasonplan.edits.draft import Draft, EditRefused
from seasonplan.edits.entries import known
from seasonplan.identity import pin_id
from seasonplan.plan import Block
from seasonplan.vocabulary import Kind
from seasonplan.year import Absence, Injury, Pin, Trip, Year

NEAR = 28  # days from a wished place within which another one is as good as meant


@dataclass(frozen=True, slots=True)
class StandingBlock:
    """A block with the pin that fixes it, or the entry that gives it.

    `span` and `kind` are those the climber wishes by now, which a plan made earlier may not have.
    """

    block: Block
    span: Span
    kind: Kind
    pin: Pin | None = None
    given: Trip | Absence | Injury | None = None

    @property
    def entry_id(self) -> str:
        """The entry that holds its days: there already, or to be made."""
        entry = self.pin or self.given
        return entry.id if entry else pin_id(self.block.id)


def standing(draft: Draft, block_id: str) -> StandingBlock:
    """A block of the draft as it stands; refused where there is none."""
    if draft.plan is None:
        raise EditRefused("There is no plan yet, so no block.", "Run `seasonplan plan` first.")
    block = next((block for block in draft.blocks if block.id == block_id), None)
    if block is None:
        raise _no_block(draft, block_id)
    return _stands(block, draft.year)


def _no_block(draft: Draft, block_id: str) -> EditRefused:
    entry = draft.year.entry(block_id)
    if entry is None:
        names = [block.id for block in draft.blocks]
        return EditRefused(f"The plan has no block {block_id!r}.", known(block_id, names))
    return EditRefused(
        f"{block_id} is your entry “{entry.name}”, no block of the plan.",
        f"Change the entry: `edit change {block_id} …`, such as its first and last day.",
    )


def chosen(draft: Draft, block_id: str, *, to: str) -> StandingBlock:
    """A block that the planner chose or the climber fixed; refused for given ones."""
    found = standing(draft, block_id)
    if found.given is not None:
        raise EditRefused(
            f"{block_id} is given by your entry “{found.given.name}”; one cannot {to} it.",
            f"Change the entry: `edit change {found.given.id} …`, or `edit remove`.",
        )
    return found


def obstacle(year: Year, span: Span, *, but: tuple[str, ...]) -> str | None:
    """What is in the way of a fixed block on some days; `but` are its own entries."""
    if span.first < year.span.first:
        return f"your year begins on {day_text(year.span.first)}"
    if span.after > year.span.after:
        return f"your year ends on {day_text(year.span.last)}"
    return next(
        (
            f"{name} is in the way, {span_text(taken)}"
            for entry, name, taken in _taken(year)
            if entry not in but and taken.meet(span)
        ),
        None,
    )


def free_run(year: Year, span: Span, *, but: tuple[str, ...]) -> Span | None:
    """The days around and inside a span that are free; None if its middle is taken."""
    others = [taken for entry, _, taken in _taken(year) if entry not in but]
    if any(taken.meet(span) for taken in others):
        return None
    before = [taken.after for taken in others if taken.after <= span.first]
    after = [taken.first for taken in others if taken.first >= span.after]
    return Span(max(before, default=year.span.first), min(after, default=year.span.after))


def nearest_move(year: Year, span: Span, days: int, *, but: tuple[str, ...]) -> int | None:
    """The move nearest to a wished one that finds free days; near it, the same way first."""

    def far(move: int) -> tuple[bool, int, int]:
        away = abs(move - days)
        return (move > 0) is not (days > 0) or away > NEAR, away, abs(move)

    moves = ((first - span.first).days for first in year.span.days() if first != span.first)
    return next(
        (move for move in sorted(moves, key=far)
         if obstacle(year, span.shifted(move), but=but) is None), None,
    )  # fmt: skip


def _taken(year: Year) -> Iterator[tuple[str, str, Span]]:
    """Entry, name and days of everything that no fixed block may touch."""
    for pin in year.pins:
        yield pin.id, f"your fixed block “{pin.name}”", pin.span
    for given in almanac_of(year).givens:
        entry = year.entry(given.entry)
        yield given.entry, f"“{entry.name if entry else given.entry}”", given.span


def _stands(block: Block, year: Year) -> StandingBlock:
    pins = {pin.id: pin for pin in year.pins}
    pin = pins.get(block.entry or "") or pins.get(pin_id(block.id))
    if pin is not None:
        return StandingBlock(block, pin.span, pin.kind, pin=pin)
    if block.kind.chosen:
        return StandingBlock(block, block.span, block.kind)
    entry = year.entry(block.entry or "")
    if isinstance(entry, (Trip, Absence)):
        return StandingBlock(block, entry.span, block.kind, given=entry)
    if isinstance(entry, Injury):
        return StandingBlock(block, block.span, block.kind, given=entry)
    raise EditRefused(
        f"What gave the block {block.id} is gone from the year.", "Run `seasonplan replan` first."
    )
