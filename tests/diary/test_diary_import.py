"""Tables of another make into the diary: columns, units, dates, a word for every row left out."""

from __future__ import annotations

from datetime import date, time
from typing import Any

import pytest

from seasonplan.diary import Did, Form, append, import_csv, parse
from seasonplan.errors import BadInput

SHEET = """Datum;Dauer;Was;Anstrengung
08.03.2026;1,5;Bouldern;7
09.03.2026;1:15;Hängen;6
31.02.2026;1;Laufen;3
10.03.2026;sehr lang;Laufen;30
11.03.2026;0,75;"Laufen; locker";4,5
"""
FORM = Form(
    columns={"date": "Datum", "minutes": "Dauer", "what": "Was", "rpe": "Anstrengung"},
    same={"kind": "done"},
    dates="DD.MM.YYYY",
    time_unit="h",
)


def faults_of(text: str, **form: Any) -> dict[str, str]:
    with pytest.raises(BadInput) as caught:
        import_csv(text, Form(**form), file="old.csv")
    return {fault.key: fault.found for fault in caught.value.faults}


def test_rows_are_taken_in_our_units_and_form_of_dates() -> None:
    found = import_csv(SHEET, FORM, file="old.csv").entries
    assert [(one.date, one.minutes, one.what, one.rpe) for one in found] == [
        (date(2026, 3, 8), 90, "Bouldern", 7.0),
        (date(2026, 3, 9), 75, "Hängen", 6.0),
        (date(2026, 3, 11), 45, "Laufen; locker", 4.5),
    ]
    assert {one.kind for one in found} == {Did.DONE}


def test_every_row_left_out_is_told_with_its_line_and_every_fault() -> None:
    skipped = import_csv(SHEET, FORM, file="old.csv").skipped
    assert [(fault.line, fault.key, fault.found) for fault in skipped] == [
        (4, "date", "'31.02.2026'"),
        (5, "minutes", "'sehr lang'"),
        (5, "rpe", "30"),
    ]


def test_importing_twice_adds_nothing() -> None:
    first = import_csv(SHEET, FORM, file="old.csv")
    again = import_csv(SHEET, FORM, file="old.csv", diary=first.entries)
    assert (again.entries, again.known) == ((), 3)


def test_two_rows_alike_are_two_things_done() -> None:
    text = "date,what\n2026-03-10,Hangs\n2026-03-10,Hangs\n"
    form = Form(columns={"date": "date", "what": "what"}, same={"kind": "done"})
    both = import_csv(text, form, file="old.csv")
    assert len(both.entries) == 2
    third = import_csv(text + "2026-03-10,Hangs\n", form, file="old.csv", diary=both.entries)
    assert (len(third.entries), third.known) == (1, 2)


def test_what_is_taken_can_be_appended_and_read_again() -> None:
    found = import_csv(SHEET, FORM, file="old.csv").entries
    text = ""
    for entry in found:
        text = append(text, entry)
    assert parse(text, file="diary.csv") == found


@pytest.mark.parametrize(
    ("cell", "same", "kilograms"),
    [
        ("70", {"unit": "kg"}, 70.0),
        # 154.3235835 lb are 70 kg: 70 / 0.45359237 (pound of 1959, from memory).
        ("154.3235835", {"unit": "lb"}, 70.0),
        ("154.3235835 lbs", {}, 70.0),
        ("70kg", {"unit": "kg"}, 70.0),
    ],
)
def test_weights_come_in_kilograms_or_pounds(
    cell: str, same: dict[str, str], kilograms: float
) -> None:
    form = Form(columns={"date": "Day", "value": "Weight"}, same={"kind": "weight", **same})
    (entry,) = import_csv(f"Day,Weight\n2026-03-10,{cell}\n", form, file="old.csv").entries
    assert entry.kilograms == pytest.approx(kilograms)


def test_a_unit_that_contradicts_the_one_for_all_rows_is_left_out() -> None:
    form = Form(columns={"date": "D", "value": "W"}, same={"kind": "weight", "unit": "kg"})
    found = import_csv("D,W\n2026-03-10,154 lb\n", form, file="old.csv")
    assert not found.entries and found.skipped[0].found == "'154 lb'"


def test_a_date_may_carry_the_time_of_day() -> None:
    form = Form(
        columns={"date": "When", "note": "Text"}, same={"kind": "note"},
        dates="MM/DD/YYYY hh:mm",
    )  # fmt: skip
    (entry,) = import_csv("When,Text\n3/9/2026 7:05,windy\n", form, file="old.csv").entries
    assert (entry.date, entry.time) == (date(2026, 3, 9), time(7, 5))


def test_what_the_form_asks_for_and_the_table_lacks_is_told_at_once() -> None:
    faults = faults_of(
        SHEET, columns={"date": "Date", "mood": "Was", "minutes": "Dauer"},
        same={"color": "red"}, dates="DD.MM.YY",
    )  # fmt: skip
    assert set(faults) == {"date", "mood", "color", "kind"}


def test_a_kind_nobody_knows_is_told_once_and_not_for_each_row() -> None:
    assert faults_of(SHEET, columns={"date": "Datum"}, same={"kind": "gemacht"}) == {
        "kind": "the kind 'gemacht'"
    }


def test_an_empty_table_has_no_headings() -> None:
    assert faults_of("", columns={"date": "Day"}, same={"kind": "note"}) == {
        "date": "no heading 'Day'"
    }
