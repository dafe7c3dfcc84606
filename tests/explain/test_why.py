"""Why each block stands where it stands: exact, for the whole year, in days on rock first."""

from __future__ import annotations

import threading
from datetime import date, timedelta
from functools import cache
from pathlib import Path

import pytest
from autumn import first_plan, year_of
from folder_maker import demo_copy

from seasonplan.explain.slip import block_slip
from seasonplan.explain.why import Reason, why
from seasonplan.explain.why_told import BEGUN, OVER, STOPPED, price_text, sentences
from seasonplan.plan import Block, Revision
from seasonplan.planner.prices import Other, Way
from seasonplan.planner.run import Found, best_plan
from seasonplan.rules.statements import book_of
from seasonplan.vocabulary import Emphasis, Kind
from seasonplan.workspace.desk import Desk
from seasonplan.year import Pin

NAME = "twelve-weeks"
YEAR = year_of(NAME)
BOOK = book_of(YEAR)


def block(kind: str) -> Block:
    return next(one for one in first_plan(NAME).current.blocks if one.id == f"{kind}-1")


@cache
def asked(kind: str, today: date | None = None) -> Reason:
    return why(YEAR, first_plan(NAME).current, block(kind), book=BOOK, today=today)


def told(kind: str, today: date | None = None) -> list[str]:
    return sentences(asked(kind, today), YEAR, book=BOOK)


def days_after(kind: str, days: int) -> date:
    return block(kind).span.first + timedelta(days=days)


def test_other_dates_that_cost_nothing_are_told_as_ties() -> None:
    texts = sentences(Reason(block("base"), ties=9), YEAR, book=BOOK)
    assert "To begin elsewhere costs nothing on 9 other dates: as good." in texts


# --- what is over -------------------------------------------------------------------------------


def test_of_a_block_that_is_over_nothing_is_asked() -> None:
    over = block("base").span.after
    assert asked("base", over).others == ()
    assert told("base", over)[-1] == OVER


def test_of_a_block_that_has_begun_only_what_is_left_is_asked() -> None:
    today = days_after("base", 10)
    reason = asked("base", today)
    assert set(reason.asked) == {Way.LONGER, Way.SHORTER, Way.OUT}
    assert all(one.span.after > today for one in reason.others)
    assert BEGUN in told("base", today) and OVER not in told("base", today)
    assert not any(text.startswith("Left out") for text in told("base", today))


def test_no_other_year_begins_a_block_on_days_that_are_over() -> None:
    today = days_after("performance", -5)
    others = [one for one in asked("performance", today).others if one.way is Way.EARLIER]
    assert all(one.span.first >= today for one in others)


def test_it_can_be_stopped_and_says_that_not_all_was_asked() -> None:
    stop = threading.Event()
    stop.set()
    reason = why(YEAR, first_plan(NAME).current, block("rest"), book=BOOK, stop=stop)
    assert reason.stopped and reason.others == ()
    assert sentences(reason, YEAR, book=BOOK)[-1] == STOPPED


# --- words --------------------------------------------------------------------------------------


def other(points: float, good_days: float = 0.0, *, way: Way = Way.LATER) -> Other:
    return Other(way, Kind.BASE, block("base").span, Emphasis.FINGERS, points, 0, good_days)


@pytest.mark.parametrize(
    ("points", "days", "words"),
    [
        (-4.2, -1.9, "costs 1.9 good days on rock, 5 % of the year's worth"),
        (-0.31, 0.0, "costs no day on rock, 0.4 % of the year's worth"),
        (-0.002, 0.0, "as good, a tie"),
        (-0.03, 0.0, "costs no day on rock, under 0.1 % of the year's worth"),
        (-0.5, 1.0, "brings 1 good day on rock more, yet is worth 0.6 % less"),
        (0.4, -0.6, "costs 0.6 good days on rock, and brings 0.5 % of the year's worth more"),
        (0.4, 0.6, "would bring 0.6 good days on rock, 0.5 % of the year's worth more"),
    ],
)
def test_a_price_is_told_in_days_on_rock_first(points: float, days: float, words: str) -> None:
    assert price_text(other(points, days), whole=84.0) == words


def test_where_a_year_is_worth_nothing_a_price_is_told_in_sure_days_on_rock() -> None:
    """A sure day for a goal of priority 1 is 3 points (shared/response.toml, worth.priority)."""
    told = price_text(other(-4.2, -1.9), whole=0.0)
    assert told == "costs 1.9 good days on rock, the worth of 1.4 sure days on rock"
    told = price_text(other(-0.6, 1.0), whole=0.0)
    assert told.endswith("yet is worth 0.2 sure days on rock less")


def test_a_block_that_could_as_well_be_left_out_is_told_as_one_of_two_equals() -> None:
    reason = Reason(block("base"), (other(-0.001, way=Way.OUT),))
    assert any("one of two equals" in text for text in sentences(reason, YEAR, book=BOOK))


def test_the_reason_names_what_is_furthest_behind_what_the_goal_asks() -> None:
    weak = YEAR.with_fields(
        climber=type(YEAR.climber)(
            **{**dict(YEAR.climber), "level": {"finger_strength": 1, "power": 5, "endurance": 5,
                                               "fitness": 5, "movement": 5}}
        )
    )  # fmt: skip
    fingers = Block(**{**dict(block("base")), "emphasis": Emphasis.FINGERS})
    reason = Reason(fingers, (other(-0.5, way=Way.OUT),))
    assert any(
        "because finger strength is furthest behind what" in text
        for text in sentences(reason, weak, book=BOOK)
    )
    strong = weak.with_fields(
        climber=type(YEAR.climber)(**{**dict(weak.climber), "level": {"finger_strength": 5}})
    )
    assert not any("furthest" in text for text in sentences(reason, strong, book=BOOK))


def test_of_a_block_that_was_fixed_it_is_asked_what_freeing_it_would_bring() -> None:
    base = block("base")
    shorter = timedelta(days=7)
    pin = Pin(name="my base", kind=Kind.BASE, first=base.span.first, last=base.span.last - shorter)
    year = YEAR.with_fields(pins=(*YEAR.pins, pin))
    found = best_plan(year, book=BOOK, confirm=False)
    assert isinstance(found, Found)
    blocks = [Block(**{**dict(one), "id": f"b-{n}"}) for n, one in enumerate(found.blocks, start=1)]
    now = Revision(**{**dict(first_plan(NAME).current), "blocks": tuple(blocks), "sessions": ()})
    fixed = next(one for one in blocks if one.pinned)
    reason = why(year, now, fixed, book=BOOK)
    longer = reason.other(Way.LONGER)
    assert longer is not None and longer.points > 0
    assert "would bring" in " ".join(sentences(reason, year, book=BOOK))


def test_a_plan_that_no_longer_keeps_the_rules_is_not_compared() -> None:
    now = first_plan(NAME).current
    pin = Pin(name="rest here", kind=Kind.REST, first=YEAR.span.first, last=YEAR.span.first
              + timedelta(days=6))  # fmt: skip
    reason = why(YEAR.with_fields(pins=(pin,)), now, block("base"), book=BOOK)
    assert not reason.known and reason.others == ()


@pytest.mark.parametrize("name", ["autumn-project", "mountain-summer"])
def test_a_rest_is_told_by_what_it_comes_after_not_by_rock_months_ahead(
    tmp_path: Path, name: str
) -> None:
    desk = Desk(demo_copy(tmp_path, name))
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
