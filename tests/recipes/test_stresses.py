"""What each session asks of each part of the body, by what is done in it, and how long it rests.

All of it is custom: no paper rates these sessions. Each line is a claim about a family of sessions
with words that stand in every one of their texts; whoever changes a number has to change the claim.
"""

from __future__ import annotations

import re

import pytest

from seasonplan.recipes import Need, Recipe, recipes, standard_recipes
from seasonplan.rules.tables import light_holds
from seasonplan.vocabulary import Tissue

BOOK = standard_recipes()
LEGS = (Tissue.HIPS, Tissue.KNEES, Tissue.ANKLES)
ARMS = (Tissue.FINGERS, Tissue.WRISTS, Tissue.ELBOWS, Tissue.SHOULDERS, Tissue.SKIN)
TRUNK = (Tissue.BACK, Tissue.WHOLE_BODY)
Family = tuple[tuple[int, ...], str, str]  # stresses, words of their texts, the sessions

LEG_FAMILIES: dict[str, Family] = {
    "stood on, and stepped on and off": (
        (0, 0, 1),
        r"feet|hang|campus|press-ups|rows|hangs",
        "fingerboard-short fingerboard-long season-fingers fingerboard-often intermittent-hangs "
        "return-fingers test-day rung-ladders pulling-strength pulling-without-weights antagonists "
        "tool-hangs return-arms",
    ),
    "sitting": (
        (0, 0, 0), r"sitting|sit still|nothing that counts",
        "seated-press-and-pull seated-pulls seated-circuits climb-in-the-head rest-day",
    ),
    "lying, the hurt leg still": ((1, 0, 0), r"the hurt leg lies still", "lying-trunk"),
    "landing on mats and pads": (
        (1, 2, 2), r"landing|mats|pads|problems|boulders",
        "limit-bouldering good-hold-boulders board-power sharpening boulder-intervals "
        "boulder-mileage "
        "boulder-project-day easy-boulder-day",
    ),
    "easy ground, a rope, or moving without a fall": (
        (1, 1, 1), r"rope|belay|wall|holds|running|ankles|routes",
        "interval-circuits long-easy-climbing route-volume technique-drills redpoint-day "
        "onsight-mileage easy-rock-day easy-climbing aerobic mobility",
    ),
    "up and down for hours": (
        (2, 2, 2), r"descent|way down", "many-pitches alpine-route-day mountain-day ice-day",
    ),
    "standing on front points": ((1, 1, 2), r"calves", "ice-technique-day"),
    "squats and hinges": ((2, 2, 1), r"squats, hip hinges", "legs-and-trunk"),
    "fast uphill": ((1, 2, 2), r"knee or achilles", "uphill-intervals"),
}  # fmt: skip

ARM_FAMILIES: dict[str, Family] = {
    "light holds, and climbing that never pumps": (
        (1, 1, 1, 1, 1), r"feet loaded|easy|pump|big holds|far from your limit",
        "fingerboard-often long-easy-climbing technique-drills easy-climbing seated-pulls",
    ),
    "a hurt finger's first holds, on a large edge": (
        (1, 1, 1, 1, 0), r"on a large edge", "return-fingers",
    ),
    "slow or light work of the arms": (
        (1, 1, 1, 1, 0), r"far from your limit|slowly enough to talk",
        "return-arms seated-circuits",
    ),
    "short hangs": ((2, 1, 1, 1, 1), r"hangs of", "fingerboard-short season-fingers"),
    "many hangs in a row bend the elbow's tendons": (
        (2, 1, 2, 1, 1), r"sets of six hangs", "intermittent-hangs",
    ),
    "the hardest holds": (
        (3, 1, 2, 1, 1), r"20 mm edge", "fingerboard-long test-day",
    ),
    "the hardest tries wear the skin, too": (
        (3, 1, 2, 2, 3), r"tries", "limit-bouldering redpoint-day boulder-project-day",
    ),
    "hard tries, few of them or on the same holds": (
        (3, 1, 2, 2, 2), r"tries|boulders", "sharpening boulder-intervals",
    ),
    "steep problems hang on the shoulders": ((3, 1, 2, 3, 2), r"steep", "board-power"),
    "hand over hand": ((3, 2, 3, 3, 1), r"hand over hand", "rung-ladders"),
    "hard climbing below the limit": (
        (2, 1, 2, 2, 2), r"links|route|small holds",
        "interval-circuits route-volume onsight-mileage good-hold-boulders",
    ),
    "much climbing of middling effort": (
        (2, 1, 1, 2, 2), r"all different|long route", "boulder-mileage many-pitches",
    ),
    "an easy day on rock is still rock for the skin": (
        (1, 1, 1, 1, 2), r"under your best", "easy-rock-day easy-boulder-day",
    ),
    "a long day with a pack and ropes": ((1, 1, 1, 2, 1), r"summit", "alpine-route-day"),
    "pulling on a bar": ((1, 1, 2, 2, 0), r"pull-ups", "pulling-strength pulling-without-weights"),
    "pressing": (
        (1, 1, 1, 2, 0), r"press", "antagonists seated-press-and-pull",
    ),
    "swung tools": ((1, 2, 2, 2, 0), r"ice", "ice-day"),
    "swung tools, on easy ground": ((1, 1, 1, 1, 0), r"ice", "ice-technique-day"),
    "hung on tools": ((1, 2, 2, 2, 1), r"tools", "tool-hangs"),
    "a pack on the shoulders": ((0, 0, 0, 1, 0), r"with a pack", "mountain-day"),
    "stretched": ((0, 1, 0, 1, 0), r"shoulders", "mobility"),
    "not used": (
        (0, 0, 0, 0, 0), r"no planks|running|uphill|sit still|nothing that counts",
        "legs-and-trunk aerobic uphill-intervals climb-in-the-head rest-day lying-trunk",
    ),
}  # fmt: skip

