"""Texts of sessions: warm-up to the minute, another text each week, signs to stop, wet days."""

from __future__ import annotations

import re
from itertools import combinations, pairwise

import pytest

from seasonplan.errors import Misuse
from seasonplan.recipes import (
    UNTESTED,
    HangLoad,
    Need,
    OwnMaximum,
    OwnTests,
    Recipe,
    RecipeChange,
    SessionText,
    Step,
    recipes,
    session_text,
    standard_recipes,
    untested,
    usual_text,
)
from seasonplan.rules.tables import caution
from seasonplan.vocabulary import Kind, Quality, Tissue

BOOK = standard_recipes()
ALL = list(BOOK.values())
each = pytest.mark.parametrize("recipe", ALL, ids=lambda recipe: recipe.id)
WEEKS = range(1, 9)
PULLED = OwnTests(OwnMaximum(42.0, 1.26, "your test Pull of Thu 5 Mar 2026", a_hand=True))


def text(
    recipe: Recipe, week: int = 1, *, light: bool = False, minutes: int | None = None,
    hangs: int = 0, load: HangLoad | None = None, tested: OwnTests = UNTESTED,
) -> SessionText:  # fmt: skip
    return session_text(
        recipe, step=Step(week, load=load), light=light,
        minutes=recipe.minutes if minutes is None else minutes, hangs=hangs, tested=tested,
    )  # fmt: skip


def every(recipe: Recipe) -> list[SessionText]:
    """The texts of eight weeks, light ones too, at three lengths, with a tested maximum and not."""
    lengths = (recipe.least_minutes, recipe.minutes, recipe.most_minutes)
    return [
        text(recipe, week, light=light, minutes=minutes, tested=tested)
        for week in WEEKS
        for light in (False, True)
        for minutes in lengths
        for tested in (UNTESTED, PULLED)
    ]


def said(told: SessionText) -> str:
    return "\n".join((*told.lines, *told.cautions))


def minutes_of(steps: tuple[str, ...]) -> int:
    return sum(int(step.split(" min: ")[0]) for step in steps)


# --- warm-up -----------------------------------------------------------------------------------


@each
def test_the_steps_of_the_warm_up_add_up_to_its_minutes(recipe: Recipe) -> None:
    assert minutes_of(recipe.warm_up) == recipe.warm_up_minutes


@each
def test_a_longer_or_shorter_session_warms_up_in_proportion(recipe: Recipe) -> None:
    """The same minutes of warm-up that are told beside the length of the session."""
    for minutes in (recipe.least_minutes, recipe.minutes, recipe.most_minutes):
        steps = text(recipe, minutes=minutes).warm_up
        assert minutes_of(steps) == round(minutes - recipe.working_minutes(minutes))
        assert all(int(step.split(" min: ")[0]) > 0 for step in steps)


def test_a_warm_up_without_steps_is_still_told_with_its_minutes() -> None:
    own = RecipeChange(
        name="Stairs", kinds=(Kind.BASE,), qualities={Quality.FITNESS: 1.0}, minutes=30, rpe=6,
        stresses={Tissue.WHOLE_BODY: 2}, warm_up_minutes=6,
    )  # fmt: skip
    assert text(recipes({"stairs": own})["stairs"]).warm_up == ("6 min: your usual warm-up.",)


# --- weeks ---------------------------------------------------------------------------------------


@each
def test_no_two_weeks_of_a_block_read_the_same(recipe: Recipe) -> None:
    assert len(recipe.progress) >= 8
    bare = [re.sub(r"^Step \d+: ", "", text(recipe, week).this_week) for week in WEEKS]
    for one, other in combinations(bare, 2):
        assert one and one != other


@each
def test_a_block_longer_than_eight_weeks_still_changes_from_week_to_week(recipe: Recipe) -> None:
    bare = [text(recipe, week).this_week.split(": ", 1)[1] for week in range(1, 15)]
    assert all(one != after for one, after in pairwise(bare))


