"""Numbers of the shared data against what is printed elsewhere, and customs against our own words.

A custom of the trade stands in no paper. It is held by what the rules, recipes and README tell
the climber: whoever changes the number must change what is said.
"""

from __future__ import annotations

from datetime import date, timedelta
from math import exp

import numpy as np
import pytest
from late import Late

from seasonplan.body.load import ewma
from seasonplan.conditions import moisture
from seasonplan.conditions.sun import Wall, daylight
from seasonplan.recipes import Need, standard_recipes
from seasonplan.rules.statements import standard_book
from seasonplan.rules.tables import caution, composing, days_off_table, rock_day_table, table
from seasonplan.vocabulary import Discipline, RockRole, Tissue

pd, pvlib = Late("pandas"), Late("pvlib")
BOOK = standard_book()
NUMBERS = {"two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "seven": 7}
RAMP = table("injuries")["ramp"]["steps"]


# --- effort, load -----------------------------------------------------------------------------


def test_words_for_effort_are_fosters() -> None:
    # Foster's scale as printed in J Sports Sci Med 5:289, table 1; 6, 8 and 9 have no word
    assert table("effort")["words"] == [
        [0, "rest"], [1, "very, very easy"], [2, "easy"], [3, "moderate"], [4, "somewhat hard"],
        [5, "hard"], [7, "very hard"], [10, "maximal"],
    ]  # fmt: skip


@pytest.mark.parametrize("days", [7, 28])
def test_weighted_means_are_those_of_pandas(days: int) -> None:
    loads = [float(one) for one in np.random.default_rng(days).uniform(0, 900, 120)]
    wanted = pd.Series(loads).ewm(span=days, adjust=False).mean()
    assert ewma(loads, days=days) == pytest.approx(list(wanted))


# --- weather and sky --------------------------------------------------------------------------


def test_dew_points_are_those_of_a_solar_library() -> None:
    """pvlib's dew point, by the same formula with the constants of the WMO (17.62, 243.12)."""
    cases = 0
    for celsius in range(-20, 45, 5):
        for percent in range(10, 101, 15):
            wanted = float(pvlib.atmosphere.tdew_from_rh(float(celsius), float(percent)))
            assert moisture.dew_point(celsius, percent) == pytest.approx(wanted, abs=0.06)
            cases += 1
    assert cases > 80


@pytest.mark.parametrize("celsius", [-20, -10, 10, 20, 30])
def test_vapour_over_water_is_near_another_formula(celsius: int) -> None:
    # Goff & Gratch as Murray 1967 puts them, J Appl Meteor 6(1):203-204 (from memory): Tetens,
    # 6.1078 exp(17.2693882 t / (t + 237.3)) over water
    water = 6.1078 * exp(17.2693882 * celsius / (celsius + 237.3))
    assert moisture.pressure(celsius, moisture.over_water()) == pytest.approx(water, rel=0.01)


@pytest.mark.parametrize("latitude", [-46.0, 0.0, 31.0, 47.0, 60.0])
@pytest.mark.parametrize("day", [date(2027, 1, 9), date(2027, 3, 21), date(2027, 6, 20)])
def test_a_day_is_as_long_as_a_solar_library_says(latitude: float, day: date) -> None:
    """pvlib's sunrise and sunset (the solar position algorithm of NREL), on the same meridian."""
    ((rises, sets),) = daylight(Wall(latitude, 0.0, aspect=180, steepness=90), day, time_zone="UTC")
    noon = pd.DatetimeIndex([pd.Timestamp(day, tz="UTC")])
    sun = pvlib.solarposition.sun_rise_set_transit_spa(noon, latitude, 0.0)
    wanted = (sun["sunset"] - sun["sunrise"]).iloc[0].to_pytimedelta()
    assert abs((sets - rises) - wanted) < timedelta(minutes=1.5)


def test_the_horizon_is_half_a_sun_and_the_bending_of_its_light() -> None:
    # the usual definition of sunrise: 34' of refraction and 16' of half a sun
    assert table("conditions")["sun"]["horizon_degrees"] == pytest.approx(-50 / 60, abs=1e-3)


def test_what_weather_may_be_lies_a_little_beyond_the_records() -> None:
    # WMO archive of extremes, from memory: 56.7 °C; -69.6 °C outside Antarctica; 1,825 mm of
    # rain in a day; a gust of 113 m/s
    most = table("conditions")["plausible"]
    for (low, high), (least, greatest) in [
        (most["temperature"], (-69.6, 56.7)), (most["rain"], (0, 1825)), (most["wind"], (0, 113)),
        (most["humidity"], (0, 100)),
    ]:  # fmt: skip
        assert 1.1 * least <= low <= least and greatest <= high <= 1.1 * greatest


def test_the_hottest_mean_lies_a_little_above_the_hottest_deserts() -> None:
    # atlases, from memory: a year's mean of 34 °C at 14° N, 27 °C at 30° N, 25 °C at 36° N; the
    # driest deserts have under 100 mm of rain a year
    raw = table("conditions")["doubts"]
    for latitude, mean in [(14, 34), (30, 27), (36, 25)]:
        beyond = max(0, latitude - raw["hot_up_to_degrees"])
        assert 0 < raw["hottest_mean"] - raw["cooler_by_degree"] * beyond - mean < 3
    assert raw["desert_rain"] == 100


def test_good_days_vary_as_much_as_in_the_records_they_were_measured_on() -> None:
    # five open daily records: 2.1 to 3.7 times more between years than independent days would
    assert 2.1 <= table("conditions")["spread"]["overdispersion"] <= 3.7


# --- tests of climbers ------------------------------------------------------------------------


def test_errors_of_tests_are_those_that_studies_measured() -> None:
    raw = table("tests")
    # J Sports Sci 2025, record 4092658 (abstract read): 2.04-3.37 % from day to day
    assert 2.04 <= raw["edge-pull"]["error"] == raw["edge-hang"]["error"] <= 3.37
    # McClean et al. 2023, Int J Exerc Sci 16(4):912-923 (abstract read): critical force 21 %
    assert raw["all-out"]["error"] == 21
    # Grgic et al. 2020, Sports Med Open 6:31 (abstract read): median 4.2 % in 32 studies
    assert raw["heavy-pull-up"]["error"] == 4.2


def test_correlations_with_grade_are_the_published_ones() -> None:
    # Buraas et al. 2025, Eur J Appl Physiol 125:2823-2830; Vereide et al. 2022, Front Sports Act
    # Living 4:888061; J Sports Sci 43(3):245-255, 185 men and 122 women (abstracts read)
    found = [(row["r"], row["n"]) for row in table("tests")["with-grade"]]
    assert found == [(0.89, 19), (0.67, 19), (0.73, 78), (0.75, 185 + 122)]


# --- published limits -------------------------------------------------------------------------


def test_tapers_are_as_long_and_as_deep_as_the_review_found_best() -> None:
    # Bosquet et al. 2007, Med Sci Sports Exerc 39(8):1358-1365 (abstract read): two weeks, volume
    # down 41 to 60 %
    assert BOOK["lead-in-length"].number == 14
    assert BOOK["lead-in-volume"].range == (41, 60)
    assert 0.40 <= table("blocks")["shares"]["lead_in"] <= 0.59


def test_hangs_are_hard_where_a_trial_saw_strength_rise() -> None:
    # Devise et al. 2022, Front Sports Act Living 4:862782 (abstract read): at 80 % and 100 % of
    # the maximum strength rose, at 60 % it did not
    assert 0.6 < table("response")["hangs"]["hard_from"] <= 0.8


# --- customs, by what the climber is told -----------------------------------------------------


@pytest.mark.parametrize(
    ("code", "limit", "why"),
    [
        ("base-length", (3, 8), "less than three weeks changes little, more than eight"),
        ("strength-length", (3, 6), "longer than six weeks wear people out"),
        ("performance-length", (1, 8), "after eight of them most people are stale"),
        ("rest-length", (5, 14), "Long enough that small niggles settle"),
        ("deload", 4, "so that the next three count"),
        ("strength-before-trip", 7, "Fatigue outlasts a week"),
        ("rest-every", 14, "only when load stops now and then"),
        ("rest-after-performance", 4, "Weeks of trying hard leave a debt"),
        ("rest-day", 6, "need a day without load"),
        ("build-back", 14, "Strength holds for up to four weeks"),
        ("young-fingers", 18, "close at around 17"),
        ("session-fresh", 4, "after hard hangs is a project day lost"),
        ("session-return", 4, "tendons follow last"),
    ],
)
def test_a_custom_is_what_its_reason_says(code: str, limit: object, why: str) -> None:
    """No source: whoever changes such a number has to read the reason that is told with it."""
    assert BOOK[code].limit == limit and why in BOOK[code].why


def test_days_off_are_followed_by_what_the_rules_tell() -> None:
    said, back = BOOK["build-back"].statement, table("blocks")["days_off"]
    shares = [[round(100 * share) for share in row.shares] for row in days_off_table()]
    assert shares == [[70], [50, 75], [50, 65, 80], [50, 65, 80]]
    assert "After 5 days off the first week holds at most 70 %" in said
    assert "after 10 days the first two 50 and 75 %" in said
    assert "after 21 days the first three 50, 65 and 80 %" in said
    assert [row.days for row in days_off_table()] == [5, 10, 21, 8 * 7]
    said = BOOK["session-return"].statement
    assert f"nothing above effort {back['easy_rpe']:g}" in said
    assert back["easy_days"] == BOOK["session-return"].number
    assert "the first seven two days with finger work; after ten days off hangs in them" in said
    assert [row.finger_days[0] for row in days_off_table()] == [2] * 4
    assert "after eight weeks for three weeks" in said
    assert [row.light_days for row in days_off_table()] == [0, 7, 7, 3 * 7]
    back = table("injuries")["back"]
    assert back["days_running"] == {"easy": 1, "building": 2, "full": 2}
    assert "on no two days running in the phase easy and on two at most in building" in said
    assert "in building and in each of the first four weeks in full" in said
    assert (back["steps_after"], composing().rock.led_rise) == (4, 1.25)
    assert "a day on rock is a quarter longer than the longest before at most" in said
    assert f"at home of {back['climb_session']} minutes at most" in said
    assert (back["most_step"], back["first_share"], back["climb_step"]) == (0.1, 0.5, 0.2)
    assert "a tenth of a full week more load than the one before at most, or half of one" in said
    more, first = back["climb_more"], back["climb_first"]
    assert f"a fifth or {more} minutes more climbing, or {first} minutes" in said
    assert f"barred for {back['hangs_long_days']} days begin with one session" in said
    for row in days_off_table():  # a day more from week to week at most, three in the end
        assert list(row.finger_days) == sorted(row.finger_days) and row.finger_days[-1] == 3
    assert days_off_table()[-1].finger_days == (2, 2, 3)


def test_a_rock_is_new_after_the_two_weeks_that_its_cautions_tell() -> None:
    assert composing().rock.fresh_after_days == 14
    said = "Washed out for two weeks or more: half as long on the first day back."
    told = [one for one in standard_recipes().values() if said in one.caution]
    assert {one.role for one in told} == {RockRole.PROJECT} and len(told) == 3


def test_finger_days_in_a_row_are_those_the_rules_tell() -> None:
    said, limits = BOOK["session-hangs"].statement, composing().fingers
    assert "no more than two days running with hard finger use, three in the split" in said
    assert (limits.in_a_row, limits.in_a_row_short) == (2, 3)
    assert "Three such days running at most" in standard_recipes()["fingerboard-short"].caution
    splits = table("menus")["fingers"]["splits"]
    assert "a day without finger work in any seven" in said
    assert {one["most_days"] for name, one in splits.items() if "often" in name} == {6}
    # every other day at most: no more than three to four days a week
    assert splits["few and long"]["most_days"] == 3
    assert "at most three sessions of hard hangs a week, a day between two of them" in said
    assert splits["few and long"]["between"] == 1
    assert limits.light_sessions + 1 == splits["light, often"]["most_days"]
    assert 0 < limits.young_light_sessions < limits.light_sessions / 2
    assert limits.after_trip_days == 3
    assert "every other day" in caution("fingers") and limits.hurt_light_sessions == 3


def test_two_days_of_three_on_rock_are_used_at_home_and_more_away() -> None:
    limits = rock_day_table()
    assert "at most two running at home" in BOOK["session-rock"].statement
    assert (limits.in_a_row, limits.in_seven[0], limits.in_seven_away) == (2, 2, 5)
    assert len(limits.in_seven) == 8 and set(limits.in_seven[4:]) == {3}


def test_the_steps_after_full_are_those_that_are_told() -> None:
    most = [step["most_stress"] for step in RAMP]
    assert most == [1, 2, 3] and [step["weeks"] for step in RAMP] == [2, 2, 2]
    for step in RAMP:
        if "no hard use" in step["words"]:
            assert step["hard_a_week"] == 0 and not step["max_fingers"]
        else:
            assert "at most twice a week" in step["words"] and step["hard_a_week"] == 2
        assert step["max_fingers"] is ("limit bouldering and maximal hangs again" in step["words"])
    assert "half as many hangs as before" in RAMP[-1]["words"]


def test_what_asks_the_most_of_fingers_is_rated_as_a_hard_use_of_them() -> None:
    """Hangs at 80 % and more, maximal finger work, climbing at effort 7 and more on a wall
    or rock: hard on fingers, so that days lie between them and hurt fingers are spared."""
    hard = [
        one for one in standard_recipes().values()
        if one.hard_hangs or one.max_fingers
        or (one.rpe >= 7 and {Need.WALL, Need.BOARD, Need.ROCK} & {*one.needs}
            and not {Discipline.ICE, Discipline.MOUNTAIN} & {*one.disciplines})
    ]  # fmt: skip
    assert len(hard) >= 12
    for one in hard:
        assert one.stresses[Tissue.FINGERS] >= 2, one.id
        assert one.spacing_hours >= 20, one.id
    most = {"fingerboard-long", "limit-bouldering", "board-power", "rung-ladders", "test-day"}
    assert all(standard_recipes()[name].stresses[Tissue.FINGERS] == 3 for name in most)


def test_older_climbers_rest_longer_after_long_hard_hangs() -> None:
    long = standard_recipes()["fingerboard-long"]
    assert "48 hours until the next hard finger work, 72 from 50 years on" in long.caution
    assert (long.spacing_hours, long.spacing_hours_from_50) == (48, 72)
    assert composing().older.from_years == 50
    most = table("menus")["from_50"]["most_limit_minutes"]
    limit = standard_recipes()["limit-bouldering"]
    assert limit.least_minutes <= most < limit.most_minutes and most == limit.minutes
    assert limit.spacing_hours_from_50 == long.spacing_hours_from_50


def test_a_climbers_own_recipe_keeps_days_like_ours_of_the_same_stress() -> None:
    hours = composing().own_recipes.spacing_hours
    assert hours == (0, 12, 24, 48) and list(hours) == sorted(hours)
    assert composing().load.steady_every == BOOK["deload"].number
    assert composing().block.power_endurance_weeks == NUMBERS["five"]
    assert "lasts no more than five weeks" in BOOK["power-endurance-late"].statement


def test_load_rises_by_about_a_tenth_a_week_at_most() -> None:
    assert "rises by about a tenth a week" in BOOK["load-step"].why
    assert 1.05 <= table("response")["load"]["step"] <= 1.10
