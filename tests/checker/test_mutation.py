"""Every hard rule about blocks taken out in turn: the planner breaks it, the checker sees it.

tests/years/witness-CODE.toml is a year in which rule CODE is broken once it is switched off, and
no other that says something else. So a judge that sleeps, or an enforcer that is not the only
one, fails here.
"""

from __future__ import annotations

from collections.abc import Callable

import pytest
from places import TESTS
from planned import codes_of, judged, planned

from seasonplan.checker import check
from seasonplan.plan import Block, Week
from seasonplan.rules.statements import standard_book
from seasonplan.vocabulary import Kind
from seasonplan.year import Year

HARD = sorted(rule.code for rule in standard_book() if rule.hard and rule.about == "blocks")
YEARS = TESTS / "years"
# These say what weeks hold: the planner obeys them in any year, so a plan is there to be judged.
OF_CONTENT = {"build-back", "deload", "injury-caps", "rest-day", "young-fingers"}
# Sessions are judged beside the blocks: what a rule on blocks forbids them, session rules see too.
BREAKS = {
    "injury-caps": {"injury-caps", "session-care", "session-return"},
    "rest-day": {"rest-day", "session-rest-day"},
    "young-fingers": {"young-fingers", "session-care"},
}


def test_every_hard_rule_has_a_witness_year_and_no_witness_lacks_a_rule() -> None:
    witnesses = {path.stem.removeprefix("witness-") for path in YEARS.glob("witness-*.toml")}
    assert witnesses == set(HARD)


@pytest.mark.parametrize("code", HARD)
def test_under_the_full_book_no_rule_is_broken(code: str, years: Callable[[str], Year]) -> None:
    year = years(f"witness-{code}")
    made = planned(year)
    if code in OF_CONTENT:
        assert made is not None
        assert judged(year, made) == []
    else:
        assert made is None


@pytest.mark.parametrize("code", HARD)
def test_without_a_rule_the_plan_breaks_it_and_the_checker_says_so(
    code: str, years: Callable[[str], Year]
) -> None:
    year = years(f"witness-{code}")
    made = planned(year, code)
    assert made is not None
    assert codes_of(judged(year, made)) == BREAKS.get(code, {code})


def test_a_week_of_maximal_finger_work_put_into_a_return_breaks_the_caps_of_the_injury(
    years: Callable[[str], Year],
) -> None:
    """No recipe for a return loads fingers to the most, so the break is planted by hand."""
    year = years("witness-injury-caps")
    made = planned(year)
    assert made is not None
    spoiled = tuple(_loaded(block) for block in made.blocks)
    told = check(year, spoiled, sessions=made.sessions)
    returns = [b.id for b in made.blocks if b.kind is Kind.RETURN]
    assert returns
    assert {f.blocks[0] for f in told if f.code == "injury-caps"} == {*returns}


def _loaded(block: Block) -> Block:
    """A return block with maximal finger work in all its weeks, any other as it is."""
    if block.kind is not Kind.RETURN:
        return block
    weeks = tuple(Week(**{**dict(week), "max_fingers": True}) for week in block.weeks)
    return Block(**{**dict(block), "weeks": weeks})
