"""For which news a block changes: told by leaving them out, never by where their days lie."""

from __future__ import annotations

import random
from collections.abc import Sequence
from datetime import date, timedelta
from functools import cache
from itertools import chain, combinations
from pathlib import Path
from typing import Any

import pytest
from autumn import KEY, STAMP, planned, text_of
from typer.testing import CliRunner
from year_maker import small_year

from seasonplan.cli.app import app
from seasonplan.days import Span
from seasonplan.edits import read
from seasonplan.explain import because
from seasonplan.explain.causes import (
    Causes,
    CausingNews,
    Piece,
    ShareOfChange,
    pieces,
    year_without,
)
from seasonplan.explain.news import Years, cause_text
from seasonplan.plan import Block, Plan
from seasonplan.planning.proposal import Proposal, ProposedChange, propose
from seasonplan.planning.replan import Planned, Provenance, plan_year
from seasonplan.rules.statements import book_of
from seasonplan.vocabulary import Discipline, Kind
from seasonplan.year import Absence, Season, Window, Year

SPRING = "twelve-weeks"
WHY = Provenance("test", STAMP, "digest")
WHOLE = (ShareOfChange.WHOLLY, ShareOfChange.MOSTLY)


def run(*words: object) -> Any:
    return CliRunner().invoke(
        app, [str(word) for word in words], env={"COLUMNS": "300", "NO_COLOR": None}
    )


