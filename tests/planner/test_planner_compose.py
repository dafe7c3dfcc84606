"""Composed weeks of days and recipes by lot: what must hold of each of them, whatever it is for."""

from __future__ import annotations

import random
from collections import Counter
from dataclasses import dataclass
from functools import cache
from itertools import pairwise
from typing import Any

from plan_maker import day
from small_week import BOOK, EVENING, frame, may_stand, on_rock

from seasonplan.planner.compose import compose
from seasonplan.planner.fingers import FingerAsk, Hang
from seasonplan.planner.frames import Frame
from seasonplan.planner.standing import TEST, Item, Standing
from seasonplan.planner.week_order import FIT, Order
from seasonplan.recipes import Need
from seasonplan.vocabulary import CHOSEN, Kind, RockRole, Tissue

COURSES = (
    ("limit",), ("long",), ("pull",), ("walled", "outside"), ("soft-hang",), ("mobility",),
)  # fmt: skip
CASES = 300


@dataclass(frozen=True)
class Case:
    """A week, what it is for, and what came of it."""

    week: Frame
    order: Order
    items: tuple[Item, ...]

    @property
    def home(self) -> list[Item]:
        return [one for one in self.items if one.role is None]

    def day(self, n: int) -> list[Item]:
        return [one for one in self.items if one.day == day(n)]


def drawn_week(rng: random.Random) -> Frame:
    """Each day with no, one or two free times; some kept free, easy, away or on rock."""
    times: list[Any] = []
    days: dict[int, dict[str, Any]] = {}
    for n in range(7):
        first = rng.choice((300, 600, 1000))
        whole = rng.choice((0, 20, 45, 60, 90, 120, 200))
        second = [(EVENING, EVENING + 75)] if rng.random() < 0.2 else []
        times.append([*([(first, first + whole)] if whole else []), *second])
        more: dict[str, Any] = {
            "rest": rng.random() < 0.15, "easy": rng.random() < 0.1,
            "fingers": rng.random() > 0.1, "away": rng.random() < 0.05,
        }  # fmt: skip
        if rng.random() < 0.2:
            role = rng.choice(list(RockRole))
            more["rock"] = on_rock(
                n, role, minutes=rng.choice((150, 300)), worth=rng.random(),
                counts=rng.choice((0.0, 0.5, 1.0)), away=more["away"],
            )  # fmt: skip
        days[n] = more
    gone = rng.choice(list(BOOK))
    return frame(
        times, [name for name in BOOK if name != gone or rng.random() < 0.5], days=days,
        rock_near=(
            *([on_rock(-1)] if rng.random() < 0.2 else ()),
            *([on_rock(8, first=True)] if rng.random() < 0.2 else ()),
        ),
        open_after=tuple(rng.random() < 0.5 for _ in range(2)), fresh_days=rng.choice((0, 4)),
        since_free=rng.choice((None, 0, 3)), wall_travel=rng.choice((0, 15)),
        least_wall=60 * (rng.random() < 0.5), most_hard=(few := rng.choice((None, None, 1))),
        spared=frozenset({Tissue.FINGERS} if few else ()),
    )  # fmt: skip


def drawn_order(rng: random.Random) -> Order:
    courses = [one for one in COURSES if rng.random() < 0.8]
    rng.shuffle(courses)
    aim = float(rng.choice((150, 400, 800, 1500, 3000)))
    sessions = rng.randint(1, 3)
    ask = FingerAsk(
        (Hang("hang", rng.randint(2, 6) * sessions, sessions),) if rng.random() < 0.7 else (),
        in_a_row=rng.choice((2, 3)), most_hard=rng.choice((1, 3, 7)), between=rng.choice((0, 1)),
    )  # fmt: skip
    light = rng.random() < 0.3
    return Order(
        rng.choice(CHOSEN), tuple(courses), aim, ask, light=light, whole=aim,
        test=rng.random() < 0.3, hang_days=rng.choice((2, 7)), over=rng.choice((1.0, 1.05)),
        makes=frozenset(rng.sample(("limit", "long", "walled"), rng.randint(0, 2))),
    )  # fmt: skip


@cache
def cases() -> tuple[Case, ...]:
    found = []
    for number in range(CASES):
        rng = random.Random(f"week {number}")
        week, order = drawn_week(rng), drawn_order(rng)
        found.append(Case(week, order, compose(week, order, book=BOOK)))
    return tuple(found)


