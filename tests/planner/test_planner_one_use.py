"""What shares a day with hard hangs, and how often hard work may stand after an injury."""

from __future__ import annotations

from itertools import permutations

from small_week import (
    frame,
    hangs,
    hard,
    hold,
    item,
    recipe,
    standing,
)

from seasonplan.rules.tables import composing
from seasonplan.vocabulary import Tissue

SOFT, HARD, HANG = recipe("soft"), hard("hard"), hangs("hang")
ELBOWS = hard("elbows", Tissue.ELBOWS)
FINGERS = frozenset({Tissue.FINGERS})
WEEK = [120] * 7


def test_hard_hangs_and_other_hard_work_share_a_day_of_one_free_time() -> None:
    for one, other in permutations((HARD, HANG)):
        at = standing(frame([120, 120]))
        at.put(0, item(one, 0))
        assert at.clear(0, other) and not at.clear(0, one)
        parted = standing(frame([[(600, 700), (1000, 1100)]]))
        parted.put(0, item(one, 0))
        assert not parted.clear(0, other)
    at = standing(frame([120]))
    at.put(0, item(HARD, 0))
    assert not at.clear(0, hard("other"))


def test_few_hangs_stand_beside_pulls_on_ice_tools() -> None:
    """Common practice, no source: both pull on the same arms."""
    most = composing().day.hangs_before_tools
    tools = hard("tools", Tissue.WRISTS, Tissue.ELBOWS)
    long = hangs("long", stresses={Tissue.FINGERS: 3, Tissue.ELBOWS: 2})
    for hung in (most, most + 1):
        at = standing(frame([120]))
        at.put(0, item(long, 0, hangs=hung))
        assert at.clear(0, tools) is (hung == most)
        assert at.clear(0, ELBOWS)
    at = standing(frame([120]))
    at.put(0, item(tools, 0))
    assert at.most_hangs(0) == most


def test_what_is_more_than_short_hangs_is_counted() -> None:
    at = standing(frame([120]))
    for one, counted in ((item(HANG, 0, minutes=15), 0), (item(SOFT, 0), 1), (item(HARD, 0), 2)):
        hold(at, 0, one)
        assert at.days[0].long_items == counted


def test_a_part_that_has_just_come_back_is_used_hard_only_so_often() -> None:
    at = standing(frame(WEEK, most_hard=1, spared=FINGERS))
    assert at.clear(0, HANG)
    at.put(0, item(HANG, 0))
    assert not any(at.clear(n, HANG) for n in range(2, 7))
    assert at.clear(4, ELBOWS)
    both = standing(frame(WEEK, most_hard=1, spared=FINGERS | {Tissue.ELBOWS}))
    both.put(0, item(HANG, 0))
    assert not both.clear(4, ELBOWS)


def test_a_part_of_a_week_has_its_part_of_the_hard_uses_and_what_was_done_counts() -> None:
    """Two in a week: both parts of a cut week together never hold more."""
    whole = standing(frame(WEEK, most_hard=2, spared=FINGERS))
    assert whole.hard_left(HANG) == 2
    for days in range(1, 7):
        one, other = (
            standing(frame([120] * n, most_hard=2, spared=FINGERS)).hard_left(HANG)
            for n in (days, 7 - days)
        )
        assert 0 <= one + other <= 2
    rest = frame([120] * 3, first=4, most_hard=2, spared=FINGERS)
    assert standing(rest, done=[item(HANG, 0)]).hard_left(HANG) == 1
    assert standing(rest, done=[item(HANG, 0), item(HANG, 2)]).hard_left(HANG) == 0
    assert standing(rest, done=[item(HANG, -1)]).hard_left(HANG) == 2  # of the week before