TRUNK_FAMILIES: dict[str, Family] = {
    "the back is held, the body hardly works": (
        (1, 0), r"hang|hold|half crimp|position|a pull",
        "fingerboard-short fingerboard-long season-fingers fingerboard-often intermittent-hangs "
        "return-fingers test-day mobility seated-pulls",
    ),
    "light work of the whole body": (
        (1, 1), r"campus|press|wall|easy|walking|problems|tools|effort|big holds",
        "rung-ladders antagonists seated-press-and-pull long-easy-climbing technique-drills "
        "boulder-mileage easy-rock-day easy-boulder-day ice-technique-day tool-hangs aerobic "
        "easy-climbing return-arms seated-circuits lying-trunk",
    ),
    "hard work of the whole body": (
        (1, 2), r"tries|links|boulders|routes|uphill",
        "limit-bouldering good-hold-boulders sharpening interval-circuits boulder-intervals "
        "route-volume uphill-intervals",
    ),
    "hard work that the back holds against": (
        (2, 2), r"steep|rows|hip hinges|tries|routes",
        "board-power pulling-strength pulling-without-weights legs-and-trunk redpoint-day "
        "onsight-mileage "
        "boulder-project-day",
    ),
    "hours with a pack or in a harness": (
        (2, 3), r"descent|way down", "many-pitches alpine-route-day mountain-day ice-day",
    ),
    "rest": ((0, 0), r"sit still|nothing that counts", "climb-in-the-head rest-day"),
}  # fmt: skip


def words_of(recipe: Recipe) -> str:
    return " ".join((recipe.do, recipe.caution, *recipe.warm_up, recipe.stop)).lower()


@pytest.mark.parametrize(
    ("families", "tissues"),
    [(LEG_FAMILIES, LEGS), (ARM_FAMILIES, ARMS), (TRUNK_FAMILIES, TRUNK)],
    ids=["legs", "arms", "trunk"],
)
def test_what_is_done_says_what_is_stressed(
    families: dict[str, Family], tissues: tuple[Tissue, ...]
) -> None:
    named = [name for _, _, names in families.values() for name in names.split()]
    assert sorted(named) == sorted(BOOK)
    for claim, (stresses, words, names) in families.items():
        for name in names.split():
            assert tuple(BOOK[name].stresses[one] for one in tissues) == stresses, (claim, name)
            assert re.search(words, words_of(BOOK[name])), (claim, name)


def test_no_part_of_the_body_is_left_out_of_these_claims() -> None:
    assert {*LEGS, *ARMS, *TRUNK} == set(Tissue)


@pytest.mark.parametrize(
    ("word", "tissue"),
    [
        ("calf raises", Tissue.ANKLES), ("calves", Tissue.ANKLES), ("squats", Tissue.KNEES),
        ("press-ups", Tissue.WRISTS), ("hip hinges", Tissue.BACK), ("pull-ups", Tissue.ELBOWS),
        ("spotter", Tissue.KNEES), ("problems", Tissue.ANKLES), ("cycling", Tissue.KNEES),
    ],
)  # fmt: skip
def test_a_session_whose_text_names_a_movement_loads_the_joint_that_makes_it(
    word: str, tissue: Tissue
) -> None:
    with_it = [one for one in BOOK.values() if word in f"{one.do} {one.caution} {one.stop}".lower()]
    assert with_it and all(one.stresses[tissue] >= 1 for one in with_it)


# --- how long it rests ------------------------------------------------------------------------

