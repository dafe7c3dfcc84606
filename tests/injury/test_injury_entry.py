"""Entries for injuries and illness: days of the table, a clinician, the climber, or none yet."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import pytest
from places import TESTS

from seasonplan.days import Span
from seasonplan.errors import BadInput
from seasonplan.explain import care
from seasonplan.injury import (
    STEPS,
    Dates,
    Grade,
    Hurt,
    changed,
    graded,
    healed,
    illness_of,
    injury_of,
    new_values,
    refuse_to_come,
    suggestion,
    unnamed,
    values_of,
    waits,
    whose_days,
)
from seasonplan.rules.tables import table
from seasonplan.vocabulary import BodyPart, NamedBy, Phase
from seasonplan.year import Absence, Injury
from seasonplan.year.toml import read_year

YEAR = read_year((TESTS / "years" / "twelve-weeks.toml").read_text(), file="year.toml")
HAPPENED = date(2026, 3, 10)
MARCH, APRIL = date(2026, 3, 30), date(2026, 4, 1)


def finger(grade: Grade | None = None, **said: Any) -> Hurt:
    return Hurt(part="finger", side="left", happened=HAPPENED, grade=grade, **said)


def faults_of(hurt: Hurt, *, young: bool = False) -> list[str]:
    with pytest.raises(BadInput) as caught:
        injury_of(hurt, YEAR, young=young)
    return [fault.key for fault in caught.value.faults]


def test_a_graded_pulley_takes_the_cautious_end_of_the_table() -> None:
    entry = injury_of(finger(Grade.III), YEAR, young=False)
    assert (entry.easy_from, entry.full_from) == (date(2026, 5, 5), date(2026, 6, 10))
    assert entry.easy_from < entry.building_from < entry.full_from
    assert entry.name == "Left finger" and entry.note == ""
    assert (entry.grade, entry.named_by) == (Grade.III, NamedBy.TABLE)


def test_without_days_a_part_stays_off_and_longer_years_do_not_heal_it() -> None:
    entry = injury_of(Hurt(part="elbow", happened=HAPPENED, note="after a fall"), YEAR, young=False)
    assert waits(entry) and (entry.note, entry.named_by) == ("after a fall", None)
    assert [phase for phase, _ in entry.phases] == [Phase.OFF]
    assert entry.full_from > YEAR.span.after + timedelta(days=365 * 100)
    assert values_of(entry) == {
        "name": "Elbow", "part": "elbow", "happened": HAPPENED, "note": "after a fall",
    }  # fmt: skip


@pytest.mark.parametrize(
    "hurt",
    [Hurt(part="elbow", happened=HAPPENED), finger(), finger(Grade.IV), finger(Grade.III)],
)
def test_days_are_noted_under_the_name_of_who_named_them(hurt: Hurt) -> None:
    soon = {"easy_from": date(2026, 3, 20), "full_from": date(2026, 4, 10)}
    said = {name: getattr(hurt, name) for name in ("part", "side", "happened", "grade")}
    own = injury_of(Hurt(**said, dates=Dates(**soon)), YEAR, young=False)
    cleared = injury_of(Hurt(**said, dates=Dates(**soon, cleared=True)), YEAR, young=False)
    assert (own.named_by, cleared.named_by) == (NamedBy.OWN, NamedBy.CLINICIAN)
    for entry in (own, cleared):
        assert (entry.easy_from, entry.full_from) == (date(2026, 3, 20), date(2026, 4, 10))
        assert entry.building_from == date(2026, 3, 31)  # half of 21 days, rounded up
        assert values_of(entry)["named_by"] == entry.named_by


def test_days_told_just_as_the_table_has_them_are_the_table_s() -> None:
    table_s = injury_of(finger(Grade.III), YEAR, young=False)
    steps = {key: getattr(table_s, key) for key in STEPS}
    assert injury_of(finger(Grade.III, dates=Dates(**steps)), YEAR, young=False) == table_s
    cleared = finger(Grade.III, dates=Dates(**steps, cleared=True))
    assert injury_of(cleared, YEAR, young=False).named_by is NamedBy.CLINICIAN


def test_a_grade_is_that_of_a_finger() -> None:
    assert faults_of(Hurt(part="elbow", happened=HAPPENED, grade=Grade.II)) == ["grade"]
    elbow = injury_of(Hurt(part="elbow", happened=HAPPENED), YEAR, young=False)
    with pytest.raises(BadInput):
        graded(elbow, Grade.II, young=False)


def test_days_before_the_table_s_earliest_are_told_as_early() -> None:
    found = suggestion(BodyPart.FINGER, Grade.III, happened=HAPPENED)
    assert found is not None
    told = care.early_text(found, easy=date(2026, 3, 20), full=date(2026, 4, 10))
    assert len(told) == 2 and "earlier than the table's earliest" in told[0]
    assert care.early_text(found, easy=found.easy_earliest, full=found.full_earliest) == []


# --- healed ---------------------------------------------------------------------------------


def test_a_healed_injury_is_entered_with_the_day_of_full_load_alone() -> None:
    since = date(2026, 3, 25)
    entry = injury_of(Hurt(part="knee", happened=HAPPENED, healed=since), YEAR, young=False)
    assert (entry.easy_from, entry.building_from, entry.full_from) == (since,) * 3
    assert not waits(entry) and entry.named_by is NamedBy.OWN
    told = " ".join(care.phase_texts(entry))
    assert "Fully loaded from Wed 25 Mar 2026" in told and "Not yet" not in told
    assert injury_of(finger(Grade.I, healed=since), YEAR, young=True).full_from == since


def test_an_injury_in_the_year_can_be_told_healed_and_keeps_the_days_before() -> None:
    since = date(2026, 5, 20)
    known = healed(injury_of(finger(Grade.III), YEAR, young=False), since)
    assert (known.easy_from, known.full_from) == (date(2026, 5, 5), since)
    assert known.building_from == since and known.named_by is NamedBy.OWN
    unknown = healed(injury_of(finger(), YEAR, young=False), since, cleared=True)
    assert unknown.easy_from == since and unknown.named_by is NamedBy.CLINICIAN


def test_a_part_is_not_healed_before_it_hurt_nor_on_a_day_to_come() -> None:
    assert faults_of(Hurt(part="knee", happened=HAPPENED, healed=HAPPENED)) == ["healed"]
    both = Hurt(part="knee", happened=HAPPENED, healed=MARCH, dates=Dates(easy_from=MARCH))
    assert faults_of(both) == ["healed"]
    with pytest.raises(BadInput) as caught:
        refuse_to_come(HAPPENED, today=HAPPENED, healed=MARCH)
    assert [fault.key for fault in caught.value.faults] == ["healed"]
    with pytest.raises(BadInput):
        healed(injury_of(finger(), YEAR, young=False), HAPPENED)


def test_days_inside_the_table_need_no_further_word() -> None:
    dates = Dates(easy_from=date(2026, 4, 21), full_from=date(2026, 7, 1))
    assert not waits(injury_of(finger(Grade.III, dates=dates), YEAR, young=False))


def test_young_fingers_need_a_clinician_even_with_a_grade_and_other_parts_do_not() -> None:
    dates = Dates(easy_from=date(2026, 5, 21), full_from=date(2026, 8, 1))
    assert faults_of(finger(Grade.I, dates=dates), young=True) == ["cleared"]
    assert waits(injury_of(finger(Grade.I), YEAR, young=True))
    cleared = Dates(**{**dict(dates), "cleared": True})
    named = injury_of(finger(Grade.I, dates=cleared), YEAR, young=True)
    assert named.named_by is NamedBy.CLINICIAN
    with pytest.raises(BadInput):
        changed(named, Dates(full_from=date(2026, 7, 1)), young=True)
    knee = injury_of(Hurt(part="knee", happened=HAPPENED, dates=dates), YEAR, young=True)
    assert knee.named_by is NamedBy.OWN


@pytest.mark.parametrize(
    ("dates", "keys"),
    [
        (Dates(building_from=APRIL, cleared=True), ["easy_from", "full_from"]),
        (Dates(easy_from=APRIL, cleared=True), ["full_from"]),
        (
            Dates(easy_from=date(2026, 4, 1), full_from=date(2026, 3, 30), cleared=True),
            ["full_from"],
        ),
        (
            Dates(easy_from=date(2026, 3, 1), full_from=date(2026, 3, 30), cleared=True),
            ["full_from"],
        ),
        (Dates(easy_from=HAPPENED, full_from=HAPPENED, cleared=True), ["full_from"]),
    ],
)
def test_days_missing_or_in_the_wrong_order_are_told(dates: Dates, keys: list[str]) -> None:
    assert faults_of(finger(dates=dates)) == keys


def test_changed_days_are_the_climber_s_own_unless_a_clinician_named_them() -> None:
    entry = injury_of(finger(Grade.III), YEAR, young=False)
    later = changed(entry, Dates(full_from=entry.full_from + timedelta(7)))
    assert later.full_from == entry.full_from + timedelta(7)
    assert (later.easy_from, later.building_from) == (entry.easy_from, entry.building_from)
    sooner = {"easy_from": entry.easy_from - timedelta(7)}
    own, cleared = changed(entry, Dates(**sooner)), changed(entry, Dates(**sooner, cleared=True))
    assert own.easy_from == cleared.easy_from == sooner["easy_from"]
    assert (later.named_by, own.named_by) == (NamedBy.OWN, NamedBy.OWN)
    assert cleared.named_by is NamedBy.CLINICIAN
    assert new_values(entry, own) == {**sooner, "named_by": NamedBy.OWN}


def test_a_clinician_s_new_days_stay_a_clinician_s_in_what_is_written() -> None:
    dates = Dates(easy_from=date(2026, 4, 21), full_from=date(2026, 7, 1), cleared=True)
    entry = injury_of(finger(dates=dates), YEAR, young=False)
    later = changed(entry, Dates(full_from=date(2026, 7, 8), cleared=True))
    assert new_values(entry, later) == {
        "full_from": date(2026, 7, 8), "named_by": NamedBy.CLINICIAN,
    }  # fmt: skip


def test_an_edit_of_days_that_does_not_say_whose_they_are_makes_them_own() -> None:
    entry = injury_of(finger(Grade.II), YEAR, young=False)
    later = {"full_from": date(2026, 6, 1)}
    assert whose_days(entry, later) == {"named_by": NamedBy.OWN}
    assert whose_days(entry, {**later, "named_by": "clinician"}) == {}
    assert whose_days(entry, {"note": "ring"}) == {}
    assert whose_days(entry, dict.fromkeys(STEPS)) == {"named_by": None}


def test_days_named_later_end_the_waiting_and_can_be_taken_back() -> None:
    entry = injury_of(Hurt(part="elbow", happened=HAPPENED, note="a fall"), YEAR, young=False)
    days = {"easy_from": date(2026, 4, 1), "full_from": date(2026, 5, 1)}
    named = changed(entry, Dates(**days, cleared=True))
    assert not waits(named) and named.note == "a fall" and named.id == entry.id
    with pytest.raises(BadInput) as caught:
        changed(entry, Dates(easy_from=date(2026, 4, 1)))
    assert [fault.key for fault in caught.value.faults] == ["full_from"]
    assert unnamed(named) == entry
    assert new_values(named, entry) == dict.fromkeys((*STEPS, "named_by"))


def test_a_grade_found_out_later_brings_the_table() -> None:
    entry = injury_of(finger(note="ring finger"), YEAR, young=False)
    known = graded(entry, Grade.III, young=False)
    same = Dates(easy_from=known.easy_from, full_from=known.full_from)
    assert changed(known, same) == known  # the table's days, said again
    assert changed(known, Dates(**{**dict(same), "cleared": True})).named_by is NamedBy.CLINICIAN
    later = Dates(**{**dict(same), "full_from": known.full_from + timedelta(1)})
    assert changed(known, later).named_by is NamedBy.OWN
    assert (known.easy_from, known.note) == (date(2026, 5, 5), "ring finger")
    assert (known.grade, known.named_by) == (Grade.III, NamedBy.TABLE)
    milder = graded(known, Grade.II, young=False)
    assert milder.easy_from == date(2026, 4, 7)


def test_a_grade_found_out_later_leaves_days_that_somebody_named() -> None:
    dates = Dates(easy_from=date(2026, 4, 21), full_from=date(2026, 7, 1), cleared=True)
    entry = injury_of(finger(dates=dates), YEAR, young=False)
    known = graded(entry, Grade.I, young=False)
    assert known.grade is Grade.I and known.named_by is NamedBy.CLINICIAN
    assert (known.easy_from, known.full_from) == (entry.easy_from, entry.full_from)
    waiting = injury_of(finger(), YEAR, young=False)
    for grade, young in ((Grade.IV, False), (Grade.I, True)):
        told = graded(waiting, grade, young=young)
        assert waits(told) and told.grade is grade


def test_a_second_injury_of_a_part_gets_a_name_of_its_own() -> None:
    first = injury_of(finger(), YEAR, young=False)
    year = YEAR.with_fields(injuries=(first,))
    second = injury_of(finger(), year, young=False)
    assert (second.name, second.id) == ("Left finger 2", "left-finger-2")
    assert year.with_fields(injuries=(first, second))


@pytest.mark.parametrize("entry", [
    injury_of(finger(Grade.II, note="ring"), YEAR, young=False),
    injury_of(finger(), YEAR, young=False),
    injury_of(Hurt(part="knee", happened=HAPPENED, healed=APRIL), YEAR, young=False),
    illness_of("Flu", days=Span.through(date(2026, 3, 9), date(2026, 3, 20)), year=YEAR),
    illness_of("A cold", days=Span.through(date(2026, 3, 9), date(2026, 3, 11)), year=YEAR),
])  # fmt: skip
def test_what_is_written_makes_the_same_entry(entry: Absence | Injury) -> None:
    assert type(entry)(**values_of(entry)) == entry


# --- illness --------------------------------------------------------------------------------
# How the return is stepped is a preference of this project (shared/injuries.toml).


def test_a_few_days_of_illness_are_days_off_and_nothing_more() -> None:
    entry = illness_of("Cold", days=Span.through(date(2026, 3, 9), date(2026, 3, 12)), year=YEAR)
    assert isinstance(entry, Absence) and entry.left == 0


def test_how_long_a_return_lasts_is_as_long_as_the_illness_within_limits() -> None:
    assert table("injuries")["illness"] == {
        "return_share": 1.0, "least_return_days": 4, "most_return_days": 14,
        "evidence": "preference",
    }  # fmt: skip


@pytest.mark.parametrize(("share", "least", "back"), [(0.1, 4, 4), (0.0, 0, 0), (0.5, 0, 3)])
def test_a_short_return_lasts_its_least_and_may_be_none(
    monkeypatch: pytest.MonkeyPatch, share: float, least: int, back: int
) -> None:
    limits = {"return_share": share, "least_return_days": least}
    for key, value in limits.items():
        monkeypatch.setitem(table("injuries")["illness"], key, value)
    first = date(2026, 3, 9)
    entry = illness_of("Flu", days=Span(first, first + timedelta(6)), year=YEAR)
    assert isinstance(entry, Injury) and entry.easy_from == first + timedelta(6)
    assert (entry.full_from - entry.easy_from).days == back
    assert entry.phases[0] == (Phase.OFF, Span(first, entry.easy_from))
    assert (len(entry.phases) > 1) is (back > 0)


@pytest.mark.parametrize(("ill", "back"), [(5, 5), (12, 12), (14, 14), (40, 14)])
def test_longer_illness_returns_in_two_steps(ill: int, back: int) -> None:
    first = date(2026, 3, 9)
    entry = illness_of("Flu", days=Span(first, first + timedelta(ill)), year=YEAR)
    assert isinstance(entry, Injury) and entry.part is BodyPart.OTHER
    assert (entry.full_from - entry.easy_from).days == back
    assert entry.easy_from < entry.building_from < entry.full_from
    assert (entry.building_from - entry.easy_from).days == (back + 1) // 2


def test_the_words_of_care_are_for_everybody_and_more_for_the_young() -> None:
    assert any("doctor or physiotherapist" in text for text in care.cautions([], young=False))
    told = " ".join(care.cautions([BodyPart.FINGER], young=True))
    assert "specialist" in told and "prompt examination" in told
