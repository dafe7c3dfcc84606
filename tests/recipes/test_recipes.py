"""Session recipes: complete, sourced, safe for the young, and the climber's own to change."""

from __future__ import annotations

import pytest
from places import ROOT, TESTS
from pydantic import ValidationError

from seasonplan.errors import BadInput, Misuse
from seasonplan.explain.purpose import TRAINS
from seasonplan.recipes import (
    Need,
    Recipe,
    RecipeChange,
    present_id,
    recipes,
    standard_recipes,
    troubles,
)
from seasonplan.rules.tables import caution, sources
from seasonplan.vocabulary import (
    CHOSEN,
    EMPHASES,
    Emphasis,
    Evidence,
    Kind,
    Quality,
    Tissue,
    Verified,
)
from seasonplan.year.toml import read_year

YEARS = TESTS / "years"
ALL = list(standard_recipes().values())
SHARED = ROOT / "shared"
each = pytest.mark.parametrize("recipe", ALL, ids=lambda recipe: recipe.id)


# --- every recipe is complete ----------------------------------------------------------------


def test_there_are_at_least_thirty_recipes() -> None:
    assert len(ALL) >= 30
    assert len({recipe.name for recipe in ALL}) == len(ALL)


@each
def test_a_recipe_says_what_it_is_why_and_from_where(recipe: Recipe) -> None:
    assert sum(recipe.qualities.values()) == pytest.approx(1)
    assert recipe.name and recipe.do and recipe.caution and recipe.needs and recipe.kinds
    assert recipe.sources and all(source.cite for source in recipe.cited())
    assert recipe.least_minutes <= recipe.minutes <= recipe.most_minutes
    assert recipe.minutes == 0 or recipe.warm_up_minutes < recipe.minutes
    assert recipe.warm_up_minutes <= recipe.minutes
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


@each
def test_a_recipe_says_for_every_part_of_the_body_how_much_it_loads_it(recipe: Recipe) -> None:
    """A part that is left out would count as spared, and a hurt one would be loaded unseen."""
    assert set(recipe.stresses) == set(Tissue)
    assert all(0 <= stress <= 3 for stress in recipe.stresses.values())
    still = recipe.id in {"climb-in-the-head", "rest-day"}
    assert (not any(recipe.stresses.values())) is still


@pytest.mark.parametrize(
    ("key", "says"),
    [
        ("lopez-rivera-2012", "p > 0.05"),
        ("dynamic-hangs-2024", "p = 0.075"),
        ("dynamic-hangs-2024", "bouldering did not change"),
        ("hermans-2022", "against the control group the effects are 0.29-0.66"),
        ("hermans-2022", "hang time did not differ"),
        ("hermans-2022", "not for its session"),
        ("devise-2022", "not at 60 %"),
        ("stien-2021", "No hangs were trained"),
        ("yoshida-2022", "maximal eccentric"),
        ("mcclean-2023", "no training trial"),
        ("spiering-2021", "too few data for athletes"),
        ("frequent-light-2024", "no numbers seen"),
        ("baar-2017", "No trial on people"),
        ("gabbett-2016", "1.44"),
    ],
)
def test_what_a_study_did_not_show_is_said(key: str, says: str) -> None:
    assert says in sources()[key].says


def test_light_holds_name_the_trial_that_speaks_against_them() -> None:
    """Devise 2022: 60 % did not raise maximal force. Yoshida 2022 was maximal work, not light."""
    light = standard_recipes()["fingerboard-often"]
    assert light.evidence is Evidence.COMMON_PRACTICE
    assert "devise-2022" in light.sources and "yoshida-2022" not in light.sources


def test_a_campus_trial_backs_campus_work_only() -> None:
    """Stien 2021 trained on the campus board."""
    assert [r.id for r in ALL if "stien-2021" in r.sources] == ["rung-ladders"]


def test_every_source_is_named_by_a_table_and_every_named_one_is_there() -> None:
    others = "".join(
        path.read_text() for path in sorted(SHARED.glob("*.toml")) if path.name != "sources.toml"
    )
    unused = {key for key in sources() if key not in others}
    assert unused == {"your-own"}  # for what the climber enters
    for recipe in ALL:
        assert set(recipe.sources) <= set(sources())


@each
def test_hard_use_of_fingers_asks_for_a_warm_up_and_a_day_between(recipe: Recipe) -> None:
    if recipe.stresses.get(Tissue.FINGERS, 0) == 3:
        assert recipe.warm_up_minutes >= 15
        assert recipe.spacing_hours >= 48
    if recipe.hard_on & {Tissue.FINGERS, Tissue.ELBOWS, Tissue.SHOULDERS}:
        assert recipe.spacing_hours >= 20


def test_fresh_things_come_before_tiring_ones_and_mobility_last() -> None:
    order = {name: recipe.order for name, recipe in standard_recipes().items()}
    assert order["limit-bouldering"] == order["technique-drills"] == order["fingerboard-often"] == 0
    assert order["pulling-strength"] < order["interval-circuits"] < order["aerobic"]
    assert order["mobility"] == max(order.values())


