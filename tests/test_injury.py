"""What is usual after an injury: the pulley table, and what each phase allows."""

from __future__ import annotations

from datetime import date

import pytest

from seasonplan.errors import Misuse
from seasonplan.explain import care
from seasonplan.injury import (
    Grade,
    allowed,
    allowed_qualities,
    max_fingers,
    most_stress,
    profile,
    profile_name,
    pulley,
    suggestion,
)
from seasonplan.reference import table
from seasonplan.vocabulary import BodyPart, Phase, Quality, Tissue, Verified

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


def test_the_table_is_whole() -> None:
    rows = {grade: pulley(grade) for grade in Grade}
    assert [row.therapy for row in rows.values()] == ["conservative"] * 3 + ["surgical"]
    assert [row.immobilise_days for row in rows.values()] == [(0, 0), (10, 10), (10, 14), (14, 14)]
    assert [row.functional_therapy_weeks for row in rows.values()] == [
        (2, 4),
        (2, 4),
        (4, 4),
        (4, 4),
    ]
    assert [row.tape for row in rows.values()] == [
        "3 months", "3 months", "6 months", "more than 12 months",
    ]  # fmt: skip
    four = rows[Grade.IV]
    assert (four.easy_after.months, four.full_after.months) == ((4, 4), (6, 6))


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


@pytest.mark.parametrize("part", BodyPart)
@pytest.mark.parametrize("phase", HURTING)
def test_every_part_has_a_profile_whose_shares_make_sense(part: BodyPart, phase: Phase) -> None:
    held = profile(profile_name(part, phase))
    assert held.mix.total == pytest.approx(1) or held.shares == (0.0,)
    assert list(held.shares) == sorted(held.shares) and all(0 <= share < 1 for share in held.shares)
    assert not held.max_fingers and held.may and held.not_yet


def test_load_never_falls_from_phase_to_phase() -> None:
    for part in BodyPart:
        off, easy, building = (profile(profile_name(part, phase)) for phase in HURTING)
        assert off.shares[0] <= easy.shares[0] and easy.shares[-1] <= building.shares[0]
        assert building.shares[-1] < 1


def test_the_last_share_of_a_ramp_stays() -> None:
    held = profile("upper-easy")
    assert [held.share(nth) for nth in range(5)] == [0.4, 0.5, 0.6, 0.6, 0.6]


def test_a_hurt_finger_leaves_legs_and_fitness() -> None:
    assert allowed_qualities(BodyPart.FINGER, Phase.OFF) == {Quality.FITNESS}
    stress = most_stress([(BodyPart.FINGER, Phase.OFF)])
    assert stress[Tissue.FINGERS] == 0 and stress[Tissue.WHOLE_BODY] == 3


def test_a_hurt_ankle_leaves_finger_work() -> None:
    held = allowed_qualities(BodyPart.ANKLE, Phase.OFF)
    assert Quality.FINGER_STRENGTH in held and Quality.MOVEMENT not in held
    stress = most_stress([(BodyPart.ANKLE, Phase.OFF)])
    assert stress[Tissue.FINGERS] == 3 and stress[Tissue.WHOLE_BODY] == 0


def test_the_first_maximal_finger_work_comes_in_full() -> None:
    for part in BodyPart:
        assert not any(max_fingers([(part, phase)]) for phase in HURTING)
        assert max_fingers([(part, Phase.FULL)])
        assert allowed_qualities(part, Phase.FULL) == set(Quality)
    assert allowed([]) is None and allowed([(BodyPart.FINGER, Phase.FULL)]) is None
    with pytest.raises(Misuse):
        profile_name(BodyPart.FINGER, Phase.FULL)


def test_two_hurt_parts_allow_the_least_of_each() -> None:
    hurts = [(BodyPart.ANKLE, Phase.OFF), (BodyPart.FINGER, Phase.OFF)]
    for order in (hurts, hurts[::-1]):
        both = allowed(order)
        assert both is not None and both.qualities == {Quality.FITNESS}
        assert both.mix.total == pytest.approx(1)
        ankle = profile("lower-off")
        most = ankle.share(0) * ankle.mix.of(Quality.FITNESS)
        assert both.share(0) * both.mix.of(Quality.FITNESS) <= most + 1e-9
    stress = most_stress(hurts)
    assert stress[Tissue.FINGERS] == stress[Tissue.WHOLE_BODY] == 0


def test_illness_beside_an_injury_leaves_nothing() -> None:
    both = allowed([(BodyPart.ANKLE, Phase.EASY), (BodyPart.OTHER, Phase.OFF)])
    assert both is not None and both.share(0) == 0 and not both.qualities


def test_the_same_part_hurt_twice_is_hurt_once() -> None:
    once = allowed([(BodyPart.ELBOW, Phase.EASY)])
    assert once == allowed([(BodyPart.ELBOW, Phase.EASY), (BodyPart.FINGER, Phase.EASY)])


# --- the data -------------------------------------------------------------------------------


def test_every_part_of_the_body_stands_in_one_region_and_has_tissues() -> None:
    raw = table("injuries")
    named = [part for parts in raw["regions"].values() for part in parts]
    assert sorted(named) == sorted(BodyPart)
    assert set(raw["tissues"]) == set(BodyPart)
