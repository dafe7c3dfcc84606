"""What a calendar week may hold: load by steps, back after days off, hangs that grow."""

from __future__ import annotations

from datetime import date, timedelta
from functools import cache
from itertools import pairwise, product
from math import log

import pytest
from levelled import STEP, levels_of, roomy, steps
from places import TESTS
from plan_maker import a_year, absence, day, goal, injury, season, trip

from seasonplan.body.almanac import Almanac
from seasonplan.body.response import body_of
from seasonplan.planner.levels import Levels, WeekLevel
from seasonplan.planner.menus import finger_table
from seasonplan.rules.tables import after_days_off, composing, light_hangs_from, response_table
from seasonplan.year import Before, Year
from seasonplan.year.toml import read_year

# --- steps ----------------------------------------------------------------------------------------


def test_the_load_rises_in_three_weeks_of_four() -> None:
    assert response_table().load_step == 1.08 and composing().load.steady_every == 4
    top = round(log(1.5, STEP), 2)  # a year's rise: between the fifth step and the sixth
    assert 5 < top < 6 and steps(roomy(9)) == [0, 1, 2, 3, 3, 4, 5, top, top]


def test_the_load_rises_no_further_than_a_year_allows() -> None:
    """Load rises to 1.5 times that before, 1.25 times from 50 on and under 18."""
    for born, most in ((None, 1.5), (1990, 1.5), (1970, 1.25), (2012, 1.25)):
        year = roomy(20, climber={"birth_year": born})
        loads = [level.load for level in levels_of(year)[0]]
        assert max(loads) <= most * 1000.0 + 1e-6
        assert max(loads) > most * 1000.0 / STEP


def test_who_cannot_fill_such_a_week_does_not_rise() -> None:
    year = roomy(8, climber={"minutes": {"monday": 60, "thursday": 60}})
    assert set(steps(year)) == {0}


def test_a_short_first_week_is_filled_by_its_part_of_the_usual_time() -> None:
    """A year from a Saturday on: two days of seven have to hold two sevenths of a week's time."""
    for saturday, rises in ((350, False), (500, True)):
        minutes = {"monday": 400, "wednesday": 400, "friday": 400, "saturday": saturday}
        year = Year(
            horizon={"first": day(5), "weeks": 5}, before=Before(weekly_load=(4000.0,) * 4),
            climber={"time_zone": "Europe/Vienna", "minutes": minutes},
        )  # fmt: skip
        # by hand: 0.85 x 2/7 of 1550 minutes is 376, of 1700 it is 413
        first, second = (level.load for level in levels_of(year)[0][:2])
        assert (second > first) is rises


def test_the_week_after_a_long_climbing_trip_holds_less_and_begins_easily() -> None:
    for days, share in ((14, 0.7), (6, 1.0)):
        _, made = levels_of(roomy(6, trips=[trip(7, days)]))
        assert made.of(day(14 if days < 7 else 21)).share == share
        assert made.of(day(28)).share == 1.0
        assert made.easy_until(day(7 + days)) is (share < 1.0)


@cache
def mixed(weeks: tuple[str, ...]) -> list[WeekLevel]:
    """The levels of weeks at home, away, or half away, after two weeks at home."""
    away = [
        absence(14 + 7 * n, {"away": 7, "half": 5}[what], name=f"Away {n}")
        for n, what in enumerate(weeks)
        if what != "home"
    ]
    return levels_of(roomy(len(weeks) + 3, absences=away))[0]


PATTERNS = list(product(("home", "away", "half"), repeat=4))


def test_no_week_holds_more_than_a_step_above_the_week_before_nor_too_little() -> None:
    """In all 81 orders of four weeks at home, away and mostly away."""
    body = body_of(roomy())
    for pattern in PATTERNS:
        found = mixed(pattern)
        for before, after in pairwise(found):
            assert after.load <= before.load * STEP + 1e-9
            assert after.load >= before.load / STEP - 1e-9
        assert all(body.usual / STEP**5 - 1e-9 <= one.load <= body.top + 1e-9 for one in found)


def test_a_week_away_lowers_what_comes_after_by_one_step_and_nothing_before() -> None:
    for pattern in PATTERNS:
        found = mixed(pattern)
        for n, what in enumerate(pattern):
            here, after = found[2 + n], found[3 + n]
            if what == "home":
                assert after.load >= here.load
            else:
                assert after.load == pytest.approx(here.load / STEP)


