"""How hard hangs are: beginners lower, every other day the harder, a season as the block before."""

from __future__ import annotations

import pytest
from folder_maker import YEAR, revision, session
from hurt import hurt_text

from seasonplan.explain.sessions import text_of
from seasonplan.explain.steps import steps_of
from seasonplan.plan import Session
from seasonplan.recipes import HangLoad, Step, standard_recipes
from seasonplan.year.toml import read_year

BOOK = standard_recipes()
SHORT, LONG, KEPT = "fingerboard-short", "fingerboard-long", "season-fingers"


def hung(recipe: str, *weeks: int, days: int = 1) -> list[Session]:
    """So many sessions of it in each of these weeks, on days that follow."""
    return [
        session(f"{recipe}-{week}-{n}", recipe, 7 * (week - 1) + n, "18:00", 28, week=week, hangs=6)
        for week in weeks
        for n in range(days)
    ]


def shares(sessions: list[Session], before: str) -> list[float]:
    year = read_year(f"{YEAR}\n[before]\n{before}\n", file="year.toml")
    steps = steps_of(revision(sessions), BOOK, year)
    loads = [steps[one.id].load for one in sessions]
    return [load.share for load in loads if load is not None]


def test_who_never_hung_daily_begins_two_weeks_at_70_and_two_at_75_percent() -> None:
    """Custom, as all of this."""
    weeks = hung(SHORT, 1, 2, 3, 4, 5)
    assert shares(weeks, "hung_daily = false") == [0.7, 0.7, 0.75, 0.75, 0.8]
    assert shares(weeks, "hung_daily = true") == [0.8] * 5


def hurt(part: str, *, full: str = "2027-01-25") -> str:
    day = "2026-11-01" if full > "2026-12" else "2026-01-01"
    return hurt_text("Sore", part, day, day.replace("-01-", "-02-"), full, full)


HUNG = "hard_finger_sessions = 1\nhung_daily = true"


@pytest.mark.parametrize("part", ["finger", "wrist", "elbow", "shoulder"])
def test_after_an_injury_hard_hangs_begin_as_those_of_who_is_new_to_them(part: str) -> None:
    """Custom, no source. Back in full on 25 January, the Monday of the fourth week."""
    weeks = hung(LONG, 1, 4, 5, 6, 7, 8)
    told = shares(weeks, f"{HUNG}\n{hurt(part)}")
    assert told == [0.85, 0.7, 0.7, 0.75, 0.75, 0.85]
    assert shares(weeks, f"{HUNG}\n{hurt('ankle')}") == [0.85] * 6
    assert shares(weeks, f"{HUNG}\n{hurt(part, full='2026-03-01')}") == [0.85] * 6, "long over"


def test_the_text_of_such_hangs_says_gently_and_nothing_of_an_injury() -> None:
    """Calendars that tell of no injury have the same texts."""
    one = hung(LONG, 2)[0]
    gently = text_of(one, BOOK[LONG], step=Step(1, load=HangLoad(0.7, gently=True))).do
    assert "Begin gently after the break (custom, no source)" in gently
    assert "doctor or physiotherapist" in gently and "injur" not in gently
    assert "gently" not in text_of(one, BOOK[LONG], step=Step(1, load=HangLoad(0.7))).do


@pytest.mark.parametrize("recipe", [LONG, KEPT])
def test_who_had_no_hard_finger_sessions_begins_lower_whatever_the_hangs(recipe: str) -> None:
    begun = shares(hung(recipe, 1, 2, 3, 4, 5), "hard_finger_sessions = 0")
    assert begun[:4] == [0.7, 0.7, 0.75, 0.75] and begun[4] == BOOK[recipe].hang_share[0]
    assert shares(hung(recipe, 1), "hard_finger_sessions = 1") == [BOOK[recipe].hang_share[0]]


def test_days_that_follow_take_turns_from_the_second_week_on() -> None:
    days = hung(SHORT, 1, 2, days=3)
    assert shares(days, "hung_daily = true") == [0.8, 0.8, 0.8, 0.85, 0.8, 0.85]


def test_short_sessions_keep_the_load_of_the_last_finger_block() -> None:
    assert shares([*hung(LONG, 1), *hung(KEPT, 2, 3)], "hard_finger_sessions = 1")[1:] == [0.85] * 2
    assert shares([*hung(SHORT, 1), *hung(KEPT, 2)], "hung_daily = true")[1:] == [0.8]


def test_the_load_that_is_meant_is_the_one_that_is_told() -> None:
    one = hung(SHORT, 2)[0]
    told = text_of(one, BOOK[SHORT], step=Step(2, load=HangLoad(0.7)))
    assert told.this_week.startswith("Step 2: 6 hangs at 70 % of your maximum;")


def test_after_a_break_short_sessions_begin_at_their_own_load() -> None:
    """The load of a finger block is not what fingers hold weeks later."""
    weeks = [*hung(LONG, 1), *hung(KEPT, 2, 6)]
    assert shares(weeks, "hard_finger_sessions = 1") == [0.85, 0.85, 0.8]


def test_the_first_week_after_a_break_has_no_harder_day() -> None:
    days = hung(SHORT, 1, 2, 6, 7, days=3)
    assert shares(days, "hung_daily = true")[3:] == [
        0.85,
        0.8,
        0.85,
        0.8,
        0.8,
        0.8,
        0.85,
        0.8,
        0.85,
    ]
