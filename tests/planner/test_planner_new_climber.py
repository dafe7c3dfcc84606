"""Who moves badly does drills, and who also never hung hard does not begin in the first year.

Common practice, no source: fingers get used to climbing first, and moving badly is not to be
practised tired. Counted in the sessions of whole years.
"""

from __future__ import annotations

import re
from collections import Counter

import pytest
from coached import RECIPES, ROCK, planned, sport_season, year_text

from seasonplan.planner.fill import Filled
from seasonplan.vocabulary import Emphasis, Kind

AT_HOME = {"tuesday": 120, "thursday": 90, "saturday": 120}
LIMIT = {"limit-bouldering", "board-power", "sharpening"}
NEVER, ONCE = 0, 1  # hard finger sessions a week before the year


def filled(movement: int, *, load: int, hung: int, fingers: int = 1) -> Filled:
    level = f"[climber.level]\nmovement = {movement}\nfinger_strength = {fingers}"
    text = year_text(AT_HOME, sport_season("08-14", "10-03"), load=load, climber=f"{ROCK}\n{level}")
    return planned(re.sub(r"hard_finger_sessions = \d", f"hard_finger_sessions = {hung}", text))[1]


def hard_hangs(made: Filled) -> int:
    """Sessions of hard hangs, and tests."""
    return sum(RECIPES[one.recipe].hard_hangs or one.recipe == "test-day" for one in made.sessions)


@pytest.mark.parametrize("load", [220, 900])
def test_who_is_new_hangs_lightly_tests_nothing_and_tries_nothing_at_the_limit(load: int) -> None:
    """With nine hundred a week a strength block with limit boulders stood in week eight."""
    for movement in (1, 2):
        made = filled(movement, load=load, hung=NEVER)
        assert hard_hangs(made) == 0
        assert not LIMIT & {one.recipe for one in made.sessions}
        assert Kind.STRENGTH not in {block.kind for block in made.blocks}
        assert Emphasis.FINGERS not in {block.emphasis for block in made.blocks}
        weeks = [week for block in made.blocks for week in block.weeks]
        light = [
            sum(one.recipe == "fingerboard-often" for one in made.sessions if one.day in week.span)
            for week in weeks
        ]
        assert max(light) == 1


WEAK_WEEKS = 12  # a preference of this project, no source


@pytest.mark.parametrize(("load", "fingers"), [(430, 2), (800, 1)])
def test_weak_fingers_that_never_hung_hold_lightly_for_twelve_weeks(
    load: int, fingers: int
) -> None:
    """Eight hangs at 85 per cent stood in week five of four hundred a week. A test comes weeks
    after the first hard hangs, and they begin with one session's seconds."""
    made = filled(3, load=load, hung=NEVER, fingers=fingers)
    hard = [one for one in made.sessions if RECIPES[one.recipe].hard_hangs]
    weeks = [week for block in made.blocks for week in block.weeks]
    seconds = [
        sum(s.hangs * RECIPES[s.recipe].hang_seconds for s in hard if s.day in week.span)
        for week in weeks
    ]
    begun = next(n for n, some in enumerate(seconds) if some)
    assert begun >= WEAK_WEEKS and seconds[begun] <= 56
    tests = [one.day for one in made.sessions if one.recipe == "test-day"]
    assert all((day - weeks[begun].span.first).days >= 28 for day in tests)
    early = {day for week in weeks[:WEAK_WEEKS] for day in week.span.days()}
    light = [one for one in made.sessions if one.day in early and one.recipe == "fingerboard-often"]
    assert 0 < len(light) <= 2 * WEAK_WEEKS


@pytest.mark.parametrize(("load", "fingers"), [(800, 3), (1500, 1)])
def test_other_fingers_that_never_hung_begin_after_three_weeks(load: int, fingers: int) -> None:
    """Who climbs five hours a week has fingers that are used to it, however weak they are rated."""
    made = filled(3, load=load, hung=NEVER, fingers=fingers)
    first = min(one.day for one in made.sessions if RECIPES[one.recipe].hard_hangs)
    assert (first - made.blocks[0].span.first).days < 7 * 5


@pytest.mark.parametrize(
    ("movement", "fingers", "hung"), [(3, 1, NEVER), (2, 4, NEVER), (2, 1, ONCE)]
)
def test_who_moves_well_or_hung_hard_before_is_not_new(
    movement: int, fingers: int, hung: int
) -> None:
    """Weak fingers under good technique are what hangs are for."""
    assert hard_hangs(filled(movement, load=900, hung=hung, fingers=fingers)) >= 10


def test_on_a_rope_who_is_new_learns_on_drills_and_easy_climbing_not_on_boulders() -> None:
    """74 sessions of boulder mileage and no route on a wall in three years of rope climbers."""
    made = filled(1, load=400, hung=NEVER)
    held = Counter(one.recipe for one in made.sessions)
    learnt = held["technique-drills"] + held["long-easy-climbing"] + held["route-volume"]
    assert held["technique-drills"] >= 15 and learnt > 4 * held["boulder-mileage"]
    season = [one for one in made.sessions if one.recipe == "interval-circuits"]
    assert len(season) <= 1


def drills(made: Filled) -> list[bool]:
    """Of each normal week of base without rock whether it holds drills."""
    return [
        any(one.recipe == "technique-drills" for one in made.sessions if one.day in week.span)
        for block in made.blocks if block.kind is Kind.BASE
        for week in block.weeks
        if not week.deload and not any(one.rock and one.day in week.span for one in made.sessions)
    ]  # fmt: skip


def test_who_moves_badly_does_drills_in_most_weeks_of_base() -> None:
    badly, well = drills(filled(1, load=900, hung=NEVER)), drills(filled(4, load=900, hung=NEVER))
    assert sum(badly) >= 0.75 * len(badly) > 10
    assert sum(well) / len(well) < sum(badly) / len(badly)


def test_who_is_back_from_a_year_off_climbs_easily_from_the_first_week_on() -> None:
    """The user had six hours a week, and seven weeks of two times 15 minutes of holds: 1.4 times
    next to nothing holds no hour on a wall. An hour a week is counted at least."""
    days = {"monday": 60, "tuesday": 90, "thursday": 90, "sunday": 120}
    text = year_text(days, "", weeks=16, load=70, has=["hangboard", "wall", "partner"])
    _, made = planned(text.replace("hard_finger_sessions = 1", "hard_finger_sessions = 0"))
    weeks = [week for block in made.blocks for week in block.weeks]
    for week in weeks[:3]:
        climbs = [s for s in made.sessions if s.day in week.span and RECIPES[s.recipe].climbs]
        assert climbs and all(one.rpe <= 4 for one in climbs) and 250 <= week.load <= 420
    assert max(week.load for week in weeks) > 500
