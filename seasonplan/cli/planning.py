"""`seasonplan plan`: makes or renews the plan, and tells what it is worth."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, TypeVar

import typer

from seasonplan.cli.exits import Exit
from seasonplan.cli.options import Folder, Json, Plain, Today, now_of
from seasonplan.cli.screen import Screen, write_json

if TYPE_CHECKING:
    from seasonplan.planner.conflict import WayOut
    from seasonplan.planner.run import Progress
    from seasonplan.planning.replan import NoPlan, Planned, Stopped
    from seasonplan.workspace.desk import Desk

Answer = TypeVar("Answer")
EXAMPLES = """Examples:

\b
  seasonplan plan                          the year in this folder
  seasonplan plan my-year --cause "new trip"
  seasonplan plan my-year --again          though nothing changed"""

FIRST, ANEW = "the first plan", "planned anew"
Cause = Annotated[
    str,
    typer.Option(
        metavar="TEXT", help="Why you plan; kept with the plan.",
        show_default=f"{FIRST}, or {ANEW}",
    ),
]  # fmt: skip
Again = Annotated[
    bool, typer.Option("--again", help="Plan again although nothing changed since the last plan.")
]

NEXT = (
    "`seasonplan today` tells the day, `seasonplan open` shows the year to move things in, "
    "`seasonplan export` and `seasonplan serve` bring it to your phone."
)


def plan(
    folder: Folder = Path(),
    *,
    cause: Cause = "",
    again: Again = False,
    today: Today = None,
    plain: Plain = False,
    as_json: Json = False,
) -> None:
    """Make the plan, or renew it after a change.

    It is the best plan there is from today on; what is over stays as it was. `replan` stays near
    the accepted plan and asks first. Ctrl-C stops before there is a plan; nothing is changed then.
    """
    from seasonplan.workspace.desk import Desk

    screen = Screen.here(plain=plain)
    desk = Desk(folder)
    warnings = _doubts(desk)
    for text in warnings:
        screen.narrate(f"Note: {text}")
    since = now_of(desk.year, today)
    if desk.up_to_date and not again:
        if _is_worth_what_it_says(desk, today=since):
            _stands(desk, screen, as_json=as_json)
            return
        screen.narrate("Note: the plan is worth something else than it says, so it is made anew.")
    cause = cause or (ANEW if desk.plan else FIRST)
    answer, stopped = _planned(desk, screen, cause=cause, today=since, as_json=as_json)
    if as_json:
        _write(answer, desk, warnings)
    else:
        _tell(answer, desk, screen, today=since)
        if answer.plan.current.number == 1:
            screen.narrate(NEXT)
    if stopped:
        screen.narrate("You stopped it, but the best plan was found already: it is kept.")
        raise typer.Exit(Exit.STOPPED)


def _doubts(desk: Desk) -> list[str]:
    """What is to be doubted of what was entered."""
    from seasonplan.explain import notes
    from seasonplan.explain.beginnings import new_note, trips_note, weak_note
    from seasonplan.explain.care import table_note
    from seasonplan.explain.no_wall import board_note, wall_note
    from seasonplan.explain.outside import outside_note, twice_note, unknown_note
    from seasonplan.explain.short_days import short_days_note

    return [
        *notes.warnings(desk.year),
        *notes.cut_note(desk.year),
        *outside_note(desk.year),
        *twice_note(desk.year),
        *unknown_note(desk.year, desk.plan.current if desk.plan else None),
        *notes.load_note(desk.year),
        *new_note(desk.year),
        *weak_note(desk.year),
        *wall_note(desk.year),
        *board_note(desk.year),
        *short_days_note(desk.year),
        *trips_note(desk.year),
        *notes.split_note(desk.year),
        *table_note(desk.year),
        *busy_told(desk),
    ]


def _is_worth_what_it_says(desk: Desk, *, today: date) -> bool:
    """Whether the plan's claim still holds; not where another version counted otherwise."""
    from seasonplan.rules.findings import SCORE

    return all(found.code != SCORE for found in desk.check(today=today))


def _stands(desk: Desk, screen: Screen, *, as_json: bool) -> None:
    """Nothing changed since the plan was made, and it is the best there is."""
    from seasonplan.cli.machine import revision_facts
    from seasonplan.explain import notes

    assert desk.plan is not None
    number = desk.plan.current.number
    if as_json:
        write_json(
            {
                "plan": revision_facts(desk.plan.current),
                "changed": False,
                "findings": [],
                "warnings": [],
                "cautions": notes.cautions(desk.year),
            }
        )
        return
    screen.say(
        f"Nothing changed since plan {number} was made, and no plan is worth more: it stands. "
        "`seasonplan show` shows it; --again plans it once more from today on."
    )


def busy_told(desk: Desk) -> list[str]:
    """What was left out of busy calendars or read with doubt."""
    from seasonplan.explain.busy import busy_text

    free = desk.year.sessions.tentative_is_free
    return [
        text
        for file, report in desk.busy.items()
        for text in busy_text(file, report, tentative_is_free=free)
    ]


