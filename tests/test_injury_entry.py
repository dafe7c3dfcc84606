"""Entries for injuries and illness: the table's days, the clinician's, or none yet."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest

from seasonplan.days import Span
from seasonplan.errors import BadInput
from seasonplan.explain import care
from seasonplan.injury import (
    Dates,
    Grade,
    Hurt,
    changed,
    graded,
    illness_of,
    injury_of,
    values_of,
    waits,
)
from seasonplan.vocabulary import BodyPart, Phase
from seasonplan.year import Absence, Injury
from seasonplan.year.toml import read_year

YEAR = read_year(
    (Path(__file__).parent / "years" / "twelve-weeks.toml").read_text(), file="year.toml"
)
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
    assert entry.name == "Left finger" and "grade III (Schöffl & Schöffl 2006)" in entry.note


def test_without_days_a_part_stays_off_and_longer_years_do_not_heal_it() -> None:
    entry = injury_of(Hurt(part="elbow", happened=HAPPENED, note="after a fall"), YEAR, young=False)
    assert waits(entry) and entry.note == "after a fall. No days named yet"
    assert [phase for phase, _ in entry.phases] == [Phase.OFF]
    assert entry.full_from > YEAR.span.after + timedelta(days=365 * 100)


@pytest.mark.parametrize(
    ("hurt", "keys"),
    [
        (Hurt(part="elbow", happened=HAPPENED), ["cleared"]),
        (finger(), ["cleared"]),
        (finger(Grade.IV), ["cleared"]),
        (finger(Grade.III), ["easy_from", "full_from"]),
    ],
)
def test_days_that_no_table_and_no_clinician_stands_behind_are_refused(
    hurt: Hurt, keys: list[str]
) -> None:
    soon = {"easy_from": date(2026, 3, 20), "full_from": date(2026, 4, 10)}
    said = {name: getattr(hurt, name) for name in ("part", "side", "happened", "grade")}
    assert faults_of(Hurt(**said, dates=Dates(**soon))) == keys
    cleared = injury_of(Hurt(**said, dates=Dates(**soon, cleared=True)), YEAR, young=False)
    assert (cleared.easy_from, cleared.full_from) == (date(2026, 3, 20), date(2026, 4, 10))
    assert cleared.building_from == date(2026, 3, 31)  # half of 21 days, rounded up


def test_days_inside_the_table_need_no_further_word() -> None:
    dates = Dates(easy_from=date(2026, 4, 21), full_from=date(2026, 7, 1))
    assert not waits(injury_of(finger(Grade.III, dates=dates), YEAR, young=False))


def test_the_young_need_a_clinician_even_with_a_grade() -> None:
    dates = Dates(easy_from=date(2026, 5, 21), full_from=date(2026, 8, 1))
    assert faults_of(finger(Grade.I, dates=dates), young=True) == ["cleared"]
    assert waits(injury_of(finger(Grade.I), YEAR, young=True))


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


def test_later_days_need_nobody_and_earlier_ones_a_clinician() -> None:
    entry = injury_of(finger(Grade.III), YEAR, young=False)
    later = changed(entry, Dates(full_from=entry.full_from + timedelta(7)))
    assert later.full_from == entry.full_from + timedelta(7)
    assert (later.easy_from, later.building_from) == (entry.easy_from, entry.building_from)
    sooner = {"easy_from": entry.easy_from - timedelta(7)}
    with pytest.raises(BadInput) as caught:
        changed(entry, Dates(**sooner))
    assert [fault.key for fault in caught.value.faults] == ["easy_from"]
    assert changed(entry, Dates(**sooner, cleared=True)).easy_from == sooner["easy_from"]


def test_days_named_later_end_the_waiting() -> None:
    entry = injury_of(Hurt(part="elbow", happened=HAPPENED), YEAR, young=False)
    days = {"easy_from": date(2026, 4, 1), "full_from": date(2026, 5, 1)}
    named = changed(entry, Dates(**days, cleared=True))
    assert not waits(named) and named.note == "" and named.id == entry.id


def test_a_grade_found_out_later_brings_the_table() -> None:
    entry = injury_of(finger(note="ring finger"), YEAR, young=False)
    known = graded(entry, Grade.III, young=False)
    assert known.easy_from == date(2026, 5, 5)
    assert known.note == "Finger pulley, grade III (Schöffl & Schöffl 2006). ring finger"
    for grade, young in ((Grade.IV, False), (Grade.I, True)):
        with pytest.raises(BadInput):
            graded(entry, grade, young=young)


def test_a_second_injury_of_a_part_gets_a_name_of_its_own() -> None:
    first = injury_of(finger(), YEAR, young=False)
    year = YEAR.with_fields(injuries=(first,))
    second = injury_of(finger(), year, young=False)
    assert (second.name, second.id) == ("Left finger 2", "left-finger-2")
    assert year.with_fields(injuries=(first, second))


@pytest.mark.parametrize("entry", [
    injury_of(finger(Grade.II, note="ring"), YEAR, young=False),
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


@pytest.mark.parametrize(("ill", "back"), [(5, 5), (12, 12), (14, 14), (40, 14)])
def test_longer_illness_returns_in_two_steps(ill: int, back: int) -> None:
    first = date(2026, 3, 9)
    entry = illness_of("Flu", days=Span(first, first + timedelta(ill)), year=YEAR)
    assert isinstance(entry, Injury) and entry.part is BodyPart.OTHER
    assert (entry.full_from - entry.easy_from).days == back
    assert entry.easy_from < entry.building_from < entry.full_from


def test_the_words_of_care_are_for_everybody_and_more_for_the_young() -> None:
    assert any("doctor or physiotherapist" in text for text in care.cautions([], young=False))
    told = " ".join(care.cautions([BodyPart.FINGER], young=True))
    assert "specialist" in told and "prompt examination" in told
