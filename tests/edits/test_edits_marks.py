"""Sessions marked in the diary: what a row says, and that nothing else is touched."""

from __future__ import annotations

import csv
import io
from dataclasses import replace
from datetime import date
from typing import Any

import pytest
from draft_maker import SESSION, YEAR, draft
from plan_maker import day
from test_edits import done, no

from seasonplan.diary import DiaryEntry, Did
from seasonplan.edits import (
    ChangeEntry,
    Draft,
    EditRefused,
    MarkDone,
    MarkMissed,
    apply,
    marked_by,
    together,
)
from seasonplan.edits.kinds import WriteRow
from seasonplan.edits.marks import NOT_YET, WHEN, to_come
from seasonplan.errors import BadInput
from seasonplan.vocabulary import BodyPart, Side

PLANNED = day(1)  # 25 minutes of mobility at 18:00


def rows(text: str) -> list[dict[str, str]]:
    """What the file says, read by the csv module of Python, without empty cells."""
    found = csv.DictReader(io.StringIO(text))
    return [{key: cell for key, cell in row.items() if cell} for row in found]


def row(edit: Any, before: Draft | None = None) -> dict[str, str]:
    return rows(done(edit, before).diary)[-1]


@pytest.mark.parametrize(
    ("said", "more"),
    [
        ({}, {"minutes": "25"}),
        ({"minutes": 40}, {"minutes": "40"}),
        ({"minutes": 0}, {"minutes": "0"}),
        ({"rpe": 0}, {"minutes": "25", "rpe": "0"}),
        ({"rpe": 6.5}, {"minutes": "25", "rpe": "6.5"}),
        ({"note": 'stiff, "cold"'}, {"minutes": "25", "note": 'stiff, "cold"'}),
        (
            {"part": BodyPart.KNEE, "side": Side.RIGHT, "pain": 0},
            {"minutes": "25", "part": "knee", "side": "right", "pain": "0"},
        ),
    ],
)
def test_a_session_that_was_done_is_a_row_of_what_was_said_and_else_of_the_plan(
    said: dict[str, Any], more: dict[str, str]
) -> None:
    told = {"date": str(PLANNED), "kind": "done", "session": SESSION, "recipe": "mobility"}
    assert row(MarkDone(session=SESSION, **said)) == told | more


def test_a_session_that_was_missed_has_no_minutes_and_no_effort() -> None:
    assert row(MarkMissed(session=SESSION, note="ill")) == {
        "date": str(PLANNED), "kind": "missed", "session": SESSION, "recipe": "mobility",
        "note": "ill",
    }  # fmt: skip


@pytest.mark.parametrize("kind", [MarkDone, MarkMissed])
def test_a_mark_stands_on_the_day_that_was_said(kind: type[MarkDone | MarkMissed]) -> None:
    assert row(kind(session=SESSION, on=day(3)))["date"] == str(day(3))


def test_rows_and_columns_that_stand_there_stay_and_new_columns_stand_behind_them() -> None:
    old = "date,kind,note,my column\n2027-01-03,note,slept badly,7\n"
    after = done(MarkDone(session=SESSION), replace(draft(), diary=old))
    head, first, last = after.diary.splitlines()
    assert head == "date,kind,note,my column,session,recipe,minutes"
    assert first == old.splitlines()[1]
    assert last == f"2027-01-05,done,,,{SESSION},mobility,25"
    assert after.text == YEAR
    assert done(MarkMissed(session=SESSION), after).diary.startswith(after.diary)


def test_a_row_of_the_diary_is_written_as_it_is() -> None:
    entry = DiaryEntry(date=day(2), kind=Did.WEIGHT, value=70.5, unit="kg")
    assert row(WriteRow(row=entry)) == {
        "date": "2027-01-06", "kind": "weight", "value": "70.5", "unit": "kg",
    }  # fmt: skip


@pytest.mark.parametrize(
    ("said", "why"),
    [
        ({"pain": 4}, "There is pain and not where."),
        ({"pain": 0}, "There is pain and not where."),
        ({"part": BodyPart.KNEE}, "There is a part and not how much."),
    ],
)
@pytest.mark.parametrize("kind", [MarkDone, MarkMissed])
def test_a_part_and_how_much_it_hurts_belong_together(
    kind: type[MarkDone | MarkMissed], said: dict[str, Any], why: str
) -> None:
    refused = no(kind(session=SESSION, **said))
    assert (refused.why, refused.would_work) == (why, "Say both, or neither.")


@pytest.mark.parametrize(
    ("said", "key", "found"),
    [
        ({"on": date(9999, 12, 31)}, "date", "found 9999-12-31; wanted a year from 1900 to 2199"),
        ({"note": "x" * 10_001}, "note", "wanted at most 10000"),
    ],
)
@pytest.mark.parametrize("kind", [MarkDone, MarkMissed])
def test_what_no_row_can_hold_is_told_by_verb_and_column(
    kind: type[MarkDone | MarkMissed], said: dict[str, Any], key: str, found: str
) -> None:
    with pytest.raises(BadInput) as bad:
        done(kind(session=SESSION, **said))
    (fault,) = bad.value.faults
    assert (fault.file, fault.key) == (f"edit {kind.model_fields['do'].default}", key)
    assert found in str(fault)


# --- its day --------------------------------------------------------------------------------


@pytest.mark.parametrize("kind", [MarkDone, MarkMissed])
def test_without_a_day_it_is_that_of_the_plan_once_it_has_come(
    kind: type[MarkDone | MarkMissed],
) -> None:
    edit = kind(session=SESSION, note="x")
    marked = marked_by(draft(), edit, today=PLANNED)
    assert marked == kind(session=SESSION, note="x", on=PLANNED)
    with pytest.raises(EditRefused) as refused:
        marked_by(draft(), edit, today=day(0))
    assert refused.value.why == to_come(PLANNED)
    assert refused.value.would_work == (WHEN if kind is MarkDone else NOT_YET)


def test_a_day_that_was_said_is_taken_at_its_word() -> None:
    edit = MarkDone(session=SESSION, on=date(2030, 1, 1))
    assert marked_by(draft(), edit, today=day(0)) is edit


def test_of_a_session_that_is_not_planned_there_is_no_day() -> None:
    with pytest.raises(EditRefused, match="The plan has no session 'base-1/x'"):
        marked_by(draft(), MarkDone(session="base-1/x"), today=day(30))


# --- with others ----------------------------------------------------------------------------


def test_a_mark_beside_an_edit_of_the_year_is_one_change() -> None:
    note = ChangeEntry(id="isle", values={"note": "x"})
    after = together(draft(), [MarkDone(session=SESSION), note, MarkMissed(session=SESSION)])
    assert [one["kind"] for one in rows(after.diary)] == ["done", "missed"]
    assert after.text == apply(draft(), note).text
    broken = ChangeEntry(id="isle", values={"last": date(2026, 1, 1)})
    before = draft()
    with pytest.raises(BadInput):
        together(before, [MarkDone(session=SESSION), broken])
    assert before.diary == ""
