"""How far training weeks were done by the diary, and which of them count."""

from __future__ import annotations

from datetime import date, time, timedelta
from typing import Any

from places import TESTS

from seasonplan.days import Span
from seasonplan.diary import DiaryEntry, Followed, as_days_off, counted, followed
from seasonplan.plan import Block, Session, Week
from seasonplan.recipes import standard_recipes
from seasonplan.vocabulary import Emphasis, Kind

YEAR = (TESTS / "years" / "twelve-weeks.toml").read_text(encoding="utf-8")
RECIPES = standard_recipes()


# --- what the diary says of weeks ---------------------------------------------------------------

MONDAY = date(2026, 3, 2)
WEEKS = [Span(MONDAY + timedelta(7 * n), MONDAY + timedelta(7 * n + 7)) for n in range(4)]


def two_weeks(*, kind: Kind = Kind.BASE, deload: bool = False) -> list[Block]:
    weeks = tuple(Week(span=span, deload=deload) for span in WEEKS)
    return [
        Block(
            id="base-1", kind=kind, span=Span(WEEKS[0].first, WEEKS[-1].after), weeks=weeks,
            emphasis=Emphasis.NONE,
        )
    ]  # fmt: skip


def three_a_week() -> list[Session]:
    return [
        Session(
            id=f"{week.first}/{n}", block="base-1", recipe="aerobic", start=time(18),
            day=week.first + timedelta(days=2 * n), minutes=60, rpe=5.0,
        )
        for week in WEEKS for n in range(3)
    ]  # fmt: skip


def entry(kind: str, session: str = "", **cells: Any) -> DiaryEntry:
    return DiaryEntry(**{"date": MONDAY, "kind": kind, "session": session, **cells})


def shares(*entries: DiaryEntry, **block: Any) -> list[float]:
    found = followed(
        two_weeks(**block), three_a_week(), entries, weeks=WEEKS, recipes=RECIPES
    )  # fmt: skip
    return [round(week.share, 3) for week in found]


def test_days_without_a_word_count_as_planned() -> None:
    assert shares() == [1, 1, 1, 1]
    assert shares(entry("missed", f"{MONDAY}/0")) == [0.667, 1, 1, 1]


def test_a_session_cut_short_counts_by_its_minutes_whatever_it_felt_like() -> None:
    assert shares(entry("done", f"{MONDAY}/0", minutes=30)) == [0.833, 1, 1, 1]
    assert shares(entry("done", f"{MONDAY}/0", minutes=60, rpe=2)) == [1, 1, 1, 1]


def test_what_was_done_beside_the_plan_makes_good_what_was_missed_and_no_more() -> None:
    gone = [entry("missed", f"{MONDAY}/{n}") for n in range(2)]
    assert shares(*gone)[0] == 0.333
    assert shares(*gone, entry("done", what="Boulders", minutes=30, rpe=10))[0] == 0.667
    assert shares(*gone, entry("done", what="Boulders", minutes=300, rpe=10))[0] == 1
    assert shares(*gone, entry("done", what="Boulders"))[0] == 0.333  # no load was said


def test_what_was_said_last_of_a_session_counts() -> None:
    assert shares(entry("missed", f"{MONDAY}/0"), entry("done", f"{MONDAY}/0"))[0] == 1


def test_weeks_of_rest_are_no_training_that_could_be_missed() -> None:
    assert shares(entry("missed", f"{MONDAY}/0"), kind=Kind.REST) == []


def weeks_of(*shares_done: float, normal: bool = True, builds: bool = True) -> list[Followed]:
    return [
        Followed(span=span, share=share, normal=normal, builds=builds)
        for span, share in zip(WEEKS, shares_done, strict=True)
    ]


AFTER = WEEKS[-1].after


def test_weeks_missed_in_part_count_up_to_the_last_one() -> None:
    found = counted(weeks_of(1.0, 1.0, 0.6, 0.4), known={}, today=AFTER)
    assert found == {WEEKS[2].first: 0.6, WEEKS[3].first: 0.4}


def test_what_is_missed_in_a_season_lowers_nothing() -> None:
    gone = [entry("missed", f"{MONDAY}/{n}") for n in range(3)]
    (first, *_) = followed(
        two_weeks(kind=Kind.PERFORMANCE), three_a_week(), gone, weeks=WEEKS, recipes=RECIPES
    )
    assert first.share == 0 and not first.builds
    assert counted(weeks_of(0.0, 0.0, 0.0, 0.0, builds=False), known={}, today=AFTER) == {}


def test_weeks_missed_in_most_count_as_days_off_for_what_was_missed() -> None:
    # by hand: 7 x (1 - 0.1) + 7 x (1 - 0.4) = 10.5; a week of which half was done is none
    done = {WEEKS[0].first: 0.5, WEEKS[1].first: 0.1, WEEKS[2].first: 0.4}
    assert as_days_off(done) == {WEEKS[3].first: 10}


def test_a_week_that_is_not_over_does_not_count_yet() -> None:
    found = counted(weeks_of(1.0, 1.0, 0.6, 0.0), known={}, today=WEEKS[3].first)
    assert found == {WEEKS[2].first: 0.6}


def test_what_was_borne_since_may_be_built_on() -> None:
    assert counted(weeks_of(0.2, 0.2, 1.0, 0.9), known={}, today=AFTER) == {}
    light = [*weeks_of(0.2, 0.2, 1.0, 1.0)[:2], *weeks_of(0.2, 0.2, 1.0, 1.0, normal=False)[2:]]
    assert set(counted(light, known={}, today=AFTER)) == {WEEKS[0].first, WEEKS[1].first}


def test_a_week_that_the_plan_knows_of_stays_counted_as_long_as_the_diary_says_so() -> None:
    known = {WEEKS[0].first: 0.4}
    assert counted(weeks_of(0.4, 1.0, 1.0, 1.0), known=known, today=AFTER) == known
    assert counted(weeks_of(1.0, 1.0, 1.0, 1.0), known=known, today=AFTER) == {}
