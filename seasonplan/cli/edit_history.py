"""`seasonplan history`, `undo`, `redo` and `compare`: the revisions of a plan."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from seasonplan.cli import where
from seasonplan.cli.edit_run import change_facts, refusals
from seasonplan.cli.options import Folder, Json, Plain, Today, no_plan_yet, now_of
from seasonplan.cli.screen import Screen, write_json

if TYPE_CHECKING:
    from seasonplan.plan import Plan, Revision
    from seasonplan.planning.history import BlockChange, Comparison
    from seasonplan.workspace.desk import Desk

HISTORY_EXAMPLES = """Examples:

\b
  seasonplan history my-year           every plan, oldest first
  seasonplan history my-year --json"""
UNDO_EXAMPLES = """Examples:

\b
  seasonplan undo my-year      what you entered since the plan, if anything;
                               else year and plan as before the last plan
  seasonplan undo my-year && seasonplan undo my-year    two steps back

Nothing is lost: redo brings it back. To undo a plan makes a new plan that is
the old one again."""
REDO_EXAMPLES = """Examples:

\b
  seasonplan redo my-year              takes the last undo back"""
COMPARE_EXAMPLES = """Examples:

\b
  seasonplan compare my-year           what the last plan changed
  seasonplan compare my-year 2 5       where plan 5 differs from plan 2
  seasonplan compare my-year 4         plan 4 and the one in force"""

First = Annotated[
    int | None,
    typer.Argument(
        metavar="A", help="Number of a plan, from `history`.", show_default="the one before"
    ),
]
Second = Annotated[
    int | None,
    typer.Argument(metavar="B", help="Number of another.", show_default="the one in force"),
]
KEPT = "`seasonplan redo` brings back what was taken out; it is in year-undone.toml till then."
Where = Annotated[
    Path,
    typer.Argument(
        metavar="FOLDER", help="The folder of your year.", is_eager=True, callback=where.remember
    ),
]


def history(folder: Folder = Path(), *, plain: Plain = False, as_json: Json = False) -> None:
    """List every plan there was: when, why, what it was worth."""
    from seasonplan.explain.changes import revision_text

    plan = _plan(_desk(folder))
    if as_json:
        write_json({"revisions": [_facts(one) for one in plan.revisions]})
        return
    screen = Screen.here(plain=plain)
    for revision in plan.revisions:
        screen.say(revision_text(revision, plan), hang=3)


def undo(
    folder: Folder = Path(), *, today: Today = None, plain: Plain = False, as_json: Json = False
) -> None:
    """Take back what was entered since the plan was made; else the last plan, with the changes of
    the year that came with it.

    What is over stays as it was.
    """
    desk = _desk(folder)
    if desk.edited:
        told = (
            f"The year says again what plan {_plan(desk).current.number} was made of; it stands. "
        )
        _exchanged(desk, desk.take_back(), told + KEPT, plain=plain, as_json=as_json)
        return
    _travel(folder, "undo", today=today, plain=plain, as_json=as_json)


def redo(
    folder: Folder = Path(), *, today: Today = None, plain: Plain = False, as_json: Json = False
) -> None:
    """Bring back what was undone last."""
    desk = _desk(folder)
    before = desk.bring_back()
    if before is not None:
        _exchanged(
            desk, before, "What was taken back is there again.", plain=plain, as_json=as_json
        )
        return
    _travel(folder, "redo", today=today, plain=plain, as_json=as_json)


def _exchanged(desk: Desk, before: str, told: str, *, plain: bool, as_json: bool) -> None:
    """Tell what the year says differently than `before`."""
    from seasonplan.edits import changes
    from seasonplan.explain.changes import change_text

    found = changes(before, desk.draft().text)
    if as_json:
        write_json({"revision": None, "changes": [change_facts(one) for one in found]})
        return
    screen = Screen.here(plain=plain)
    screen.tell([change_text(one) for one in found] or ["Only comments differ."])
    screen.say(told)


def compare(
    folder: Where,
    first: First = None,
    second: Second = None,
    *,
    plain: Plain = False,
    as_json: Json = False,
) -> None:
    """Tell where one plan differs from another: blocks, year, worth."""
    from seasonplan.planning import history as past

    plan = _plan(_desk(folder))
    with refusals():
        now = second or plan.current.number
        found = past.compare(plan, _before(now) if first is None else first, now)
    if as_json:
        write_json(_comparison_facts(found))
    else:
        _tell(Screen.here(plain=plain), found)


def _before(number: int) -> int:
    """The plan before one. Raises EditRefused where it is the first."""
    from seasonplan.edits import EditRefused

    if number <= 1:
        raise EditRefused(
            "There is no plan before the first.", "Plan again after a change, then compare."
        )
    return number - 1


def _desk(folder: Path) -> Desk:
    from seasonplan.workspace.desk import Desk

    return Desk(folder)


def _plan(desk: Desk) -> Plan:
    if desk.plan is None:
        raise no_plan_yet(desk.folder)
    return desk.plan


def _tell_since(desk: Desk, screen: Screen) -> None:
    """What was entered since the plan was made, so that it can be taken out by hand."""
    from seasonplan.edits import changes
    from seasonplan.explain.changes import change_text

    plan = desk.plan
    if plan is None or not plan.current.year_text:
        return
    for change in changes(plan.current.year_text, desk.draft().text):
        screen.narrate(f"Since plan {plan.current.number}: {change_text(change)}", hang=2)


def _travel(folder: Path, way: str, *, today: date | None, plain: bool, as_json: bool) -> None:
    from seasonplan.planning import history as past
    from seasonplan.workspace import clock

    desk = _desk(folder)
    before = _plan(desk).current.number
    with refusals(lambda: _tell_since(desk, Screen.here(plain=plain))):
        step = desk.undo if way == "undo" else desk.redo
        since = now_of(desk.year, today)
        now = step(stamp=clock.stamp(), today=since)
    found = past.compare(_plan(desk), before, now.number)
    if as_json:
        write_json({"revision": _facts(now), "comparison": _comparison_facts(found)})
        return
    screen = Screen.here(plain=plain)
    screen.say(f"Plan {now.number} is plan {now.restores} again.")
    _tell(screen, found)


def _tell(screen: Screen, found: Comparison) -> None:
    from seasonplan.explain.changes import block_text, change_text, worth_text

    screen.tell([block_text(one) for one in found.blocks] or ["No block differs."])
    screen.tell([change_text(one) for one in found.year] or ["The year says the same."])
    screen.say(worth_text(found), hang=2)


def _facts(revision: Revision) -> dict[str, Any]:
    return {
        "revision": revision.number,
        "stamp": revision.stamp.isoformat(),
        "cause": revision.cause,
        "undoes": revision.undoes,
        "restores": revision.restores,
        "points": round(revision.score.points, 3),
        "good_days": round(revision.score.good_days, 2),
    }


def _comparison_facts(found: Comparison) -> dict[str, Any]:
    return {
        "first": found.first,
        "second": found.second,
        "blocks": [_block_facts(one) for one in found.blocks],
        "changes": [change_facts(one) for one in found.year],
        "points": [round(value, 3) for value in found.points],
        "good_days": [round(value, 2) for value in found.good_days],
    }


def _block_facts(change: BlockChange) -> dict[str, Any]:
    from seasonplan.cli.machine import span_facts

    was, now = change.before, change.after
    return {
        "id": change.stands.id,
        "moves": [move.value for move in change.moves],
        "was": span_facts(was.span) if was else None,
        "now": span_facts(now.span) if now else None,
        "kind_was": was.kind.value if was else None,
        "kind_now": now.kind.value if now else None,
    }
