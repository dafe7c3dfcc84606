"""`seasonplan why`: why blocks stand where they stand, found by planning without them."""

from __future__ import annotations

import threading
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from seasonplan.cli.exits import Exit
from seasonplan.cli.options import Folder, Json, Plain, Today, no_plan_yet, plan_is_old
from seasonplan.cli.screen import Screen, write_json
from seasonplan.errors import BadInput, Fault, did_you_mean

if TYPE_CHECKING:
    from seasonplan.desk import Desk
    from seasonplan.explain.why import Reason
    from seasonplan.plan import Block

EXAMPLES = """Examples:

\b
  seasonplan why my-year base-1    one block
  seasonplan why my-year           every block, a few seconds for each
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
    """Tell why a block stands where it stands.

    Found by planning again with the block moved, and left out. What is over is not asked about.
    """
    from seasonplan import clock
    from seasonplan.desk import Desk
    from seasonplan.explain.why_told import sentences

    screen = Screen.here(plain=plain)
    desk = Desk(folder)
    told: list[dict[str, Any]] = []
    chosen = _chosen(desk, block)
    now = today or clock.today(desk.year.climber.time_zone)
    stopped = False
    for number, one in enumerate(chosen, start=1):
        progress = f"Asking why {one.id}" + (f", {number} of {len(chosen)}" if not block else "")
        reason = _reason(desk, one, screen, progress, now)
        texts = sentences(reason, desk.year, book=desk.book)
        told.append({"block": one.id, "sentences": texts})
        if not as_json:
            _tell(screen, texts, first=number == 1)
        if stopped := reason.stopped:
            break
    if as_json:
        write_json({"why": told})
    if stopped:
        raise typer.Exit(Exit.STOPPED)


def _chosen(desk: Desk, block_id: str | None) -> tuple[Block, ...]:
    if desk.plan is None:
        raise no_plan_yet(desk.folder)
    if desk.stale:
        raise plan_is_old(desk.folder)
    if block_id is None:
        return desk.plan.current.blocks
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


def _reason(desk: Desk, block: Block, screen: Screen, progress: str, today: date) -> Reason:
    from seasonplan.cli.search import Search, Ticker
    from seasonplan.explain.why import why as reason_of

    plan = desk.plan
    assert plan is not None
    stop = threading.Event()
    search = Search(
        lambda: reason_of(desk.year, plan.current, block, book=desk.book, today=today, stop=stop),
        stop=stop,
    )
    return search.wait(Ticker(screen), lambda: progress)


def _tell(screen: Screen, texts: list[str], *, first: bool) -> None:
    if not first and not screen.plain:
        screen.draw()
    screen.say(texts[0], bold=True)
    for text in texts[1:]:
        screen.say(text if screen.plain else f"  {text}", hang=4)
