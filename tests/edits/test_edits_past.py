"""What is over stays as it was planned: edits of its days are refused, facts and marks are not.

Today is Wednesday 20 January 2027, in the middle of base-1 (Monday 4 to Sunday 24 January).
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date, time

import pytest
from draft_maker import SESSION, draft
from plan_maker import day
from test_edits import done, no

from seasonplan.days import day_text
from seasonplan.edits import (
    AddEntry,
    AddSession,
    AnEdit,
    ChangeEntry,
    ChangeKind,
    Draft,
    JoinBlocks,
    MarkDone,
    MarkMissed,
    MoveBlock,
    MoveSession,
    PinBlock,
    ResizeBlock,
    SkipSession,
    SplitBlock,
    UnpinBlock,
)
from seasonplan.vocabulary import Kind

TODAY = day(16)
SOON, LATER = day(18), day(30)


def now(today: date = TODAY) -> Draft:
    return replace(draft(), today=today)


@pytest.mark.parametrize(
    "edit",
    [
        ResizeBlock(block="base-1", first=day(5)),
        ResizeBlock(block="base-1", last=day(14)),
        ChangeKind(block="base-1", kind=Kind.STRENGTH),
        SplitBlock(block="base-1", day=day(10), kind=Kind.REST),
    ],
    ids=lambda edit: edit.do,
)
def test_a_block_under_way_keeps_the_days_that_are_over(edit: AnEdit) -> None:
    refusal = no(edit, now())
    assert "what is over stays as it was" in refusal.why
    assert day_text(TODAY) in refusal.would_work
    assert done(edit, replace(now(), today=None)).year.pins  # it is today that refuses it


FIXED = {
    ("strength", 10): "Thu 14 Jan 2027 to Tue 19 Jan 2027", ("base", 10): "", ("strength", 16): "",
}  # fmt: skip


@pytest.mark.parametrize(("kind", "first", "refused"), [(*k, told) for k, told in FIXED.items()])
def test_a_fixed_block_is_not_entered_for_days_that_are_over_and_were_another(
    kind: str, first: int, refused: str
) -> None:
    """No plan keeps such a block: planner and checker did not agree on it."""
    values = {"name": "Mine", "kind": kind, "first": day(first), "last": day(20)}
    edit = AddEntry(section="pin", values=values)
    if refused:
        told = f"“Mine” would change {refused}, and what is over stays as it was."
        assert no(edit, now()).why == told
        here = done(AddEntry(section="pin", values=values | {"first": day(30), "last": day(36)}))
        there = ChangeEntry(id="mine", values={"first": day(first), "last": day(20)})
        assert no(there, replace(here, today=TODAY)).why == told
    else:
        assert done(edit, now()).year.pins


def test_a_block_under_way_is_not_moved() -> None:
    edit = MoveBlock(block="performance-1", days=-3)
    assert "Fri 12 Feb 2027 to Sun 14 Feb 2027 of performance-1" in no(edit, now(day(45))).why
    assert done(edit, now(day(39))).year.pins


@pytest.mark.parametrize(
    "edit",
    [
        ResizeBlock(block="base-1", last=day(17)),
        ResizeBlock(block="base-1", last=day(15)),
        SplitBlock(block="base-1", day=TODAY, kind=Kind.REST),
        PinBlock(block="base-1"),
    ],
    ids=lambda edit: edit.do,
)
def test_from_today_on_it_may_change(edit: AnEdit) -> None:
    assert done(edit, now()).year.pins


def test_a_block_that_comes_is_not_moved_into_what_is_over() -> None:
    refusal = no(MoveBlock(block="rest-1", days=-28), now(day(28)))
    assert "Mon 4 Jan 2027 to Sun 10 Jan 2027" in refusal.why
    assert done(MoveBlock(block="rest-1", days=14), now(day(28))).year.pins


@pytest.mark.parametrize("edit", [PinBlock(block="base-1"), UnpinBlock(block="base-1")])
def test_a_block_that_is_over_is_neither_fixed_nor_freed(edit: AnEdit) -> None:
    before = now(day(21))
    if isinstance(edit, UnpinBlock):
        before = done(PinBlock(block="base-1"), replace(before, today=None))
        before = replace(before, today=day(21))
    assert "was over on Sun 24 Jan 2027" in no(edit, before).why


def test_joining_may_not_change_what_is_over() -> None:
    joined = JoinBlocks(first="rest-1", second="strength-1")
    assert "of strength-1" in no(joined, now(day(36))).why
    assert done(joined, now(day(35))).year.pins


@pytest.mark.parametrize(
    "edit",
    [
        MoveSession(session=SESSION, day=SOON),
        MoveSession(session=SESSION, start=time(7)),
        SkipSession(session=SESSION),
        AddSession(recipe="mobility", day=day(15), start=time(18)),
    ],
    ids=lambda edit: edit.do,
)
def test_a_session_that_is_over_is_marked_not_moved(edit: AnEdit) -> None:
    assert no(edit, now()).why.endswith("is over.")
    assert done(edit, now(day(1))).year.fixed_sessions


def test_a_session_is_not_moved_into_what_is_over() -> None:
    assert "Mon 4 Jan 2027 is over" in no(MoveSession(session=SESSION, day=day(0)), now(day(1))).why


def test_a_session_put_on_a_later_day_is_over_only_then() -> None:
    later = done(MoveSession(session=SESSION, day=SOON), now(day(1)))
    again = MoveSession(session=SESSION, day=day(19))
    assert done(again, replace(later, today=TODAY)).year.fixed_sessions[0].day == day(19)


def test_facts_and_marks_of_any_day_may_be_entered() -> None:
    ill = {"name": "Ill", "first": day(7), "last": day(9)}
    assert len(done(AddEntry(section="absence", values=ill), now()).year.absences) == 1
    assert done(MarkDone(session=SESSION, rpe=3, on=day(1)), now()).diary
    assert done(MarkMissed(session=SESSION, on=day(1)), now()).diary
