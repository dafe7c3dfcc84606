"""What each phase leaves possible: every part of the body, every phase, every recipe."""

from __future__ import annotations

from datetime import date, timedelta
from itertools import product

import pytest
from places import TESTS

from seasonplan.body.almanac import Almanac
from seasonplan.edits.harm import harm
from seasonplan.injury import (
    allowed,
    fill_share,
    finger_recipes,
    just_happened,
    most_stress,
    profile,
    profile_name,
)
from seasonplan.recipes import Need, Recipe, recipes
from seasonplan.rules.statements import standard_book
from seasonplan.rules.tables import table
from seasonplan.vocabulary import BodyPart, Kind, Phase, Tissue
from seasonplan.year import Injury, Year
from seasonplan.year.toml import read_year

YEAR = read_year((TESTS / "years" / "twelve-weeks.toml").read_text(), file="year.toml")
HURTING = (Phase.OFF, Phase.EASY, Phase.BUILDING)
TISSUE = {
    BodyPart.FINGER: Tissue.FINGERS, BodyPart.WRIST: Tissue.WRISTS, BodyPart.ELBOW: Tissue.ELBOWS,
    BodyPart.SHOULDER: Tissue.SHOULDERS, BodyPart.BACK: Tissue.BACK, BodyPart.HIP: Tissue.HIPS,
    BodyPart.KNEE: Tissue.KNEES, BodyPart.ANKLE: Tissue.ANKLES, BodyPart.SKIN: Tissue.SKIN,
}  # fmt: skip
ALL = recipes({})
MARCH = date(2026, 3, 10)
# What the words of a phase promise, by the recipe that is meant.
PROMISED = {
    "legs and trunk with the hands free": ("legs-and-trunk",),
    "easy aerobic work": ("aerobic",),
    "visualisation": ("climb-in-the-head",),
    "seated pressing and rows": ("seated-press-and-pull",),
    "seated light pulls": ("seated-pulls",),
    "seated circuits": ("seated-circuits",),
    "light finger work": ("return-fingers",),
    "a few short holds with the feet on the floor": ("return-fingers",),
    "easy climbing": ("easy-climbing", "long-easy-climbing"),
    "longer climbing below your limit": ("long-easy-climbing",),
    "longer, below your limit": ("long-easy-climbing",),
    "short and easy things": ("aerobic", "easy-climbing"),
    "rest": ("rest-day",),
}
# What they forbid, by the recipes that may not be done.
FORBIDDEN = {
    "hanging": ("fingerboard-short", "fingerboard-often", "return-fingers", "test-day"),
    "bouldering": (
        "limit-bouldering",
        "boulder-mileage",
        "boulder-intervals",
        "easy-boulder-day",
        "board-power",
        "sharpening",
        "boulder-project-day",
    ),
    "climbing": ("easy-climbing", "long-easy-climbing", "technique-drills", "limit-bouldering"),
    "hard climbing": ("limit-bouldering", "board-power", "route-volume"),
    "lifting": ("pulling-strength", "seated-press-and-pull", "legs-and-trunk"),
    "heavy lifting": ("pulling-strength", "legs-and-trunk"),
    "maximal finger work": ("fingerboard-long", "fingerboard-short", "test-day", "rung-ladders"),
    "training of any kind": tuple(one for one, made in ALL.items() if any(made.stresses.values())),
    "anything hard": tuple(one for one, recipe in ALL.items() if recipe.hard_on - {Tissue.SKIN}),
}


def year_with(part: BodyPart, phase: Phase) -> Year:
    """The year with a part hurt, in that phase on 10 March."""
    after = list(HURTING)[: HURTING.index(phase)]
    days = [MARCH - timedelta(1) if one in after else MARCH + timedelta(40) for one in HURTING]
    hurt = Injury(
        name="Hurt", part=part, happened=MARCH - timedelta(30),
        easy_from=days[0], building_from=days[1], full_from=days[2],
    )  # fmt: skip
    return YEAR.with_fields(injuries=(hurt,))


def may_be_done(recipe: Recipe, part: BodyPart, phase: Phase) -> bool:
    year = year_with(part, phase)
    return harm(recipe, MARCH, almanac=Almanac(year), book=standard_book()) is None


