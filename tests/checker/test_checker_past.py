"""What is over stays as it was: each thing of the past changed in turn, on one planned year."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date, time, timedelta
from typing import Any

import pytest
from test_checker_sums import made, with_week

from seasonplan.checker import check, check_past
from seasonplan.plan import Block, Loads, Score, Session, Week
from seasonplan.rules.findings import PAST, SUMS, Finding
from seasonplan.vocabulary import Kind


def today() -> date:
    """The first day of the fifth week: a month is over."""
    return made()[0].span.first + timedelta(days=28)


def said_of_past(
    blocks: list[Block], sessions: list[Session], *, wished: str = "", score: Score | None = None,
    day: date | None = None,
) -> list[Finding]:  # fmt: skip
    _, plan = made()
    new = replace(plan, blocks=tuple(blocks), sessions=tuple(sessions), score=score or plan.score)
    return [*check_past(plan, new, today=day or today(), wished={wished})]


def changed(at: int, **changes: Any) -> list[Session]:
    """The sessions of the plan with one of them changed."""
    _, plan = made()
    new = Session(**{**dict(plan.sessions[at]), **changes})
    return [new if n == at else one for n, one in enumerate(plan.sessions)]


def test_what_is_over_and_was_left_alone_is_let_be() -> None:
    _, plan = made()
    later = [s for s in plan.sessions if s.day < today()]
    assert said_of_past([*plan.blocks], later) == []
    assert len(later) >= 10


@pytest.mark.parametrize(
    "changes",
    [
        {"minutes": 7}, {"start": time(5, 5)}, {"recipe": "mobility"}, {"rpe": 1.5}, {"hangs": 99},
        {"id": "other"},
    ],
)  # fmt: skip
def test_a_session_of_a_day_that_is_over_is_as_it_was(changes: dict[str, Any]) -> None:
    _, plan = made()
    found, *new = said_of_past([*plan.blocks], changed(0, **changes))
    assert len(new) == ("id" in changes)  # one is gone, another is there
    assert found.span.length == 1
    told = (found.code, found.about, found.sessions, found.span.first)
    assert told == (PAST, "a session", (plan.sessions[0].id,), plan.sessions[0].day)
    assert said_of_past([*plan.blocks], changed(len(plan.sessions) - 1, **changes)) == []


def test_a_session_put_into_a_day_that_is_over_is_reported() -> None:
    _, plan = made()
    more = Session(**{**dict(plan.sessions[0]), "id": "more"})
    (found,) = said_of_past([*plan.blocks], [*plan.sessions, more])
    assert (found.about, found.sessions) == ("a session", ("more",))
    now = Session(**{**dict(more), "day": today()})
    assert said_of_past([*plan.blocks], [*plan.sessions, now]) == []


def test_a_session_drawn_from_the_days_to_come_into_the_past_is_reported() -> None:
    _, plan = made()
    last = plan.sessions[-1]
    drawn = changed(len(plan.sessions) - 1, day=today() - timedelta(days=1))
    assert [f.sessions for f in said_of_past([*plan.blocks], drawn)] == [(last.id,)]


def test_the_day_that_is_today_is_not_over() -> None:
    _, plan = made()
    one = plan.sessions[0]
    for day, count in ((one.day, 0), (one.day + timedelta(days=1), 1)):
        assert len(said_of_past([*plan.blocks], changed(0, minutes=7), day=day)) == count


def test_a_week_that_holds_what_the_climber_changed_may_be_another() -> None:
    _, plan = made()
    old, blocks = with_week(lambda week: {"deload": not week.deload})
    inside = next(one.id for one in plan.sessions if one.day in old.span)
    outside = next(one.id for one in plan.sessions if one.day not in old.span)
    assert said_of_past(blocks, [*plan.sessions], wished=inside) == []
    told = said_of_past(blocks, [*plan.sessions], wished=outside)
    assert [one.about for one in told] == ["a week"]


def test_what_the_climber_changed_of_the_past_is_theirs() -> None:
    _, plan = made()
    more = Session(**{**dict(plan.sessions[0]), "id": "own/more"})
    assert said_of_past([*plan.blocks], [*plan.sessions, more], wished="own/more") == []
    other = changed(0, minutes=7)
    assert said_of_past([*plan.blocks], other, wished=plan.sessions[0].id) == []


def test_what_a_goal_had_of_a_season_that_is_over_stays() -> None:
    _, plan = made()
    one = plan.score.occasions[0]
    other = type(one)(**{**dict(one), "good_days": one.good_days + 1})
    score = Score(**{**dict(plan.score), "occasions": (other, *plan.score.occasions[1:])})
    told = said_of_past([*plan.blocks], [*plan.sessions], score=score, day=one.span.after)
    assert [(f.about, f.span) for f in told] == [(f"{one.goal} at {one.entry}", one.span)]
    assert said_of_past([*plan.blocks], [*plan.sessions], score=score, day=one.span.last) == []


def test_a_week_that_is_over_is_as_it_was() -> None:
    _, plan = made()
    old, blocks = with_week(lambda week: {"minutes": week.minutes + 30})
    told = [(one.about, one.span) for one in said_of_past(blocks, [*plan.sessions])]
    assert told == [("a week", old.span)]
    at_its_end = said_of_past(blocks, [*plan.sessions], day=old.span.after)
    assert [one.about for one in at_its_end] == ["a week"]
    assert said_of_past(blocks, [*plan.sessions], day=old.span.last) == []


@pytest.mark.parametrize(
    "change", [lambda w: {"deload": not w.deload}, lambda w: {"aim": w.aim + 5}]
)
def test_a_week_that_is_over_stays_light_or_full(change: Callable[[Week], dict[str, Any]]) -> None:
    _, plan = made()
    _, blocks = with_week(change)
    assert [one.about for one in said_of_past(blocks, [*plan.sessions])] == ["a week"]


def test_a_week_that_did_not_add_up_is_mended_and_no_change_of_the_past() -> None:
    """By an older program, or by hand: planning anew makes it whole."""
    _, plan = made()
    for change in ({"minutes": 999}, {"loads": Loads(power=9999)}):
        _, blocks = with_week(lambda week, change=change: change)
        old = replace(plan, blocks=tuple(blocks))
        assert [*check_past(old, plan, today=today())] == []


@pytest.mark.parametrize(
    ("was", "kept"),
    [
        ({"aim": 0.0, "free_minutes": 0.0}, False), ({"aim": 0.0}, True),
        ({"deload": True, "free_minutes": 0.0}, True),
    ],
)  # fmt: skip
def test_only_a_week_with_neither_aim_nor_free_time_is_of_an_older_program(
    was: dict[str, Any], kept: bool
) -> None:
    _, plan = made()
    _, blocks = with_week(lambda week: was)
    found = check_past(replace(plan, blocks=tuple(blocks)), plan, today=today())
    assert [one.about for one in found] == (["a week"] if kept else [])


def test_a_week_that_only_one_plan_has_is_no_changed_week() -> None:
    """A block of the past that is gone changes the kind of its days."""
    _, plan = made()
    first = plan.blocks[0]
    fewer = replace(plan, blocks=plan.blocks[1:])
    for old, new in ((plan, fewer), (fewer, plan)):
        found = [*check_past(old, new, today=first.span.after)]
        assert "a week" not in {one.about for one in found}


def test_of_weeks_that_are_over_only_what_sessions_say_is_asked() -> None:
    """The year may have other free hours and recipes now than it had then."""
    year, plan = made()
    added = (
        ("free_minutes", 9, False), ("hard_seconds", 9, False), ("minutes", 9, True),
        ("loads", 0.3, False), ("loads", 0.5, True),
    )  # fmt: skip
    for change, more, asked in added:
        old, blocks = with_week(lambda week, c=change, m=more: {c: _more(getattr(week, c), m)})
        for day, told in ((old.span.last, True), (old.span.after, asked)):
            found = check(year, blocks, sessions=plan.sessions, today=day)
            assert (SUMS in {one.code for one in found}) is told, (change, more, day)


def _more(value: Any, more: float) -> Any:
    """A number, or the loads of a week, with something added."""
    if isinstance(value, Loads):
        return Loads(**{**dict(value), "power": value.power + more})
    return value + more


def test_a_day_that_is_over_keeps_its_kind() -> None:
    _, plan = made()
    first, *rest = plan.blocks
    kind = Kind.REST if first.kind is not Kind.REST else Kind.BASE
    wrong = Block(**{**dict(first), "kind": kind})
    found = said_of_past([wrong, *rest], [*plan.sessions])
    days = min(28, first.span.length)
    assert [one.about for one in found] == ["another kind of block"] * days