def on_board(one: Item) -> bool:
    """Whether it is hangs, or the test."""
    return Need.HANGBOARD in one.recipe.needs or one.recipe.id == TEST


# --- whatever the week ----------------------------------------------------------------------------


def test_the_cases_hold_all_that_is_asked_of_them() -> None:
    """Else the claims below would say little."""
    held = Counter(one.recipe.id for case in cases() for one in case.items)
    assert all(held[name] >= 10 for name in BOOK), held
    assert sum(one.role is not None for case in cases() for one in case.items) >= 50
    assert sum(not case.items for case in cases()) < CASES / 10


def test_every_session_lies_in_a_free_time_of_its_day_with_its_ways_and_by_daylight() -> None:
    for case in cases():
        for one in case.home:
            frame_day = case.week.days[(one.day - day(0)).days]
            assert any(a <= one.start and one.start + one.minutes <= b for a, b in frame_day.free)
            if Need.DAYLIGHT in one.recipe.needs:
                assert 8 * 60 <= one.start < 18 * 60
        for n in range(7):
            there = sorted(case.day(n), key=lambda one: one.start)
            for before, after in pairwise(there):
                assert before.start + before.minutes <= after.start


def test_no_session_is_shorter_or_longer_than_its_recipe_allows() -> None:
    for case in cases():
        for one in case.home:
            assert case.week.fit(one.recipe).least <= one.minutes <= one.recipe.most_minutes
            if one.recipe.hang_seconds:
                assert 1 <= one.hangs <= one.recipe.hangs[1]
                needed = one.recipe.warm_up_minutes + one.hangs * one.recipe.hang_minutes
                assert one.minutes >= min(needed, one.recipe.least_minutes)
            else:
                assert one.hangs == 0


def test_days_kept_free_away_or_on_rock_hold_nothing_but_their_rock() -> None:
    for case in cases():
        for n, frame_day in enumerate(case.week.days):
            home = [one for one in case.day(n) if one.role is None]
            gone = any(one.role is not None for one in case.day(n))
            if frame_day.rest or frame_day.away or gone:
                assert not home
            assert all(one.recipe.id in frame_day.allowed for one in home)


def test_a_day_holds_no_recipe_twice_and_hangs_once() -> None:
    for case in cases():
        for n in range(7):
            names = [one.recipe.id for one in case.day(n)]
            assert len(set(names)) == len(names)
            assert sum(map(on_board, case.day(n))) <= 1


def test_every_session_is_of_a_course_or_hang_or_test_that_the_order_asks_for() -> None:
    for case in cases():
        named = {name for course in case.order.courses for name in course}
        named |= {one.recipe for one in case.order.fingers.hangs}
        named |= {TEST} if case.order.test else set()
        for one in case.home:
            assert one.recipe.id in named
            assert case.order.kind in one.recipe.kinds


def test_the_load_at_home_goes_no_further_than_the_order_lets_it() -> None:
    """By so much more at most as one session that is as short as its recipe allows."""
    for case in cases():
        home = sum(one.load for one in case.home)
        test = next((one.load for one in case.home if one.recipe.id == TEST), 0.0)
        assert home - test <= case.order.over * case.order.aim + case.order.slack + 1e-6


def keeps_distance(case: Case) -> bool:
    """Hard uses of one tissue whole days apart, as the earlier of the two wants."""
    near = case.week.rock_near
    uses = [((one.day - day(0)).days, one.recipe, False) for one in case.home]
    uses += [((one.day - day(0)).days, one.recipe, True) for one in near]
    uses += [((one.day - day(0)).days, one.recipe, True) for one in case.items if one.role]
    uses.sort(key=lambda use: use[0])
    return all(
        late - early > one.days_between
        for n, (early, one, rock) in enumerate(uses)
        for late, other, also in uses[n + 1 :]
        if one.hard_on & other.hard_on and not (rock and also)
        if not (late == early and (one.hard_hangs != other.hard_hangs))
    )


def test_hard_uses_of_one_tissue_keep_their_days_apart() -> None:
    hard_cases = 0
    for case in cases():
        assert keeps_distance(case), [(one.recipe.id, one.day) for one in case.items]
        hard_cases += sum(bool(one.recipe.hard_on) for one in case.items) >= 2
    assert hard_cases >= CASES / 4