def test_a_week_hangs_on_no_week_after_it() -> None:
    for pattern in PATTERNS:
        for n in range(4):
            other = (*pattern[:n], *("home",) * (4 - n))
            assert mixed(pattern)[: 2 + n] == mixed(other)[: 2 + n]


def test_fewer_than_four_days_away_lower_nothing() -> None:
    """Three days of a week, and four of the next; the fourth trained week brings no step."""
    year = roomy(6, absences=[absence(11, 7)])  # Friday to Thursday
    assert steps(year) == [0, 1, 2, 1, 2, 2]


def test_a_week_on_a_climbing_trip_brings_no_step_and_takes_none() -> None:
    assert steps(roomy(6, trips=[trip(7, 7)])) == [0, 1, 1, 2, 2, 3]


@pytest.mark.parametrize(("days", "row"), [(6, None), (7, 5), (10, 5), (19, 5), (20, 10), (42, 21)])
def test_after_a_week_of_climbing_trip_load_comes_back_as_after_half_as_many_days_off(
    days: int, row: int | None
) -> None:
    """As after five at least."""
    ends = Levels(Almanac(roomy(12, trips=[trip(7, days)]))).off_ends
    assert [one.days for one in ends.values()] == ([row] if row else [])
    assert set(ends) <= {day(7 + days)}


def test_training_after_a_season_goes_on_from_where_it_was() -> None:
    """Days on rock may be more from week to week; what one trains after them is not."""
    year = roomy(8, seasons=[season(14, 28)], goals=[goal()])
    assert steps(year) == [0, 1, 2, 3, 3, 4, 2, 3]


def test_the_load_stays_while_a_part_comes_back() -> None:
    hurt = injury(7, easy=7, building=14, full=28)
    assert steps(roomy(8, injuries=[hurt]))[:5] == [0, 1, 1, 1, 1]


def test_the_load_stays_until_it_has_come_back_by_tenths_from_half() -> None:
    """Weeks of a return count among the five after the first; the load rose from week to week by
    the calendar, too, while it was held below: 2420 was followed by 3465."""
    found = steps(roomy(16, injuries=[injury(7, easy=21, building=28, full=35)]))
    assert found[3:5] == [-1, -1] and found[5:10] == [0, 0, 0, 0, 0]
    assert found[10:13] == [1, 2, 2]  # one week in four it stays as ever


def test_in_the_last_phase_of_a_long_return_the_load_rises_to_what_it_was() -> None:
    """Ten weeks of it were all alike, at a share of what ten weeks off had left."""
    found = steps(roomy(22, injuries=[injury(14, easy=56, building=70, full=126)]))
    assert found[2] == 2 and found[8:10] == [-4, -4]  # easy: what six weeks off have left
    assert found[10:18] == [-4, -3, -2, -1, 0, 1, 2, 2]
    at_once = steps(roomy(20, injuries=[injury(0, easy=42, building=56, full=112)]))
    assert at_once[8:16] == [-5, -4, -3, -2, -1, 0, 0, 0]  # to the step of the first week, too


def test_hangs_begin_with_a_session_after_an_injury_and_fall_by_days_off_on_their_way_back() -> (
    None
):
    """Off for three weeks and barred until week 14; away for three weeks from week 20 on.

    By hand: 252 s were done, one session is 56, weeks in which hard uses are few add .07 of 252,
    others .15; three weeks away take 56 s each, half of the 112 left is less than first weeks' 84.
    """
    hurt = injury(28, easy=49, building=56, full=63)
    levels = Levels(Almanac(a_year(30, injuries=[hurt], absences=[absence(140, 21)])))
    seconds = [levels.of(day(7 * n)).hang_seconds for n in range(30)]
    assert set(seconds[4:14]) == {56.0}
    assert seconds[20] == pytest.approx(56 + (2 * 0.07 + 5 * 0.15) * 252)
    assert seconds[23] == pytest.approx(84)


# --- back after days off --------------------------------------------------------------------------


