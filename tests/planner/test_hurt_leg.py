"""Weeks in which a leg is hurt: what sits and lies while it is off, sound arms while it is back."""

from __future__ import annotations

from functools import cache

import pytest
from plan_maker import a_year, day, goal, injury, season
from planned import judged, planned

from seasonplan.planner.fill import Filled
from seasonplan.vocabulary import Kind, RockRole


@cache
def hurt_in_base(part: str) -> Filled:
    """A year in which a part is hurt in base, planned and found sound."""
    hurt = {**dict(injury(28, easy=42, building=63, full=84)), "part": part}
    year = a_year(
        16,
        injuries=[{k: v for k, v in hurt.items() if k != "id"}],
        sessions={"has": ["hangboard", "wall"]},
    )
    made = planned(year)
    assert made is not None and judged(year, made) == []
    return made


def recipes_in(made: Filled, kind: Kind) -> set[str]:
    spans = [block.span for block in made.blocks if block.kind is kind]
    return {one.recipe for one in made.sessions if any(one.day in span for span in spans)}


def test_hangs_go_on_while_a_leg_comes_back_and_not_while_it_is_off() -> None:
    weeks = {"ankle": (False, True), "knee": (False, True), "back": (False, False)}
    for part, (while_off, back) in weeks.items():
        held = {b.kind: sum(w.hard_seconds for w in b.weeks) for b in hurt_in_base(part).blocks}
        assert (held[Kind.INJURED] > 0) is while_off and (held[Kind.RETURN] > 0) is back


def test_weeks_in_which_a_leg_bears_nothing_hold_all_that_sits_or_lies() -> None:
    """Before there was one session for them, three times a week: a third of what was asked."""
    for part in ("ankle", "knee"):
        made = hurt_in_base(part)
        every = {"seated-press-and-pull", "seated-pulls", "seated-circuits", "lying-trunk"}
        weeks = [week for b in made.blocks if b.kind is Kind.INJURED for week in b.weeks]
        assert every <= recipes_in(made, Kind.INJURED)
        assert all(week.load > 0.6 * week.aim for week in weeks)
    back = recipes_in(hurt_in_base("back"), Kind.INJURED)
    assert back == {"climb-in-the-head"}


@pytest.mark.parametrize(
    ("part", "weekday"),
    [("ankle", 5), ("ankle", 6), ("knee", 0), ("knee", 5), ("hip", 5), ("back", 5)],
)
def test_no_project_stands_while_a_leg_bears_nothing_hard_yet(part: str, weekday: int) -> None:
    """A redpoint with falls stood on the first day in full after a broken ankle, while the words of
    that fortnight were "easy days on rock and on foot". Common practice, no source."""
    full = 84 + weekday
    hurt = {**dict(injury(28, easy=42, building=63, full=full)), "part": part}
    year = a_year(
        18,
        injuries=[{k: v for k, v in hurt.items() if k != "id"}],
        seasons=[season(70, 126)], goals=[goal()],
        climber={"rock_days": ("saturday", "sunday"), "rock_minutes": 300},
    )  # fmt: skip
    made = planned(year)
    assert made is not None and judged(year, made) == []
    rock = [one for one in made.sessions if one.role is not None and one.day >= day(full)]
    early = [one for one in rock if one.day < day(full + 14)]
    assert early and {one.role for one in early} == {RockRole.EASY}
    assert RockRole.PROJECT in {one.role for one in rock}


def test_a_leg_and_an_arm_that_bear_nothing_leave_what_lies_down() -> None:
    first, second = (
        {**{k: v for k, v in dict(injury(n, easy=42, building=63, full=84)).items() if k != "id"},
         "part": part, "name": part}
        for n, part in ((14, "ankle"), (21, "elbow"))
    )  # fmt: skip
    made = planned(a_year(12, injuries=[first, second]))
    assert made is not None
    both = {one.recipe for one in made.sessions if day(21) <= one.day < day(42)}
    assert both == {"lying-trunk", "climb-in-the-head"}


def test_sound_arms_pull_while_a_leg_comes_back_and_no_others() -> None:
    for part, may in (("knee", True), ("back", False)):
        pulled = "pulling-without-weights" in recipes_in(hurt_in_base(part), Kind.RETURN)
        assert pulled is may