def test_hard_hangs_are_no_more_and_no_nearer_than_the_split_says() -> None:
    for case in cases():
        days = [(one.day - day(0)).days for one in case.home if one.recipe.hard_hangs]
        assert len(days) <= case.order.fingers.most_hard
        assert all(b - a > case.order.fingers.between for a, b in pairwise(sorted(days)))
        held = sum(one.hangs for one in case.home if one.recipe.id == "hang")
        assert held <= max([one.hangs for one in case.order.fingers.hangs], default=0)


def test_hangs_that_are_a_course_stand_on_no_more_days_than_asked() -> None:
    for case in cases():
        days = {
            one.day
            for one in case.home
            if Need.HANGBOARD in one.recipe.needs or one.recipe.id == TEST
        }
        asked = {one.day for one in case.home if one.recipe.id in ("hang", TEST)}
        assert len(days) <= max(case.order.hang_days, len(asked))


def test_fingers_are_used_hard_on_no_more_days_running_than_the_split_allows() -> None:
    for case in cases():
        hard_days = {
            (one.day - day(0)).days for one in case.home if Tissue.FINGERS in one.recipe.hard_on
        }
        run = 0
        for n in range(7):
            run = run + 1 if n in hard_days else 0
            assert run <= case.order.fingers.in_a_row


def test_a_light_week_holds_one_hard_session_beside_its_hangs_and_test() -> None:
    lights = [case for case in cases() if case.order.light]
    for case in lights:
        assert sum(bool(one.recipe.hard_on) for one in case.home
                   if not one.recipe.hang_seconds and one.recipe.id != TEST) <= 1  # fmt: skip
    assert len(lights) > CASES / 5


def test_a_test_stands_in_the_last_five_days_with_a_quiet_day_before_it() -> None:
    tested = 0
    for case in cases():
        for one in case.home:
            if one.recipe.id != TEST:
                continue
            n = (one.day - day(0)).days
            assert n >= 2 and case.order.test
            before = case.day(n - 1)
            assert not any(b.recipe.hard_on or b.recipe.hang_seconds for b in before if not b.role)
            tested += 1
    assert tested >= 20
    assert all(sum(one.recipe.id == TEST for one in case.items) <= 1 for case in cases())


def room_left(case: Case) -> list[tuple[str, int]]:
    """Easy courses of a week that would still fit somewhere, and the day."""
    rock = [
        (n, on_rock(n, item.role, recipe=item.recipe, minutes=item.minutes, start=item.start))
        for n in range(7) for item in case.day(n) if item.role is not None
    ]  # fmt: skip
    at = Standing(case.week, in_a_row=case.order.fingers.in_a_row, rock=rock)
    for one in case.home:
        at.put((one.day - day(0)).days, one)
    at.test_day = next(((i.day - day(0)).days for i in case.items if i.recipe.id == TEST), -9)
    found = []
    for name in (name for course in case.order.courses for name in course):
        one, least = BOOK[name], case.week.fit(BOOK[name]).least
        room = (case.order.over * case.order.aim - at.load) / one.rpe
        if one.hard_on or one.hang_seconds or case.order.kind not in one.kinds:
            continue
        for n in range(7):
            held = at.days[n]
            fits = not held.full and name not in held.recipes and may_stand(at, n, one)
            if fits and room >= least and at.slot(n, one, least):
                found.append((name, n))
    return found


def test_a_week_below_its_aim_has_no_room_left_for_training_that_is_not_hard() -> None:
    """Gone through four times at most, so a course that fits five times may be left; mobility
    comes last and may be left too."""
    below = 0
    for case in cases():
        load = sum(one.load for one in case.items)
        filled = case.order.kind in (Kind.BASE, Kind.STRENGTH)
        if filled and load < FIT.full * case.order.aim:
            below += 1
            counted = Counter(one.recipe.id for one in case.items)
            left = {name for name, _ in room_left(case)}
            assert all(counted[name] >= 4 for name in left - {"mobility"}), (left, counted)
    assert below >= 25


def test_the_same_week_for_the_same_is_the_same_and_nothing_asked_is_nothing() -> None:
    for case in cases()[:40]:
        assert compose(case.week, case.order, book=BOOK) == case.items
        bare = case.order._replace(courses=(), fingers=FingerAsk(), test=False)
        assert not [one for one in compose(case.week, bare, book=BOOK) if one.role is None]
