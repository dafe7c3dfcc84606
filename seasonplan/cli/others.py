"""`seasonplan others`: years nearly as good as the plan that differ most from it."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from seasonplan.cli.edit_run import refusals
from seasonplan.cli.exits import Exit
from seasonplan.cli.options import Folder, Json, Plain, Today, now_of, plan_in_force
from seasonplan.cli.screen import Screen, write_json

if TYPE_CHECKING:
    from datetime import date

    from seasonplan.planning.proposal import Proposal
    from seasonplan.workspace.desk import Desk

EXAMPLES = """Examples:

\b
  seasonplan others my-year             three years under one another
  seasonplan others my-year --take 2    make the second your plan

The blocks in which it differs are fixed then; `seasonplan undo` takes it back."""

Take = Annotated[
    int | None, typer.Option("--take", metavar="NUMBER", help="Make that year the plan.")
]


def others(
    folder: Folder = Path(),
    *,
    take: Take = None,
    today: Today = None,
    plain: Plain = False,
    as_json: Json = False,
) -> None:
    """Show other years nearly as good as the plan.

    Of all years worth at most 2 % less, the one in which most days are of another kind, then the
    one farthest from both. Prices are in good days on rock first, then by what the year is worth.
    """
    from seasonplan.explain import others_told
    from seasonplan.workspace.desk import Desk

    screen = Screen.here(plain=plain)
    desk = Desk(folder)
    plan_in_force(desk)
    now = now_of(desk.year, today)
    found = _searched(desk, screen, now)
    chosen = _taken(found, take, screen)
    if as_json:
        write_json({"others": [_facts(n, one) for n, one in enumerate(found, start=2)]})
    elif chosen is None:
        _tell(found, screen, none=others_told.none_text(desk.year, now))
    if chosen is not None:
        with refusals():
            kept = desk.accept(chosen)
        told = others_told.taken_text(chosen)
        screen.narrate(f"Plan {kept.number} is kept; it {told}")


def _searched(desk: Desk, screen: Screen, today: date) -> list[Proposal]:
    from seasonplan.cli.search import searched
    from seasonplan.workspace import clock

    found, _ = searched(
        screen,
        lambda stop: desk.others(stamp=clock.stamp(), today=today, stop=stop),
        lambda: "Looking for other years as good",
    )
    return found


def _taken(found: list[Proposal], take: int | None, screen: Screen) -> Proposal | None:
    """The year that was asked for, if one was."""
    if take is None:
        return None
    if not 2 <= take < len(found) + 2:
        numbers = " or ".join(str(n) for n in range(2, len(found) + 2)) or "none: there is no other"
        screen.narrate(f"--take: found {take}; wanted {numbers}. 1 is the plan that stands.")
        raise typer.Exit(Exit.BAD_INPUT)
    return found[take - 2]


def _tell(found: list[Proposal], screen: Screen, *, none: str) -> None:
    from seasonplan.explain import before_after, others_told

    if not found:
        screen.say(none)
        return
    if not screen.plain:
        for line in others_told.drawn(found, width=screen.width, unicode=screen.unicode):
            screen.draw(screen.clean(line))
    for number, one in enumerate(found, start=2):
        screen.head(others_told.year_text(number, one))
        screen.tell(before_after.block_lines(one))


def _facts(number: int, one: Proposal) -> dict[str, object]:
    from seasonplan.cli.machine import revision_facts
    from seasonplan.explain import others_told

    days = one.after.score.good_days - one.before.score.good_days
    return {
        "number": number,
        "differing_days": [str(day) for day in one.changed],
        "good_days": round(days, 2),
        "points": round(one.points, 3),
        "text": others_told.year_text(number, one),
        "plan": revision_facts(one.after),
    }