def test_a_part_that_is_off_leaves_out_whatever_loads_it_at_all() -> None:
    seen = 0
    for (part, tissue), recipe in product(TISSUE.items(), ALL.values()):
        loads = recipe.stresses[tissue] > 0
        seen += loads
        by_stress = recipe.stresses[tissue] > most_stress([(part, Phase.OFF)])[tissue]
        assert by_stress is loads, (part, recipe.id)
        if loads:
            assert not may_be_done(recipe, part, Phase.OFF), (part, recipe.id)
    assert seen > 150


def test_a_part_on_its_way_back_leaves_out_whatever_uses_it_hard() -> None:
    seen = 0
    phases = (Phase.EASY, Phase.BUILDING)
    for (part, tissue), phase, recipe in product(TISSUE.items(), phases, ALL.values()):
        leg = part in (BodyPart.ANKLE, BodyPart.KNEE, BodyPart.HIP)
        if recipe.stresses[tissue] >= 2 or (recipe.max_fingers and not leg):
            seen += 1
            assert not may_be_done(recipe, part, phase), (part, phase, recipe.id)
    assert seen > 150


def test_what_spares_a_part_is_left_in_every_phase() -> None:
    seen = 0
    for (part, tissue), phase, recipe in product(TISSUE.items(), HURTING, ALL.values()):
        hard = {Tissue.FINGERS, Tissue.KNEES, Tissue.ANKLES} & recipe.hard_on
        leg = part in (BodyPart.ANKLE, BodyPart.KNEE, BodyPart.HIP) and phase is not Phase.OFF
        if recipe.stresses[tissue] == 0 and (leg or not recipe.max_fingers) and not hard:
            seen += 1
            assert may_be_done(recipe, part, phase), (part, phase, recipe.id)
    assert seen > 120


def test_hard_fingers_go_through_wrist_elbow_and_shoulder_and_landings_to_hip_and_back() -> None:
    arms = (BodyPart.FINGER, BodyPart.WRIST, BodyPart.ELBOW, BodyPart.SHOULDER)
    legs = (BodyPart.ANKLE, BodyPart.KNEE, BodyPart.HIP, BodyPart.BACK)
    tried = [(part, "sharpening") for part in arms] + [(part, "boulder-mileage") for part in legs]
    for (part, name), phase in product(tried, HURTING):
        assert not may_be_done(ALL[name], part, phase), (part, phase)
    assert most_stress([(BodyPart.WRIST, Phase.EASY)])[Tissue.FINGERS] == 1
    assert most_stress([(BodyPart.KNEE, Phase.OFF)])[Tissue.FINGERS] == 3


def test_in_full_every_recipe_is_back() -> None:
    assert table("injuries")["most_stress"] == {"off": 0, "easy": 1, "building": 1, "full": 3}
    for part in BodyPart:
        most = most_stress([(part, Phase.FULL)])
        assert all(stress <= most[t] for one in ALL.values() for t, stress in one.stresses.items())


@pytest.mark.parametrize("part", [BodyPart.ANKLE, BodyPart.HIP, BodyPart.KNEE, BodyPart.BACK])
def test_hangs_with_the_feet_on_the_floor_and_mobility_do_not_slip_through(part: BodyPart) -> None:
    for name in ("mobility", "aerobic", "legs-and-trunk", "easy-climbing"):
        assert not may_be_done(ALL[name], part, Phase.OFF), name
    standing = part in (BodyPart.ANKLE, BodyPart.BACK)
    assert may_be_done(ALL["return-fingers"], part, Phase.OFF) is not standing


def test_the_body_as_a_whole_off_leaves_nothing_that_trains() -> None:
    left = [one.id for one in ALL.values() if may_be_done(one, BodyPart.OTHER, Phase.OFF)]
    assert sorted(left) == ["climb-in-the-head", "rest-day"]


@pytest.mark.parametrize("part", BodyPart)
@pytest.mark.parametrize("phase", HURTING)
def test_the_words_of_a_phase_promise_and_forbid_what_the_stresses_do(
    part: BodyPart, phase: Phase
) -> None:
    held = profile(profile_name(part, phase))
    promised = [one for text, some in PROMISED.items() if text in held.may for one in some]
    assert promised, held.may
    for one in promised:
        assert may_be_done(ALL[one], part, phase), one
    things = [one.strip() for one in held.not_yet.replace(" and ", ", ").split(",")]
    told = [one for text, some in FORBIDDEN.items() if text in things for one in some]
    for one in told:
        assert not may_be_done(ALL[one], part, phase), one


