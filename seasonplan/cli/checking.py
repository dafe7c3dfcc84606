"""`seasonplan check`: whether the plan keeps every rule, judged from its dates alone."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from seasonplan.cli.exits import Exit
from seasonplan.cli.options import Folder, Json, Plain, Today, no_plan_yet, now_of
from seasonplan.cli.screen import Screen, write_json

if TYPE_CHECKING:
    from seasonplan.rules.findings import Finding
    from seasonplan.rules.statements import RuleBook

    Told = tuple[Finding, str]

EXAMPLES = """Examples:

\b
  seasonplan check                 the year in this folder
  seasonplan check my-year --all   every preference that is not met, in full
  seasonplan check my-year --json  every finding, for another program

Ends with 1 if a rule is broken. Preferences that are not met are told and break nothing."""

All = Annotated[
    bool,
    typer.Option("--all", help="Each preference that is not met in full, not summed up by rule."),
]


def check(
    folder: Folder = Path(),
    *,
    every: All = False,
    today: Today = None,
    plain: Plain = False,
    as_json: Json = False,
) -> None:
    """Check that the plan keeps every rule.

    What is over is history and is not judged, unless the whole year is.
    """
    from seasonplan.explain.breaks import sentence
    from seasonplan.explain.older import JUDGED
    from seasonplan.workspace.desk import Desk

    screen = Screen.here(plain=plain)
    desk = Desk(folder)
    if desk.plan is None:
        raise no_plan_yet(folder)
    findings = desk.check(today=now_of(desk.year, today))
    told = [(found, sentence(found, book=desk.book)) for found in findings]
    if desk.stale:
        screen.narrate(
            "The year, a busy calendar or what tests say was changed after the plan was made. It "
            "is checked against them as they are now; `seasonplan replan` makes a new one near it."
        )
    if desk.older:
        screen.narrate(JUDGED)
    if as_json:
        _write(told, stale=desk.stale, older=desk.older)
    else:
        _tell(told, None if every else desk.book, screen, older=desk.older)
    if any(found.strength == "hard" for found in findings):
        raise typer.Exit(Exit.RULES_BROKEN)


def _write(told: list[Told], *, stale: bool, older: bool) -> None:
    from seasonplan.cli.machine import finding_facts

    broken = sum(found.strength == "hard" for found, _ in told)
    facts = [finding_facts(found, text) for found, text in told]
    write_json({"stale": stale, "older": older, "broken": broken, "findings": facts})


def _tell(told: list[Told], book: RuleBook | None, screen: Screen, *, older: bool) -> None:
    """What was found in sentences; with a book, preferences are summed up by rule, and of a plan
    that an older version made, which did not know all rules, what is broken as well."""
    from seasonplan.explain import notes

    hard = [text for found, text in told if found.strength == "hard"]
    soft = [text for found, text in told if found.strength == "soft"]
    bent, broken = len(soft), len(hard)
    if book is not None and older:
        hard = notes.broken_rules([found for found, _ in told], book=book)
    if book is not None:
        soft = notes.bent_rules([found for found, _ in told], book=book)
    screen.say(_count(len(hard), "rule is broken.", "rules are broken."))
    for text in hard:
        screen.say(f"- {text}", hang=2)
    if soft:
        screen.say(_count(bent, "preference is not met:", "times a preference is not met:"))
    for text in soft:
        screen.say(f"- {text}", hang=2)
    if len(soft) < bent or len(hard) < broken:
        screen.say("`seasonplan check --all` tells each of them.")


def _count(number: int, one: str, more: str) -> str:
    if number == 0:
        return "No rule is broken."
    return f"{number} {one if number == 1 else more}"
