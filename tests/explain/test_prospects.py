"""What a plan lets one expect, in sentences: days, ranges and what was not known."""

from __future__ import annotations

import re
from datetime import timedelta
from functools import cache

import pytest
from places import ROOT

from seasonplan.body.lives import Range
from seasonplan.body.outlook import QualityChange, good_days
from seasonplan.days import Span, span_text
from seasonplan.explain.prospects import A_MODEL, START_UNKNOWN, _change, outlook_lines
from seasonplan.explain.words import number_text
from seasonplan.plan import Revision
from seasonplan.recipes import recipes, standard_recipes, usual_text
from seasonplan.vocabulary import Quality, RockRole
from seasonplan.workspace.opened import Opened
from seasonplan.year import Year

DAY = timedelta(days=1)
DEMO = ROOT / "calendars_demo"


@cache
def demo(name: str) -> tuple[Year, Revision]:
    opened = Opened(DEMO / name)
    assert opened.plan is not None
    return opened.year, opened.plan.current


def test_each_goal_is_told_with_days_range_and_change() -> None:
    year, now = demo("half-an-hour")
    told = outlook_lines(now, year)
    days = now.score.occasions[0].rock_days
    there = [one for one in now.sessions if one.rock == now.score.occasions[0].entry]
    easy = sum(one.role is RockRole.EASY for one in there)
    assert 0 < easy == now.score.occasions[0].easy_days < days
    assert f"{days} days on rock planned, {easy} of them easy" in told[0]
    ends = re.search(
        rf"Of the {days} days on rock .* between (\d+) and (\d+) will be good", told[1]
    )
    assert ends is not None
    assert int(ends[1]) <= now.score.occasions[0].good_days <= int(ends[2]) <= days
    assert "finger strength +" in told[2]


def test_one_day_on_rock_is_given_no_range_of_good_days() -> None:
    """It was told "Of the 1 days on rock from ... between 0 and 1 will be good"."""
    year, now = demo("half-an-hour")
    first = now.score.occasions[0]
    there = sorted((one.day, one.id) for one in now.sessions if one.rock == first.entry)
    gone = {name for _, name in there[1:]}
    one_day = Revision(**{
        **dict(now), "sessions": tuple(one for one in now.sessions if one.id not in gone)
    })  # fmt: skip
    assert any(line.startswith("Of the ") for line in outlook_lines(now, year))
    assert not [line for line in outlook_lines(one_day, year) if line.startswith("Of the 1 ")]
    assert any(line.startswith("By then") for line in outlook_lines(one_day, year))


def test_a_start_that_is_not_known_is_said_and_one_that_is_known_is_not() -> None:
    year, now = demo("autumn-project")
    unknown = year.before.model_copy(update={"hard_finger_sessions": None})
    known = year.before.model_copy(update={"hard_finger_sessions": 2})
    assert outlook_lines(now, year.with_fields(before=unknown))[-1] == f"{A_MODEL} {START_UNKNOWN}"
    assert outlook_lines(now, year.with_fields(before=known))[-1] == A_MODEL


def test_a_goal_that_the_year_no_longer_has_is_left_out() -> None:
    year, now = demo("autumn-project")
    gone = year.model_copy(update={"goals": year.goals[:1]})
    lines = [line for line in outlook_lines(now.model_copy(), gone) if line.startswith("By then")]
    assert len(lines) == 1


def test_sure_days_have_no_range_and_doubtful_ones_a_wide_one() -> None:
    sure, even = good_days([1.0] * 8), good_days([0.5] * 8)
    assert (sure.low, sure.middle, sure.high) == (8, 8, 8)
    # Eight tosses of a coin without spells: 80 % lie within 4 +- 1.28 * sqrt(2) = 2.2 to 5.8
    # (binomial distribution); weather in spells is wider.
    assert even.low < 2.2 and even.high > 5.8 and even.middle == 4


def test_what_rounds_to_nothing_has_no_sign() -> None:
    change = QualityChange(quality=Quality.POWER, percent=Range(low=-4.2, middle=-0.3, high=0.4))
    assert _change(change) == "power ±0 % (-4 to 0)"


def test_beside_fingers_below_the_start_stands_where_the_figure_comes_from() -> None:
    """Ten sessions a week of 70 s before the year are more than any plan keeps."""
    year, now = demo("half-an-hour")
    often = year.with_fields(before=year.before.model_copy(update={"hard_finger_sessions": 10}))
    told = outlook_lines(now, often)
    (place,) = (n for n, line in enumerate(told) if line.startswith("Fingers below the start"))
    assert "finger strength -" in told[place - 1]
    assert "10 hard finger sessions a week before, as you entered (700 s of hangs)" in told[place]
    book, first = recipes(year.recipes), now.score.occasions[0].span.first
    hung = [s for s in now.sessions if s.day < first and book[s.recipe].hard_hangs]
    seconds = sum(one.hangs * book[one.recipe].hang_seconds for one in hung)
    weekly = 7 * seconds / (first - year.span.first).days
    assert f"the plan holds {weekly:.0f} s a week" in told[place]
    late = [one for one in hung if (first - one.day).days <= 56]
    assert f"s a week ({len(late)} sessions in all)" in told[place]


def test_fingers_that_gain_or_are_not_trained_need_no_such_word() -> None:
    year, now = demo("half-an-hour")
    assert not any(line.startswith("Fingers below") for line in outlook_lines(now, year))
    often = year.with_fields(before=year.before.model_copy(update={"hard_finger_sessions": 10}))
    book = recipes(year.recipes)
    bare = tuple(one for one in now.sessions if not book[one.recipe].hard_hangs)
    told = outlook_lines(now.model_copy(update={"sessions": bare}), often)
    assert not any(line.startswith("Fingers below") for line in told)


def test_hangs_of_a_season_promise_no_more_than_the_plan_tells() -> None:
    said = usual_text(standard_recipes()["season-fingers"]).do
    assert "less is lost" in said and "keep strength" not in said


@pytest.mark.parametrize(("times", "together"), [(4, False), (5, True)])
def test_of_many_days_for_one_goal_one_line_tells_the_sum(times: int, together: bool) -> None:
    """Two weekends a month were 18 sentences of days and 36 of change."""
    year, now = demo("autumn-project")
    one = now.score.occasions[0]
    some = tuple(
        one.model_copy(update={"span": Span(one.span.first + n * DAY, one.span.after + n * DAY)})
        for n in range(times)
    )
    score = now.score.model_copy(update={"occasions": some})
    told = outlook_lines(now.model_copy(update={"score": score}), year)
    days = [line for line in told if "on rock planned" in line]
    if not together:
        assert len(days) == times
        return
    (line,) = days
    assert f"{times} times from {span_text(Span(one.span.first, some[-1].span.after))}" in line
    assert f"{times * one.rock_days} days on rock planned" in line
    assert f"{number_text(times * one.good_days)} good ones" in line
    assert sum(line.startswith("By then") for line in told) <= 2