@pytest.mark.parametrize("part", [one for one in BodyPart if one is not BodyPart.OTHER])
def test_whatever_is_off_some_recipe_for_the_hurt_spares_it(part: BodyPart) -> None:
    kinds = {Kind.INJURED, Kind.RETURN}
    sparing = [
        one.id for one in ALL.values() if kinds & {*one.kinds} and may_be_done(one, part, Phase.OFF)
    ]
    assert set(sparing) - {"rest-day"}


# --- how full a week gets -------------------------------------------------------------------
# Preferences of this project (shared/injuries.toml).


def test_what_is_possible_fills_a_week_up_to_a_share_of_its_usual_load() -> None:
    shares = {phase: fill_share([(BodyPart.ELBOW, phase)]) for phase in Phase}
    assert shares == {Phase.OFF: 0.6, Phase.EASY: 0.8, Phase.BUILDING: 0.9, Phase.FULL: 1.0}
    assert fill_share([]) == 1.0


def test_a_hurt_back_that_is_off_leaves_no_week_of_daily_pictures() -> None:
    """All that is left is climbing in the head, 15 min at effort 1: two or three times a week."""
    left = [
        one for one in ALL.values() if may_be_done(one, BodyPart.BACK, Phase.OFF) and one.minutes
    ]
    assert [one.id for one in left if Kind.INJURED in one.kinds] == ["climb-in-the-head"]
    for usual in (1000, 1600, 2500):
        assert 1 <= fill_share([(BodyPart.BACK, Phase.OFF)]) * usual / left[0].load() <= 4
    assert fill_share([(BodyPart.BACK, Phase.EASY)]) == 0.8


def test_illness_fills_nothing_and_of_several_hurts_the_least_counts() -> None:
    assert fill_share([(BodyPart.OTHER, Phase.OFF)]) == 0
    assert fill_share([(BodyPart.OTHER, Phase.EASY)]) == 0.5
    hurts = [(BodyPart.KNEE, Phase.BUILDING), (BodyPart.WRIST, Phase.OFF)]
    assert fill_share(hurts) == fill_share(hurts[::-1]) == 0.6


# --- hurt fingers ---------------------------------------------------------------------------


def test_the_return_to_load_is_the_only_finger_recipe_of_an_easy_finger() -> None:
    left = [
        one.id
        for one in ALL.values()
        if Need.HANGBOARD in one.needs and may_be_done(one, BodyPart.FINGER, Phase.EASY)
    ]
    assert left == ["return-fingers"]
    assert not may_be_done(ALL["fingerboard-often"], BodyPart.FINGER, Phase.EASY)
    assert may_be_done(ALL["fingerboard-often"], BodyPart.FINGER, Phase.BUILDING)


def test_only_hurt_fingers_restrict_finger_recipes_by_name() -> None:
    for part, phase in product(BodyPart, HURTING):
        assert (finger_recipes([(part, phase)]) is None) is (part is not BodyPart.FINGER)
    assert finger_recipes([]) is None and finger_recipes([(BodyPart.FINGER, Phase.FULL)]) is None
    assert finger_recipes([(BodyPart.FINGER, Phase.OFF)]) == frozenset()
    both = [(BodyPart.FINGER, Phase.BUILDING), (BodyPart.FINGER, Phase.EASY)]
    assert finger_recipes(both) == {"return-fingers"}


def test_every_finger_recipe_that_is_named_is_there_and_never_hard() -> None:
    named = table("injuries")["fingers"]
    assert named == {
        "off": [], "easy": ["return-fingers"], "building": ["return-fingers", "fingerboard-often"],
    }  # fmt: skip
    for one in named["building"]:
        assert not ALL[one].max_fingers and ALL[one].stresses[Tissue.FINGERS] <= 1


def test_both_phases_together_are_still_told_in_words() -> None:
    both = allowed([(BodyPart.BACK, Phase.OFF), (BodyPart.FINGER, Phase.EASY)])
    assert both is not None and "visualisation" in both.may and "lifting" in both.not_yet


def test_the_first_three_days_are_left_free() -> None:
    """Preference, no source."""
    happened = date(2027, 3, 30)
    days = [happened + timedelta(days=n) for n in range(-2, 6)]
    assert [just_happened(happened, day) for day in days] == [False] * 2 + [True] * 3 + [False] * 3