HOURS = {
    0: "climb-in-the-head rest-day mobility",
    6: "fingerboard-often",  # the climber's own dose, once a day or twice
    # again the next day
    12: "long-easy-climbing technique-drills easy-climbing aerobic seated-circuits lying-trunk",
    # again the next day, at another hour, too
    20: "fingerboard-short season-fingers route-volume boulder-mileage easy-rock-day "
    "easy-boulder-day",
    24: "interval-circuits return-fingers antagonists legs-and-trunk seated-press-and-pull "
    "onsight-mileage mountain-day ice-technique-day return-arms seated-pulls",
    # a day between
    48: "intermittent-hangs fingerboard-long limit-bouldering good-hold-boulders "
    "board-power pulling-strength "
    "pulling-without-weights sharpening "
    "boulder-intervals redpoint-day boulder-project-day many-pitches alpine-route-day ice-day "
    "tool-hangs uphill-intervals test-day",
    72: "rung-ladders",  # "two days free of hard pulling after it"
}


def test_what_is_as_hard_rests_as_long() -> None:
    rests = {name: hours for hours, names in HOURS.items() for name in names.split()}
    assert {name: one.spacing_hours for name, one in BOOK.items()} == rests


def test_hours_that_a_text_tells_are_those_that_are_kept() -> None:
    assert "Two days free of hard pulling after it" in BOOK["rung-ladders"].caution
    assert BOOK["rung-ladders"].days_between == 2
    assert "a day without them after it" in BOOK["intermittent-hangs"].caution
    assert BOOK["intermittent-hangs"].days_between == 1
    assert "Once a day at first" in BOOK["fingerboard-often"].caution
    light = [one for one in BOOK.values() if one.rpe <= 4 and Need.ROCK not in one.needs]
    assert light and all(one.days_between == 0 for one in light)
    for one in BOOK.values():  # no day of hard tries follows another
        tries = max(one.stresses[Tissue.FINGERS], one.stresses[Tissue.WHOLE_BODY]) == 3
        assert not tries or one.days_between >= 1 or one.id == "mountain-day", one.id


def test_five_sessions_are_longer_apart_from_50_and_no_other() -> None:
    longer = {name: one.spacing_hours_from_50 for name, one in BOOK.items()}
    longer = {name: hours for name, hours in longer.items() if hours}
    assert longer == {
        "fingerboard-long": 72, "limit-bouldering": 72, "onsight-mileage": 48, "season-fingers": 48,
        "interval-circuits": 48,
    }  # fmt: skip
    assert recipes({})["limit-bouldering"].days_after(from_50=True) == 2


# --- hangs ------------------------------------------------------------------------------------


def test_hangs_are_those_of_the_trials_or_within_what_the_texts_say() -> None:
    """Seconds and shares. Devise et al. 2022 (abstract read): strength rose at 80 and 100 %."""
    hanging = {name: one for name, one in BOOK.items() if one.hang_seconds}
    assert {name: one.hang_seconds for name, one in hanging.items()} == {
        "fingerboard-short": 7, "season-fingers": 7, "fingerboard-long": 10,
        "fingerboard-often": 20,
    }  # fmt: skip
    assert "80-100 % twice a week" in BOOK["fingerboard-long"].caution
    for name in ("fingerboard-short", "season-fingers", "fingerboard-long"):
        low, high = BOOK[name].hang_share
        assert 0.8 <= low < high <= 1.0
    assert "30 to 60 s between" in BOOK["fingerboard-often"].do
    assert BOOK["fingerboard-often"].hang_share == (0.4, 0.6)


@pytest.mark.parametrize(
    ("name", "hangs", "every", "rest"),
    [  # all custom. Rests: about two minutes after 7 s, two and a half and more after harder hangs
        ("fingerboard-short", (4, 8), 2.0, (105, 150)),
        ("season-fingers", (3, 6), 2.75, (150, 180)),
        ("fingerboard-long", (6, 14), 2.75, (150, 180)),
        ("fingerboard-often", (6, 10), 1.2, (30, 60)),  # "30 to 60 s between"
    ],
)
def test_a_session_holds_so_many_hangs_with_the_rest_that_is_usual(
    name: str, hangs: tuple[int, int], every: float, rest: tuple[int, int]
) -> None:
    one = BOOK[name]
    assert (one.hangs, one.hang_minutes) == (hangs, every)
    assert rest[0] <= 60 * one.hang_minutes - one.hang_seconds <= rest[1]


def test_efforts_are_told_for_just_the_shares_that_light_holds_have() -> None:
    """Custom: up to 40 % effort 2, up to 50 % 2 to 3, up to 60 % 3; harder holds are not light."""
    assert light_holds() == ((40, "2"), (50, "2 to 3"), (60, "3"))
    lightest, hardest = (100 * share for share in BOOK["fingerboard-often"].hang_share)
    assert (light_holds()[0][0], light_holds()[-1][0]) == (lightest, hardest)
