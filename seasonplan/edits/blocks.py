"""Moves, resizes, splits, joins and fixes blocks. A moved block is a wish: a pin in the year."""

from __future__ import annotations

from datetime import date, timedelta

from seasonplan.days import ONE_DAY, Span, count_text, day_text, length_text, span_text
from seasonplan.edits import paper
from seasonplan.edits.draft import Draft, EditRefused
from seasonplan.edits.entries import free_id, place_of
from seasonplan.edits.kinds import (
    ChangeKind,
    JoinBlocks,
    MoveBlock,
    PinBlock,
    ResizeBlock,
    SplitBlock,
    UnpinBlock,
)
from seasonplan.edits.past import refuse_if_over, refuse_other_past
from seasonplan.edits.standing import (
    NEAR,
    StandingBlock,
    chosen,
    free_run,
    nearest_move,
    obstacle,
    standing,
)
from seasonplan.identity import pin_id
from seasonplan.rules.statements import book_of
from seasonplan.vocabulary import CHOSEN, Emphasis, Kind
from seasonplan.year import Injury


def move(draft: Draft, edit: MoveBlock) -> str:
    """The text with a block some days later or, below 0, earlier."""
    stands = _movable(draft, edit.block)
    if edit.days == 0:
        raise EditRefused("A move by 0 days changes nothing.", "To keep it there, pin the block.")
    span = _shifted(stands, edit.days)
    own = (stands.entry_id,)
    in_the_way = obstacle(draft.year, span, but=own)
    if in_the_way is not None:
        other = nearest_move(draft.year, stands.span, edit.days, but=own)
        raise EditRefused(
            f"{span_text(span)} is not free: {in_the_way}.",
            _other_place(stands.span, other, wished=edit.days),
        )
    return _stands_on(draft, stands, span)


def resize(draft: Draft, edit: ResizeBlock) -> str:
    """The text with another first or last day of a block."""
    stands = _movable(draft, edit.block)
    first, last = edit.first or stands.span.first, edit.last or stands.span.last
    if last == date.max:  # the last day that Python knows has none after it
        raise EditRefused(f"{last} is out of all bounds.", "Say an earlier day.")
    if last < first:
        raise EditRefused(
            f"A block from {day_text(first)} to {day_text(last)} ends before it begins.",
            f"It now stands from {span_text(stands.span)}.",
        )
    span = Span.through(first, last)
    if span == stands.span:
        raise EditRefused("It stands on these days already.", "To keep it there, pin the block.")
    own = (stands.entry_id,)
    in_the_way = obstacle(draft.year, span, but=own)
    if in_the_way is not None:
        free = free_run(draft.year, stands.span, but=own)
        raise EditRefused(
            f"{span_text(span)} is not free: {in_the_way}.",
            _would_work(free) if free else "Move it first.",
        )
    return _stands_on(draft, stands, span)


def _would_work(free: Span) -> str:
    if free.length == 1:
        return f"{day_text(free.first)} alone would work."
    return f"Days from {span_text(free)} would work."


def split(draft: Draft, edit: SplitBlock) -> str:
    """The text with a block in two parts, both fixed; the second is of another kind."""
    stands = chosen(draft, edit.block, to="split")
    span = stands.span
    if not span.first < edit.day <= span.last:
        raise EditRefused(
            f"{day_text(edit.day)} does not lie inside {edit.block}.",
            f"A day from {day_text(span.first + ONE_DAY)} to {day_text(span.last)} would work."
            if span.length > 1
            else "A block of one day cannot be split.",
        )
    _wanted_kind(edit.kind)
    if edit.kind is stands.kind and book_of(draft.year).active("order"):
        others = ", ".join(kind for kind in CHOSEN if kind is not stands.kind)
        raise EditRefused(
            f"Two {edit.kind} blocks may not follow each other: that is one block.",
            f"Another kind would work: {others}.",
        )
    parts = ((Span(span.first, edit.day), stands.kind), (Span(edit.day, span.after), edit.kind))
    refuse_other_past(draft, edit.block, was=[(span, stands.kind)], now=parts)
    text = _fixed(draft, stands, Span(span.first, edit.day), stands.kind)
    rest = free_id(draft.year, f"{pin_id(edit.block)}-part-2")
    return _new_pin(text, rest, f"{edit.block}, part 2", Span(edit.day, span.after), edit.kind)


def join(draft: Draft, edit: JoinBlocks) -> str:
    """The text with two neighbours as one fixed block of the first one's kind."""
    one, other = (chosen(draft, name, to="join") for name in (edit.first, edit.second))
    early, late = sorted((one, other), key=lambda stands: stands.span)
    if early.span.after != late.span.first:
        raise EditRefused(
            f"{edit.first} and {edit.second} are not neighbours.",
            _neighbours(draft, one) or f"No block that was chosen stands beside {edit.first}.",
        )
    span = Span(early.span.first, late.span.after)
    was = [(early.span, early.kind), (late.span, late.kind)]
    refuse_other_past(draft, edit.second, was=was, now=[(span, one.kind)])
    text = _fixed(draft, one, span, one.kind, also=(other.entry_id,))
    return paper.drop(text, place_of(draft.year, other.pin.id)) if other.pin else text


def change_kind(draft: Draft, edit: ChangeKind) -> str:
    """The text with a block fixed on its days as one of another kind."""
    stands = chosen(draft, edit.block, to="change the kind of")
    _wanted_kind(edit.kind)
    if edit.kind is stands.kind:
        raise EditRefused(
            f"{edit.block} is a {edit.kind} block already.", "To keep it so, pin the block."
        )
    span = stands.span
    refuse_other_past(draft, edit.block, was=[(span, stands.kind)], now=[(span, edit.kind)])
    return _fixed(draft, stands, span, edit.kind)


