"""What is usual after an injury: the pulley table, and what each phase allows."""

from __future__ import annotations

from datetime import date

import pytest

from seasonplan.errors import Misuse
from seasonplan.explain import care
from seasonplan.injury import (
    Grade,
    allowed,
    fill_share,
    max_fingers,
    most_stress,
    profile,
    profile_name,
    pulley,
    suggestion,
)
from seasonplan.rules.tables import table
from seasonplan.vocabulary import BodyPart, Phase, Tissue, Verified

HAPPENED = date(2026, 3, 10)
HURTING = (Phase.OFF, Phase.EASY, Phase.BUILDING)


# --- the table ------------------------------------------------------------------------------
# Therapy table after Schöffl & Schöffl 2006, J Hand Surg 31A:647-654, as others quote it.


def test_grade_three_is_easy_after_six_to_eight_weeks() -> None:
    # The dates were worked out by hand: weeks of 7 days, months by the calendar.
    found = suggestion(BodyPart.FINGER, Grade.III, happened=date(2025, 1, 1))
    assert found is not None
    assert (found.easy_earliest, found.easy_latest) == (date(2025, 2, 12), date(2025, 2, 26))
    assert (found.full_earliest, found.full_latest) == (date(2025, 4, 1), date(2025, 4, 1))


@pytest.mark.parametrize(
    ("grade", "easy", "full"), [(Grade.I, (28, 28), (42, 42)), (Grade.II, (28, 28), (42, 56))]
)
def test_milder_grades_by_the_table(
    grade: Grade, easy: tuple[int, int], full: tuple[int, int]
) -> None:
    found = suggestion(BodyPart.FINGER, grade, happened=HAPPENED)
    assert found is not None
    days = [(day - HAPPENED).days for day in (found.easy_earliest, found.easy_latest)]
    assert tuple(days) == easy
    days = [(day - HAPPENED).days for day in (found.full_earliest, found.full_latest)]
    assert tuple(days) == full


def test_every_row_is_the_published_one() -> None:
    # Each value of the table as quoted; weeks and months after the injury.
    assert table("injuries")["pulley"]["grades"] == {
        "I": {
            "says": "strain",
            "therapy": "conservative",
            "immobilise_days": [0, 0],
            "functional_therapy_weeks": [2, 4],
            "protection": "tape",
            "easy_after": {"weeks": [4, 4]},
            "full_after": {"weeks": [6, 6]},
            "tape_months": 3,
        },
        "II": {
            "says": "A4 torn through, or A2 or A3 torn in part",
            "therapy": "conservative",
            "immobilise_days": [10, 10],
            "functional_therapy_weeks": [2, 4],
            "protection": "tape",
            "easy_after": {"weeks": [4, 4]},
            "full_after": {"weeks": [6, 8]},
            "tape_months": 3,
        },
        "III": {
            "says": "A2 or A3 torn through",
            "therapy": "conservative",
            "immobilise_days": [10, 14],
            "functional_therapy_weeks": [4, 4],
            "protection": "a thermoplastic or soft-cast ring",
            "easy_after": {"weeks": [6, 8]},
            "full_after": {"months": [3, 3]},
            "tape_months": 6,
        },
        "IV": {
            "says": "several pulleys torn, or one with the lumbrical muscle or a ligament",
            "therapy": "surgical",
            "immobilise_days": [14, 14],
            "functional_therapy_weeks": [4, 4],
            "protection": "a thermoplastic or soft-cast ring",
            "easy_after": {"months": [4, 4]},
            "full_after": {"months": [6, 6]},
            "tape_months": 12,
            "tape_longer": True,
        },
    }


def test_what_stands_beside_the_table_is_told_as_what_it_is() -> None:
    raw = table("injuries")["pulley"]
    beside = {key: value for key, value in raw.items() if key != "grades"}
    assert set(beside) == {
        "sources", "evidence", "grading", "other_grading", "other_sources", "building_share",
    }  # fmt: skip
    assert (raw["sources"], raw["evidence"]) == (["schoeffl-2006"], "common practice")
    assert raw["other_sources"] == ["later-ultrasound-grading"]
    # A later ultrasound grading, quoted by a physiotherapist's web page: II is A3 or A4 torn
    # through or A2 in part, III is A2 torn through, IVa and IVb are several.
    assert "II is A3 or A4 torn through, or A2 in part; III is A2" in raw["other_grading"]
    assert "IVa and IVb are several" in raw["other_grading"]
    assert "I strain; II A4 torn through, or A2 or A3 in part; III A2 or A3" in raw["grading"]
    assert raw["building_share"] == 0.5  # a preference of this project


def test_how_long_to_tape_is_told_in_months_from_the_injury() -> None:
    rows = {grade: pulley(grade) for grade in Grade}
    assert [row.tape for row in rows.values()] == [
        "3 months", "3 months", "6 months", "more than 12 months",
    ]  # fmt: skip
    assert [row.taped_until(HAPPENED) for row in rows.values()] == [
        date(2026, 6, 10), date(2026, 6, 10), date(2026, 9, 10), date(2027, 3, 10),
    ]  # fmt: skip
    assert [row.surgical for row in rows.values()] == [False, False, False, True]


def test_what_is_told_of_the_table_has_every_column_of_it() -> None:
    found = suggestion(BodyPart.FINGER, Grade.III, happened=date(2025, 1, 1))
    assert found is not None
    told = " ".join(care.suggestion_text(found))
    assert "immobilised for 10 to 14 days, functional therapy for 4 weeks" in told
    assert "protected by a thermoplastic or soft-cast ring" in told
    assert "tape while climbing for 6 months" in told
    mild = suggestion(BodyPart.FINGER, Grade.I, happened=date(2025, 1, 1))
    assert mild is not None
    told = " ".join(care.suggestion_text(mild))
    assert "nothing immobilised, functional therapy for 2 to 4 weeks" in told
    assert "protected by tape" in told


