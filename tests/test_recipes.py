"""Session recipes: complete, sourced, safe for the young; and one finger dose, two spreads."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic import ValidationError

from seasonplan.errors import BadInput, Misuse
from seasonplan.injury import allowed
from seasonplan.recipes import (
    Need,
    Recipe,
    RecipeChange,
    Sessions,
    Spread,
    finger_load,
    finger_range,
    finger_sessions,
    fingerboard_load,
    recipes,
    standard_recipes,
    troubles,
)
from seasonplan.reference import caution, profile, sources
from seasonplan.vocabulary import CHOSEN, BodyPart, Evidence, Kind, Phase, Quality, Tissue, Verified
from seasonplan.year.toml import read_year

YEARS = Path(__file__).parent / "years"
ALL = list(standard_recipes().values())
LITTLE, LONG = Spread.LITTLE_AND_OFTEN, Spread.FEW_AND_LONG
each = pytest.mark.parametrize("recipe", ALL, ids=lambda recipe: recipe.id)


# --- every recipe is complete ----------------------------------------------------------------


def test_there_are_at_least_twenty_recipes() -> None:
    assert len(ALL) >= 20
    assert len({recipe.name for recipe in ALL}) == len(ALL)


@each
def test_a_recipe_says_what_it_is_why_and_from_where(recipe: Recipe) -> None:
    assert sum(recipe.qualities.values()) == pytest.approx(1)
    assert recipe.name and recipe.do and recipe.caution and recipe.needs and recipe.kinds
    assert recipe.sources and all(source.cite for source in recipe.cited())
    assert recipe.least_minutes <= recipe.minutes <= recipe.most_minutes
    assert recipe.minutes == 0 or recipe.warm_up_minutes < recipe.minutes
    assert all(0 <= stress <= 3 for stress in recipe.stresses.values())
    assert 0 <= recipe.rpe <= 10 and 0 <= recipe.order <= 4


@each
def test_a_label_promises_no_more_than_its_sources(recipe: Recipe) -> None:
    """Trial and review need a study that was at least seen in abstract; practice admits to it."""
    studies = [s for s in recipe.cited() if s.verified in (Verified.READ, Verified.ABSTRACT)]
    if recipe.evidence in (Evidence.TRIAL, Evidence.REVIEW):
        assert studies
        assert "common-practice" not in recipe.sources
    else:
        assert "common-practice" in recipe.sources


def test_what_trials_did_not_show_is_said() -> None:
    """Lopez-Rivera 2012 (p > 0.05), Front Physiol 2024, Sports Med Open 2024 (second hand)."""
    assert "p > 0.05" in sources()["lopez-rivera-2012"].says
    assert "bouldering did not change" in sources()["dynamic-hangs-2024"].says
    light = sources()["frequent-light-2024"]
    assert light.verified is Verified.SECOND_HAND and "no numbers seen" in light.says
    assert standard_recipes()["fingerboard-often"].evidence is Evidence.COMMON_PRACTICE
    assert "yoshida-2022" in standard_recipes()["fingerboard-often"].sources


@each
def test_hard_use_of_fingers_asks_for_a_warm_up_and_a_day_between(recipe: Recipe) -> None:
    if recipe.stresses.get(Tissue.FINGERS, 0) == 3:
        assert recipe.warm_up_minutes >= 20
        assert recipe.spacing_hours >= 44
    if recipe.hard_on & {Tissue.FINGERS, Tissue.ELBOWS, Tissue.SHOULDERS}:
        assert recipe.spacing_hours >= 20


def test_fresh_things_come_before_tiring_ones_and_mobility_last() -> None:
    order = {name: recipe.order for name, recipe in standard_recipes().items()}
    assert order["limit-bouldering"] == order["technique-drills"] == order["fingerboard-often"] == 0
    assert order["pulling-strength"] < order["interval-circuits"] < order["aerobic"]
    assert order["mobility"] == max(order.values())


def test_every_kind_of_block_can_be_filled_with_the_qualities_it_asks_for() -> None:
    mixes = [(kind, profile(kind).mix) for kind in (*CHOSEN, Kind.TRIP)]
    for part in (BodyPart.FINGER, BodyPart.ANKLE):
        for phase in (Phase.OFF, Phase.EASY, Phase.BUILDING):
            held = allowed([(part, phase)])
            assert held is not None
            mixes.append((Kind.INJURED if phase is Phase.OFF else Kind.RETURN, held.mix))
    for kind, mix in mixes:
        for quality in Quality:
            fits = [r for r in ALL if kind in r.kinds and r.qualities.get(quality, 0) > 0.1]
            assert fits or mix.of(quality) == 0, (kind, quality)


def test_rock_days_need_daylight_and_routes_a_partner() -> None:
    for recipe in ALL:
        if Need.ROCK in recipe.needs:
            assert Need.DAYLIGHT in recipe.needs
    assert Need.PARTNER in standard_recipes()["redpoint-day"].needs


# --- safety ------------------------------------------------------------------------------------


def test_maximal_finger_loading_is_flagged_for_the_young() -> None:
    """Meyers 2020, Hochholzer & Schöffl 2005: no intensive power training for growing fingers."""
    flagged = {recipe.id for recipe in ALL if recipe.max_fingers}
    assert flagged == {
        "fingerboard-long", "maximal-hangs", "board-power", "rung-ladders", "test-day",
    }  # fmt: skip


@each
def test_whatever_loads_fingers_hard_has_a_word_for_the_young(recipe: Recipe) -> None:
    hard = recipe.stresses.get(Tissue.FINGERS, 0) >= 2 or Need.HANGBOARD in recipe.needs
    assert (caution("young") in recipe.cautions) is (hard or recipe.max_fingers)


def test_what_an_injured_climber_may_do_loads_the_arms_lightly_if_at_all() -> None:
    arm = {Tissue.FINGERS, Tissue.ELBOWS, Tissue.SHOULDERS, Tissue.SKIN}
    for recipe in ALL:
        if Kind.INJURED in recipe.kinds:
            assert not arm & recipe.hard_on and not recipe.max_fingers
        if Kind.RETURN in recipe.kinds:
            assert Tissue.FINGERS not in recipe.hard_on and not recipe.max_fingers


def test_return_to_load_defers_to_the_clinician() -> None:
    recipe = standard_recipes()["return-fingers"]
    assert "clinician" in recipe.do and "doctor or physiotherapist" in recipe.caution


# --- short names ---------------------------------------------------------------------------------


@each
def test_every_recipe_has_a_short_name_that_fits_a_narrow_column(recipe: Recipe) -> None:
    assert recipe.short and len(recipe.short) <= 9
    assert recipe.short == recipe.short_name


def test_no_two_recipes_share_a_short_name() -> None:
    names = [recipe.short_name for recipe in ALL]
    assert len(set(names)) == len(names)


@pytest.mark.parametrize(
    ("name", "short"),
    [
        ("Stairs in the tower", "Stairs"),
        ("Easy laps", "Easy laps"),
        ("On the big wall", "On the b."),
        ("Rope, then run", "Rope"),
        ("Countermovements", "Counterm."),
        ("Ropes", "Ropes"),
    ],
)
def test_a_short_name_that_is_not_said_is_made_of_whole_words(name: str, short: str) -> None:
    book = recipes({"own": STAIRS.model_copy(update={"name": name})})
    assert book["own"].short_name == short and len(short) <= 9


def test_the_climber_sets_a_short_name_and_a_new_name_takes_the_old_one_away() -> None:
    book = recipes(
        {"mobility": RecipeChange(short="Stretch"), "aerobic": RecipeChange(name="Run by the lake")}
    )
    assert book["mobility"].short_name == "Stretch"
    assert book["mobility"].name == standard_recipes()["mobility"].name
    assert book["aerobic"].short_name == "Run"


def test_a_short_name_that_is_too_long_is_told_by_its_line() -> None:
    text = (YEARS / "kitchen-wall.toml").read_text()
    text += '\n[recipes.mobility]\nshort = "Stretching"\n'
    with pytest.raises(BadInput) as caught:
        read_year(text, file="year.toml")
    (fault,) = caught.value.faults
    assert "short" in str(fault) and "at most 9 letters" in str(fault)
    assert str(len(text.splitlines())) in str(fault)


# --- loads -------------------------------------------------------------------------------------


def test_a_load_is_effort_times_minutes_split_by_quality() -> None:
    """RPE x minutes: Foster 1998."""
    recipe = standard_recipes()["limit-bouldering"]
    assert recipe.load() == 8 * 90
    assert recipe.loads(60).power == pytest.approx(8 * 60 * 0.4)
    assert recipe.loads(60).total == pytest.approx(recipe.load(60))


# --- one dose, two spreads -----------------------------------------------------------------------

BOTH = tuple(zip(*(finger_range(spread) for spread in Spread), strict=True))
LOW, HIGH = max(BOTH[0]), min(BOTH[1])


def working(spread: Spread, load: float) -> float:
    """RPE x minutes after the warm-up x finger share."""
    book = standard_recipes()
    return sum(
        one.count
        * book[one.recipe].working_minutes(one.minutes)
        * book[one.recipe].rpe
        * book[one.recipe].qualities[Quality.FINGER_STRENGTH]
        for one in finger_sessions(load, spread=spread)
    )


def test_both_spreads_can_bring_most_weekly_doses() -> None:
    assert LOW <= 250 and HIGH >= 1050


@given(st.floats(LOW, HIGH))
def test_both_spreads_bring_the_same_weekly_dose_within_five_percent(load: float) -> None:
    little, long = (finger_load(finger_sessions(load, spread=spread)) for spread in (LITTLE, LONG))
    assert abs(little / long - 1) <= 0.05
    assert little == pytest.approx(load, rel=0.025)
    assert abs(working(LITTLE, load) / working(LONG, load) - 1) <= 0.05


@given(st.floats(LOW, HIGH))
def test_little_is_little_and_few_are_few(load: float) -> None:
    little, long = (finger_sessions(load, spread=spread) for spread in (LITTLE, LONG))
    assert all(20 <= one.minutes <= 40 for one in little)
    assert all(45 <= one.minutes <= 90 for one in long)
    assert sum(one.count for one in long) <= min(3, sum(one.count for one in little))
    assert sum(one.count for one in little) <= 6


def test_a_usual_strength_week_is_six_half_hours_or_two_long_sessions() -> None:
    """About 30 minutes with the warm-up, six days a week, 20 mm edge: common practice, no source.
    A usual week: eight free hours."""
    strength = profile(Kind.STRENGTH)
    week = 8 * 60 * strength.volume_in("full") * strength.rpe * strength.mix.finger_strength
    little = finger_sessions(fingerboard_load(week), spread=LITTLE)
    assert sum(one.count for one in little) == 6
    assert sum(one.count * one.minutes for one in little) / 6 == pytest.approx(30, abs=4)
    assert "20 mm" in standard_recipes()["fingerboard-often"].do
    long = finger_sessions(fingerboard_load(week), spread=LONG)
    assert sum(one.count for one in long) == 2
    assert all(70 <= one.minutes <= 90 for one in long)


def test_little_and_often_may_come_every_day() -> None:
    recipe = standard_recipes()["fingerboard-often"]
    assert recipe.spacing_hours < 24 and Tissue.FINGERS not in recipe.hard_on


def test_a_dose_out_of_reach_is_brought_as_far_as_it_goes() -> None:
    for spread in Spread:
        least, most = finger_range(spread)
        assert finger_load(finger_sessions(10 * most, spread=spread)) == pytest.approx(most)
        assert finger_sessions(0.5 * least, spread=spread) == ()


def test_the_young_get_light_finger_sessions_only() -> None:
    sessions = finger_sessions(800, spread=LONG, max_fingers=False)
    assert sessions
    assert not any(standard_recipes()[one.recipe].max_fingers for one in sessions)


def test_the_dose_follows_a_recipe_the_climber_changed() -> None:
    book = recipes({"fingerboard-often": RecipeChange(rpe=4)})
    sessions = finger_sessions(600, spread=LITTLE, book=book)
    assert finger_load(sessions, book) == pytest.approx(600, rel=0.025)
    fixed = RecipeChange(minutes=60, least_minutes=60, most_minutes=60)
    book = recipes({"fingerboard-long": fixed})
    assert finger_sessions(480, spread=LONG, book=book) == (Sessions("fingerboard-long", 1, 60),)
    off = recipes({"fingerboard-often": RecipeChange(on=False)})
    assert finger_sessions(600, spread=LITTLE, book=off) == ()


# --- the climber's own ---------------------------------------------------------------------------

STAIRS = RecipeChange(
    name="Stairs in the tower",
    kinds=(Kind.BASE,),
    qualities={Quality.FITNESS: 1.0},
    minutes=30,
    rpe=6,
    stresses={Tissue.WHOLE_BODY: 2},
)


def test_the_climber_changes_one_thing_and_the_rest_stays() -> None:
    book = recipes({"limit-bouldering": RecipeChange(minutes=75)})
    old, new = standard_recipes()["limit-bouldering"], book["limit-bouldering"]
    assert (new.minutes, new.changed, new.rpe, new.do) == (75, True, old.rpe, old.do)
    assert book["mobility"] == standard_recipes()["mobility"]


def test_a_new_length_takes_the_limits_of_length_with_it() -> None:
    book = recipes({"mobility": RecipeChange(minutes=60), "aerobic": RecipeChange(minutes=15)})
    assert (book["mobility"].most_minutes, book["aerobic"].least_minutes) == (60, 15)


def test_the_climber_adds_and_switches_off() -> None:
    book = recipes({"stairs": STAIRS, "rung-ladders": RecipeChange(on=False)})
    assert book["stairs"].name == "Stairs in the tower"
    assert book["stairs"].cited()[0].cite == "Entered by you"
    assert book["stairs"].spacing_hours == 24
    assert "rung-ladders" not in book


def test_a_new_recipe_hard_on_fingers_is_not_for_the_young_unless_said() -> None:
    hard = STAIRS.model_copy(update={"stresses": {Tissue.FINGERS: 3}})
    assert recipes({"own": hard})["own"].max_fingers


def test_all_that_is_wrong_is_found_at_once_with_its_place() -> None:
    found = troubles(
        {
            "limit-boulderin": RecipeChange(on=False),
            "own": RecipeChange(name="Own", minutes=30),
            "stairs": STAIRS.model_copy(
                update={
                    "qualities": {Quality.FITNESS: 0.5},
                    "least_minutes": 40,
                    "warm_up_minutes": 31,
                    "sources": ("somebody",),
                }
            ),
            "mobility": RecipeChange(minutes=4),
        }
    )
    assert [trouble.loc for trouble in found] == [
        ("recipes", "limit-boulderin"),
        ("recipes", "own", "kinds"),
        ("recipes", "own", "qualities"),
        ("recipes", "own", "rpe"),
        ("recipes", "own", "stresses"),
        ("recipes", "stairs", "qualities"),
        ("recipes", "stairs", "minutes"),
        ("recipes", "stairs", "warm_up_minutes"),
        ("recipes", "stairs", "sources"),
        ("recipes", "mobility", "warm_up_minutes"),
    ]
    assert found[0].do == "Did you mean 'limit-bouldering'?"


def test_troubles_are_to_be_asked_for_first() -> None:
    with pytest.raises(Misuse, match="add up to"):
        recipes({"mobility": RecipeChange(qualities={Quality.FITNESS: 0.3})})


@pytest.mark.parametrize(
    "values", [{"rpe": 11}, {"minutes": -1}, {"stresses": {"fingers": 4}}, {"colour": "red"}]
)
def test_values_that_cannot_be_are_refused(values: dict[str, object]) -> None:
    with pytest.raises(ValidationError):
        RecipeChange.model_validate(values)
