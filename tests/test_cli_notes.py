"""What a person is told about a block and a year: the words that phone and terminal share."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from seasonplan.explain import notes
from seasonplan.findings import Finding
from seasonplan.plan import Block, Proof
from seasonplan.planner.run import Found, best_plan
from seasonplan.reference import caution
from seasonplan.rules import RuleBook, book_of
from seasonplan.vocabulary import Kind, Phase
from seasonplan.year import Climber, Injury, Year

Years = Callable[[str], Year]


@pytest.fixture(scope="module")
def year(years: Years) -> Year:
    return years("twelve-weeks")


@pytest.fixture(scope="module")
def book(year: Year) -> RuleBook:
    return book_of(year)


@pytest.fixture(scope="module")
def blocks(year: Year, book: RuleBook) -> dict[Kind, Block]:
    """The last block of each kind."""
    found = best_plan(year, book=book)
    assert isinstance(found, Found)
    return {block.kind: block for block in found.blocks}


def test_every_week_of_a_block_is_told_in_minutes(
    blocks: dict[Kind, Block], year: Year, book: RuleBook
) -> None:
    checked = 0
    for block in blocks.values():
        note = notes.block_note(block, year, book=book)
        for week in block.weeks:
            if week.minutes >= 1:
                assert f" {week.minutes:.0f}" in note
                checked += 1
    assert checked >= 8


def test_a_lead_in_tells_the_cut_of_the_rule(
    blocks: dict[Kind, Block], year: Year, book: RuleBook
) -> None:
    block = blocks[Kind.PERFORMANCE]
    assert any(week.lead_in for week in block.weeks)
    assert "fewer minutes (41 to 60 %)" in notes.block_note(block, year, book=book)
    off = notes.block_note(block, year, book=book.without("lead-in-volume"))
    assert "fewer minutes, effort stays" in off


def test_a_light_week_is_named(blocks: dict[Kind, Block], year: Year, book: RuleBook) -> None:
    block = blocks[Kind.STRENGTH]
    light = Block(**{**dict(block), "weeks": tuple(
        type(week)(**{**dict(week), "deload": number == 1})
        for number, week in enumerate(block.weeks)
    )})  # fmt: skip
    assert "Light week: from Mon" in notes.block_note(light, year, book=book)


def test_hard_blocks_of_the_young_carry_their_caution(
    blocks: dict[Kind, Block], year: Year, book: RuleBook
) -> None:
    young = year.with_fields(climber=Climber(**{**dict(year.climber), "birth_year": 2009}))
    block = blocks[Kind.STRENGTH]
    assert caution("young") in notes.block_note(block, young, book=book)
    assert caution("young") not in notes.block_note(block, year, book=book)
    assert caution("young") in notes.cautions(young)


def test_an_injury_defers_to_clinicians_and_names_no_part(
    blocks: dict[Kind, Block], year: Year, book: RuleBook
) -> None:
    block = Block(**{**dict(blocks[Kind.BASE if Kind.BASE in blocks else Kind.STRENGTH]),
                     "kind": Kind.RETURN, "phase": Phase.EASY})  # fmt: skip
    note = notes.block_note(block, year, book=book)
    assert caution("injury") in note and "elbow" not in note
    hurt = year.with_fields(
        injuries=(
            Injury(name="Elbow", part="elbow", happened="2026-02-01", easy_from="2026-02-10",
                   building_from="2026-02-20", full_from="2026-03-10"),
        )
    )  # fmt: skip
    assert notes.cautions(hurt)[0] == caution("injury")


def test_a_year_without_goals_and_a_goal_without_rock_are_warned_of(year: Year) -> None:
    assert notes.warnings(year) == []
    assert "entered no goal" in notes.warnings(year.with_fields(goals=()))[0]
    (text,) = notes.warnings(year.without("spring-in-the-cleft"))
    assert text.startswith("Nothing serves “Slow Lightning”: no season, window")


@pytest.mark.parametrize(
    ("proof", "said"),
    [
        (Proof(optimal=True, gap=0.0, bound=10), "Proven best"),
        (Proof(optimal=False, gap=0.004, bound=10), "Within 0.4 % of the best possible"),
        (Proof(optimal=False, gap=0.0002, bound=10), "Within 0.1 % of the best possible"),
    ],
)
def test_the_proof_is_told_in_percent(proof: Proof, said: str) -> None:
    assert notes.proof_text(proof).startswith(said)


def test_a_rule_bent_often_is_told_once_with_its_worst_place(year: Year, book: RuleBook) -> None:
    weeks = list(year.span.days())[:3]
    found = [
        Finding(code="load-step", strength="soft", span=type(year.span).through(day, day),
                found=1.4 + number / 10, limit=1.3)
        for number, day in enumerate(weeks)
    ]  # fmt: skip
    (text,) = notes.bent_rules(found, book=book)
    assert text.endswith(
        "is bent 3 times: most on Wed 4 Mar 2026 (1.6 times the mean of the four weeks before)."
    )