def test_building_begins_between_easy_and_full() -> None:
    found = suggestion(BodyPart.FINGER, Grade.III, happened=date(2025, 1, 1))
    assert found is not None and found.building == date(2025, 3, 15)  # half of 34 days


def test_a_day_that_the_later_month_lacks_is_the_first_of_the_next() -> None:
    found = suggestion(BodyPart.FINGER, Grade.III, happened=date(2025, 11, 30))
    assert found is not None and found.full_latest == date(2026, 3, 1)
    leap = suggestion(BodyPart.FINGER, Grade.III, happened=date(2027, 11, 29))
    assert leap is not None and leap.full_latest == date(2028, 2, 29)
    over = suggestion(BodyPart.FINGER, Grade.III, happened=date(2025, 10, 31))
    assert over is not None and over.full_latest == date(2026, 1, 31)


@pytest.mark.parametrize("part", [part for part in BodyPart if part is not BodyPart.FINGER])
def test_no_other_part_has_days_to_begin_with(part: BodyPart) -> None:
    assert all(suggestion(part, grade, happened=HAPPENED) is None for grade in (*Grade, None))


def test_surgery_unknown_grades_and_the_young_have_none_either() -> None:
    assert suggestion(BodyPart.FINGER, Grade.IV, happened=HAPPENED) is None
    assert suggestion(BodyPart.FINGER, None, happened=HAPPENED) is None
    assert suggestion(BodyPart.FINGER, Grade.I, happened=HAPPENED, young=True) is None


def test_the_suggestion_says_its_source_how_far_it_was_checked_and_that_gradings_differ() -> None:
    found = suggestion(BodyPart.FINGER, Grade.II, happened=HAPPENED)
    assert found is not None and found.sources[0].verified is Verified.SECOND_HAND
    told = " ".join(care.suggestion_text(found))
    assert "Schöffl & Schöffl 2006" in told and "quoted by others" in told
    assert "ultrasound" in told and "Ask which of the two" in told
    assert "doctor or physiotherapist" in told


# --- what phases allow ----------------------------------------------------------------------


LEG = {BodyPart.ANKLE, BodyPart.KNEE, BodyPart.HIP}  # common practice, no source


@pytest.mark.parametrize("part", BodyPart)
@pytest.mark.parametrize("phase", HURTING)
def test_every_part_and_phase_says_what_may_be_done_and_what_not(
    part: BodyPart, phase: Phase
) -> None:
    held = profile(profile_name(part, phase))
    assert held.may and held.not_yet
    assert held.max_fingers is (part in LEG and phase is not Phase.OFF)


def test_a_hurt_finger_leaves_legs_and_fitness() -> None:
    stress = most_stress([(BodyPart.FINGER, Phase.OFF)])
    assert stress[Tissue.FINGERS] == 0 and stress[Tissue.WHOLE_BODY] == 3


def test_a_hurt_ankle_leaves_seated_work_and_no_hangs() -> None:
    stress = most_stress([(BodyPart.ANKLE, Phase.OFF)])
    assert stress[Tissue.FINGERS] == 3 and stress[Tissue.ANKLES] == 0


def test_the_first_maximal_finger_work_comes_in_full_but_where_a_leg_is_coming_back() -> None:
    for part in BodyPart:
        hurting = HURTING if part not in LEG else [Phase.OFF]
        assert not any(max_fingers([(part, phase)]) for phase in hurting)
        assert max_fingers([(part, Phase.FULL)])
    both = [(BodyPart.ANKLE, Phase.BUILDING), (BodyPart.FINGER, Phase.BUILDING)]
    assert max_fingers(both[:1]) and not max_fingers(both)
    assert allowed([]) is None and allowed([(BodyPart.FINGER, Phase.FULL)]) is None
    with pytest.raises(Misuse):
        profile_name(BodyPart.FINGER, Phase.FULL)


def test_two_hurt_parts_allow_the_least_of_each() -> None:
    hurts = [(BodyPart.ANKLE, Phase.OFF), (BodyPart.FINGER, Phase.OFF)]
    for order in (hurts, hurts[::-1]):
        both = allowed(order)
        assert both is not None and not both.max_fingers
        assert "visualisation" in both.may and "landing on it" in both.not_yet
    stress = most_stress(hurts)
    assert stress[Tissue.FINGERS] == stress[Tissue.ANKLES] == 0 and stress[Tissue.WHOLE_BODY] == 3


def test_illness_beside_an_injury_leaves_nothing() -> None:
    hurts = [(BodyPart.ANKLE, Phase.EASY), (BodyPart.OTHER, Phase.OFF)]
    assert fill_share(hurts) == 0
    assert {tissue for tissue, most in most_stress(hurts).items() if most} == {Tissue.SKIN}


def test_the_same_part_hurt_twice_is_hurt_once() -> None:
    once = allowed([(BodyPart.ELBOW, Phase.EASY)])
    assert once == allowed([(BodyPart.ELBOW, Phase.EASY), (BodyPart.FINGER, Phase.EASY)])


# --- the data -------------------------------------------------------------------------------


def test_every_part_of_the_body_stands_in_one_region_and_has_tissues() -> None:
    raw = table("injuries")
    named = [part for parts in raw["regions"].values() for part in parts]
    assert sorted(named) == sorted(BodyPart)
    assert set(raw["tissues"]) == set(BodyPart)
