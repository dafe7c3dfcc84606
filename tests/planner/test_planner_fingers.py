"""How hangs of a week are split: whatever the seconds and the split, never more than they allow."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import product
from math import ceil

import pytest
from small_week import hangs, hard, recipe

from seasonplan.planner.fingers import FINGERS, KEPT, FingerAsk, Hang, Splitter
from seasonplan.planner.menus import finger_table
from seasonplan.recipes import Recipe, standard_recipes
from seasonplan.vocabulary import Spread

SPLITS = finger_table().splits
LIGHT_HOLDS = SPLITS[Spread.LIGHT.value].recipe
SHORT, LONG = (SPLITS[one.value].recipe for one in (Spread.SHORT_AND_HARD, Spread.FEW_AND_LONG))
# seconds of a hang and fewest and most of a session, made up for these tests
BOOK = {
    LONG: hangs(LONG, spacing=48.0, hangs=(4, 10), least_minutes=40),
    SHORT: hangs(SHORT, hangs=(3, 6)),
    KEPT: hangs(KEPT, hangs=(2, 5)),
    LIGHT_HOLDS: hangs(LIGHT_HOLDS, share=0.5, hangs=(6, 8)),
}
EVERY = frozenset(BOOK)
SECONDS = range(10, 500, 10)


def splitter(spread: Spread, allowed: frozenset[str] = EVERY, **fields: object) -> Splitter:
    values: dict[str, object] = {"short_days": 60} | fields
    return Splitter(BOOK, spread, allowed, **values)  # type: ignore[arg-type]


def asks(spread: Spread, **fields: object) -> Iterator[tuple[int, int, FingerAsk]]:
    """Every number of seconds on every number of days."""
    made = splitter(spread, **fields)  # type: ignore[arg-type]
    for seconds, days in product(SECONDS, range(1, 8)):
        yield seconds, days, made.ask(seconds, most_days=days, light=False)


def hard_seconds(ask: FingerAsk) -> int:
    return sum(
        one.hangs * BOOK[one.recipe].hang_seconds
        for one in ask.hangs
        if BOOK[one.recipe].hard_hangs
    )


every_spread = pytest.mark.parametrize("spread", list(Spread))


@every_spread
def test_a_week_holds_no_more_hard_seconds_than_asked_but_for_one_whole_session(
    spread: Spread,
) -> None:
    for seconds, days, ask in asks(spread):
        fewest = min(BOOK[one.recipe].hangs[0] for one in ask.hangs) * 10
        assert hard_seconds(ask) <= max(seconds + 5, fewest), (seconds, days)


@every_spread
def test_no_session_holds_more_hangs_than_its_recipe_and_none_too_few(spread: Spread) -> None:
    for _, _, ask in asks(spread):
        for one in ask.hangs:
            fewest, most = BOOK[one.recipe].hangs
            assert one.hangs <= one.sessions * most and one.hangs >= fewest and one.sessions >= 1


@every_spread
def test_hangs_stand_on_no_more_days_than_the_week_and_the_split_allow(spread: Spread) -> None:
    most = finger_table().split(spread).most_days
    for _, days, ask in asks(spread):
        assert sum(one.sessions for one in ask.hangs) <= min(days, max(most, 2))


@every_spread
def test_more_seconds_never_mean_fewer_hangs(spread: Spread) -> None:
    """Past what short sessions keep up, where the split itself begins."""
    by_days: dict[int, list[int]] = {}
    for seconds, days, ask in asks(spread):
        if seconds > FINGERS.kept_seconds:
            by_days.setdefault(days, []).append(hard_seconds(ask))
    for found in by_days.values():
        assert found == sorted(found)


def test_few_seconds_are_one_or_two_short_sessions_whatever_the_split() -> None:
    """Ten seconds a hang, two to five hangs: by hand."""
    upto = FINGERS.kept_seconds
    expected = {10: (2, 1), 20: (2, 1), 30: (3, 1), 50: (5, 1), upto: (6, 2)}
    assert upto == 60
    for spread, (seconds, (count, sessions)) in product(Spread, expected.items()):
        ask = splitter(spread).ask(seconds, most_days=4, light=False)
        assert ask.hangs == (Hang(KEPT, count, sessions),)
    assert splitter(Spread.FEW_AND_LONG).ask(61, most_days=4, light=False).hangs[0].recipe == LONG


def test_fewest_and_most_hangs_of_short_sessions_are_those_of_their_recipe() -> None:
    """By hand: six of ten seconds are two sessions of three; twelve is the fewest where it is."""
    small = {**BOOK, KEPT: hangs(KEPT, hangs=(2, 3))}
    made = Splitter(small, Spread.FEW_AND_LONG, EVERY, short_days=60)
    assert made.ask(60, most_days=4, light=False).hangs == (Hang(KEPT, 6, 2),)
    many = {**BOOK, KEPT: hangs(KEPT, hangs=(12, 20))}
    made = Splitter(many, Spread.FEW_AND_LONG, EVERY, short_days=39)
    assert made.ask(70, most_days=4, light=False).hangs == (Hang(KEPT, 12, 1),)


def test_hangs_that_are_few_and_long_fill_sessions_and_short_ones_are_spread_over_days() -> None:
    few = splitter(Spread.FEW_AND_LONG)
    for seconds, count, sessions in ((70, 7, 1), (100, 10, 1), (110, 11, 2), (900, 30, 3)):
        (hang,) = few.ask(seconds, most_days=5, light=False).hangs
        assert hang == Hang(LONG, count, sessions, min(count, BOOK[LONG].hangs[1]))
    short = splitter(Spread.SHORT_AND_HARD)
    for seconds, days, count, sessions in (
        (70, 5, 7, 2), (100, 5, 10, 3), (180, 5, 18, 5), (180, 7, 18, 6), (900, 3, 18, 3),
    ):  # fmt: skip
        (hang,) = short.ask(seconds, most_days=days, light=False).hangs
        assert hang == Hang(SHORT, count, sessions, min(count, BOOK[SHORT].hangs[1]))


def test_on_the_way_back_a_session_holds_its_share_of_the_hangs_of_before() -> None:
    most = BOOK[LONG].hangs[1]
    few = replace(splitter(Spread.FEW_AND_LONG), share=0.6)
    (hang,) = few.ask(90, most_days=5, light=False).hangs
    assert (hang.hangs, hang.sessions, hang.each) == (9, 2, round(0.6 * most))
    (least,) = replace(few, share=0.1).ask(90, most_days=5, light=False).hangs
    assert least.each == BOOK[LONG].hangs[0]


def test_light_holds_stand_beside_one_hard_session() -> None:
    ask = splitter(Spread.LIGHT).ask(400, most_days=4, light=False)
    assert ask.hangs == (Hang(KEPT, 5, 1), Hang(LIGHT_HOLDS, 3 * 6, 3))
    fewest = Splitter(
        {**BOOK, KEPT: hangs(KEPT, hangs=(12, 20))}, Spread.LIGHT, EVERY, short_days=60
    )
    assert fewest.ask(70, most_days=4, light=False).hangs[0] == Hang(KEPT, 12, 1)
    most = FINGERS.light_sessions
    assert splitter(Spread.LIGHT).ask(400, most_days=9, light=False).hangs[1].sessions == most
    fewer = splitter(Spread.LIGHT, most_light=2).ask(400, most_days=9, light=False)
    assert fewer.hangs[1].sessions == 2 < most


@every_spread
def test_who_must_not_hang_hard_does_not(spread: Spread) -> None:
    for seconds, days in product(SECONDS, range(1, 8)):
        ask = splitter(spread, frozenset({LIGHT_HOLDS})).ask(seconds, most_days=days, light=False)
        assert [one.recipe for one in ask.hangs] == [LIGHT_HOLDS]
        assert 1 <= ask.hangs[0].sessions <= max(1, min(days, FINGERS.light_sessions))
        assert not splitter(spread, frozenset()).ask(seconds, most_days=days, light=False).hangs


def test_who_has_short_days_only_keeps_to_short_sessions() -> None:
    """Forty minutes are wanted for a long one."""
    for minutes, name in ((39, KEPT), (40, LONG)):
        few = splitter(Spread.FEW_AND_LONG, short_days=minutes)
        ask = few.ask(200, most_days=5, light=False)
        assert [one.recipe for one in ask.hangs] == [name]
        assert ask.hangs[0].sessions <= 3
    for seconds, count, sessions in ((70, 7, 2), (50 + 50, 10, 2), (110, 11, 3), (200, 15, 3)):
        few = splitter(Spread.FEW_AND_LONG, short_days=39)
        ask = few.ask(seconds, most_days=5, light=False)
        assert ask.hangs == (Hang(KEPT, count, sessions),)
    barred = splitter(Spread.FEW_AND_LONG, EVERY - {KEPT}, short_days=39)
    assert barred.ask(200, most_days=5, light=False).hangs[0].recipe == LIGHT_HOLDS


@every_spread
def test_a_light_week_holds_less_on_no_more_than_three_days(spread: Spread) -> None:
    table, made = finger_table(), splitter(spread)
    for seconds in range(150, 500, 10):
        full, light = (made.ask(seconds, most_days=6, light=one) for one in (False, True))
        assert hard_seconds(light) <= hard_seconds(full)
        assert sum(one.sessions for one in light.hangs) <= table.light_days
        less = made.ask(seconds * table.light_week, most_days=table.light_days, light=False)
        assert hard_seconds(light) <= hard_seconds(less)


def test_no_seconds_are_light_holds() -> None:
    for spread in Spread:
        for one in splitter(spread).ask(0.0, most_days=3, light=False).hangs:
            assert one.recipe == LIGHT_HOLDS and one.sessions <= finger_table().light_days


def test_no_session_holds_more_than_twelve_hangs() -> None:
    """Common practice, no source: an hour with its warm-up and rests."""
    made = Splitter(
        standard_recipes(), Spread.FEW_AND_LONG, frozenset(standard_recipes()), short_days=60
    )
    for seconds in range(70, 400, 10):
        (one,) = made.ask(float(seconds), most_days=3, light=False).hangs
        assert one.each == min(12, one.hangs) and one.sessions == min(3, ceil(one.hangs / 12))


@pytest.mark.parametrize("spread", [Spread.FEW_AND_LONG, Spread.SHORT_AND_HARD])
def test_before_rock_a_full_session_stands_beside_a_short_one_and_both_are_less_than_before(
    spread: Spread,
) -> None:
    """Else what comes right before rock would be no taper: base for power endurance holds least."""
    real = standard_recipes()
    made = Splitter(real, spread, frozenset(real), short_days=60)
    full, short = made.before_rock(28, most=200).hangs
    assert (full.recipe, full.sessions, short.recipe, short.sessions) == (KEPT, 1, KEPT, 1)
    assert full.hangs > short.hangs
    seconds = finger_table().seconds["base power endurance"]
    (before,) = made.ask(seconds, most_days=3, light=False).hangs
    hung = real[KEPT].hang_seconds * (full.hangs + short.hangs)
    assert hung < real[before.recipe].hang_seconds * before.hangs


def test_who_is_new_to_hangs_hangs_less_before_rock() -> None:
    full, short = splitter(Spread.FEW_AND_LONG).before_rock(28, most=70).hangs
    assert BOOK[KEPT].hang_seconds * (full.hangs + short.hangs) <= 70


def test_days_running_and_days_between_are_those_of_the_split() -> None:
    few = finger_table().split(Spread.FEW_AND_LONG)
    asked = {spread: splitter(spread).ask(200, most_days=4, light=False) for spread in Spread}
    assert asked[Spread.SHORT_AND_HARD].in_a_row == FINGERS.in_a_row_short == 3
    assert asked[Spread.LIGHT].in_a_row == asked[Spread.FEW_AND_LONG].in_a_row == 2
    assert (asked[Spread.FEW_AND_LONG].most_hard, asked[Spread.FEW_AND_LONG].between) == (3, 1)
    assert (few.most_days, few.between) == (3, 1)
    for part, most in ((1.0, 3), (0.7, 2), (0.3, 0)):
        ask = splitter(Spread.FEW_AND_LONG).ask(200, most_days=4, light=False, part=part)
        assert ask.most_hard == most


def test_a_recipe_that_the_climber_switched_off_is_not_hung() -> None:
    gone: dict[str, Recipe] = {
        LIGHT_HOLDS: BOOK[LIGHT_HOLDS],
        "soft": recipe("soft"),
        "h": hard("h"),
    }
    for spread in (Spread.SHORT_AND_HARD, Spread.FEW_AND_LONG):
        made = Splitter(gone, spread, frozenset(gone), short_days=60)
        ask = made.ask(200, most_days=4, light=False)
        assert [one.recipe for one in ask.hangs] == [LIGHT_HOLDS]


@pytest.mark.parametrize("spread", list(Spread))
@pytest.mark.parametrize("seconds", [28, 56, 112, 250])
def test_one_day_with_hangs_holds_one_session(spread: Spread, seconds: int) -> None:
    ask = splitter(spread).ask(seconds, most_days=1, light=False)
    assert sum(hang.sessions for hang in ask.hangs) == 1
