"""Every hard rule about blocks taken out in turn: the planner breaks it, the checker sees it.

tests/years/witness-CODE.toml is a year in which rule CODE, and no other, is broken once it is
switched off. So a judge that sleeps, or an enforcer that is not the only one, fails here.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from seasonplan.checker import check
from seasonplan.planner.run import Found, Impossible, best_plan
from seasonplan.rules import book_of, standard_book
from seasonplan.year import Year

HARD = sorted(rule.code for rule in standard_book() if rule.hard and rule.about == "blocks")
YEARS = Path(__file__).parent / "years"
# These say what weeks hold: the planner obeys them in any year, so a plan is there to be judged.
OF_CONTENT = {
    "build-back", "deload", "injury-caps", "lead-in-volume", "rest-day", "young-fingers",
}  # fmt: skip


def test_every_hard_rule_has_a_witness_year_and_no_witness_lacks_a_rule() -> None:
    witnesses = {path.stem.removeprefix("witness-") for path in YEARS.glob("witness-*.toml")}
    assert witnesses == set(HARD)


@pytest.mark.parametrize("code", HARD)
def test_under_the_full_book_no_rule_is_broken(code: str, years: Callable[[str], Year]) -> None:
    year = years(f"witness-{code}")
    book = book_of(year)
    found = best_plan(year, book=book)
    if code in OF_CONTENT:
        assert isinstance(found, Found)
        broken = check(year, found.blocks, book=book, claimed=found.score)
        assert [f for f in broken if f.strength == "hard"] == []
    else:
        assert isinstance(found, Impossible)


@pytest.mark.parametrize("code", HARD)
def test_without_a_rule_the_plan_breaks_it_and_the_checker_says_so(
    code: str, years: Callable[[str], Year]
) -> None:
    year = years(f"witness-{code}")
    book = book_of(year)
    found = best_plan(year, book=book.without(code))
    assert isinstance(found, Found)
    broken = {f.code for f in check(year, found.blocks, book=book) if f.strength == "hard"}
    assert broken == {code}
