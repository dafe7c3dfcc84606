"""`seasonplan check`: whether the plan keeps every rule, judged from its dates alone."""

from __future__ import annotations

from pathlib import Path

import typer

from seasonplan.cli.exits import Exit
from seasonplan.cli.options import Folder, Json, Plain, no_plan_yet
from seasonplan.cli.screen import Screen, write_json

EXAMPLES = """Examples:

\b
  seasonplan check                 the year in this folder
  seasonplan check my-year --json  every finding, for another program

Ends with 1 if a rule is broken. Bent preferences are told and break nothing."""


def check(folder: Folder = Path(), *, plain: Plain = False, as_json: Json = False) -> None:
    """Check that the plan keeps every rule."""
    from seasonplan.cli.machine import finding_facts
    from seasonplan.desk import Desk
    from seasonplan.explain.breaks import sentence

    screen = Screen.here(plain=plain)
    desk = Desk(folder)
    if desk.plan is None:
        raise no_plan_yet(folder)
    findings = desk.check()
    told = [(found, sentence(found, desk.year, book=desk.book)) for found in findings]
    hard = [text for found, text in told if found.strength == "hard"]
    soft = [text for found, text in told if found.strength == "soft"]
    if desk.stale:
        screen.narrate(
            "The year was changed after the plan was made. The plan is checked against the year "
            "as it is now; `seasonplan plan` makes a new one."
        )
    if as_json:
        write_json(
            {
                "stale": desk.stale,
                "broken": len(hard),
                "findings": [finding_facts(found, text) for found, text in told],
            }
        )
    else:
        _tell(screen, hard, soft)
    if hard:
        raise typer.Exit(Exit.RULES_BROKEN)


def _tell(screen: Screen, hard: list[str], soft: list[str]) -> None:
    screen.say(_count(len(hard), "rule is broken.", "rules are broken."))
    for text in hard:
        screen.say(f"- {text}", hang=2)
    if soft:
        screen.say(_count(len(soft), "preference is bent:", "times a preference is bent:"))
    for text in soft:
        screen.say(f"- {text}", hang=2)


def _count(number: int, one: str, more: str) -> str:
    if number == 0:
        return "No rule is broken."
    return f"{number} {one if number == 1 else more}"