def pin(draft: Draft, edit: PinBlock) -> str:
    """The text with a block fixed as it stands."""
    stands = chosen(draft, edit.block, to="fix")
    if stands.pin is not None:
        raise EditRefused(
            f"{edit.block} is fixed already, {span_text(stands.span)}.",
            "Move, resize or unpin it.",
        )
    refuse_if_over(draft, edit.block, stands.span)
    return _fixed(draft, stands, stands.span, stands.kind)


def unpin(draft: Draft, edit: UnpinBlock) -> str:
    """The text without the pin of a block."""
    stands = chosen(draft, edit.block, to="free")
    if stands.pin is None:
        pins = {entry.id for entry in draft.year.pins}
        fixed = [block.id for block in draft.blocks if {block.entry, pin_id(block.id)} & pins]
        raise EditRefused(
            f"{edit.block} is not fixed.",
            f"Fixed are: {', '.join(fixed)}." if fixed else "No block is.",
        )
    refuse_if_over(draft, edit.block, stands.span)
    return paper.drop(draft.text, place_of(draft.year, stands.pin.id))


# --- what they share ----------------------------------------------------------------------------


def _movable(draft: Draft, block_id: str) -> StandingBlock:
    stands = standing(draft, block_id)
    if isinstance(stands.given, Injury):
        raise EditRefused(
            f"The dates of “{stands.given.name}” are yours and your clinician's.",
            f"Say the new ones: `edit change {stands.given.id} easy_from=… full_from=…`.",
        )
    return stands


def _shifted(stands: StandingBlock, days: int) -> Span:
    try:
        return stands.span.shifted(days)
    except OverflowError:
        raise EditRefused(
            f"{count_text(days, 'day')} is out of all bounds.", "Say fewer days."
        ) from None


def _stands_on(draft: Draft, stands: StandingBlock, span: Span) -> str:
    """The text with the entry of a block, or a pin for it, on other days."""
    if stands.given is None:
        kind = stands.kind
        was, now = [(stands.span, kind)], [(span, kind)]
        refuse_other_past(draft, stands.block.id, was=was, now=now)
        return _fixed(draft, stands, span, kind)
    place = place_of(draft.year, stands.given.id)
    return paper.put_all(draft.text, {(*place, "first"): span.first, (*place, "last"): span.last})


def _fixed(
    draft: Draft, stands: StandingBlock, span: Span, kind: Kind, *, also: tuple[str, ...] = ()
) -> str:
    """The text with the pin of a block, made or changed; `also` are entries that make way."""
    in_the_way = obstacle(draft.year, span, but=(stands.entry_id, *also))
    if in_the_way is not None:  # the year has given its days away since it was planned
        raise EditRefused(
            f"The days of {stands.block.id} are no longer free: {in_the_way}.",
            "Run `seasonplan replan` first.",
        )
    if stands.pin is None:
        own = free_id(draft.year, pin_id(stands.block.id))
        kept = stands.block.emphasis if kind is stands.kind else Emphasis.NONE
        return _new_pin(draft.text, own, stands.block.id, span, kind, emphasis=kept)
    place, text = place_of(draft.year, stands.pin.id), draft.text
    if stands.pin.emphasis and kind is not stands.pin.kind:
        text = paper.drop(text, (*place, "emphasis"))
    said = {"kind": kind.value, "first": span.first, "last": span.last}
    return paper.put_all(text, {(*place, key): value for key, value in said.items()})


def _new_pin(
    text: str, own: str, name: str, span: Span, kind: Kind, *, emphasis: Emphasis = Emphasis.NONE
) -> str:
    """The text with a new pin. Of a season no emphasis is fixed: its light weeks hang on it."""
    values = {"name": name, "id": own, "kind": kind.value, "first": span.first, "last": span.last}
    if emphasis and kind in (Kind.BASE, Kind.STRENGTH):
        values["emphasis"] = emphasis.value
    return paper.add(text, "pin", values)


def _wanted_kind(kind: Kind) -> None:
    if not kind.chosen:
        raise EditRefused(
            f"A block cannot be made {kind}: that is given, not chosen.",
            f"Enter it with `edit add`, or choose one of {', '.join(CHOSEN)}.",
        )


def _other_place(span: Span, move: int | None, *, wished: int) -> str:
    """Where a block could go that cannot go where it is wished."""
    if move is None:
        return "No place in the year is free for it; make it shorter first."
    way = f"{length_text(abs(move))} {'later' if move > 0 else 'earlier'}"
    if (move > 0) is (wished > 0) and abs(move - wished) <= NEAR:
        return f"Moving it {way} would work."
    return f"The nearest free place is {way}, from {day_text(span.shifted(move).first)}."


def _neighbours(draft: Draft, stands: StandingBlock) -> str:
    """Which joins of a block would work."""
    found = [
        block.id
        for block in draft.blocks
        if block.kind.chosen
        and (block.span.after == stands.span.first or block.span.first == stands.span.after)
    ]
    return f"Its neighbours would work: {', '.join(found)}." if found else ""


def resized_by(draft: Draft, block_id: str, days: int, *, at_start: bool) -> ResizeBlock:
    """The resize that makes a block some days longer or, below 0, shorter at one end."""
    span = _movable(draft, block_id).span
    if span.length + days < 1:
        raise EditRefused(
            f"{block_id} has only {count_text(span.length, 'day')}.",
            f"At most {count_text(span.length - 1, 'day')} fewer."
            if span.length > 1
            else "Another kind would work, or to join it with a neighbour.",
        )
    change = timedelta(days=days)
    first: date | None = span.first - change if at_start else None
    last = None if at_start else span.last + change
    return ResizeBlock(block=block_id, first=first, last=last)
