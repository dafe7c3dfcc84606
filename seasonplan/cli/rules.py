"""`seasonplan rules`: the rule book as it stands for this climber."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from seasonplan.cli.numbers import tell_numbers
from seasonplan.cli.options import Json, Plain, Today
from seasonplan.cli.screen import Screen, write_json
from seasonplan.errors import BadInput, Fault, did_you_mean

if TYPE_CHECKING:
    from seasonplan.rules.statements import Rule, RuleBook

EXAMPLES = """Examples:

\b
  seasonplan rules                 every rule on a line or two
  seasonplan rules base-length     one rule in full
  seasonplan rules --in my-year    with the changes of that year
  seasonplan rules --numbers       every number and what it rests on
  seasonplan rules --numbers response.tau_days    those of one file or table
  seasonplan rules --in my-year --cost   what each costs that year

To switch a rule off, write in year.toml:

\b
  [rules.load-step]
  on = false"""

Code = Annotated[
    str | None,
    typer.Argument(metavar="CODE", help="One rule, in full; with --numbers a file or table."),
]
Numbers = Annotated[
    bool,
    typer.Option("--numbers", help="Every default number, with its label and source."),
]
In = Annotated[
    Path,
    typer.Option("--in", metavar="FOLDER", help="Whose changes count.", show_default="this folder"),
]

Cost = Annotated[bool, typer.Option("--cost", help="What each rule costs this year.")]


def rules(
    code: Code = None,
    *,
    folder: In = Path(),
    numbers: Numbers = False,
    cost: Cost = False,
    today: Today = None,
    plain: Plain = False,
    as_json: Json = False,
) -> None:
    """Read the rules, their evidence and every number."""
    from seasonplan.cli.machine import rule_facts

    screen = Screen.here(plain=plain)
    if numbers:
        tell_numbers(screen, code or "", as_json=as_json)
        return
    if cost:
        from seasonplan.cli.rule_costs import rule_costs

        rule_costs(folder, screen, today=today, as_json=as_json)
        return
    book = _book(folder)
    if code is not None and code not in book:
        raise _unknown_rule(code, book)
    if as_json:
        chosen = [book[code]] if code else list(book)
        write_json({"rules": [rule_facts(rule) for rule in chosen]})
    elif code:
        _tell_in_full(screen, book[code])
    else:
        _tell_all(screen, book)


def _book(folder: Path) -> RuleBook:
    from seasonplan.rules.statements import book_of, standard_book
    from seasonplan.workspace.store import YEAR_FILE, load_year

    if folder == Path() and not (folder / YEAR_FILE).exists():
        return standard_book()
    return book_of(load_year(folder).year)


def _unknown_rule(code: str, book: RuleBook) -> BadInput:
    codes = [rule.code for rule in book]
    do = did_you_mean(code, codes, otherwise="See `seasonplan rules`.")
    return BadInput([Fault("rules", "", None, f"no rule {code!r}", "the code of a rule", do)])


def _tell_all(screen: Screen, book: RuleBook) -> None:
    from seasonplan.explain.rulebook import rule_standing

    for rule in book:
        if screen.plain:
            screen.say(f"{rule.code}: {rule_standing(rule)}. {rule.title}. {rule.evidence.value}.")
            continue
        screen.draw(
            f"{screen.paint(rule.code, bold=True)}  {rule_standing(rule)}; {rule.evidence.value}"
        )
        screen.say(f"  {rule.title}.", hang=2)


def _tell_in_full(screen: Screen, rule: Rule) -> None:
    from seasonplan.explain.rulebook import rule_facts, rule_standing

    screen.say(rule.title, bold=True)
    screen.say(f"Code: {rule.code} ({rule_standing(rule)})")
    for head, text in rule_facts(rule):
        screen.say(f"{head}: {text}", hang=2)
