"""Undo and redo as an editor has them, on revisions that are only ever added; comparisons."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest
from draft_maker import STAMP, YEAR, blocks, plan, revision, sessions
from plan_maker import block, day, exchanged, given, span

from seasonplan.edits import EditRefused, changes
from seasonplan.explain.changes import block_text, change_text, revision_text, worth_text
from seasonplan.plan import Cause, Occasion, Plan, Score, Session, Shortfall, Week
from seasonplan.planning import history
from seasonplan.planning.history import Move, compare, redo, track, undo
from seasonplan.vocabulary import Kind

LATER = STAMP + timedelta(hours=1)


def text(n: int) -> str:
    return f"{YEAR}# {n}\n"


def three() -> Plan:
    return plan(*(revision(n, year_text=text(n)) for n in (1, 2, 3)))


def walked(made: Plan, ways: str) -> list[int]:
    """Which of the first revisions holds after each undo (u), redo (r) or new plan (n)."""
    found = []
    for way in ways:
        if way == "n":
            number = len(made.revisions) + 1
            made = plan(*made.revisions, revision(number, year_text=text(number)))
        else:
            before = made.revisions
            made, year = (undo if way == "u" else redo)(made, stamp=LATER)
            assert made.revisions[:-1] == before
            assert year == made.current.year_text == text(int(made.current.score.points))
        found.append(int(made.current.score.points))
    return found


@pytest.mark.parametrize(
    ("ways", "holds"),
    [
        ("u", [2]), ("uu", [2, 1]), ("ur", [2, 3]), ("uur", [2, 1, 2]), ("uurr", [2, 1, 2, 3]),
        ("uuru", [2, 1, 2, 1]), ("un", [2, 5]), ("unu", [2, 5, 2]), ("unuu", [2, 5, 2, 1]),
        ("uunur", [2, 1, 6, 1, 6]), ("uruuru", [2, 3, 2, 1, 2, 1]),
    ],
)  # fmt: skip
def test_undo_and_redo_go_where_an_editor_goes(ways: str, holds: list[int]) -> None:
    assert walked(three(), ways) == holds


@pytest.mark.parametrize("ways", ["uuu", "r", "unr", "urr", "uunr"])
def test_at_the_end_of_the_way_they_are_refused(ways: str) -> None:
    walked(three(), ways[:-1])
    with pytest.raises(EditRefused, match="There is nothing to"):
        walked(three(), ways)


def test_an_undo_is_a_new_revision_that_says_what_it_is() -> None:
    made, _ = undo(three(), stamp=LATER)
    now = made.current
    assert (now.number, now.undoes, now.restores, now.stamp) == (4, 3, 2, LATER)
    assert now.cause == "undo: cause 3"
    assert now.blocks == made.revisions[1].blocks
    again, _ = redo(made, stamp=LATER)
    assert (again.current.number, again.current.undoes, again.current.restores) == (5, None, 3)
    assert again.current.cause == "redo: cause 3"


def moved_session() -> Session:
    return Session(**{**dict(sessions()[0]), "id": "base-1/x-2", "day": day(9)})


def test_what_is_over_stays_when_a_plan_is_undone() -> None:
    """Sessions before today stay as they were by now; other blocks on those days forbid it."""
    first, second = sessions()[0], moved_session()
    made = plan(revision(1), revision(2, sessions=(second,)))
    undone, _ = undo(made, stamp=LATER, today=day(10))
    assert undone.current.sessions == (second,)
    undone, _ = undo(made, stamp=LATER, today=day(0))
    assert undone.current.sessions == (first,)
    longer = tuple(exchanged(b, span=span(0, 35)) if b.id == "base-1" else b for b in blocks()[:1])
    made = plan(revision(1, blocks=longer), revision(2))
    with pytest.raises(EditRefused, match="what is over stays"):
        undo(made, stamp=LATER, today=day(30))
    undone, _ = undo(made, stamp=LATER, today=day(20))
    assert undone.current.blocks == longer


def test_an_undo_leaves_weeks_goals_and_what_was_missing_of_days_that_are_over() -> None:
    """A rule switched off in June, and on again, makes no week of March light or full."""
    light = blocks()
    full = [
        exchanged(b, weeks=tuple(Week(**{**dict(w), "deload": not w.deload}) for w in b.weeks))
        for b in light
    ]
    past, coming = span(0, 7), span(28, 7)
    had = [
        Occasion(goal="g", entry="e", span=when, possible=1, good_days=good)
        for good in (1, 2)
        for when in (past, coming)
    ]
    missing = {"asked_minutes": 90, "missing_minutes": 30, "cause": Cause.HOURS}
    short = [Shortfall(block="base-9", span=when, **missing) for when in (past, coming)]
    first = revision(1, year_text=text(1), blocks=tuple(light), score=of(*had[:2]))
    second = revision(
        2, year_text=text(2), blocks=tuple(full), score=of(*had[2:]), shortfalls=tuple(short)
    )
    undone, _ = undo(plan(first, second), stamp=LATER, today=day(14))
    now = undone.current
    for was, is_, then in zip(light, now.blocks, full, strict=True):
        for old, week, late in zip(was.weeks, is_.weeks, then.weeks, strict=True):
            assert week == (late if week.span.after <= day(14) else old)
    assert now.score.occasions == (had[2], had[1])
    assert [(one.block, one.span) for one in now.shortfalls] == [(light[0].id, past)]


def of(*occasions: Occasion) -> Score:
    return Score(occasions=occasions, costs=(), points=1.0)


def test_the_track_names_what_holds_and_what_was_undone() -> None:
    made, _ = undo(undo(three(), stamp=LATER)[0], stamp=LATER)
    assert track(made).done == (1,) and track(made).undone == (3, 2)


def test_a_plan_from_before_texts_were_kept_is_not_gone_back_to() -> None:
    old = plan(revision(1, year_text=""), revision(2))
    with pytest.raises(EditRefused, match="Plan 1 was made before year texts were kept"):
        undo(old, stamp=LATER)


@pytest.mark.parametrize("found", [YEAR + "# mine\n", "", YEAR.replace("7b", "7c")])
def test_a_year_changed_since_is_never_undone_over(found: str) -> None:
    made = plan(revision(1), revision(2))
    history.refuse_if_edited(made, YEAR)
    with pytest.raises(EditRefused, match="undoing would lose that") as refused:
        history.refuse_if_edited(made, found)
    assert "seasonplan replan" in refused.value.would_work


def test_without_a_plan_or_a_kept_text_there_is_nothing_to_undo() -> None:
    with pytest.raises(EditRefused, match="no plan yet"):
        history.refuse_if_edited(None, YEAR)
    with pytest.raises(EditRefused, match="before year texts"):
        history.refuse_if_edited(plan(revision(year_text="")), YEAR)


def test_revisions_that_a_hand_made_senseless_break_nothing() -> None:
    odd = plan(revision(1, undoes=7), revision(2, restores=5), revision(3))
    assert track(odd).done == (1, 2, 3)


# --- comparing ------------------------------------------------------------------------------


def compared(new: Any, **fields: Any) -> history.Comparison:
    return compare(plan(revision(1), revision(2, blocks=tuple(new), **fields)), 1, 2)


def moves(new: Any) -> dict[str, tuple[Move, ...]]:
    return {one.stands.id: one.moves for one in compared(new).blocks}


def test_equal_plans_differ_in_nothing() -> None:
    found = compare(plan(revision(1), revision(2, score=revision(1).score)), 1, 2)
    assert (found.blocks, found.year, found.points) == ((), (), (1.0, 1.0))


def test_every_way_in_which_a_block_can_differ_is_told() -> None:
    base, trip, _, _, performance, lake, knee = blocks()
    new = (
        exchanged(base, span=span(0, 14)),
        exchanged(trip, span=span(14, 7)),
        block(Kind.BASE, 28, 7, id="rest-1", entry="pin-rest-1", pinned=True),
        exchanged(performance, span=span(42, 28)),
        lake,
        knee,
        given(Kind.TRIP, 80, 4, entry="new").model_copy(update={"id": "trip-2"}),
    )
    assert moves(new) == {
        "base-1": (Move.SHORTENED,),
        "trip-1": (Move.MOVED,),
        "rest-1": (Move.KIND, Move.FIXED),
        "strength-1": (Move.REMOVED,),
        "performance-1": (Move.LENGTHENED,),
        "trip-2": (Move.ADDED,),
    }
    assert list(moves(new)) == [
        "base-1", "trip-1", "rest-1", "strength-1", "performance-1", "trip-2",
    ]  # fmt: skip
    back = compare(plan(revision(1), revision(2, blocks=new)), 2, 1)
    assert {one.stands.id: one.moves for one in back.blocks}["rest-1"] == (Move.KIND, Move.FREED)


def test_the_worth_of_both_plans_is_told() -> None:
    there = Occasion(goal="g", entry="e", span=span(0, 7), possible=4, good_days=2.5)
    also = there.model_copy(update={"goal": "h", "good_days": 2.0})  # on the same days
    away = there.model_copy(update={"entry": "f"})
    found = compared(blocks(), score=Score(occasions=(there, also, away), costs=(), points=9))
    assert (found.points, found.good_days) == ((1.0, 9.0), (0.0, 5.0))
    assert worth_text(found) == ("Plans 1 and 2: 0 and 5 good days expected; plan 2 is worth more.")


def test_what_the_year_says_otherwise_is_told_by_entry() -> None:
    new = YEAR.replace("weeks = 12", "weeks = 13").replace('grade = "7b"', 'grade = "7c"')
    new = new.replace('name = "Lake"', 'name = "Sea"') + "[rules.order]\non = false\n"
    found = compared(blocks(), year_text=new).year
    assert [change_text(one) for one in found] == [
        "The goal “Long Crack”: grade was 7b, is 7c.",
        "The trip “Lake” is gone; it said first Mon 8 Mar 2027, last Sun 14 Mar 2027, climbing no.",
        "New trip “Sea” (sea): first Mon 8 Mar 2027, last Sun 14 Mar 2027, climbing no.",
        "year.weeks was 12, is 13.",
        "rules.order.on is now no.",
    ]


@pytest.mark.parametrize(
    ("was", "now", "told"),
    [
        ("", '["work.ics"]', "Busy calendar work.ics is entered."),
        ('["work.ics"]', "", "Busy calendar work.ics is removed."),
        ('["work.ics"]', '["home.ics", "work.ics"]', "Busy calendar home.ics is entered."),
        (
            '["a.ics"]',
            '["b.ics"]',
            "Busy calendar b.ics is entered. Busy calendar a.ics is removed.",
        ),
    ],
)
def test_a_busy_calendar_that_comes_or_goes_is_told_by_its_file(
    was: str, now: str, told: str
) -> None:
    old, new = (YEAR + f"[sessions]\nbusy = {one or []}\n" for one in (was, now))
    (found,) = changes(old, new)
    assert change_text(found) == told


def test_remarks_and_order_are_no_difference() -> None:
    assert compared(blocks(), year_text=YEAR.replace("# the end", "")).year == ()


def test_a_plan_without_a_year_text_or_with_a_broken_one_can_still_be_compared() -> None:
    assert compared(blocks(), year_text="").year == ()
    assert compared(blocks(), year_text="x = = y").points == (1.0, 2.0)


def test_a_plan_that_is_not_there_is_refused_with_those_that_are() -> None:
    with pytest.raises(EditRefused, match="There is no plan 4") as refused:
        compare(three(), 1, 4)
    assert "plans 1 to 3" in refused.value.would_work


def test_differences_are_told_in_whole_sentences() -> None:
    base, *others = blocks()
    moved = exchanged(base, span=span(7, 14))
    (change,) = compared((moved, *others)).blocks
    assert block_text(change) == (
        "base-1 is shortened: it was Mon 4 Jan 2027 to Sun 24 Jan 2027, "
        "is Mon 11 Jan 2027 to Sun 24 Jan 2027."
    )
    longer = exchanged(base, span=span(0, 28), kind=Kind.REST)
    told = block_text(compared((longer, *others)).blocks[0])
    assert told.startswith("base-1 is lengthened and is of another kind: it was ")
    assert told.endswith(", base block before, rest block now.")
    (gone,) = compared(others).blocks
    assert block_text(gone) == "base-1, a base block (Mon 4 Jan 2027 to Sun 24 Jan 2027), is gone."
    (knee,) = compared(blocks()[:-1]).blocks
    assert block_text(knee).startswith("injured-1, days off for an injury or illness (")
    made = three()
    assert revision_text(made.revisions[0], made) == (
        "1: Sat 2 Jan 2027 12:00 UTC, cause 1; 0 good days expected"
    )
    assert revision_text(made.current, made).endswith("(in force)")
