"""Which block of a new plan is which of the old one. Ids are readable and never used again."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Sequence

from seasonplan.plan import Block, Plan
from seasonplan.vocabulary import Kind

NEAR_DAYS = 28  # a block this far away may still be the old one that moved


def carried(
    new: Sequence[Block], *, old: Sequence[Block], used: Iterable[str]
) -> tuple[Block, ...]:
    """`new` with the ids of the blocks of `old` they continue, fresh ids for the others.

    A block continues the one of its kind that it is pinned as, else one with the same entry,
    else the one of its kind it shares most days with, else the next of its kind that begins
    within four weeks of it. One that a hand made and then fixed keeps the name it was fixed under.
    """
    used = {*used, *(block.id for block in old)}
    names = _fixed_under(new, used)
    left = list(old)
    for measure in (_pinned_as, _same_entry, _shared_days, _nearness):
        _pair(new, left, names, measure)
    fresh = _Fresh({*used, *names.values()})
    return tuple(
        _named(block, names.get(index) or fresh.of(block.kind)) for index, block in enumerate(new)
    )


def pin_id(block_id: str) -> str:
    """The id of the pin that fixes a block, so that the block is known wherever it is put."""
    return f"pin-{block_id}"


def _fixed_under(new: Sequence[Block], used: set[str]) -> dict[int, str]:
    """Names of pinned blocks of which no plan knew, as their pins have them."""
    found: dict[int, str] = {}
    for index, block in enumerate(new):
        name = (block.entry or "").removeprefix(pin_id(""))
        ours = block.entry == pin_id(name) and re.fullmatch(rf"{block.kind.value}-\d+", name)
        if ours and name not in used and name not in found.values():
            found[index] = name
    return found


def all_ids(plan: Plan | None) -> set[str]:
    """Every id that any revision ever used."""
    if plan is None:
        return set()
    return {block.id for revision in plan.revisions for block in revision.blocks}


def _pair(
    new: Sequence[Block],
    left: list[Block],
    names: dict[int, str],
    measure: Callable[[Block, Block], float],
) -> None:
    """Give the best pairs by `measure` the old name, best first; ties by date."""
    pairs = sorted(
        (-score, old.span, new[index].span, index)
        for index in range(len(new))
        if index not in names
        for old in left
        if (score := measure(new[index], old)) > 0
    )
    by_span = {old.span: old for old in left}
    for _, old_span, _, index in pairs:
        old = by_span[old_span]
        if index not in names and old in left:
            names[index] = old.id
            left.remove(old)


def _pinned_as(new: Block, old: Block) -> float:
    return float(new.kind is old.kind and new.entry == pin_id(old.id))


def _same_entry(new: Block, old: Block) -> float:
    """Most for the piece on the same days, where an entry gives several."""
    same = (new.kind, new.entry, new.phase) == (old.kind, old.entry, old.phase)
    return 1 + _shared_days(new, old) if same and new.entry is not None else 0.0


def _shared_days(new: Block, old: Block) -> float:
    shared = new.span.meet(old.span)
    return float(shared.length) if shared and new.kind is old.kind else 0.0


def _nearness(new: Block, old: Block) -> float:
    away = abs((new.span.first - old.span.first).days)
    return float(NEAR_DAYS + 1 - away) if new.kind is old.kind else 0.0


class _Fresh:
    """Ids that were never used: the kind and the next number."""

    def __init__(self, used: Iterable[str]) -> None:
        self._last: dict[str, int] = {}
        for name in used:
            match = re.fullmatch(r"(.+)-(\d+)", name)
            if match:
                self._last[match[1]] = max(self._last.get(match[1], 0), int(match[2]))

    def of(self, kind: Kind) -> str:
        number = self._last.get(kind.value, 0) + 1
        self._last[kind.value] = number
        return f"{kind.value}-{number}"


def _named(block: Block, name: str) -> Block:
    return Block(**{field: getattr(block, field) for field in Block.model_fields} | {"id": name})
