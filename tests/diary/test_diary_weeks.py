"""Planned beside done, weeks without a word, and pain that deserves one."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, time, timedelta
from typing import Any

import pytest

from seasonplan.days import Span
from seasonplan.diary import (
    DiaryEntry,
    Did,
    WeekDone,
    cells_of_session,
    silent_weeks,
    sore,
    unlogged,
    weekly,
)
from seasonplan.explain import care
from seasonplan.plan import Session
from seasonplan.recipes import standard_recipes
from seasonplan.vocabulary import BodyPart, Side
from seasonplan.year import Injury

MONDAY = date(2026, 3, 9)
TODAY = date(2026, 3, 24)
RECIPES = standard_recipes()


def session(name: str, day: date, *, minutes: int = 60, rpe: float = 5.0) -> Session:
    return Session(
        id=name, block="base-1", recipe="aerobic", day=day, start=time(18), minutes=minutes, rpe=rpe
    )


def done(name: str, day: date, **cells: Any) -> DiaryEntry:
    return DiaryEntry(date=day, kind="done", session=name, **cells)


def pain(day: date, amount: float, **cells: Any) -> DiaryEntry:
    return DiaryEntry(date=day, kind="pain", pain=amount, **{"part": "elbow", **cells})


def weeks_of(*entries: DiaryEntry, sessions: list[Session]) -> tuple[WeekDone, ...]:
    weeks = [Span(MONDAY + timedelta(7 * n), MONDAY + timedelta(7 * n + 7)) for n in range(4)]
    return weekly(entries, recipes=RECIPES, sessions=sessions, weeks=weeks, today=TODAY)


def load_done(*entries: DiaryEntry, sessions: Sequence[Session] = ()) -> float:
    """The load of the first week."""
    return weeks_of(*entries, sessions=[*sessions])[0].done_load


# --- loads ----------------------------------------------------------------------------------


def test_load_is_effort_times_minutes() -> None:
    # Foster 1998, Med Sci Sports Exerc 30(7):1164-1168 (abstract read).
    rows = [done("a", MONDAY, minutes=90, rpe=6), done("b", MONDAY, minutes=20, rpe=3)]
    assert load_done(*rows) == 90 * 6 + 20 * 3


def test_what_a_row_leaves_out_is_as_planned() -> None:
    planned = [session("a", MONDAY, minutes=80, rpe=4)]
    assert load_done(done("a", MONDAY), sessions=planned) == 320
    felt = done("a", MONDAY, rpe=7)
    assert load_done(felt, sessions=planned) == 560
    free = DiaryEntry(date=MONDAY, kind="done", recipe="aerobic", minutes=30)
    assert load_done(free) == 30 * RECIPES["aerobic"].rpe


def test_what_was_said_last_of_a_session_counts() -> None:
    missed = DiaryEntry(date=MONDAY, kind="missed", session="a")
    row = done("a", MONDAY, minutes=60, rpe=5)
    assert load_done(row, missed) == 0
    assert load_done(missed, row, row) == 300


def test_things_without_a_session_all_count() -> None:
    rows = [DiaryEntry(date=MONDAY, kind="done", what="Hangs", minutes=10, rpe=5)] * 2
    assert load_done(*rows) == 100


def test_a_week_tells_planned_beside_done() -> None:
    planned = [session("a", MONDAY), session("b", MONDAY + timedelta(1)),
               session("rest", MONDAY + timedelta(2), minutes=0, rpe=0)]  # fmt: skip
    missed = DiaryEntry(date=MONDAY, kind="missed", session="b")
    free = DiaryEntry(date=MONDAY, kind="done", what="Wandering")
    week = weeks_of(done("a", MONDAY, minutes=50, rpe=6), missed, free, sessions=planned)[0]
    assert (week.planned, week.done, week.missed, week.unrated) == (2, 2, 1, 1)
    assert (week.planned_load, week.done_load) == (600, 300)
    assert (week.planned_minutes, week.done_minutes) == (120, 50)
    assert not week.silent


def test_weeks_that_have_not_begun_are_left_out() -> None:
    assert [week.span.first for week in weeks_of(sessions=[])] == [
        MONDAY, MONDAY + timedelta(7), MONDAY + timedelta(14),
    ]  # fmt: skip


# --- weeks without a word -------------------------------------------------------------------


def test_a_past_week_with_sessions_planned_and_nothing_logged_is_noticed() -> None:
    planned = [session(str(n), MONDAY + timedelta(7 * n)) for n in range(4)]
    found = weeks_of(done("0", MONDAY), sessions=planned)
    assert silent_weeks(found) == (Span(MONDAY + timedelta(7), MONDAY + timedelta(14)),)
    (text,) = care.silence(found)
    assert "Mon 16 Mar 2026 to Sun 22 Mar 2026" in text


@pytest.mark.parametrize(
    "entry",
    [
        DiaryEntry(date=MONDAY, kind="note", note="Flat tyre all week"),
        DiaryEntry(date=MONDAY, kind="missed", what="everything"),
        DiaryEntry(date=TODAY, kind="missed", session="a"),
    ],
)
def test_any_word_about_a_week_is_enough(entry: DiaryEntry) -> None:
    assert not silent_weeks(weeks_of(entry, sessions=[session("a", MONDAY)]))


def test_weeks_of_rest_and_weeks_still_running_are_not_silent() -> None:
    resting = session("rest", MONDAY, minutes=0, rpe=0)
    running = session("now", TODAY)
    assert not silent_weeks(weeks_of(sessions=[resting, running]))
    assert not care.silence(weeks_of(sessions=[resting, running]))


# --- planned sessions -----------------------------------------------------------------------


def test_today_s_sessions_are_those_not_logged_yet() -> None:
    planned = [session("late", MONDAY), session("done", MONDAY), session("other", TODAY)]
    assert [one.id for one in unlogged(planned, [done("done", MONDAY)], day=MONDAY)] == ["late"]


def test_a_row_about_a_session_holds_planned_minutes_and_no_guessed_effort() -> None:
    cells = cells_of_session(session("a", MONDAY), Did.DONE, day=TODAY)
    entry = DiaryEntry(**cells)
    assert (entry.date, entry.minutes, entry.rpe, entry.recipe) == (TODAY, 60, None, "aerobic")
    assert "minutes" not in cells_of_session(session("a", MONDAY), Did.MISSED, day=TODAY)


# --- pain -----------------------------------------------------------------------------------
# Twice in 14 days, or one above 5: a preference of this project (shared/injuries.toml).


def parts_of(*entries: DiaryEntry) -> list[tuple[BodyPart, Side, int]]:
    return [(one.part, one.side, one.times) for one in sore(entries, today=TODAY)]


def test_pain_on_one_part_twice_in_two_weeks_is_noticed() -> None:
    first, last = TODAY - timedelta(13), TODAY
    assert parts_of(pain(first, 2), pain(last, 1)) == [(BodyPart.ELBOW, Side.NONE, 2)]
    assert parts_of(pain(first - timedelta(1), 2), pain(last, 1)) == []


def test_one_pain_above_five_is_noticed_and_five_is_not() -> None:
    assert parts_of(pain(TODAY, 5)) == []
    assert parts_of(pain(TODAY, 5.5)) == [(BodyPart.ELBOW, Side.NONE, 1)]


def test_left_and_right_are_different_parts_and_an_unnamed_side_is_either() -> None:
    left, right = pain(TODAY, 2, side="left"), pain(TODAY, 2, side="right")
    assert parts_of(left, right) == []
    assert parts_of(left, pain(TODAY, 2)) == [(BodyPart.ELBOW, Side.LEFT, 2)]
    assert parts_of(left, left, right) == [(BodyPart.ELBOW, Side.LEFT, 2)]


def test_no_pain_other_parts_and_days_to_come_do_not_count() -> None:
    assert parts_of(pain(TODAY, 0), pain(TODAY, 3)) == []
    assert parts_of(pain(TODAY, 3, part="knee"), pain(TODAY, 3)) == []
    assert parts_of(pain(TODAY + timedelta(1), 9)) == []


def test_pain_noted_with_a_session_counts_too() -> None:
    rows = [done("a", TODAY, part="finger", pain=3), done("b", TODAY, part="finger", pain=2)]
    assert parts_of(*rows) == [(BodyPart.FINGER, Side.NONE, 2)]


def test_the_notice_offers_to_enter_an_injury_and_names_no_cause() -> None:
    text, care_text = care.notice([pain(TODAY, 7, side="left")], TODAY)
    assert text.startswith("Your left elbow hurt on Tue 24 Mar 2026: 7 of 10.")
    assert "`seasonplan injury`" in text
    assert "Nothing is diagnosed" in care_text and "doctor" in care_text


def test_nothing_is_said_where_there_is_little_pain() -> None:
    assert care.notice([pain(TODAY, 3)], TODAY) == []


def test_an_injury_that_is_entered_is_not_offered_again() -> None:
    entered = Injury(
        name="Old elbow", part="elbow", side="left", happened=MONDAY,
        easy_from=TODAY, building_from=TODAY + timedelta(7), full_from=TODAY + timedelta(14),
    )  # fmt: skip
    text = care.notice([pain(TODAY, 7)], TODAY, injuries=[entered])[0]
    assert "“Old elbow” is entered already" in text and "`seasonplan injury`" not in text
    other = care.notice([pain(TODAY, 7, side="right")], TODAY, injuries=[entered])[0]
    assert "`seasonplan injury`" in other
    healed = care.notice([pain(entered.full_from, 7)], entered.full_from, injuries=[entered])[0]
    assert "`seasonplan injury`" in healed


def test_the_young_are_sent_to_a_specialist() -> None:
    # Meyers et al. 2020, Curr Sports Med Rep 19:457-462; Jones et al. 2022, 21:436-442 (abstracts).
    told = " ".join(care.notice([pain(TODAY, 7, part="finger")], TODAY, young=True))
    assert "specialist" in told and "back of a finger joint needs prompt examination" in told