@each
def test_a_light_week_says_what_it_does(recipe: Recipe) -> None:
    """A test is the same in any week, and goes on with its steps."""
    for week in WEEKS[1:]:
        light = text(recipe, week, light=True).this_week
        if recipe.id == "test-day":
            assert not recipe.light and light == text(recipe, week).this_week
            continue
        assert light.startswith("A light week: ")
        assert light.split(": ", 1)[1] not in [text(recipe, w).this_week for w in WEEKS]
        assert light != text(recipe, week).this_week


def test_a_light_finger_week_has_half_the_hangs() -> None:
    """Custom, as every number of hangs here."""
    short = BOOK["fingerboard-short"]
    assert text(short).do.startswith("8 hangs of 7 s")
    assert text(short, 4, light=True).do.startswith("4 hangs of 7 s")
    assert "4 hangs" in text(short, 4, light=True).this_week


def test_a_week_before_the_first_is_misuse() -> None:
    with pytest.raises(Misuse, match="step 0"):
        text(BOOK["mobility"], 0)


# --- what to do ----------------------------------------------------------------------------------


@each
def test_every_placeholder_is_filled_at_every_length(recipe: Recipe) -> None:
    for told in every(recipe):
        assert "{" not in said(told) and "}" not in said(told)


def test_the_hangs_that_are_planned_are_those_that_are_told() -> None:
    told = text(BOOK["fingerboard-long"], 3, hangs=9)
    assert told.do.startswith("9 hangs of 10 s") and "one every 2 min 45 s" in told.do
    assert told.this_week.startswith("Step 3: 9 hangs, from 85 %")


def test_a_tested_maximum_is_told_in_kilograms() -> None:
    short = BOOK["fingerboard-short"]
    told = text(short, tested=PULLED)
    assert "80 % of 42 kg a hand (34 kg)" in told.this_week
    by = "The 42 kg are by your test Pull of Thu 5 Mar 2026, give or take 1.3 kg."
    assert told.do.endswith(by) and told.do.count("The 42 kg") == 1
    assert "As a check: you could hold five seconds longer" in told.this_week
    untested = text(short)
    assert "80 % of your maximum" in untested.this_week and "kg (" not in said(untested)
    assert "Untested: you could hold five seconds longer" in untested.this_week


def test_a_maximum_with_the_body_is_told_as_what_to_add_or_take_off() -> None:
    strong = OwnTests(OwnMaximum(82.5, 2.0, "a test", body_kg=68.0))
    told = text(BOOK["fingerboard-short"], tested=strong)
    # 80 % of 82.5 kg are 66 kg, 2 kg less than the body; 85 % are 70.1 kg
    assert "80 % of 82.5 kg with your body (2 kg off)" in told.this_week
    assert strong.maximum is not None
    assert strong.maximum.share_text("80-85") == "2 kg off to 2 kg added"
    even = OwnMaximum(85.0, 2.0, "a test", body_kg=68.0)
    assert even.share_text("80") == "nothing added"


def test_a_text_without_a_share_names_no_test() -> None:
    quiet = next(recipe for recipe in ALL if "%" not in said(text(recipe)))
    assert text(quiet, tested=PULLED) == text(quiet)


def test_only_the_day_of_the_test_tells_the_climbers_own_test() -> None:
    mine = OwnTests(on_test_day="Your test is Pull: both hands. Last Pull: 42 kg.")
    assert text(BOOK["test-day"], tested=mine).own_test == mine.on_test_day
    others = [recipe for recipe in ALL if recipe.id != "test-day"]
    assert all(text(recipe, tested=mine) == text(recipe) for recipe in others)


def test_the_hard_one_of_two_days_is_told_where_hangs_are_hard() -> None:
    harder = HangLoad(0.85, harder=True)
    told = text(BOOK["fingerboard-short"], 2, load=harder)
    assert told.do.endswith("Today is the hard day of the two.")
    assert told.this_week.startswith("Step 2: 8 hangs at 85 % of your maximum;")
    for recipe in (BOOK["fingerboard-often"], BOOK["mobility"]):
        assert text(recipe, load=harder) == text(recipe)


def test_rounds_are_as_many_as_fit_after_the_warm_up() -> None:
    links = BOOK["interval-circuits"]
    assert [text(links, minutes=minutes).do.split()[0] for minutes in (45, 60, 90)] == [
        "4", "6", "6",
    ]  # fmt: skip


