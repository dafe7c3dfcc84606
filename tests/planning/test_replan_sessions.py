"""Sessions through replanning: those that fit stay, and the climber's own changes count.

The year is `twelve-weeks`; entries about sessions are written under it as a climber would.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable
from datetime import date, time

import pytest
from autumn import KEY, STAMP, first_plan, text_of

from seasonplan.checker import check_sessions
from seasonplan.days import WEEKDAYS, Span
from seasonplan.edits import read
from seasonplan.plan import Cause, Plan, Revision, Session, Shortfall
from seasonplan.planning.replan import Planned, Provenance, plan_year
from seasonplan.rules.findings import Finding
from seasonplan.rules.statements import book_of
from seasonplan.vocabulary import Kind
from seasonplan.year import Year

NAME = "twelve-weeks"
TUESDAY, THURSDAY = date(2026, 3, 10), date(2026, 3, 12)
WEEK = "base-1/2026-03-16/"
LATER = next(  # not the hangs, which other rules hold where they are
    one.id
    for one in first_plan(NAME).current.sessions
    if one.id.startswith(WEEK) and not one.hangs and one.day > TUESDAY
)


def text(*entries: str) -> str:
    return "\n".join([text_of(NAME), *(f"[[session]]\n{entry}" for entry in entries)])


def replanned(*entries: str, today: date = TUESDAY, before: Plan | None = None) -> Plan:
    """The plan of the year with those entries; raises where the checker finds a rule broken."""
    told = text(*entries)
    answer = plan_year(
        read(told), Provenance("test", STAMP, "digest", told),
        previous=before or first_plan(NAME), calendar_key=KEY, today=today, keep=0.15,
    )  # fmt: skip
    assert isinstance(answer, Planned)
    return answer.plan


def named(sessions: Iterable[Session], name: str) -> Session:
    (found,) = [session for session in sessions if session.id == name]
    return found


def others(plan: Plan, *but: str) -> list[Session]:
    return [session for session in plan.current.sessions if session.id not in but]


def findings(year: Year, plan: Plan, today: date) -> tuple[Finding, ...]:
    now = plan.current
    return check_sessions(
        year, now.blocks, now.sessions, now.shortfalls, book=book_of(year), today=today
    )


# --- what stays -----------------------------------------------------------------------------


@pytest.mark.parametrize("today", [date(2026, 3, n) for n in (2, 3, 5, 8, 9, 12, 29)])
def test_on_no_day_does_planning_again_change_a_session(today: date) -> None:
    assert replanned(today=today).current.sessions == first_plan(NAME).current.sessions


def test_hours_that_changed_in_a_begun_week_leave_each_session_whole_and_its_id_its_own() -> None:
    """What Tuesday held is done; the days after it hold what is left, under further numbers."""
    told = text().replace("thursday = 90", "thursday = 75").replace("sunday = 180", "sunday = 60")
    year = read(told)
    for today in (date(2026, 3, 11), THURSDAY, date(2026, 3, 14)):
        answer = plan_year(
            year, Provenance("test", STAMP, "digest", told), previous=first_plan(NAME),
            calendar_key=KEY, today=today,
        )  # fmt: skip
        assert isinstance(answer, Planned)
        sessions = answer.plan.current.sessions
        assert len({session.id for session in sessions}) == len(sessions)
        assert sessions != first_plan(NAME).current.sessions
        over = [session for session in first_plan(NAME).current.sessions if session.day < today]
        assert [session for session in sessions if session.day < today] == over


# --- moved, skipped, added ------------------------------------------------------------------


def test_a_moved_session_is_where_it_was_put_and_the_others_stay() -> None:
    entry = f'session = "{LATER}"\nday = 2026-03-20\nstart = "06:15"'  # Friday: no free hours
    plan = replanned(entry)
    moved = named(plan.current.sessions, LATER)
    assert (moved.day, moved.start) == (date(2026, 3, 20), time(6, 15))
    assert others(plan, LATER) == others(first_plan(NAME), LATER)
    again = replanned(entry, today=THURSDAY, before=plan)
    assert again.current.sessions == plan.current.sessions


def test_a_finding_on_a_moved_session_is_told_and_breaks_nothing() -> None:
    entry = f'session = "{LATER}"\nday = 2026-03-20\nstart = "06:15"'
    found = findings(read(text(entry)), replanned(entry), TUESDAY)
    mine = [finding for finding in found if LATER in finding.sessions]
    assert "session-hours" in {finding.code for finding in mine}
    assert {finding.strength for finding in mine} == {"soft"}


def test_a_skipped_session_is_gone_and_the_others_stay() -> None:
    entry = f'session = "{LATER}"\nskip = true'
    plan = replanned(entry)
    assert plan.current.sessions == tuple(others(first_plan(NAME), LATER))
    again = replanned(entry, today=THURSDAY, before=plan)
    assert again.current.sessions == plan.current.sessions


def test_the_load_missing_in_a_week_with_a_skipped_session_is_told_as_wished() -> None:
    entry = f'session = "{LATER}"\nskip = true'
    found = findings(read(text(entry)), replanned(entry), TUESDAY)
    week = [f for f in found if f.code == "session-dose" and f.span.first == date(2026, 3, 16)]
    assert all(finding.strength == "soft" for finding in week)
    sums = [f for f in found if f.code == "sums"]
    assert sums == []


def test_a_fault_that_no_hand_made_is_as_hard_as_ever() -> None:
    """Two sessions at once, in a week of which the climber changed something else."""
    entry = f'session = "{LATER}"\nskip = true'
    plan = replanned(entry)
    one, other, *_ = [s for s in plan.current.sessions if s.day > date(2026, 3, 22)]
    both = [
        Session(**{**dict(s), "day": one.day, "start": one.start}) if s.id == other.id else s
        for s in plan.current.sessions
    ]
    now, year = plan.current, read(text(entry))
    found = check_sessions(
        year, now.blocks, both, now.shortfalls, book=book_of(year), today=TUESDAY
    )
    assert ("session-hours", "hard") in {
        (f.code, f.strength) for f in found if f.about == "overlap"
    }


ADDED = 'recipe = "mobility"\nday = 2026-03-18\nstart = "06:30"\nminutes = 20'


@pytest.mark.parametrize("later", [THURSDAY, date(2026, 3, 18), date(2026, 3, 25)])
def test_an_added_session_is_there_once_however_often_the_year_is_planned(later: date) -> None:
    plan = replanned(ADDED)
    own = "own/mobility-2026-03-18"
    added = named(plan.current.sessions, own)
    assert (added.day, added.start, added.minutes) == (date(2026, 3, 18), time(6, 30), 20)
    assert others(plan, own) == list(first_plan(NAME).current.sessions)
    again = replanned(ADDED, today=later, before=plan)
    assert again.current.sessions == plan.current.sessions


def test_an_added_session_goes_with_its_entry_unless_its_day_is_over() -> None:
    plan = replanned(ADDED)
    assert replanned(before=plan).current.sessions == first_plan(NAME).current.sessions
    kept = replanned(today=date(2026, 3, 19), before=plan).current.sessions
    assert kept == plan.current.sessions


@pytest.mark.parametrize("gone", ["strength-9/2026-03-16/mobility-1", "a/b/c", "a", "own/x"])
def test_a_wish_for_a_session_that_is_gone_is_let_be(gone: str) -> None:
    plan = replanned(f'session = "{gone}"\nskip = true', f'session = "{gone}x"\nstart = "06:00"')
    assert plan.current.sessions == first_plan(NAME).current.sessions


# --- freed and put off ----------------------------------------------------------------------


@pytest.mark.parametrize("change", ["skip = true", 'day = 2026-03-20\nstart = "06:15"'])
def test_a_session_that_is_freed_is_planned_again(change: str) -> None:
    plan = replanned(f'session = "{LATER}"\n{change}')
    freed = replanned(before=plan)
    session = named(freed.current.sessions, LATER)
    assert session.day != date(2026, 3, 20) and session.start != time(6, 15)
    week = [s for s in freed.current.sessions if s.id.startswith(WEEK)]
    assert len(week) >= 3
    untouched = [s for s in others(freed) if s not in week]
    assert untouched == [s for s in others(plan) if "/2026-03-16/" not in s.id]


def test_a_session_put_off_to_next_week_is_not_lost_when_its_own_week_is_over() -> None:
    name = next(
        one.id
        for one in first_plan(NAME).current.sessions
        if one.id.startswith("base-1/2026-03-09/") and not one.hangs and one.day > TUESDAY
    )
    entry = f'session = "{name}"\nday = 2026-03-18\nstart = "12:00"'
    plan = replanned(entry)
    assert named(plan.current.sessions, name).day == date(2026, 3, 18)
    for today in (date(2026, 3, 16), date(2026, 3, 18), date(2026, 3, 23)):
        again = replanned(entry, today=today, before=plan)
        assert again.current.sessions == plan.current.sessions


# --- what is over ---------------------------------------------------------------------------


def test_a_lighter_week_is_not_held_against_a_week_that_has_begun() -> None:
    """The light week of 23 March after one of which little was done."""
    now, year = first_plan(NAME).current, read(text())
    few = [s for s in now.sessions if "/2026-03-16/" not in s.id or s.day == date(2026, 3, 17)]
    short = [s for s in now.shortfalls if s.span.first != date(2026, 3, 16)]
    book = book_of(year)
    asked = check_sessions(year, now.blocks, few, short, book=book)
    assert "session-progression" in {finding.code for finding in asked}
    told = check_sessions(year, now.blocks, few, short, book=book, today=date(2026, 3, 19))
    assert "session-progression" not in {finding.code for finding in told}


@pytest.mark.parametrize(
    "changed",
    [
        "[recipes.pulling-strength]\nrpe = 6.5",
        "[recipes.pulling-strength]\nminutes = 40\nmost_minutes = 45",
        "[recipes.fingerboard-often]\nspacing_hours = 30",
        "[rules.rest-day]\nlimit = 3",
        "[rules.session-dose]\nlimit = 1",
    ],
)
def test_weeks_that_break_a_changed_rule_or_recipe_are_filled_anew(changed: str) -> None:
    """The user saw: planner and checker disagree. Days that are over stay as they were."""
    told = f"{text_of(NAME)}\n{changed}\n"
    answer = plan_year(
        read(told), Provenance("test", STAMP, "digest", told), previous=first_plan(NAME),
        calendar_key=KEY, today=THURSDAY, keep=0.5,
    )  # fmt: skip
    assert isinstance(answer, Planned)
    assert [finding for finding in answer.findings if finding.strength == "hard"] == []
    now, was = answer.plan.current.sessions, first_plan(NAME).current.sessions
    assert [s for s in now if s.day < THURSDAY] == [s for s in was if s.day < THURSDAY]
    assert len(set(now) & set(was)) > 10


# --- which is which in a week filled anew -----------------------------------------------------


def by_recipe(plan: Plan, week: str, recipe: str) -> dict[date, str]:
    """Ids of the sessions of a recipe in a week of a block, by day."""
    return {
        session.day: session.id
        for session in plan.current.sessions
        if session.id.startswith(f"{week}/{recipe}-")
    }


def test_a_session_left_out_stays_out_when_its_week_is_filled_anew() -> None:
    """It is the one of that day, whatever number a new order of the week would give it."""
    told = text_of("autumn") + '\n[sessions]\nspread = "light, often"\n'
    first = planned(told)
    weeks = Counter(s.id.rpartition("-")[0] for s in first.current.sessions)
    name, _ = next((one, n) for one, n in weeks.items() if n >= 3 and "fingerboard-often" in one)
    week, _, recipe = name.rpartition("/")
    before = by_recipe(first, week, recipe)
    days = sorted(before)
    gone = days[1]
    entry = f'[[session]]\nsession = "{before[gone]}"\nskip = true\n'
    monday = date.fromisoformat(week.split("/")[1])
    skipped = planned(f"{told}\n{entry}", first, today=monday)
    assert set(by_recipe(skipped, week, recipe)) == set(days) - {gone}
    free = WEEKDAYS[days[0].weekday()]
    fewer = re.sub(rf"^{free} = .*$", f"{free} = 0", told, flags=re.M)
    anew = planned(f"{fewer}\n{entry}", skipped, today=monday)
    now = by_recipe(anew, week, recipe)
    assert days[0] not in now and gone not in now
    assert {day: own for day, own in before.items() if day in now} == {
        day: own for day, own in now.items() if day in before
    }


def planned(told: str, before: Plan | None = None, *, today: date | None = None) -> Plan:
    answer = plan_year(
        read(told), Provenance("test", STAMP, "digest", told), previous=before, calendar_key=KEY,
        today=today, keep=0.15,
    )  # fmt: skip
    assert isinstance(answer, Planned)
    return answer.plan


# --- what is missing ------------------------------------------------------------------------


def test_sessions_that_the_climber_skips_are_their_wish_and_no_shortfall() -> None:
    """The user saw a cause that was none: the free hours were not too few."""
    week = [s.id for s in first_plan(NAME).current.sessions if s.id.startswith(WEEK)]
    skipped = [f'session = "{name}"\nskip = true\n' for name in week]
    now = replanned(*skipped).current
    assert not [s for s in now.sessions if s.id in week]
    assert now.shortfalls == first_plan(NAME).current.shortfalls
    found = findings(read(text(*skipped)), replanned(*skipped), TUESDAY)
    assert [f.strength for f in found if f.code == "session-dose"] == ["soft"]


def test_what_is_missing_in_a_week_is_not_told_otherwise_once_it_has_begun() -> None:
    """The user was offered a proposal on a Tuesday though there was no news."""
    last = first_plan(NAME).current
    tuesday = date(2026, 3, 17)
    assert any(tuesday in one.span for one in last.shortfalls)
    now = replanned(today=tuesday).current
    assert (now.sessions, now.shortfalls) == (last.sessions, last.shortfalls)


def test_what_was_missing_in_a_week_that_is_over_stays_with_the_block_of_its_days() -> None:
    """Ids of blocks may be given away or gone; days are not."""
    last = first_plan(NAME).current
    weeks = [week.span for block in last.blocks for week in block.weeks]
    base, rock = weeks[1], next(b.span for b in last.blocks if b.kind is Kind.PERFORMANCE)
    told = {"asked_minutes": 200, "missing_minutes": 50, "cause": Cause.BUSY}
    old = [
        Shortfall(block=name, span=span, **told)
        for name, span in (("base-77", base), (last.blocks[0].id, Span(rock.first, rock.after)))
    ]
    plan = Plan(
        calendar_key=KEY,
        revisions=(Revision(**{**dict(last), "shortfalls": (*last.shortfalls, *old)}),),
    )
    now = replanned(today=rock.after, before=plan).current
    block = next(b for b in now.blocks if base.first in b.span)
    mine = [one for one in now.shortfalls if one not in last.shortfalls]
    assert [(one.block, one.span, one.cause) for one in mine] == [(block.id, base, Cause.BUSY)]