def _planned(
    desk: Desk, screen: Screen, *, cause: str, today: date, as_json: bool
) -> tuple[Planned, bool]:
    """The plan, and whether the climber stopped the planner; where there is none, that is told and
    the command ends."""
    from seasonplan.planning.replan import NoPlan, Stopped

    answer, stopped = _searched(desk, screen, cause=cause, today=today)
    if isinstance(answer, Stopped):
        screen.narrate("Stopped before any plan was found; nothing was changed.")
        raise typer.Exit(Exit.STOPPED)
    if isinstance(answer, NoPlan):
        tell_conflict(answer, desk, screen, as_json=as_json)
        raise typer.Exit(Exit.NO_PLAN)
    return answer, stopped


def _searched(
    desk: Desk, screen: Screen, *, cause: str, today: date
) -> tuple[Planned | NoPlan | Stopped, bool]:
    """The answer of the planner, and whether the climber stopped it."""
    from seasonplan.workspace import clock

    return heard(screen, partial(desk.make_plan, cause, stamp=clock.stamp(), today=today))


def heard(screen: Screen, plan: Callable[..., Answer]) -> tuple[Answer, bool]:
    """The answer of the planner, its progress told, and whether the climber stopped it."""
    from seasonplan.cli.search import searched

    told: list[Progress] = []
    return searched(
        screen,
        lambda stop: plan(on_progress=told.append, stop=stop),
        lambda: standing(told[-1] if told else None),
    )


def standing(progress: Progress | None) -> str:
    """How the search stands, on one short line."""
    if progress is None:
        return "Planning: weighing every week"
    if progress.impossible:
        return "No plan is possible so; looking for what stands in the way"
    return "Planning: the best is found; a second method confirms it"


def _tell(answer: Planned, desk: Desk, screen: Screen, *, today: date) -> None:
    from seasonplan.cli.listing import tell_blocks, tell_left_out, tell_shortfalls, tell_worth
    from seasonplan.cli.wall import draw_wall
    from seasonplan.explain import free_time, notes
    from seasonplan.explain.breaks import sentence
    from seasonplan.explain.short_days import short_outings

    kept = desk.plan
    assert kept is not None
    if kept.current.number == answer.plan.current.number:
        screen.say(f"Plan {kept.current.number} is made and kept in {desk.folder / 'plan.json'}.")
    else:
        screen.say(f"Nothing changes: plan {kept.current.number} stands.")
    if screen.plain:
        tell_blocks(screen, desk.year, kept.current.blocks)
    else:
        draw_wall(screen, desk.view(health=True), today=today, load=False)
    tell_worth(screen, desk.year, kept.current)
    short = short_outings(desk.year, kept.current.sessions)
    tell_shortfalls(screen, kept.current.shortfalls, also=short)
    unused = free_time.year_text(kept.current, desk.year)
    if unused:
        screen.head("Free time that stays free")
        screen.say(unused, hang=2)
    tell_left_out(screen, desk.year, kept.current, since=today)
    broken = [found for found in answer.findings if found.strength == "hard"]
    if broken:
        screen.head("Rules that some sessions do not keep: a mistake of ours")
    for found in broken:
        screen.say(sentence(found, book=desk.book), hang=2)
    screen.tell(
        notes.bent_rules(answer.findings, book=desk.book), head="Preferences that are not met"
    )
    if any(found.code == "lead-in-start" for found in answer.findings):
        screen.say("`seasonplan why` tells what it costs to begin performing earlier.", hang=2)
    screen.tell(notes.cautions(desk.year, since=today), head="Take care")


def _write(answer: Planned, desk: Desk, warnings: list[str]) -> None:
    from seasonplan.cli.machine import finding_facts, revision_facts
    from seasonplan.explain import notes
    from seasonplan.explain.breaks import sentence

    assert desk.plan is not None
    write_json(
        {
            "plan": revision_facts(desk.plan.current),
            "changed": desk.plan.current.number == answer.plan.current.number,
            "findings": [
                finding_facts(found, sentence(found, book=desk.book)) for found in answer.findings
            ],
            "warnings": warnings,
            "cautions": notes.cautions(desk.year),
        }
    )


def tell_conflict(answer: NoPlan, desk: Desk, screen: Screen, *, as_json: bool) -> None:
    """What cannot all hold, and each way out with the command that takes it."""
    from seasonplan.explain.noplan import party_name, sentences, way_text

    conflict = answer.conflict
    told = sentences(conflict, desk.year, book=desk.book)
    commands = [_way_command(way, desk) for way in conflict.ways]
    for text in told[: len(told) - len(commands)]:
        screen.narrate(text)
    for text, command in zip(told[len(told) - len(commands) :], commands, strict=True):
        screen.narrate(text, hang=2)
        if command:
            screen.narrate(f"`{command}`", indent=2)
    if any(commands):
        screen.narrate("Then plan again.")
    if as_json:
        write_json(
            {
                "plan": None,
                "conflict": [
                    {"name": party.name, "rule": party.is_rule,
                     "text": party_name(party, desk.year, book=desk.book)}
                    for party in conflict.parties
                ],
                "ways_out": [
                    {"name": way.party.name, "good_days": way.good_days, "command": command,
                     "text": way_text(way, desk.year, book=desk.book)}
                    for way, command in zip(conflict.ways, commands, strict=True)
                ],
                "sentences": told,
            }
        )  # fmt: skip


def _way_command(way: WayOut, desk: Desk) -> str:
    """The command that takes a way out; nothing where it is a fact, not a choice."""
    from seasonplan.cli.as_typed import command_of
    from seasonplan.planning.ways import edit_of_way

    edit = edit_of_way(way, desk.year)
    return command_of(edit) if edit is not None else ""
