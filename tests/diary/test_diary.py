"""diary.csv: what a row may say, every fault by line and column, and appending without harm."""

from __future__ import annotations

import csv
from datetime import date, time
from io import StringIO
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pydantic import ValidationError

from seasonplan.diary import COLUMNS, DiaryEntry, Did, append, append_all, parse
from seasonplan.diary.write import guarded, written
from seasonplan.errors import BadInput
from seasonplan.vocabulary import BodyPart, Side

HEADER = "date,time,kind,session,recipe,what,minutes,rpe,value,unit,part,side,pain,note"
DAY = date(2026, 3, 10)
NOTE = DiaryEntry(date=DAY, kind="note", note="windy")


def faults_of(text: str) -> list[tuple[int | None, str, str]]:
    with pytest.raises(BadInput) as caught:
        parse(text, file="diary.csv")
    return [(fault.line, fault.key, fault.found) for fault in caught.value.faults]


# --- reading --------------------------------------------------------------------------------


def test_an_empty_diary_has_no_entries() -> None:
    assert parse("", file="diary.csv") == parse("\ufeff\n\n", file="diary.csv") == ()
    assert parse(HEADER + "\n", file="diary.csv") == ()


def test_a_row_of_each_kind_is_read() -> None:
    text = "\n".join(
        [
            HEADER,
            "2026-03-10,18:30,done,base-1/2026-03-09/mobility-1,mobility,,45,4.5,,,,,,good",
            "2026-03-10,,missed,,,Bouldering,,,,,,,,",
            "2026-03-10,,test,,,20 mm hang,,,32.5,kg,,left,,",
            "2026-03-10,,weight,,,,,,151,lb,,,,",
            "2026-03-10,,pain,,,,,,,,elbow,left,3,",
            '2026-03-10,,note,,,,,,,,,,,"calm, cold"',
        ]
    )
    done, missed, test, weight, pain, note = parse(text, file="diary.csv")
    assert (done.time, done.minutes, done.rpe, done.note) == (time(18, 30), 45, 4.5, "good")
    assert (missed.kind, missed.what) == (Did.MISSED, "Bouldering")
    assert (test.what, test.value, test.unit, test.side) == ("20 mm hang", 32.5, "kg", Side.LEFT)
    assert (pain.part, pain.side, pain.pain) == (BodyPart.ELBOW, Side.LEFT, 3)
    assert note.note == "calm, cold"
    # International yard and pound agreement of 1959: 0.45359237 kg, exact (from memory).
    assert weight.kilograms == pytest.approx(151 * 0.45359237)


def test_columns_may_stand_in_any_order_and_case_and_others_are_left_alone() -> None:
    text = "Note,KIND,Mood,Date\nwindy,Note,sunny,2026-03-10\n"
    assert parse(text, file="diary.csv") == (NOTE,)


def test_what_a_spreadsheet_leaves_behind_is_read() -> None:
    text = "\ufeffdate;kind;value;unit;note;;\r\n2026-03-10;weight;68,4;kg;;;\r\n;;;;;;\r\n"
    (entry,) = parse(text, file="diary.csv")
    assert (entry.value, entry.unit) == (68.4, "kg")


def test_a_diary_of_an_older_seasonplan_with_fewer_columns_is_read() -> None:
    assert parse("date,kind,note\n2026-03-10,note,windy\n", file="diary.csv") == (NOTE,)


def test_a_row_may_be_shorter_than_the_header() -> None:
    (entry,) = parse(f"{HEADER}\n2026-03-10,,done,,,Stairs\n", file="diary.csv")
    assert entry.what == "Stairs" and entry.minutes is None


def test_every_fault_is_told_at_once_with_its_line_and_column() -> None:
    text = "\n".join(
        [
            HEADER,
            "10.03.2026,25:00,done,,,,many,11,,,,,,",
            '2026-03-10,,note,,,,,,,,,,,"two',
            'lines"',
            "2026-03-11,,jumped,,,,,,,,toe,up,,",
            "2026-03-12,,pain,,,,,,,,,,,",
            "2026-03-12,,weight,,,,,,70,stone,,,,",
            "2026-03-12,,note,,,,,,,,,,,one, two",
        ]
    )
    assert sorted(faults_of(text)) == [
        (2, "date", "'10.03.2026'"),
        (2, "minutes", "'many'"),
        (2, "rpe", "11"),
        (2, "session or recipe or what", "nothing"),
        (2, "time", "'25:00'"),
        (5, "kind", "'jumped'"),
        (5, "part", "'toe'"),
        (5, "side", "'up'"),
        (6, "pain", "nothing"),
        (6, "part", "nothing"),
        (7, "unit", "'stone'"),
        (8, "", "15 cells"),
    ]


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ("day,kind\n2026-03-10,note\n", (1, "date", "no such column")),
        ("date,kind,Date\n", (1, "date", "2 columns of that name")),
        ("\n\nnote\nwindy\n", (3, "date", "no such column")),
        (f'{HEADER}\n2026-03-10,,note,,,,,,,,,,,"open\n', (2, "", "a row that is not CSV")),
    ],
)
def test_a_table_that_is_no_diary_says_why(text: str, fault: tuple[int, str, str]) -> None:
    line, key, found = next(iter(faults_of(text)))
    assert (line, key) == fault[:2] and found.startswith(fault[2])


@pytest.mark.parametrize("value", ["1,000", "1e3", "nan", "inf", "1_000", "", "--1"])
def test_a_number_that_could_mean_two_things_or_none_is_refused(value: str) -> None:
    with pytest.raises(ValidationError):
        DiaryEntry(date=DAY, kind="test", what="hang", value=value)


