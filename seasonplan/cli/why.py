"""`seasonplan why`: why blocks stand where they stand, and what each change would cost."""

from __future__ import annotations

import threading
from collections.abc import Sequence
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from seasonplan.cli.exits import Exit
from seasonplan.cli.options import Folder, Json, Plain, Today, now_of, plan_in_force
from seasonplan.cli.screen import Screen, write_json
from seasonplan.errors import BadInput, Fault, did_you_mean

if TYPE_CHECKING:
    from seasonplan.explain.why import Reason
    from seasonplan.plan import Block
    from seasonplan.workspace.desk import Desk

EXAMPLES = """Examples:

\b
  seasonplan why my-year base-1    one block
  seasonplan why my-year           every block
  seasonplan why . base-1          one block of the year in this folder

`seasonplan show` names the blocks."""

BlockId = Annotated[
    str | None, typer.Argument(metavar="BLOCK", help="A block such as base-1; all if left out.")
]


def why(
    folder: Folder = Path(),
    block: BlockId = None,
    *,
    today: Today = None,
    plain: Plain = False,
    as_json: Json = False,
) -> None:
    """Tell why each block stands where it stands.

    For each block the best year with it earlier, later, longer, shorter, of another kind or
    emphasis, and without it: in days on rock first, then with form. What is over
    is not asked.
    """
    from seasonplan.explain.why_told import sentences
    from seasonplan.explain.worth_told import WITH_FORM
    from seasonplan.workspace.desk import Desk

    screen = Screen.here(plain=plain)
    desk = Desk(folder)
    chosen = _chosen(desk, block)
    now = now_of(desk.year, today)
    reasons, stopped = _reasons(desk, chosen, screen, now)
    told = [(one, sentences(one, desk.year_as_tested)) for one in reasons]
    if as_json:
        write_json({"why": [{**reason_facts(one), "sentences": texts} for one, texts in told]})
    else:
        for number, (_, texts) in enumerate(told):
            _tell(screen, texts, first=number == 0)
        if any(one.others for one in reasons):
            screen.draw() if not screen.plain else None
            screen.say(WITH_FORM)
    if stopped:
        raise typer.Exit(Exit.STOPPED)


def _chosen(desk: Desk, block_id: str | None) -> tuple[Block, ...]:
    plan = plan_in_force(desk)
    if block_id is None:
        return plan.current.blocks
    found = desk.block(block_id)
    if found is None:
        raise _unknown_block(desk, block_id)
    return (found,)


def _unknown_block(desk: Desk, block_id: str) -> BadInput:
    assert desk.plan is not None
    names = [block.id for block in desk.plan.current.blocks]
    do = did_you_mean(block_id, names, otherwise="See `seasonplan show`.")
    return BadInput(
        [Fault("plan.json", "", None, f"no block {block_id!r}", f"one of {', '.join(names)}", do)]
    )


def _reasons(
    desk: Desk, blocks: Sequence[Block], screen: Screen, today: date
) -> tuple[list[Reason], bool]:
    """The reasons, and whether the climber stopped before the last."""
    from seasonplan.cli.search import searched
    from seasonplan.explain.why import whys

    plan = plan_in_force(desk).current

    def weighed(stop: threading.Event) -> list[Reason]:
        return list(
            whys(desk.year, plan, blocks, book=desk.book, today=today, taken=desk.taken, stop=stop)
        )

    found, _ = searched(screen, weighed, lambda: "Weighing every other year")
    return found, len(found) < len(blocks)


def reason_facts(reason: Reason) -> dict[str, Any]:
    """The keys of one block: what each way to change it would bring, below 0 cost."""
    from seasonplan.cli.machine import span_facts

    return {
        "block": reason.block.id,
        "others": [
            {
                "way": one.way.value,
                "kind": one.kind.value,
                "emphasis": one.emphasis.value,
                **span_facts(one.span),
                "points": round(one.points, 3),
                "good_days": round(one.good_days, 2),
                "rock_days": one.rock_days,
            }
            for one in reason.others
        ],
        "as_good_dates": reason.ties,
        "impossible": [way.value for way in reason.impossible],
    }


def _tell(screen: Screen, texts: list[str], *, first: bool) -> None:
    if not first and not screen.plain:
        screen.draw()
    screen.say(texts[0], bold=True)
    for text in texts[1:]:
        screen.say(text if screen.plain else f"  {text}", hang=4)
