"""A year asked again, at another price of changes or without a rule, is the year planned anew."""

from __future__ import annotations

import pytest
from autumn import NEWS, first_plan, occasion, year_of

from seasonplan.plan import Plan
from seasonplan.planner import search as searches
from seasonplan.planner.accepted import Accepted
from seasonplan.planner.run import Found, best_plan
from seasonplan.planner.search import PLACING, Search
from seasonplan.planning.proposal import alternatives
from seasonplan.rules.statements import Rule, RuleBook, book_of
from seasonplan.year import Year

CASE = "flu-in-the-lead-in"


def searched(year: Year, book: RuleBook) -> Search:
    found = best_plan(year, book=book, confirm=False)
    assert isinstance(found, Found)
    return found.search


@pytest.fixture
def nothing_known(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(searches, "_kept", [])


def answers() -> list[Plan]:
    """What else the climber could choose from after the flu."""
    name = f"autumn-{CASE}"
    found = alternatives(
        year_of(name), occasion(name), previous=first_plan(), old_year=year_of("autumn"),
        today=NEWS[CASE].today,
    )  # fmt: skip
    return [one.plan for one in found]


def without_proof(plans: list[Plan]) -> list[object]:
    return [(one.current.blocks, one.current.sessions, one.current.score) for one in plans]


@pytest.mark.usefixtures("nothing_known")
def test_other_answers_to_the_same_news_are_those_of_the_year_planned_anew(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    first_plan()
    searches._kept.clear()
    together = answers()
    assert {one.grid.accepted is not None for one in searches._kept} == {True}
    assert len({one.keep for one in searches._kept}) == len(together) >= 2
    assert len({id(one.graph) for one in searches._kept}) < len(searches._kept)
    monkeypatch.setattr(searches, "MOST_KEPT", 0)
    searches._kept.clear()
    assert without_proof(answers()) == without_proof(together)


@pytest.mark.usefixtures("nothing_known")
def test_a_rule_on_blocks_that_goes_leaves_the_weeks_and_gives_the_plan_made_anew() -> None:
    year = year_of("autumn")
    stands = searched(year, book_of(year))
    looser = book_of(year).without("rest-every", "few-changes")
    again = searched(year, looser)
    assert again.weeks.frames is stands.weeks.frames
    searches._kept.clear()
    anew = searched(year, looser)
    assert anew.weeks.frames is not stands.weeks.frames
    best, other = again.prices.best(), anew.prices.best()
    assert best is not None and other is not None and best == other
    assert again.blocks(best) == anew.blocks(other) and again.best_variants == anew.best_variants
    assert not again.weeks.rules["few-changes"].on and stands.weeks.rules["few-changes"].on


@pytest.mark.usefixtures("nothing_known")
def test_whatever_a_week_hangs_on_is_asked_anew() -> None:
    year = year_of("twelve-weeks")
    stands = searched(year, book_of(year))
    assert searched(year, book_of(year)) is stands
    climber = type(year.climber)(**{**dict(year.climber), "birth_year": 1960})
    accepted = Accepted((), year.span.first)
    assert searched(year.with_fields(climber=climber), book_of(year)) is not stands
    shaped = searched(year, book_of(year).without("session-test"))
    assert shaped.weeks.frames is not stands.weeks.frames
    found = best_plan(year, book=book_of(year), accepted=accepted, confirm=False)
    assert isinstance(found, Found) and found.search.grid.accepted is accepted
    assert len(searches._kept) <= searches.MOST_KEPT


class Overheard(RuleBook):
    """A book that notes which rules are asked about."""

    def __init__(self, book: RuleBook) -> None:
        super().__init__({rule.code: rule for rule in book})
        self.codes: set[str] = set()

    def active(self, code: str) -> Rule | None:
        self.codes.add(code)
        return super().active(code)


def test_no_week_asks_about_a_rule_on_where_blocks_lie() -> None:
    year = year_of("autumn")
    book = Overheard(book_of(year))
    weeks = Search(year, book=book).weeks
    search = Search(year, book=book_of(year))
    search.grid, search.weeks = weeks.grid, weeks
    assert search.best_variants
    for cell in weeks.grid.cells:
        if cell.given is not None:
            weeks.given(cell)
    assert {"session-dose", "rest-day"} <= book.codes
    assert not book.codes & set(PLACING)
