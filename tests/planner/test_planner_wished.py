"""What the climber moved, left out or added; and which session of a new week is which old one."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import date, time
from itertools import permutations
from typing import Any

import pytest
from plan_maker import block, day
from small_week import EVENING, hangs, item, recipe

from seasonplan.plan import Session
from seasonplan.planner.names import Names
from seasonplan.planner.standing import Item
from seasonplan.planner.wished import as_wished
from seasonplan.vocabulary import Kind, RockRole
from seasonplan.year import FixedSession

SOFT, OTHER, HANG = recipe("soft"), recipe("other"), hangs("hang")
BOOK = {"soft": SOFT, "other": OTHER, "hang": HANG}
BLOCKS = (block(Kind.BASE, 0, 14), block(Kind.REST, 14, 7))


def session(name: str, number: int, **fields: Any) -> Session:
    """A planned one, known by its name."""
    values: dict[str, Any] = {
        "block": "base-0", "recipe": "soft", "start": time(18), "minutes": 60, "rpe": 5.0,
    }  # fmt: skip
    return Session(id=name, day=day(number), **(values | fields))


def harmless(recipe: str, on: date) -> bool:
    return False


def wished(
    sessions: Sequence[Session], *wishes: FixedSession,
    harms: Callable[[str, date], bool] = harmless,
) -> list[Session]:  # fmt: skip
    return list(as_wished(sessions, BLOCKS, wishes, BOOK, harms=harms))


PLANNED = (session("a", 1), session("b", 3, recipe="other"), session("c", 15, block="rest-14"))


# --- wishes ---------------------------------------------------------------------------------------


def test_a_session_is_where_and_when_and_as_long_as_the_climber_says_and_others_stay() -> None:
    for fields in ({"day": day(5)}, {"start": time(7, 30)}, {"minutes": 45}):
        (found,) = [
            one for one in wished(PLANNED, FixedSession(session="a", **fields)) if one.id == "a"
        ]
        assert found == Session(**{**dict(PLANNED[0]), **fields})
    both = wished(PLANNED, FixedSession(session="a", day=day(5), minutes=45))
    assert [one.id for one in both] == ["b", "a", "c"]
    assert set(both) - set(PLANNED) == {session("a", 5, minutes=45)}


def test_a_session_left_out_is_gone_and_a_wish_for_one_that_is_gone_is_let_be() -> None:
    assert wished(PLANNED, FixedSession(session="b", skip=True)) == [PLANNED[0], PLANNED[2]]
    assert wished(PLANNED, FixedSession(session="z", skip=True)) == list(PLANNED)
    assert wished(PLANNED, FixedSession(session="z", day=day(2))) == list(PLANNED)


def test_an_added_session_lies_in_the_block_of_its_day_with_what_its_recipe_says() -> None:
    wish = FixedSession(recipe="hang", day=day(16), start=time(8), minutes=20)
    (own,) = [one for one in wished(PLANNED, wish) if one not in PLANNED]
    assert (own.id, own.block, own.recipe) == (f"own/{wish.id}", "rest-14", "hang")
    assert (own.day, own.start, own.minutes) == (day(16), time(8), 20)
    assert (own.rpe, own.hangs, own.role, own.active_share) == (HANG.rpe, 5, None, 1.0)


def test_an_added_day_on_rock_is_one() -> None:
    rock = recipe("rock", role=RockRole.EASY, active_share=0.5)
    wish = FixedSession(recipe="rock", day=day(2), start=time(10), minutes=200)
    found = as_wished((), BLOCKS, [wish], {"rock": rock}, harms=harmless)
    assert [(one.role, one.active_share, one.hangs) for one in found] == [(RockRole.EASY, 0.5, 0)]


@pytest.mark.parametrize("wish", [("gone", 3), ("soft", 40), ("soft", -2)])
def test_what_no_recipe_or_no_block_holds_is_not_added(wish: tuple[str, int]) -> None:
    name, number = wish
    added = FixedSession(recipe=name, day=day(number), start=time(8), minutes=30)
    assert wished(PLANNED, added) == list(PLANNED)


def test_what_was_added_before_is_there_once() -> None:
    wish = FixedSession(recipe="soft", day=day(4), start=time(8), minutes=30)
    once = wished(PLANNED, wish)
    assert wished(once, wish) == once and len(once) == 4


def test_a_wish_that_would_do_harm_is_left_out_and_what_was_planned_is_not_asked() -> None:
    """Whoever wished it: where a session was moved to must not harm, nor what was added."""
    asked = []

    def harms(recipe: str, on: date) -> bool:
        asked.append((recipe, on))
        return True

    added = FixedSession(recipe="other", day=day(4), start=time(8), minutes=30)
    moved = FixedSession(session="a", day=day(6))
    assert wished(PLANNED, added, moved, harms=harms) == [PLANNED[1], PLANNED[2]]
    assert set(asked) == {("other", day(4)), ("soft", day(6))}


def test_sessions_come_in_order_of_day_and_hour() -> None:
    some = [session("x", 2, start=time(9)), session("y", 2, start=time(7)), session("w", 1)]
    for row in permutations(some):
        assert [one.id for one in wished(row)] == ["w", "y", "x"]


def test_a_session_of_hangs_has_as_many_as_fit_after_its_warm_up() -> None:
    """Ten minutes of warm-up, two minutes a hang, six at most; one at least."""
    by_hand = {5: 1, 11: 1, 13: 1, 14: 2, 15: 2, 16: 3, 21: 5, 22: 6, 23: 6, 90: 6}
    for minutes, count in by_hand.items():
        wish = FixedSession(recipe="hang", day=day(16), start=time(8), minutes=minutes)
        assert [one.hangs for one in wished((), wish)] == [count]


# --- which is which -------------------------------------------------------------------------------

WEEK = "base-1/2027-01-04"


def home(number: int, on: int, *, minute: int = EVENING, name: str = "soft") -> Session:
    return session(
        f"{WEEK}/{name}-{number}", on, recipe=name, start=time(minute // 60, minute % 60)
    )


def ids(
    homes: Sequence[Session], uses: Sequence[Item], used: frozenset[str] = frozenset()
) -> list[str]:
    return [one.rpartition("/")[2] for one in Names(homes).of(WEEK, uses, used=used)]


def test_sessions_of_a_week_without_a_past_are_numbered_by_recipe_in_order() -> None:
    uses = [item(SOFT, 0), item(OTHER, 1), item(SOFT, 2)]
    assert ids([], uses) == ["soft-1", "other-1", "soft-2"]


def test_a_session_at_the_same_day_and_hour_is_the_same_whatever_else_changed() -> None:
    homes = [home(1, 0), home(2, 2), home(3, 4)]
    for row in permutations([item(SOFT, 0), item(SOFT, 2), item(SOFT, 4)]):
        numbers = {one.day: name for one, name in zip(row, ids(homes, row), strict=True)}
        assert numbers == {day(0): "soft-1", day(2): "soft-2", day(4): "soft-3"}


def test_the_same_day_is_nearer_than_the_same_order() -> None:
    homes = [home(1, 0), home(2, 2)]
    assert ids(homes, [item(SOFT, 2, start=600), item(SOFT, 5)]) == ["soft-2", "soft-1"]
    assert ids(homes, [item(SOFT, 1), item(SOFT, 5)]) == ["soft-1", "soft-2"]


def test_an_hour_goes_before_a_day_where_both_are_there() -> None:
    """Two on one day: who keeps the hour keeps the name, the other takes what is left."""
    homes = [home(1, 0, minute=600), home(2, 0, minute=900)]
    uses = [item(SOFT, 0, start=700), item(SOFT, 0, start=600)]
    assert ids(homes, uses) == ["soft-2", "soft-1"]


def test_no_name_is_given_twice_nor_one_that_is_used_or_was_anothers() -> None:
    homes = [home(1, 0), home(4, 2)]
    used = frozenset({f"{WEEK}/soft-1", f"{WEEK}/soft-2"})
    uses = [item(SOFT, n) for n in range(4)]
    found = ids(homes, uses, used)
    assert len(set(found)) == 4 and found[2] == "soft-4"
    assert set(found) - {"soft-4"} == {"soft-3", "soft-5", "soft-6"}


def test_another_recipe_or_another_week_is_never_the_same_session() -> None:
    homes = [home(7, 0, name="other"), session("base-1/2027-01-11/soft-9", 0)]
    assert ids(homes, [item(SOFT, 0)]) == ["soft-1"]