def test_braces_in_a_climbers_own_words_stay_as_they_are() -> None:
    own = recipes({"mobility": RecipeChange(do="Stretch {like a cat} {hips} for {minutes} min.")})
    assert text(own["mobility"]).do == "Stretch {like a cat} {hips} for 20 min."


def test_own_words_take_away_the_weeks_of_the_old_ones() -> None:
    told = text(recipes({"mobility": RecipeChange(do="Yoga.")})["mobility"], 3)
    assert told.do == "Yoga." and told.this_week == ""


@each
def test_a_caution_can_be_shown_as_it_stands(recipe: Recipe) -> None:
    assert recipe.cautions and text(recipe).cautions == recipe.cautions


@each
def test_texts_are_short_enough_for_a_phone(recipe: Recipe) -> None:
    for told in every(recipe):
        assert len(told.do) <= 420 and len(told.this_week) <= 220
        assert len(told.wet) <= 300 and len(told.stop) <= 700
        assert all(len(step) <= 140 for step in told.warm_up)
        assert all(len(line) <= 480 for line in told.cautions)


@each
def test_no_text_names_a_product_or_an_address(recipe: Recipe) -> None:
    for told in every(recipe):
        assert not re.search(r"[®™©@]|https?:|www\.|\.com\b|\bapp\b", said(told), re.IGNORECASE)


# --- what trials and common practice say ---------------------------------------------------------


def test_light_holds_are_the_climbers_own_dose_and_an_addition() -> None:
    """Devise 2022: 60 % did not raise maximal force in four weeks."""
    told = text(BOOK["fingerboard-often"])
    assert "10 holds of 10 s at 40 % of your maximum" in told.this_week
    assert "the dose is yours" in told.cautions[0] and "addition" in told.cautions[0]
    assert "at 60 % maximal force did not rise in a four-week trial" in told.cautions[0]
    assert not any(
        "fifty" in line or "50 s" in line for line in text(BOOK["fingerboard-often"]).lines
    )


def test_repeaters_have_the_rhythm_of_a_published_test() -> None:
    """McClean 2023: 7 s on, 3 s off; lopez-rivera-2019 and devise-2022 for the effect."""
    assert "7 s on and 3 s off" in text(BOOK["intermittent-hangs"]).do


def test_load_grows_no_faster_than_in_the_trial_that_added_weight() -> None:
    """Mundry 2021: 1.25 kg a week for eight weeks."""
    for recipe in ALL:
        grown = re.findall(r"(\d+(?:\.\d+)?) kg\b", " ".join(recipe.progress))
        assert all(float(kilograms) <= 1.25 for kilograms in grown), recipe.id


def test_the_finger_test_says_how_it_is_done_and_what_to_write_down() -> None:
    told = text(BOOK["test-day"])
    for word in (
        "Two days after", "20 mm", "three tries of 5 to 7 s", "3 min between", "mean",
        "body weight", "hand", "time of day", "skin", "temperature",
    ):  # fmt: skip
        assert word in told.do
    assert "6 to 9 %" in text(BOOK["test-day"], 3).this_week


def test_legs_and_trunk_leave_the_arms_alone() -> None:
    legs = BOOK["legs-and-trunk"]
    assert "ands free" not in legs.do and "No planks" in legs.do
    assert not any(legs.stresses[t] for t in (Tissue.WRISTS, Tissue.ELBOWS, Tissue.SHOULDERS))


# --- when to stop, wet days, cautions ------------------------------------------------------------


@each
def test_every_finger_session_says_when_to_stop_and_when_to_see_somebody(recipe: Recipe) -> None:
    told = text(recipe).stop
    assert told
    if recipe.stresses[Tissue.FINGERS] >= 2 or Need.HANGBOARD in recipe.needs:
        assert told.endswith(caution("fingers"))
        if recipe.hard_hangs:
            assert caution("hangs") in told
        for sign in ("3 of 10", "every other day for 14 days", "clinician", "pop", "swelling"):
            assert sign in told


@each
def test_every_day_on_rock_says_what_to_do_if_it_is_wet(recipe: Recipe) -> None:
    assert bool(text(recipe).wet) is (recipe.role is not None)


