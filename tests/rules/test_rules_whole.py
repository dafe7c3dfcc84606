"""A rule is found in one look: statement, who enforces it, who judges it, how its number is told.

Modules say at their head which rules they enforce or judge; what is missing is listed by name.
"""

from __future__ import annotations

import ast
import re
from collections.abc import Mapping

import pytest
from places import ROOT, TESTS

from seasonplan.checker import JUDGES, SESSION_JUDGES
from seasonplan.rules.statements import Rule, standard_book

PACKAGE = ROOT / "seasonplan"
CODES = [rule.code for rule in standard_book()]
SAID = {"planner": "Enforces", "checker": "Judges"}


def named(room: str) -> Mapping[str, list[str]]:
    """The rules that the heads of a room's modules name after its verb, with the modules."""
    found: dict[str, list[str]] = {}
    for path in sorted((PACKAGE / room).rglob("*.py")):
        head = ast.get_docstring(ast.parse(path.read_text())) or ""
        _, verb, told = head.partition(SAID[room])
        for code in re.findall(r"`([a-z-]+)`", told) if verb else ():
            found.setdefault(code, []).append(path.name)
    return found


ENFORCED, JUDGED = named("planner"), named("checker")


def missing(rule: Rule) -> list[str]:
    """What a rule lacks."""
    lacks = []
    if not (rule.head and rule.asks and rule.why and rule.sources):
        lacks.append("a whole statement in shared/rules.toml")
    if rule.code not in ENFORCED:
        lacks.append("a module of planner/ that says it enforces it")
    if rule.code not in {**JUDGES, **SESSION_JUDGES} or rule.code not in JUDGED:
        lacks.append("a judge of checker/ by its code, and its module naming it")
    hard_block = rule.strength == "hard" and rule.code in JUDGES
    if hard_block and not (TESTS / "years" / f"witness-{rule.code}.toml").exists():
        lacks.append(f"tests/years/witness-{rule.code}.toml")
    return lacks


@pytest.mark.parametrize("code", CODES)
def test_a_rule_has_all_that_belongs_to_it(code: str) -> None:
    assert missing(standard_book()[code]) == []


def test_no_module_names_a_rule_that_is_none() -> None:
    assert set(ENFORCED) | set(JUDGED) <= set(CODES)