# --- what the climber saw -------------------------------------------------------------------


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Twelve weeks with a goal at one place; then a season elsewhere, and a trip in its days."""
    folder = planned(tmp_path, SPRING)
    season = ("name=Elsewhere", "place=Saltmere", "discipline=sport", "chance=0.4")
    trip = ("name=Isle", "first=2026-04-11", "last=2026-04-15", "climbing=false")
    for words in (
        ("season", *season, "first=2026-04-06", "last=2026-05-24"),
        ("trip", *trip),
    ):
        ran = run("edit", folder, "add", *words, "--today", "2026-04-06")
        assert ran.exit_code == 0, ran.output
        assert "contradicts" not in ran.stderr  # the hand left a plan without sums, no mistake
    return folder


def test_a_trip_is_the_cause_and_not_a_season_that_nobody_climbs_in(folder: Path) -> None:
    """The user saw every change put down to the season, because its days lie where they do."""
    told = run("replan", folder, "--look", "--why", "--today", "2026-04-06").stdout
    lines = told.partition("Why they change")[2].splitlines()
    assert any(line.endswith("for “Isle”.") for line in lines), told
    assert any(line.endswith("is what you entered: “Isle”.") for line in lines), told
    assert "for “Elsewhere”" not in told and "itself: “Elsewhere”" not in told


# --- any news -------------------------------------------------------------------------------


def subsets(every: Sequence[Piece]) -> list[tuple[Piece, ...]]:
    return list(chain.from_iterable(combinations(every, n) for n in range(len(every) + 1)))


def a_block(kind: Kind) -> Block:
    return Block(id="x-1", kind=kind, span=Span(date(2026, 4, 6), date(2026, 4, 20)), weeks=())


class World(Causes):
    """Causes of one change that comes where one of some sets of news is there; nothing planned."""

    def __init__(self, names: str, enough: Sequence[str]) -> None:
        self.all = tuple(Piece("trips", name) for name in names)
        self.enough = [set(one) for one in enough]
        self.change = ProposedChange((), a_block(Kind.BASE), a_block(Kind.STRENGTH), None)
        self.proposal = _Told(date(2026, 4, 6))  # type: ignore[assignment]
        days = self.change.stands.span.days()
        self._was = dict.fromkeys(days, (Kind.BASE,))
        self._is = dict.fromkeys(self.change.stands.span.days(), (Kind.STRENGTH, "", None))

    def _without(self, gone: frozenset[Piece]) -> Sequence[Block]:
        return [a_block(Kind.STRENGTH if self.comes(gone) else Kind.BASE)]

    def comes(self, gone: Sequence[Piece] | frozenset[Piece]) -> bool:
        there = {piece.name for piece in self.all} - {piece.name for piece in gone}
        return any(one <= there for one in self.enough)

    def told(self) -> CausingNews:
        return self.of(self.change)


class _Told:
    def __init__(self, today: date) -> None:
        self.today = today


@pytest.mark.parametrize(
    ("enough", "part", "names"),
    [
        (["a"], ShareOfChange.WHOLLY, "a"),
        (["ab"], ShareOfChange.TOGETHER, "ab"),
        (["a", "b"], ShareOfChange.EITHER, "ab"),
        (["ab", "ac"], ShareOfChange.MOSTLY, "a"),
        (["ab", "cd"], ShareOfChange.TOGETHER, "abcd"),
        ([""], ShareOfChange.NONE, "abcd"),
    ],
)
def test_each_way_that_news_can_work_has_its_word(
    enough: list[str], part: ShareOfChange, names: str
) -> None:
    told = World("abcd", enough).told()
    assert (told.part, "".join(piece.name for piece in told.pieces)) == (part, names)


def test_what_is_told_of_any_news_holds_when_they_are_left_out() -> None:
    """Worlds by number: up to five pieces of news, up to three sets that are enough."""
    rng, seen = random.Random("worlds"), set()
    for number in range(400):
        names = "abcde"[: rng.randint(1, 5)]
        sets = ["".join(n for n in names if rng.random() < 0.4) for _ in range(rng.randint(1, 3))]
        world = World(names, sets)
        told = world.told()
        seen.add(told.part)
        others = [one for one in world.all if one not in told.pieces]
        if told.part is ShareOfChange.NONE:
            assert world.comes(world.all), number
            continue
        assert not world.comes(told.pieces), number  # without them it never comes
        if told.part is ShareOfChange.WHOLLY:
            assert world.comes(others), number
        if told.part in (*WHOLE, ShareOfChange.TOGETHER) and len(told.pieces) == 1:
            assert all(world.comes([one]) for one in others), number
        if told.part is ShareOfChange.EITHER:
            for one in told.pieces:
                assert world.comes([other for other in world.all if other != one]), number
        idle = [one for one in world.all if not any(one.name in each for each in sets)]
        assert not set(idle) & set(told.pieces), number
    assert seen == set(ShareOfChange) - {ShareOfChange.ITSELF}


def with_news(number: int, year: Year, today: date) -> Year:
    """Two days off that may change blocks, and two entries of which no plan depends."""
    rng = random.Random(f"causes {number}")

    def days(*lengths: int) -> dict[str, date]:
        first = today + timedelta(days=rng.randint(2, 30))
        return {"first": first, "last": first + timedelta(days=rng.choice(lengths) - 1)}

    away = tuple(Absence(name=f"Off {n}", **days(4, 8, 12)) for n in range(2))
    nowhere: dict[str, Any] = {"place": "Nowhere", "discipline": Discipline.SPORT, "chance": 0.4}
    return year.with_fields(
        absences=(*year.absences, *away),
        seasons=(*year.seasons, Season(name="Idle season", **nowhere, **days(30, 40))),
        windows=(*year.windows, Window(name="Idle spell", **nowhere, **days(6, 9))),
    )


@cache
def small_plan(number: int) -> tuple[Year, Plan] | None:
    year = small_year(number)
    first = plan_year(year, WHY, previous=None, calendar_key=KEY)
    return (year, first.plan) if isinstance(first, Planned) else None


def asked(old: Year, plan: Plan, new: Year, today: date) -> Proposal | None:
    answer = propose(new, WHY, previous=plan, old_year=old, today=today, keep=0.15)
    return answer if isinstance(answer, Proposal) else None


def kinds(proposal: Proposal, change: ProposedChange) -> list[object]:
    """What stands on the days of a change, from today on, in another proposal."""
    spans = [block.span for block in (change.before, change.after) if block]
    days = sorted({day for span in spans for day in span.days() if day >= proposal.today})
    on = {d: (b.kind, b.emphasis) for b in proposal.after.blocks for d in b.span.days()}
    return [on.get(day) for day in days]


def test_in_real_years_idle_news_are_never_the_cause_and_a_sole_cause_is_enough() -> None:
    """Years by number; a second proposal without the others is compared."""
    held = 0
    for number in (1, 3, 6):
        known = small_plan(number)
        if known is None:
            continue
        old, plan = known
        today = old.span.first + timedelta(days=10)
        new = with_news(number, old, today)
        answer = asked(old, plan, new, today)
        if answer is None:
            continue
        causes = Causes(answer)
        told = [(change, causes.of(change)) for change in answer.blocks]
        for change, cause in told:
            named = {piece.name for piece in cause.pieces}
            if cause.part is not ShareOfChange.NONE:
                assert not named & {"idle-season", "idle-spell"}, (number, change, cause)
            if cause.part is not ShareOfChange.WHOLLY:
                continue
            others = [piece for piece in causes.all if piece not in cause.pieces]
            alone = year_without(old, new, others)
            assert alone is not None
            again = asked(old, plan, alone, today)
            assert again is not None and kinds(again, change) == kinds(answer, change)
            held += 1
    assert held >= 2


# --- years without some news ----------------------------------------------------------------


def test_a_year_without_all_its_news_is_the_old_year() -> None:
    old = read(text_of(SPRING))
    new = with_news(1, old, old.span.first).with_fields(rules=read(UNFELT).rules)
    new = new.without(new.absences[0].id)
    news = pieces(old, new)
    assert {piece.field for piece in news} == {"absences", "seasons", "windows", "rules"}
    back = year_without(old, new, news)
    assert back is not None and pieces(old, back) == ()
    assert year_without(old, new, ()) == new


UNFELT = text_of(SPRING) + "\n[rules.young-fingers]\nlimit = 16\n"


def test_a_goal_no_longer_names_a_season_that_is_left_out() -> None:
    old = read(text_of(SPRING))
    season = Season(
        name="Late", place=old.goals[0].place, discipline=old.goals[0].discipline,
        first=date(2026, 5, 20), last=date(2026, 5, 24), chance=0.5,
    )  # fmt: skip
    goal = type(old.goals[0])(**{**dict(old.goals[0]), "served_by": ("late",)})
    new = old.with_fields(seasons=(*old.seasons, season), goals=(goal, *old.goals[1:]))
    back = year_without(old, new, [Piece("seasons", "late")])
    assert back is not None and back.goals[0].served_by == ()


# --- in words -------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("part", "said"),
    [
        (ShareOfChange.WHOLLY, "It changes for “Off 0”."),
        (ShareOfChange.MOSTLY, "It changes mostly for “Off 0”."),
        (ShareOfChange.TOGETHER, "It changes for “Off 0” and “Off 1” together."),
        (ShareOfChange.EITHER, "It changes for “Off 0” or “Off 1”: either is enough."),
        (ShareOfChange.NONE, "It changes not at all for “Off 0” and “Off 1”, but without that too"),
    ],
)
def test_mostly_together_and_not_at_all_are_said(part: ShareOfChange, said: str) -> None:
    old = read(text_of(SPRING))
    new = with_news(1, old, old.span.first)
    named = [Piece("absences", "off-0"), Piece("absences", "off-1")]
    cause = CausingNews(part, tuple(named[:1] if part in WHOLE else named))
    told = cause_text(cause, Years(old, new), book=book_of(new))
    assert told.startswith(said) and told.endswith(".")
    gone = cause_text(cause, Years(new, old), book=book_of(new))  # entries that are no more
    assert gone == told


def test_without_any_news_no_news_is_named() -> None:
    old = read(text_of(SPRING))
    kept = because.Because(
        ProposedChange((), a_block(Kind.BASE), None, None), CausingNews(ShareOfChange.NONE)
    )
    assert cause_text(kept.cause, Years(old, old), book=book_of(old)) == ""
    assert because.kept_text(kept, Years(old, old), book=book_of(old))