@pytest.mark.parametrize("days", [4, 5, 9, 10, 20, 21, 30])
def test_after_days_off_the_first_weeks_hold_the_shares_of_the_table(days: int) -> None:
    """shared/blocks.toml, days_off: 0.7 after 5 days; 0.5, 0.75 after 10; 0.5, 0.65, 0.8 after
    21. Days off end with a Sunday, so weeks back are whole."""
    begins = 42 - days
    found, made = levels_of(roomy(12, absences=[absence(begins, days)]))
    row = after_days_off(days)
    expected = {4: (), 5: (0.7,), 9: (0.7,), 10: (0.5, 0.75), 20: (0.5, 0.75)}.get(
        days, (0.5, 0.65, 0.8)
    )
    assert (row.shares if row else ()) == expected
    assert made.off_ends == ({day(42): row} if row else {})
    assert tuple(one.share for one in found[6 : 6 + len(expected)]) == expected
    rest = found[6 + len(expected) :]
    assert {one.share for one in rest} == {1.0} and {one.back for one in rest} == {None}


def test_a_week_with_fewer_than_four_days_back_uses_up_no_share() -> None:
    for ends in range(42, 49):  # 42 is a Monday
        found, _ = levels_of(roomy(12, absences=[absence(32, ends - 32)]))
        left = 49 - ends
        shares = [one.share for one in found[6:9]]
        assert shares == ([0.5, 0.75, 1.0] if left >= 4 else [0.5, 0.5, 0.75]), ends


def test_with_the_rule_off_load_comes_back_at_once_and_fingers_still_by_steps() -> None:
    year = roomy(12, absences=[absence(21, 21)])
    kept, loose = levels_of(year)[0], levels_of(year, back=False)[0]
    assert [one.share for one in kept[6:9]] == [0.5, 0.65, 0.8]
    assert {one.share for one in loose} == {1.0}
    assert [one.finger_days for one in loose] == [one.finger_days for one in kept]


def test_days_off_of_two_sorts_in_a_row_count_together_and_climbing_days_do_not() -> None:
    away, hurt = absence(21, 5), injury(26, easy=35, building=36, full=37)
    _, both = levels_of(roomy(12, absences=[away], injuries=[hurt]))
    assert both.off_ends == {day(35): after_days_off(14)}
    _, climbing = levels_of(roomy(12, absences=[away], trips=[trip(26, 6)]))
    assert climbing.off_ends == {day(26): after_days_off(5)}


def test_nothing_is_hard_in_the_first_four_days_back_and_the_first_week_is_seven() -> None:
    away = absence(10, 8)
    _, made = levels_of(roomy(12, absences=[away]))
    assert [n for n in range(84) if made.easy_until(day(n))] == [18, 19, 20, 21]
    back = [n for n in range(84) if made.first_week_back(day(n))]
    assert back == list(range(18, 25))
    assert made.first_week_back(day(20)) == (day(18), after_days_off(8))


def test_days_off_at_the_end_of_the_year_end_after_it() -> None:
    _, made = levels_of(roomy(6, absences=[absence(35, 7)]))
    assert made.off_ends == {}


# --- what the diary says --------------------------------------------------------------------------

TWELVE = read_year((TESTS / "years" / "twelve-weeks.toml").read_text(encoding="utf-8"), file="y")
MONDAY = date(2026, 3, 2)
MONDAYS = [MONDAY + timedelta(7 * n) for n in range(5)]


@pytest.mark.parametrize(("share", "rises"), [(1.0, 1), (0.75, 1), (0.74, 0), (0.5, 0), (0.49, -1)])
def test_load_rises_stays_or_falls_by_how_much_was_done(share: float, rises: int) -> None:
    levels = Levels(Almanac(TWELVE), done={MONDAY: share})
    before, after = (levels.of(monday).load for monday in MONDAYS[:2])
    assert after == pytest.approx(before * 1.08**rises)  # shared/response.toml: load.step


def test_after_weeks_missed_in_most_training_comes_back_by_steps() -> None:
    levels = Levels(Almanac(TWELVE), done={MONDAY: 0.1, MONDAYS[1]: 0.4})
    # shared/blocks.toml, days_off: after 10 days 0.5 and 0.75 of the load
    assert [levels.of(monday).share for monday in MONDAYS[:4]] == [1, 1, 0.5, 0.75]
    assert levels.easy_until(MONDAYS[2]) and not levels.easy_until(MONDAYS[3])


def test_the_load_falls_from_what_was_borne_and_not_from_what_could_have_been() -> None:
    usual = body_of(TWELVE).usual
    week = MONDAYS[3]  # three steps up by the calendar
    levels = Levels(Almanac(TWELVE), done={week: 0.6}, borne={week: 1.08 * usual})
    assert levels.of(week).load > 1.15 * usual
    assert levels.of(MONDAYS[4]).load == pytest.approx(1.08 * usual)
    more = Levels(Almanac(TWELVE), done={week: 0.6}, borne={week: 9 * usual})
    assert more.of(MONDAYS[4]).load == more.of(week).load  # what was borne lifts nothing


