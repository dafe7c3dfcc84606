"""Why a block stands where it stands: nothing is asked of what is over, and it can be stopped."""

from __future__ import annotations

import threading
from datetime import date, timedelta
from functools import cache
from pathlib import Path

import pytest
from autumn import first_plan, year_of
from stage import demo

from seasonplan.desk import Desk
from seasonplan.explain import why as words
from seasonplan.explain.slip import block_slip
from seasonplan.explain.why import Reason, why
from seasonplan.explain.why_told import BEGUN, OVER, STOPPED, sentences
from seasonplan.plan import Block
from seasonplan.planner import accepted, run
from seasonplan.rules import book_of

NAME = "twelve-weeks"
YEAR = year_of(NAME)
BOOK = book_of(YEAR)


def block(kind: str) -> Block:
    return next(one for one in first_plan(NAME).current.blocks if one.id == f"{kind}-1")


@cache
def asked(kind: str, today: date | None) -> Reason:
    return why(YEAR, first_plan(NAME).current, block(kind), book=BOOK, today=today)


def told(kind: str, today: date | None) -> list[str]:
    return sentences(asked(kind, today), YEAR, book=BOOK)


def days_after(kind: str, days: int) -> date:
    return block(kind).span.first + timedelta(days=days)


def test_of_a_block_that_is_over_nothing_is_asked() -> None:
    over = block("strength").span.after
    assert asked("strength", over).what_ifs == ()
    assert told("strength", over)[-1] == OVER


def test_of_a_block_that_has_begun_only_what_is_left_is_asked() -> None:
    today = days_after("strength", 10)
    assert [one.label for one in asked("strength", today).what_ifs] == ["Ended today"]
    assert BEGUN in told("strength", today) and OVER not in told("strength", today)


def test_no_what_if_moves_a_block_to_days_that_are_over() -> None:
    labels = [one.label for one in asked("performance", days_after("performance", -5)).what_ifs]
    assert labels == ["5 days earlier", "Two weeks later", "Left out"]
    labels = [one.label for one in asked("performance", days_after("performance", 0)).what_ifs]
    assert labels == ["Two weeks later", "Left out"]


def test_what_was_done_before_today_is_planned_as_it_was(monkeypatch: pytest.MonkeyPatch) -> None:
    frozen = []
    best = run.best_plan

    def plan(*args: object, **more: object) -> object:
        frozen.append(more["accepted"])
        return best(*args, **more)  # type: ignore[arg-type]

    monkeypatch.setattr(words, "best_plan", plan)
    today = days_after("performance", -7)
    why(YEAR, first_plan(NAME).current, block("performance"), book=BOOK, today=today)
    blocks = first_plan(NAME).current.blocks
    assert frozen and all(one == accepted.Accepted(blocks, today) for one in frozen)


def test_it_can_be_stopped_and_says_that_not_all_was_asked() -> None:
    stop = threading.Event()
    stop.set()
    reason = why(YEAR, first_plan(NAME).current, block("rest"), book=BOOK, stop=stop)
    assert reason.stopped and reason.what_ifs == ()
    assert sentences(reason, YEAR, book=BOOK)[-1] == STOPPED


def test_a_case_that_was_stopped_on_the_way_is_not_told(monkeypatch: pytest.MonkeyPatch) -> None:
    stop = threading.Event()
    best = run.best_plan

    def stopped_in_the_second(*args: object, **more: object) -> object:
        calls.append(1)
        if len(calls) == 2:
            stop.set()
        return best(*args, **more)  # type: ignore[arg-type]

    calls: list[int] = []
    monkeypatch.setattr(words, "best_plan", stopped_in_the_second)
    reason = why(YEAR, first_plan(NAME).current, block("rest"), book=BOOK, stop=stop)
    assert reason.stopped and "Left out" not in [one.label for one in reason.what_ifs]


@pytest.mark.parametrize("name", ["autumn-project", "mountain-summer"])
def test_a_rest_is_told_by_what_it_comes_after_not_by_rock_months_ahead(
    tmp_path: Path, name: str
) -> None:
    desk = Desk(demo(tmp_path, name))
    assert desk.plan is not None
    blocks = desk.plan.current.blocks
    told = {
        one.id: " ".join(
            block_slip(one, desk.year, blocks=blocks, book=desk.book, number=one.id).why
        )
        for one in blocks
        if one.id.startswith("rest-")
    }
    assert not any("The next rock" in text for text in told.values())
    assert any("It comes after the rock for" in text for text in told.values())
