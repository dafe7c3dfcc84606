"""Composed weeks that are kept, the places of a block in the hand, and searches asked again."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import timedelta
from itertools import product
from typing import Any

import pytest
from plan_maker import day, span
from small_week import frame, hangs, hard, item, on_rock, recipe

from seasonplan.body.response import NOTHING
from seasonplan.days import Span
from seasonplan.planner import kept
from seasonplan.planner.fingers import FingerAsk
from seasonplan.planner.frames import Frame
from seasonplan.planner.held import TIE_DAYS, TIE_POINTS, Held, Hold, Place
from seasonplan.planner.kept import ComposedWeek, Kept
from seasonplan.planner.levels import WeekLevel
from seasonplan.planner.standing import Item
from seasonplan.planner.week_order import Order
from seasonplan.rules.tables import response_table
from seasonplan.vocabulary import Kind, Quality, RockRole, Tissue

SOFT, HARD = recipe("soft"), hard("hard")
BOOK = {"soft": SOFT, "hard": HARD}
ORDER = Order(kind=Kind.BASE, courses=(("soft",),), aim=1000.0, fingers=FingerAsk())


@pytest.fixture
def made(monkeypatch: pytest.MonkeyPatch) -> list[Frame]:
    """The frames of which a week was really composed, with nothing kept before."""
    found: list[Frame] = []

    def composed(week: Frame, order: Order, **more: Any) -> tuple[Item, ...]:
        found.append(week)
        return (item(SOFT, (week.span.first - day(0)).days + 1),)

    monkeypatch.setattr(kept, "_weeks", {})
    monkeypatch.setattr(kept, "compose", composed)
    return found


def asked(
    week: Frame, order: Order = ORDER, *, done: Sequence[Item] = (), key: str = ""
) -> ComposedWeek:
    return Kept(week, book=BOOK, book_key=key, done=done).composed(order)


WEEK = frame([60] * 7, ["soft"])


def test_the_same_week_is_composed_once_and_moved_to_its_own_days(made: list[Frame]) -> None:
    first = asked(WEEK)
    assert asked(WEEK) is first and len(made) == 1
    later = asked(frame([60] * 7, ["soft"], first=21))
    assert len(made) == 1
    assert [one.day for one in later.items] == [day(22)]
    assert (later.dose, later.load, later.first) == (first.dose, first.load, day(21))


OTHERS = {
    "free times": frame([61, *[60] * 6], ["soft"]),
    "what the body allows": frame([60] * 7, ["soft", "hard"]),
    "a day kept free": frame([60] * 7, ["soft"], days={0: {"rest": True}}),
    "an easy day": frame([60] * 7, ["soft"], days={0: {"easy": True}}),
    "a day without fingers": frame([60] * 7, ["soft"], days={0: {"fingers": False}}),
    "a day away": frame([60] * 7, ["soft"], days={0: {"away": True}}),
    "rock on a day": frame([60] * 7, ["soft"], days={0: {"rock": on_rock(0)}}),
    "rock before": frame([60] * 7, ["soft"], rock_near=(on_rock(-1),)),
    "rock after": frame([60] * 7, ["soft"], rock_near=(on_rock(7),)),
    "a trip": frame([60] * 7, ["soft"], trips_begin=(day(7),)),
    "the week after": frame([60] * 7, ["soft"], open_after=(True,)),
    "the last day kept free": frame([60] * 7, ["soft"], since_free=2),
    "the way to the wall": frame([60] * 7, ["soft"], wall_travel=5),
    "a wall away from home": frame([60] * 7, ["soft"], least_wall=60),
    "fifty years": frame([60] * 7, ["soft"], from_50=True),
    "a part that comes back": frame([60] * 7, ["soft"], most_hard=1),
    "which part comes back": frame([60] * 7, ["soft"], spared=frozenset({Tissue.ELBOWS})),
    "days kept fresh": frame([60] * 7, ["soft"], fresh_days=3),
    "the weekday it begins on": frame([60] * 7, ["soft"], first=1),
}  # fmt: skip


@pytest.mark.parametrize("what", OTHERS)
def test_a_week_that_differs_in_anything_it_hangs_on_is_composed_anew(
    made: list[Frame], what: str
) -> None:
    asked(WEEK)
    asked(OTHERS[what])
    assert made == [WEEK, OTHERS[what]]


def with_rock(at: int, *worths: float, **fields: Any) -> Frame:
    """A week with days on rock of such worth from its third on, and one shortly before it."""
    rock = {2 + n: on_rock(at + 2 + n, worth=w, counts=w) for n, w in enumerate(worths)}
    days = {n: {"rock": replace(one, **fields)} for n, one in rock.items()}
    return frame([60] * 7, ["soft"], first=at, days=days, rock_near=(on_rock(at - 1),))


def test_weeks_with_rock_on_the_same_days_are_one_wherever_and_whatever_it_is_worth(
    made: list[Frame],
) -> None:
    asked(with_rock(0, 1.0, 2.0))
    later = asked(with_rock(7, 1.1, 1.2))
    asked(replace(with_rock(14, 1.0, 2.0), rock_near=(on_rock(13, minutes=60),)))
    assert len(made) == 1
    assert [one.day for one in later.items] == [day(8)]


@pytest.mark.parametrize("other", [
    with_rock(0, 2.0, 1.0), with_rock(0, 1.0, 1.0), with_rock(0, 0.0, 2.0),
    with_rock(0, 1.0, 2.0, minutes=60), with_rock(0, 1.0, 2.0, start=540),
    with_rock(0, 1.0, 2.0, easier=None), with_rock(0, 1.0, 2.0, entry="other"),
    with_rock(0, 1.0, 2.0, away=True), with_rock(0, 1.0, 2.0, first=True),
    replace(with_rock(0, 1.0, 2.0), rock_near=(on_rock(-2),)),
])  # fmt: skip
def test_which_day_on_rock_is_worth_more_and_all_that_is_done_there_makes_another_week(
    made: list[Frame], other: Frame
) -> None:
    asked(with_rock(0, 1.0, 2.0))
    asked(other)
    assert len(made) == 2


def test_the_level_of_a_week_is_in_its_order_and_not_in_its_frame(made: list[Frame]) -> None:
    asked(WEEK)
    asked(replace(WEEK, level=WeekLevel(load=9.0, hang_seconds=9.0, finger_days=1)))
    assert len(made) == 1


ORDERS = {
    "kind": Kind.STRENGTH, "courses": (("hard",),), "aim": 999.0, "fingers": FingerAsk(in_a_row=3),
    "light": True, "lead_in": True, "test": True, "course_first": True, "whole": 5.0,
    "hang_days": 3, "holds": 3, "climb_longer": True, "over": 1.0, "makes": frozenset({"soft"}),
}  # fmt: skip


@pytest.mark.parametrize("field", ORDERS)
def test_a_week_for_something_else_is_composed_anew(made: list[Frame], field: str) -> None:
    asked(WEEK)
    asked(WEEK, ORDER._replace(**{field: ORDERS[field]}))
    assert len(made) == 2


def test_other_recipes_and_other_sessions_that_are_over_are_other_weeks(made: list[Frame]) -> None:
    asked(WEEK)
    asked(WEEK, key="changed")
    asked(WEEK, done=[item(HARD, -1)])
    asked(WEEK, done=[item(HARD, -2)])
    assert len(made) == 4


def test_of_too_many_frames_those_asked_for_longest_ago_go(
    made: list[Frame], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(kept, "MOST_FRAMES", 2)
    one, other, third = (frame([minutes] * 7, ["soft"]) for minutes in (30, 40, 50))
    for week in (one, other, one, third, one):
        asked(week)
    assert made == [one, other, third]
    asked(other)
    assert made == [one, other, third, other]


def test_dose_and_load_of_a_week_are_sums_over_its_sessions() -> None:
    hang = hangs("hang")
    items = [item(SOFT, 0), item(SOFT, 1, minutes=30), item(hang, 2, hangs=4)]
    found = ComposedWeek.of(day(0), items, aim=9.0)
    assert (found.load, found.aim) == (5.0 * (60 + 30 + 20), 9.0)
    by_quality = dict(zip(Quality, found.dose, strict=True))
    # forty hard seconds count by the table, minutes of hangs do not
    assert by_quality[Quality.FINGER_STRENGTH] == pytest.approx(40 * response_table().load_a_second)
    assert by_quality[Quality.ENDURANCE] == pytest.approx(5.0 * (60 + 30 + 20))
    empty = ComposedWeek.of(day(0), [], aim=0.0)
    assert (empty.dose, empty.load) == (NOTHING, 0)


def test_a_week_moved_keeps_hours_roles_and_rock() -> None:
    rock = item(HARD, 2, rock="season", role=RockRole.PROJECT, hangs=3)
    week = ComposedWeek(day(0), (rock,), NOTHING, 1.0, 1.0)
    assert week.on(day(0)) is week
    (moved,) = week.on(day(14)).items
    assert moved == rock._replace(day=day(16))


# --- a block in the hand --------------------------------------------------------------------------


class Table:
    """A priced year that has just these places of every kind."""

    def __init__(self, places: Sequence[Place], stand: frozenset[Span] = frozenset()) -> None:
        self._places, self._stand = places, stand

    def stands(self, kind: Kind) -> Iterator[tuple[int, Span, float, int, float]]:
        for one in self._places:
            yield one.number, one.span, one.points, one.rock_days, one.good_days

    def spans_of(self, kind: Kind) -> frozenset[Span]:
        return self._stand


def held(places: Sequence[Place], at: Span, stand: frozenset[Span] = frozenset()) -> Held:
    return Held(Table(places, stand), Kind.BASE, at)  # type: ignore[arg-type]


def every_place() -> list[Place]:
    """Begins on each Monday of eight weeks, ten to forty days long, worth less the further on."""
    return [
        Place(n, span(7 * week, days), -0.01 * (7 * week + days), 0, 0.0)
        for n, (week, days) in enumerate(product(range(8), (10, 14, 21, 26, 27, 28, 40)))
    ]


STANDS = span(14, 21)


def test_a_whole_block_is_moved_to_places_about_as_long_and_the_nearest_length_is_taken() -> None:
    found = held(every_place(), STANDS).places(Hold.WHOLE)
    assert [one.span.first for one in found] == [day(7 * n) for n in range(8)]
    assert {one.span.length for one in found} == {21}
    longer = held(every_place(), span(14, 34)).places(Hold.WHOLE)
    assert {one.span.length for one in longer} == {28}  # six days shorter, as is forty longer


def test_a_start_is_moved_while_the_end_stays_near_and_the_other_way_round() -> None:
    places = held(every_place(), STANDS)
    for hold in (Hold.START, Hold.END):
        found = places.places(hold)
        moved = [one.moving(hold) for one in found]
        assert moved == sorted(set(moved)) and len(found) >= 2
        for one in found:
            still = (one.span.after, STANDS.after) if hold is Hold.START else (
                one.span.first, STANDS.first,
            )  # fmt: skip
            assert abs((still[0] - still[1]).days) <= 3


def test_near_is_three_days_and_no_more() -> None:
    for off in range(-5, 6):
        ends = Place(0, span(10, 25 + off), 0.0, 0, 0.0)  # the block ends with day 34
        assert bool(held([ends], STANDS).places(Hold.START)) is (abs(off) <= 3)
        begins = Place(0, span(14 + off, 9), 0.0, 0, 0.0)
        assert bool(held([begins], STANDS).places(Hold.END)) is (abs(off) <= 3)
        longer = Place(0, span(0, 21 + 2 * off), 0.0, 0, 0.0)
        assert bool(held([longer], STANDS).places(Hold.WHOLE)) is (abs(2 * off) <= 6)


def test_of_places_that_end_or_begin_alike_the_dearest_is_shown() -> None:
    cheap, dear = Place(0, span(14, 22), -2.0, 0, 0.0), Place(1, span(14, 20), -1.0, 0, 0.0)
    assert held([cheap, dear], STANDS).places(Hold.START) == (dear,)
    exact = Place(2, span(14, 21), -9.0, 0, 0.0)
    assert held([cheap, dear, exact], STANDS).places(Hold.WHOLE) == (exact,)


def test_a_day_means_the_place_within_three_days_of_it_and_none_farther() -> None:
    one = held([Place(0, span(14, 21), 0.0, 0, 0.0), Place(1, span(24, 21), 0.0, 0, 0.0)], STANDS)
    for first in range(8, 32):
        found = one.at(span(first, 21), Hold.WHOLE)
        near = [n for n in (14, 24) if abs(n - first) <= 3]
        assert [found.span.first] == [day(n) for n in near] if found else near == []
    ends = one.at(span(0, 34), Hold.END)
    assert ends is not None and ends.span.after == day(35)


def test_ties_are_places_as_good_as_the_plan_but_its_own() -> None:
    little, much = 0.9, 1.1
    places = [
        Place(0, span(0, 21), 0.0, 0, 0.0),
        Place(1, span(7, 21), -little * TIE_POINTS, 0, little * TIE_DAYS),
        Place(2, span(14, 21), -much * TIE_POINTS, 0, 0.0),
        Place(3, span(21, 21), 0.0, 0, -much * TIE_DAYS),
        Place(4, span(28, 21), little * TIE_POINTS, 3, -little * TIE_DAYS),
    ]
    assert [one.tie for one in places] == [True, True, False, False, True]
    own = held(places, STANDS, frozenset({span(0, 21)}))
    assert own.ties(Hold.WHOLE) == 2 and held(places, STANDS).ties(Hold.WHOLE) == 3


def test_what_moves_is_the_first_day_but_where_the_end_is_held() -> None:
    one = Place(0, span(14, 21), 0.0, 0, 0.0)
    last = day(14) + timedelta(days=20)
    assert [one.moving(hold) for hold in Hold] == [day(14), day(14), last]