def test_four_weeks_after_a_missed_one_are_held_against_what_was_done() -> None:
    levels = Levels(Almanac(TWELVE), done={MONDAY: 0.6})
    held = [n for n in range(-2, 8) if levels.after_missed(MONDAY + timedelta(weeks=n))]
    assert held == [1, 2, 3, 4]


# --- hangs ----------------------------------------------------------------------------------------


def test_hangs_grow_by_a_session_each_trained_week_and_fall_by_one_away() -> None:
    table = finger_table()
    first = max(table.first_seconds, response_table().usual_session_seconds)
    found, _ = levels_of(roomy(10, absences=[absence(21, 7)]))
    grown = [one.hang_seconds for one in found]
    assert grown[:4] == [first + table.a_session * n for n in range(4)]
    assert grown[4] == first + table.a_session * 2
    assert grown[5] == first + table.a_session * 3


def test_hangs_never_fall_below_the_first_nor_rise_above_the_most() -> None:
    table = finger_table()
    for told in (1.0, 4.0):
        before = Before(weekly_load=(1000.0,) * 4, hard_finger_sessions=told)
        first = max(table.first_seconds, told * response_table().usual_session_seconds)
        year = roomy(16, before=before, absences=[absence(0, 14)])
        grown = [one.hang_seconds for one in levels_of(year)[0]]
        assert grown[:2] == [first] * 2
        assert all(table.first_seconds <= one <= table.most_seconds for one in grown)
        assert grown[2:] == sorted(grown[2:]) and grown[-1] == table.most_seconds


def test_who_did_no_hard_hangs_has_none_in_the_first_weeks() -> None:
    table, before = finger_table(), Before(weekly_load=(1000.0,) * 4, hard_finger_sessions=0.0)
    year = roomy(16, before=before)
    seconds = [one.hang_seconds for one in levels_of(year)[0]]
    begun = table.weeks_without
    assert seconds[:begun] == [0.0] * begun
    assert seconds[begun : begun + 2] == [table.a_session, 2 * table.a_session]
    weeks = list(Almanac(year).weeks())
    assert levels_of(year)[1].hangs_begin == weeks[begun].first


def test_hard_hangs_come_back_from_days_off_by_the_share_that_load_does() -> None:
    """Ten days off and more: light hangs first, then half, and a session more each week."""
    table, row = finger_table(), after_days_off(14)
    assert row is not None and row.days >= light_hangs_from()
    seconds = [one.hang_seconds for one in levels_of(roomy(16, absences=[absence(42, 14)]))[0]]
    before = seconds[6] - 2 * table.a_session
    half = max(table.first_seconds, row.shares[0] * before)
    assert seconds[8:12] == [half, half, half + table.a_session, half + 2 * table.a_session]
    short = [one.hang_seconds for one in levels_of(roomy(16, absences=[absence(42, 7)]))[0]]
    assert short[7] == short[6] - table.a_session


@pytest.mark.parametrize("known", [False, True])
def test_days_with_hangs_grow_slower_for_who_never_hung_daily(known: bool) -> None:
    before = Before(weekly_load=(1000.0,) * 4, hung_daily=known)
    table = finger_table()
    row = table.days_if_known if known else table.days_if_new
    found = [one.finger_days for one in levels_of(roomy(12, before=before))[0]]
    assert found == [row[min(n, len(row) - 1)] for n in range(12)]


def test_after_days_off_fingers_hang_on_no_more_days_than_the_table_says() -> None:
    before = Before(weekly_load=(1000.0,) * 4, hung_daily=True)
    found, _ = levels_of(roomy(14, before=before, absences=[absence(42, 21)]))
    assert [one.finger_days for one in found[9:12]] == [2, 2, 3]  # shared/blocks.toml, 21 days
    assert found[12].finger_days > 3


def test_a_calendar_week_is_one_level_on_whatever_day_it_begins() -> None:
    for weekday in ("monday", "thursday", "sunday"):
        year = roomy(6, climber={"first_weekday": weekday})
        almanac = Almanac(year)
        made = Levels(almanac)
        for week in almanac.weeks():
            assert len({id(made.of(d)) for d in week.days()}) == 1
        assert len({id(made.of(d)) for d in year.span.days()}) == len(almanac.weeks())
