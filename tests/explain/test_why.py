"""Why each block stands where it stands: exact, for the whole year, in days on rock first."""

from __future__ import annotations

import threading
from datetime import date, timedelta
from functools import cache

import pytest
from autumn import first_plan, year_of

from seasonplan.days import Span
from seasonplan.explain.why import Reason, why
from seasonplan.explain.why_told import BEGUN, OVER, STAYS, STOPPED, price_text, sentences
from seasonplan.plan import Block, Revision
from seasonplan.planner.prices import Other, Way
from seasonplan.planner.run import Found, best_plan
from seasonplan.rules.statements import book_of
from seasonplan.vocabulary import Emphasis, Kind
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
    return sentences(asked(kind, today), YEAR)


def days_after(kind: str, days: int) -> date:
    return block(kind).span.first + timedelta(days=days)


def test_other_dates_that_cost_nothing_are_told_as_ties() -> None:
    texts = sentences(Reason(block("base"), ties=9), YEAR)
    assert "It could begin on 9 other dates at no cost." in texts
    (gone,) = (text for text in texts if text.startswith("Not possible"))
    assert "earlier" not in gone and "later" not in gone, "it could begin elsewhere"
    alone = sentences(Reason(block("base")), YEAR)
    assert "earlier, later" in alone[-1]


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
    assert sentences(reason, YEAR)[-1] == STOPPED


# --- words --------------------------------------------------------------------------------------


def other(points: float, good_days: float = 0.0, *, way: Way = Way.LATER) -> Other:
    return Other(way, Kind.BASE, block("base").span, Emphasis.FINGERS, points, 0, good_days)


# a sure day for a goal of priority 1 is 3 points (shared/response.toml, worth.priority)
@pytest.mark.parametrize(
    ("points", "days", "words"),
    [
        (-4.2, -1.9, "costs 1.9 good days on rock, with form worth 1.4"),
        (-0.31, 0.0, "costs form worth 0.1 good days on rock"),
        (-0.002, 0.0, "as good, a tie"),
        (-0.09, 0.0, "costs form worth 0.03 good days on rock"),
        (-0.006, 0.0, "costs form worth under 0.01 good days on rock"),
        (-3.0, 0.0, "costs form worth 1 good day on rock"),
        (-0.6, 1.0, "brings 1 good day on rock more, yet with form costs 0.2"),
        (0.6, -0.6, "costs 0.6 good days on rock, yet with form brings 0.2"),
        (0.6, 0.6, "would bring 0.6 good days on rock, with form worth 0.2"),
        (0.6, 0.0, "would bring form worth 0.2 good days on rock"),
    ],
)
def test_a_price_is_told_in_days_on_rock_first(points: float, days: float, words: str) -> None:
    assert price_text(other(points, days)) == words


@pytest.mark.parametrize(
    ("points", "words"),
    [
        (-0.001, "is as good."),
        (-0.1, "is as good as equal: it costs form worth 0.03 good days on rock."),
        (-1.2, "costs form worth 0.4 good days on rock."),
    ],
)
def test_a_reason_ends_with_the_nearest_other_choice_and_its_price(
    points: float, words: str
) -> None:
    near = other(points, way=Way.EMPHASIS)
    reason = Reason(block("base"), (other(-6.0, -1.0), near, other(-9.0, way=Way.OUT)))
    told = " ".join(sentences(reason, YEAR))
    assert f"The nearest other choice, with fingers instead, {words}" in told


def test_a_block_that_could_as_well_be_left_out_is_told_as_one_of_two_equals() -> None:
    reason = Reason(block("base"), (other(-0.001, way=Way.OUT),))
    assert any("one of two equals" in text for text in sentences(reason, YEAR))


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
    told = " ".join(sentences(reason, year))
    assert "would bring" in told and STAYS not in told


def test_a_choice_that_would_bring_more_says_why_it_is_not_so() -> None:
    """Seen: "would bring 0.3 good days", after a plan that stays near the one before."""
    texts = sentences(Reason(block("base"), (other(0.6, 0.6),)), YEAR)
    assert any(STAYS in text for text in texts)
    for small in (other(-0.6, -0.6), other(0.1, 0.0)):
        assert not any(STAYS in t for t in sentences(Reason(block("base"), (small,)), YEAR))


def test_a_plan_that_no_longer_keeps_the_rules_is_not_compared() -> None:
    now = first_plan(NAME).current
    pin = Pin(name="rest here", kind=Kind.REST, first=YEAR.span.first, last=YEAR.span.first
              + timedelta(days=6))  # fmt: skip
    reason = why(YEAR.with_fields(pins=(pin,)), now, block("base"), book=BOOK)
    assert not reason.known and reason.others == ()


@pytest.mark.parametrize(
    ("days", "says"), [(7, "1 week later, 1 week longer ("), (0, "1 week later (")]
)
def test_another_date_that_gives_another_length_is_told_with_both(days: int, says: str) -> None:
    stands = block("base").span
    moved = Span(stands.first + timedelta(days=7), stands.after + timedelta(days=7 + days))
    one = Other(Way.LATER, Kind.BASE, moved, Emphasis.FINGERS, -6.0, 0, -1.0)
    assert any(text.startswith(says) for text in sentences(Reason(block("base"), (one,)), YEAR))