@pytest.mark.parametrize(
    ("kind", "emphasis"), [(kind, one) for kind in CHOSEN for one in EMPHASES[kind] if one]
)
def test_every_emphasis_can_be_trained_in_its_block(kind: Kind, emphasis: Emphasis) -> None:
    fits = [r for r in ALL if kind in r.kinds and r.qualities.get(TRAINS[emphasis], 0) >= 0.3]
    assert fits, (kind, emphasis)


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
        "fingerboard-short", "fingerboard-long", "season-fingers", "intermittent-hangs",
        "board-power", "rung-ladders", "test-day",
    }  # fmt: skip


@each
def test_whatever_loads_fingers_hard_has_a_word_for_the_young(recipe: Recipe) -> None:
    hard = recipe.stresses.get(Tissue.FINGERS, 0) >= 2 or Need.HANGBOARD in recipe.needs
    assert (caution("young") in recipe.cautions) is (hard or recipe.max_fingers)


def test_what_an_injured_climber_may_do_loads_the_arms_lightly_if_at_all() -> None:
    """Shoulders may be pressed hard where they are well: what is hurt rules them out by part."""
    arm = {Tissue.FINGERS, Tissue.WRISTS, Tissue.ELBOWS, Tissue.SKIN}
    for recipe in ALL:
        if Kind.INJURED in recipe.kinds:
            assert not arm & recipe.hard_on and not recipe.max_fingers
        if Kind.RETURN in recipe.kinds and not recipe.hard_hangs:  # those where a leg is hurt
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
    assert recipe.load() == 8 * 60
    assert recipe.loads(50).power == pytest.approx(8 * 50 * 0.43)
    assert recipe.loads(50).total == pytest.approx(recipe.load(50))


def test_of_a_day_on_rock_only_the_active_share_is_load() -> None:
    """A preference, no source: half of such a day is waiting and walking."""
    assert standard_recipes()["redpoint-day"].load(200) == 7 * 200 * 0.5


def test_hangs_count_as_hard_from_eighty_percent_of_the_own_maximum() -> None:
    """Devise 2022: maximal force rose at 80 % and 100 %, not at 60 %."""
    hard = {recipe.id for recipe in ALL if recipe.hard_hangs}
    assert hard == {"fingerboard-short", "fingerboard-long", "season-fingers"}


@each
def test_the_hangs_of_a_session_fit_in_its_minutes(recipe: Recipe) -> None:
    least, most = recipe.hangs
    assert least <= most and (most > 0) == (recipe.hang_seconds > 0)
    assert least * recipe.hang_minutes <= recipe.working_minutes(recipe.least_minutes) + 1
    assert most * recipe.hang_minutes <= recipe.working_minutes(recipe.most_minutes) + 1
    assert 60 * recipe.hang_minutes >= 2 * recipe.hang_seconds


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
            "mobility": RecipeChange(minutes=2),
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


# --- recipes that are gone -----------------------------------------------------------------------


def test_a_change_to_a_recipe_that_is_gone_goes_to_what_took_its_place() -> None:
    book = recipes({"maximal-hangs": RecipeChange(minutes=55)})
    assert book["fingerboard-long"].minutes == 55 and "maximal-hangs" not in book
    assert present_id("maximal-hangs") == "fingerboard-long"
    assert present_id("mobility") == "mobility"


def test_a_recipe_that_was_switched_off_stays_off_under_its_new_name() -> None:
    assert "fingerboard-long" not in recipes({"maximal-hangs": RecipeChange(on=False)})


def test_what_is_said_under_the_name_of_today_wins() -> None:
    book = recipes(
        {
            "fingerboard-long": RecipeChange(minutes=50),
            "maximal-hangs": RecipeChange(minutes=45, rpe=8),
        }
    )
    assert (book["fingerboard-long"].minutes, book["fingerboard-long"].rpe) == (50, 8)


def test_a_year_file_that_changes_a_recipe_that_is_gone_still_opens() -> None:
    text = (YEARS / "kitchen-wall.toml").read_text() + "\n[recipes.maximal-hangs]\nminutes = 55\n"
    year = read_year(text, file="year.toml")
    assert not troubles(year.recipes)
    assert recipes(year.recipes)["fingerboard-long"].minutes == 55


def test_two_names_of_one_recipe_that_do_not_go_together_are_told() -> None:
    changes = {
        "fingerboard-long": RecipeChange(minutes=10),
        "maximal-hangs": RecipeChange(warm_up_minutes=12),
    }
    assert any(trouble.loc[-1] == "warm_up_minutes" for trouble in troubles(changes))
    changes = {
        "fingerboard-long": RecipeChange(least_minutes=60, minutes=60),
        "maximal-hangs": RecipeChange(most_minutes=50),
    }
    assert troubles(changes)
    with pytest.raises(Misuse):
        recipes(changes)
