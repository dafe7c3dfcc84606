"""Every hard rule about sessions taken out in turn: the planner breaks it, the checker sees it.

The year is tests/years/sessions-few-things-to-train-on.toml, with an hour
of every evening from Monday to Thursday busy.
"""

from __future__ import annotations

import ast
from collections.abc import Callable, Sequence
from functools import cache
from pathlib import Path

import pytest
from seasonplan.planner.sessions import place

from seasonplan.almanac import Almanac
from seasonplan.checker import check_sessions
from seasonplan.findings import Finding
from seasonplan.plan import Block
from seasonplan.planner.run import Found, best_plan
from seasonplan.rules import book_of, standard_book
from seasonplan.year import Year
from seasonplan.year.toml import read_year

ROOT = Path(__file__).parent.parent
YEAR = "sessions-few-things-to-train-on"
SESSION_RULES = sorted(rule.code for rule in standard_book() if rule.about == "sessions")
# It follows from the dose: there is nothing of its own in the planner to be taken out.
FOLLOWS = {"session-progression"}
# Without the dose nobody says what is missing, so weeks that could not be filled look unlike
# their block as well.
ALSO = {"session-dose": {"session-progression"}}
HARD = [code for code in SESSION_RULES if standard_book()[code].hard and code not in FOLLOWS]


@cache
def witness() -> tuple[Year, Sequence[Block]]:
    file = ROOT / "tests" / "years" / f"{YEAR}.toml"
    year = read_year(file.read_text(encoding="utf-8"), file=file.name)
    found = best_plan(year, book=book_of(year))
    assert isinstance(found, Found)
    return year, found.blocks


def judged_without(*codes: str) -> list[Finding]:
    """Placed without some rules, judged with all of them."""
    year, blocks = witness()
    book = book_of(year)
    taken = {day: [(18 * 60, 19 * 60)] for day in year.span.days() if day.weekday() <= 3}
    placed = place(Almanac(year), blocks, book=book.without(*codes), taken=taken)
    assert placed.sessions
    return list(
        check_sessions(year, blocks, placed.sessions, placed.shortfalls, book=book, taken=taken)
    )


def test_under_the_full_book_no_rule_about_sessions_is_broken() -> None:
    assert [f for f in judged_without() if f.strength == "hard"] == []


@pytest.mark.parametrize("code", HARD)
def test_without_a_rule_the_sessions_break_it_and_the_checker_says_so(code: str) -> None:
    broken = {f.code for f in judged_without(code) if f.strength == "hard"}
    assert code in broken
    assert broken <= {code} | ALSO.get(code, set())


def test_without_tests_asked_for_the_checker_misses_them(years: Callable[[str], Year]) -> None:
    year = years("twelve-weeks")
    book = book_of(year)
    found = best_plan(year, book=book, gap=0.01)
    assert isinstance(found, Found)
    missed = {}
    for asked in (book, book.without("session-test")):
        placed = place(Almanac(year), found.blocks, book=asked)
        findings = check_sessions(year, found.blocks, placed.sessions, placed.shortfalls, book=book)
        missed[asked is book] = sum(f.code == "session-test" for f in findings)
    assert missed[False] > missed[True]


def test_every_rule_about_sessions_has_an_enforcer() -> None:
    """Modules of the planner name in their docstring the rules that they enforce."""
    said = "".join(
        ast.get_docstring(ast.parse(path.read_text(encoding="utf-8"))) or ""
        for path in sorted((ROOT / "seasonplan" / "planner" / "sessions").glob("*.py"))
    )
    assert {code for code in SESSION_RULES if f"`{code}`" not in said} == set()
