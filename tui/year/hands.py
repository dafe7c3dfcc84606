"""Which edit a key or a drag on a mark means. Knows no widget and changes nothing."""

from __future__ import annotations

from datetime import date, timedelta

from seasonplan.days import Span
from seasonplan.edits import (
    AnEdit,
    ChangeEntry,
    ChangeKind,
    Draft,
    EditRefused,
    JoinBlocks,
    MoveBlock,
    PinBlock,
    RemoveEntry,
    ResizeBlock,
    SplitBlock,
    UnpinBlock,
)
from seasonplan.plan import Block
from seasonplan.vocabulary import Kind
from seasonplan.year import Absence, Pin, Trip, Window
from tui.year.lanes import Lane, Mark

CHANGE_ENTRY = "Its days are in its entry."


def is_ahead(mark: Mark, action: str, today: date) -> bool:
    """Whether so much of a mark is to come that a key still changes it: what is over stays."""
    first_day_moves = action in ("move", "hold")
    edge = mark.span.first if first_day_moves else mark.span.last
    return mark.lane is Lane.AWAY or (mark.lane is Lane.PLAN and edge >= today)


def put(mark: Mark, span: Span, *, draft: Draft, block: Block | None) -> AnEdit:
    """The edit that gives a mark other days: a move where its length stays, else a resize."""
    if _planned(mark, draft):
        if span.length == mark.span.length:
            return MoveBlock(block=mark.key, days=(span.first - mark.span.first).days)
        return ResizeBlock(
            block=mark.key,
            first=span.first if span.first != mark.span.first else None,
            last=span.last if span.last != mark.span.last else None,
        )
    entry = draft.year.entry(_entry_of(mark, block))
    if isinstance(entry, (Pin, Trip, Absence, Window)):
        return ChangeEntry(id=entry.id, values={"first": span.first, "last": span.last})
    raise EditRefused(f"The days of {mark.name} cannot be pushed.", CHANGE_ENTRY)


def moved(mark: Mark, days: int, *, draft: Draft, block: Block | None) -> AnEdit:
    """The edit that moves a mark by some days."""
    return put(mark, mark.span.shifted(days), draft=draft, block=block)


def stretched(
    mark: Mark, days: int, *, at_start: bool, draft: Draft, block: Block | None
) -> AnEdit:
    """The edit that moves one end of a mark by some days; below 0 is earlier."""
    change = timedelta(days=days)
    first = mark.span.first + (change if at_start else timedelta(0))
    after = mark.span.after + (timedelta(0) if at_start else change)
    if after <= first:
        raise EditRefused("No day would be left of it.", "Remove it, or let it be freed.")
    return put(mark, Span(first, after), draft=draft, block=block)


def pinned(mark: Mark, *, draft: Draft, block: Block | None) -> AnEdit:
    """The edit that fixes a block, or frees one that is fixed."""
    if not mark.pinned:
        return PinBlock(block=_block_only(mark, draft))
    if _planned(mark, draft):
        return UnpinBlock(block=mark.key)
    return RemoveEntry(id=_entry_of(mark, block))


def removed(mark: Mark, *, draft: Draft, block: Block | None) -> AnEdit:
    """The edit that takes a mark out: its entry, or what fixes it.

    The days of a block that the planner chose go to a neighbour.
    """
    if mark.lane is Lane.PLAN and mark.pinned:
        return pinned(mark, draft=draft, block=block)
    entry = draft.year.entry(_entry_of(mark, block))
    return _given_away(mark, draft) if entry is None else RemoveEntry(id=entry.id)


def _given_away(mark: Mark, draft: Draft) -> AnEdit:
    """The edit that gives a block's days to the block beside it, rather not to a rest."""
    name = _block_only(mark, draft)
    beside = [
        block
        for block in draft.blocks
        if block.kind.chosen
        and (mark.span.first == block.span.after or mark.span.after == block.span.first)
    ]
    if not beside:
        raise EditRefused(
            f"No block stands beside {name} that could take its days.", "Change its kind (k)."
        )
    taker = max(beside, key=lambda block: (block.kind is not Kind.REST, block.span.length))
    if taker.span.after == mark.span.first:
        return ResizeBlock(block=taker.id, last=mark.span.last)
    return ResizeBlock(block=taker.id, first=mark.span.first)


def joined(mark: Mark, after: Mark | None, *, draft: Draft) -> AnEdit:
    """The edit that makes one block of a mark and the one after it."""
    if after is None:
        raise EditRefused("There is no block after it.", "Point at the earlier of the two.")
    return JoinBlocks(first=_block_only(mark, draft), second=_block_only(after, draft))


def other_kind(mark: Mark, kind: Kind, *, draft: Draft) -> AnEdit:
    return ChangeKind(block=_block_only(mark, draft), kind=kind)


def split(mark: Mark, kind: Kind, *, draft: Draft, week_begins: int) -> AnEdit:
    """The edit that cuts a block at the start of the week nearest its middle."""
    middle = mark.span.first + timedelta(days=mark.span.length // 2)
    back = (middle.weekday() - week_begins) % 7
    day = middle - timedelta(days=back)
    if not mark.span.first < day <= mark.span.last:
        day = middle
    return SplitBlock(block=_block_only(mark, draft), day=day, kind=kind)


def _planned(mark: Mark, draft: Draft) -> bool:
    """Whether a mark is a block."""
    return mark.lane is Lane.PLAN and any(block.id == mark.key for block in draft.blocks)


def _block_only(mark: Mark, draft: Draft) -> str:
    if mark.lane is not Lane.PLAN:
        raise EditRefused("This works on blocks of the plan.", "Go to the lane “plan”.")
    return mark.key


def _entry_of(mark: Mark, block: Block | None) -> str:
    if mark.lane is Lane.PLAN:
        return (block.entry if block else None) or ""
    return mark.key