@pytest.mark.parametrize(
    ("text", "minutes"), [("90", 90), ("1h30", 90), ("45 min", 45), ("2h", 120), (0, 0)]
)
def test_minutes_are_written_as_in_the_year(text: Any, minutes: int) -> None:
    assert DiaryEntry(date=DAY, kind="done", what="x", minutes=text).minutes == minutes


# --- appending ------------------------------------------------------------------------------


def test_the_first_row_gets_a_header() -> None:
    text = append("", NOTE)
    assert text.splitlines()[0] == HEADER == ",".join(COLUMNS)
    assert parse(text, file="diary.csv") == (NOTE,)


MINE = [
    'Date;Mood;kind;note\r\n2026-03-01;ok;note;"a;b"\r\n',
    "\ufeffkind,date,mine,note\n\nnote,2026-03-01,  x ,'=1\n",
    'note\tdate\tkind\n"quoted\nover lines"\t2026-03-01\tNOTE',
    "date;kind;value;unit;note\n2026-03-01;weight;68,4;kg;",
]


@pytest.mark.parametrize("text", MINE)
def test_every_byte_the_climber_wrote_stays(text: str) -> None:
    longer = append(text, NOTE)
    assert longer.startswith(text)
    before = parse(text, file="diary.csv")
    assert len(before) == 1 and parse(longer, file="diary.csv") == (*before, NOTE)


def test_line_ends_separator_and_order_of_columns_are_the_files_own() -> None:
    assert append(MINE[0], NOTE) == MINE[0] + "2026-03-10;;note;windy\r\n"


def test_numbers_get_a_comma_where_the_file_writes_them_so() -> None:
    text = "date;kind;value;unit\n2026-03-01;weight;68,4;kg\n"
    entry = DiaryEntry(date=DAY, kind="weight", value=67.9, unit="kg")
    assert append(text, entry).endswith("2026-03-10;weight;67,9;kg\n")


def test_three_decimals_are_not_read_back_as_thousands() -> None:
    entry = DiaryEntry(date=DAY, kind="weight", value=67.125, unit="kg")
    assert parse(append(MINE[3], entry), file="diary.csv")[-1] == entry


def test_many_rows_are_appended_as_one_after_the_other() -> None:
    hurt = DiaryEntry(date=DAY, kind="pain", part="elbow", pain=2.5)
    assert append_all(MINE[0], [NOTE, hurt]).splitlines()[-2:] == [
        "2026-03-10;;note;windy;;", "2026-03-10;;pain;;elbow;2.5",
    ]  # fmt: skip
    assert append_all(MINE[2], []) == MINE[2]


def test_a_column_that_is_missing_is_added_to_the_header_and_nothing_else_changes() -> None:
    text = 'date,"kind",mood\r\n2026-03-01,done,ok\r\n'.replace("done", "note").replace(
        "mood", "note"
    )
    entry = DiaryEntry(date=DAY, kind="pain", part="elbow", pain=2.5)
    longer = append(text, entry)
    assert (
        longer == text.replace("note\r", "note,part,pain\r", 1) + "2026-03-10,pain,,elbow,2.5\r\n"
    )
    assert parse(longer, file="diary.csv")[1] == entry


def test_nothing_is_appended_to_a_diary_with_faults() -> None:
    with pytest.raises(BadInput):
        append(f"{HEADER}\n2026-03-10,,jumped\n", NOTE)
    with pytest.raises(BadInput):
        append(f'{HEADER}\n2026-03-10,,note,,,,,,,,,,,"open', NOTE)


@pytest.mark.parametrize("note", ["=1+1", "+49 123", "-3 degrees", "@home", "'=quoted", "''-x"])
def test_no_text_is_run_by_a_spreadsheet_and_it_comes_back_as_it_was(note: str) -> None:
    text = append("", DiaryEntry(date=DAY, kind="note", note=note))
    cell = list(csv.reader(StringIO(text)))[1][-1]
    assert cell[0] == "'" and cell == guarded(note)
    assert parse(text, file="diary.csv")[0].note == note


def test_a_negative_number_is_not_guarded() -> None:
    entry = DiaryEntry(date=DAY, kind="test", what="added weight", value=-12.5, unit="kg")
    assert written(entry)["value"] == "-12.5"


# surrogates are no text (the command line hands them over for bytes that are not UTF-8)
TEXTS = st.text(st.characters(exclude_categories=["Cs"]), max_size=12)
NUMBERS = st.floats(-1e6, 1e6, allow_nan=False).map(lambda number: round(number, 6))
RATINGS = st.none() | st.floats(0, 10).map(lambda number: round(number, 2))
ENTRIES = st.builds(
    dict,
    date=st.dates(date(1900, 1, 1), date(2199, 12, 31)),
    time=st.none() | st.times().map(lambda found: found.replace(second=0, microsecond=0)),
    kind=st.sampled_from(["done", "missed", "test", "pain", "note"]),
    session=TEXTS, recipe=TEXTS, unit=TEXTS,
    what=TEXTS.map(lambda text: f"w{text}"),
    note=TEXTS.map(lambda text: f"{text}."),
    minutes=st.none() | st.integers(0, 1440),
    rpe=RATINGS, value=NUMBERS, pain=st.floats(0, 10).map(lambda number: round(number, 2)),
    part=st.sampled_from(BodyPart), side=st.sampled_from(Side),
)  # fmt: skip


@settings(max_examples=200, deadline=None)
@given(cells=ENTRIES, text=st.sampled_from(["", *MINE]))
def test_an_appended_entry_comes_back_as_it_was(cells: dict[str, Any], text: str) -> None:
    entry = DiaryEntry(**cells)
    assert parse(append(text, entry), file="diary.csv")[-1] == entry


def test_text_that_no_file_can_hold_is_refused() -> None:
    with pytest.raises(ValidationError):
        DiaryEntry(date=DAY, kind="note", note="\udcff")
