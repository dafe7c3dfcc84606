"""Rules in words: their numbers are those in force, and what a finding counts is said with it."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Any

import pytest
from draft_maker import YEAR, draft
from typer.testing import CliRunner

from seasonplan.cli.app import app
from seasonplan.days import Span
from seasonplan.edits import ChangeRule, apply
from seasonplan.errors import BadInput
from seasonplan.explain.amounts import amount_text
from seasonplan.explain.breaks import sentence
from seasonplan.explain.notes import bent_rules
from seasonplan.explain.rulebook import rule_facts, rule_standing, strength_text
from seasonplan.rules.findings import Finding
from seasonplan.rules.statements import Limit, standard_book
from seasonplan.vocabulary import Verified

BOOK = standard_book()
SPAN = Span(date(2027, 1, 4), date(2027, 1, 11))


def finding(code: str, found: float, about: str = "") -> Finding:
    return Finding(code=code, strength=BOOK[code].strength, span=SPAN, found=found, about=about)


# --- numbers in force -------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("code", "limit", "says"),
    [
        ("base-length", (4, 6), "A base block lasts 4 to 6 weeks"),
        ("deload", 3, "One week in 3 is light"),
        ("rest-every", 10, "A rest block at least every 10 weeks"),
        (
            "lead-in-start",
            1,
            "A lead-in of at least 1 day before tries or a trip of the highest priority",
        ),
        ("load-step", 1.5, "A week holds at most 1.5 times the best month at home"),
    ],
)
def test_a_changed_limit_is_in_the_title_of_its_rule(code: str, limit: Limit, says: str) -> None:
    assert BOOK.with_limit(code, limit)[code].title == says


def test_no_title_and_no_statement_holds_a_limit_by_heart() -> None:
    """With a limit that no text could know, the old one is nowhere."""
    for rule in BOOK:
        ends = rule.limit if isinstance(rule.limit, tuple) else (rule.limit,)
        if rule.limit is None:
            continue
        other = tuple(71 + at for at in range(len(ends)))
        changed = BOOK.with_limit(rule.code, other if len(other) == 2 else other[0])[rule.code]
        said = f"{changed.title} {changed.statement}".replace("%", " ").split()
        assert all(f"{end:g}" not in said for end in ends if end), changed.title
        assert all(str(end) in changed.statement for end in other)


def test_lengths_that_no_block_of_the_year_can_have_are_refused() -> None:
    with pytest.raises(BadInput) as bad:
        apply(draft(YEAR), ChangeRule(code="base-length", limit=(900, 1000)))
    (fault,) = bad.value.faults
    assert fault.found == "900 weeks at least" and "12 weeks of your year" in fault.wanted
    assert fault.do == "With this limit no base block fits your year."
    apply(draft(YEAR), ChangeRule(code="base-length", limit=(1, 1000)))


# --- what a finding counts --------------------------------------------------------------------


@pytest.mark.parametrize(
    ("code", "about", "found", "says"),
    [
        ("session-dose", "load", 115.3, "15 % more than asked"),
        ("session-dose", "load", 80.2, "20 % less than asked"),
        ("session-dose", "load", 105.3, "5.3 % more than asked"),
        ("session-dose", "shortfall", 1.0, "1 minute"),
        ("load-step", "", 3.31, "3.3 times the best month before"),
        ("lead-in-volume", "minutes", 35.6, "36 % below a full week"),
        ("lead-in-volume", "minutes", -35.6, "36 % above a full week"),
        ("base-length", "", 1.0, "1 week"), ("rest-length", "", 15.0, "15 days"),
        ("rest-day", "", 7.0, "7 days a week"), ("session-order", "order", 3.0, ""),
        ("work-before-rest", "", 4.0, "4 weeks"),
        ("work-before-rest", "", 6.0, "straight after a light week"),
    ],
)  # fmt: skip
def test_the_number_of_a_finding_is_said_with_what_it_counts(
    code: str, about: str, found: float, says: str
) -> None:
    assert amount_text(finding(code, found, about), BOOK[code]) == says


def test_one_of_a_thing_is_told_as_one() -> None:
    told = sentence(finding("base-length", 1.0), book=BOOK)
    assert "found 1 week. Base blocks last 3 to 8 weeks" in told
    (summed,) = bent_rules([finding("load-step", 1.9), finding("load-step", 3.3)], book=BOOK)
    assert summed.endswith(
        "is not met 2 times: most on Mon 4 Jan 2027 to Sun 10 Jan 2027 "
        "(3.3 times the best month before)."
    )


# --- one pair of words ------------------------------------------------------------------------


def test_both_faces_say_alike_how_strict_a_rule_is(tmp_path: Path) -> None:
    assert rule_standing(BOOK["base-length"]) == "always holds, on"
    assert (
        rule_standing(BOOK.without("load-step")["load-step"]) == "preference, off, changed by you"
    )
    ran: Any = CliRunner().invoke(app, ["rules", "load-step"], env={"COLUMNS": "200"})
    for head, text in rule_facts(BOOK["load-step"]):
        assert f"{head}: {text}"[:60] in ran.stdout
    every = CliRunner().invoke(app, ["rules", "--plain"]).stdout
    assert ": hard," not in every and ": soft," not in every


@pytest.mark.parametrize(
    ("code", "says"),
    [
        ("few-changes", "Each block counts against the plan as much as 1.7 % of a day on rock"),
        ("base-first", "as much as 10 % of a day on rock that is sure to be good"),
        ("lead-in-start", "Each season, window or trip that begins without counts"),
        ("load-step", "where a plan does not meet it you are told; it costs the plan nothing"),
    ],
)
def test_what_bending_a_preference_costs_is_said_in_days_on_rock(code: str, says: str) -> None:
    """Such a day is worth 3 points (shared/response.toml, priority); a third of one is 1 point."""
    assert says in strength_text(BOOK[code]) and "points" not in strength_text(BOOK[code])


def test_how_far_a_source_was_checked_is_said_in_words() -> None:
    told = " ".join(text for rule in BOOK for head, text in rule_facts(rule) if head == "Source")
    assert "[checked" not in told and "none]" not in told
    assert "(abstract read)" in told and Verified.NONE.value not in told.replace("no source", "")