def test_a_wet_project_day_becomes_tries_on_an_indoor_link() -> None:
    told = text(BOOK["redpoint-day"])
    assert "indoor link" in told.wet and "75 to 90 min" in told.wet
    assert told.lines[-1] == f"Wet or too warm? {told.wet}"


@pytest.mark.parametrize(
    "recipe", [r for r in ALL if r.grown_up or r.max_fingers], ids=lambda recipe: recipe.id
)
def test_under_18_a_specialist_must_agree_to_hard_finger_work(recipe: Recipe) -> None:
    """Hochholzer & Schöffl 2005, Meyers 2020."""
    assert caution("young") in text(recipe).cautions
    assert "specialist who knows young climbers agrees" in caution("young")


def test_the_hardest_single_tries_indoors_are_not_for_the_young() -> None:
    """As the caution says: limit work only if a specialist agrees."""
    power = [one for one in ALL if one.role is None and one.qualities.get(Quality.POWER, 0) > 0.4]
    hardest = [recipe for recipe in power if recipe.rpe >= 7.5]
    assert {"limit-bouldering", "sharpening"} <= {recipe.id for recipe in hardest}
    assert [recipe.id for recipe in hardest if not (recipe.grown_up or recipe.max_fingers)] == []


@pytest.mark.parametrize(
    ("recipe", "says"),
    [
        ("limit-bouldering", "From 50 on, an hour is enough, not 90 minutes"),
        ("board-power", "From 50 on, not 90 minutes"),
        ("rung-ladders", "From the age of 50, leave it out"),
        ("fingerboard-long", "72 from 50 years on"),
    ],
)
def test_from_fifty_the_hardest_work_is_shorter_or_further_apart(recipe: str, says: str) -> None:
    """Common practice, no source."""
    assert any(says in line for line in text(BOOK[recipe]).cautions)


def test_a_rule_book_shows_a_recipe_as_it_usually_is() -> None:
    assert usual_text(BOOK["aerobic"]) == text(BOOK["aerobic"], 1)
    assert "for 40 min after the start" in usual_text(BOOK["aerobic"]).do


@each
def test_a_light_week_has_fewer_rounds_that_last_longer(recipe: Recipe) -> None:
    """Its sessions are as long as they are planned: fewer rounds alone would not fill them."""
    for full, light in re.findall(r"\{rounds:([\d.]+)[/\d]*(?:\|([\d.]+))?", recipe.do):
        if recipe.role is None and "exercise}" not in recipe.do:
            assert light and 1.5 <= float(light) / float(full) <= 2.6
        for minutes in (recipe.minutes, recipe.most_minutes) if light else ():
            rounds = [
                int(re.findall(r"\d+", text(bare, light=now, minutes=minutes).do)[0])
                for bare in [recipe.model_copy(update={"do": f"{{rounds:{full}|{light}}}"})]
                for now in (True, False)
            ]
            assert rounds[0] < rounds[1]


def test_a_light_week_with_a_project_day_does_not_contradict_itself() -> None:
    """Hangs that are planned for Wednesday are not to be left out for Saturday's tries."""
    hangs, tries = BOOK["season-fingers"], BOOK["redpoint-day"].light
    assert not any("days off" in told for told in (*hangs.progress, hangs.light))
    assert "As hard as ever" in tries and BOOK["boulder-project-day"].light == tries


def test_light_holds_of_the_young_are_told_by_effort() -> None:
    light, young = BOOK["fingerboard-often"], untested(young=True)
    told = {week: text(light, week, tested=young).this_week for week in WEEKS}
    assert "holds of 10 s at effort 2 of 10" in told[1]
    assert "holds of 20 s at effort 2 to 3 of 10" in told[6]
    assert "at effort 2 to 3 of 10; no harder" in told[8]
    assert "50 % of your maximum" in text(light, 6, tested=untested(young=False)).this_week


def test_no_session_for_the_young_asks_for_a_maximum() -> None:
    theirs = [one for one in ALL if not (one.max_fingers or one.grown_up)]
    for recipe in theirs:
        for week in WEEKS:
            told = text(recipe, week, tested=untested(young=True))
            assert "your maximum" not in " ".join((*told.lines, *told.cautions)), recipe.id
    assert len(theirs) > 15
