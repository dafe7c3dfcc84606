"""What blocks and sessions are called here: kind and emphasis, and how long; never by their ids."""

from __future__ import annotations

import re
from collections.abc import Iterable
from datetime import date

from seasonplan.days import day_month_text, day_text, length_text
from seasonplan.explain.words import KIND_NAMES, block_name
from seasonplan.plan import Block
from seasonplan.recipes import standard_recipes
from seasonplan.vocabulary import Kind
from seasonplan.year import Year

ALONE = re.compile(rf"\b(?:{'|'.join(kind.value for kind in Kind)})-\d+\b")


def block_words(block: Block) -> tuple[str, ...]:
    """Names of a block from long to short: "base, fingers · 3 weeks", "base, fingers", "base"."""
    kind, length = block.kind.value, length_text(block.span.length)
    with_emphasis = f"{kind}, {block.emphasis.value}" if block.emphasis else kind
    found = (f"{with_emphasis} · {length}", with_emphasis, f"{kind} · {length}", kind)
    return tuple(dict.fromkeys(found))


def block_title(block: Block, year: Year) -> str:
    """Such as "Base block, fingers"; the climber's own word for what the year gives."""
    if not block.kind.chosen:
        return block_name(block, year)
    emphasis = f", {block.emphasis.value}" if block.emphasis else ""
    return f"{KIND_NAMES[block.kind].capitalize()}{emphasis}"


_FIXED = re.compile(r" \(pin-[a-z]+-\d+\)")
_SESSION = re.compile(r"(?:[Tt]he session )?[a-z]+-\d+/(\d{4}-\d\d-\d\d)/([a-z0-9-]+)-\d+")


def without_ids(text: str, blocks: Iterable[Block], *, other: Iterable[Block] = ()) -> str:
    """A sentence with the blocks it names by id called by kind and first day instead, and sessions
    by what they hold and their week.

    A block that was fixed by hand is one of those it names: its own id is left out.
    """
    text = _SESSION.sub(_session, _FIXED.sub("", text))
    known = {block.id: block for block in (*other, *blocks)}

    def named(found: re.Match[str]) -> str:
        block = known.get(found[0])
        if block is None:
            return found[0]
        words = _called(block.kind, block.span.first)
        begins = found.start() == 0 or text[: found.start()].endswith((". ", "\n"))
        return f"{words[0].upper()}{words[1:]}" if begins else words

    return ALONE.sub(named, text)


def _called(kind: Kind, first: date) -> str:
    """Such as "the base block from 10 May"."""
    name = "time off" if kind is Kind.INJURED else KIND_NAMES[kind]
    return f"the {name} from {day_month_text(first)}"


def _session(found: re.Match[str]) -> str:
    """Such as "“Routes on the wall” of the week from Mon 15 Feb 2027"."""
    recipe = standard_recipes().get(found[2])
    try:
        first = date.fromisoformat(found[1])
    except ValueError:
        return found[0]
    return f"“{recipe.name if recipe else found[2]}” of the week from {day_text(first)}"
