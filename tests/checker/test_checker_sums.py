"""What a plan file says twice must agree: weeks with sessions, ids, shares done, the proof.

One planned year, with one number changed at a time.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, timedelta
from functools import cache
from typing import Any

import pytest
from places import TESTS
from planned import planned

from seasonplan.checker import check
from seasonplan.days import Span
from seasonplan.plan import Block, Loads, Proof, Score, Session, Week
from seasonplan.planner.fill import Filled
from seasonplan.rules.findings import PROOF, SUMS, Finding
from seasonplan.vocabulary import Emphasis, Kind, Quality
from seasonplan.year import Year
from seasonplan.year.toml import read_year

FILE = TESTS / "years" / "twelve-weeks.toml"


@cache
def made() -> tuple[Year, Filled]:
    year = read_year(FILE.read_text(encoding="utf-8"), file=FILE.name)
    found = planned(year)
    assert found is not None
    return year, found


def with_week(change: Callable[[Week], dict[str, Any]]) -> tuple[Week, list[Block]]:
    """The first week that holds hangs, and the blocks with that week changed."""
    _, plan = made()
    old = next(week for block in plan.blocks for week in block.weeks if week.hard_seconds)
    new = Week(**{**dict(old), **change(old)})
    blocks = [
        Block(**{**dict(b), "weeks": tuple(new if w is old else w for w in b.weeks)})
        for b in plan.blocks
    ]
    return old, blocks


def said_of_sums(blocks: list[Block], sessions: tuple[Session, ...] = ()) -> list[Finding]:
    year, plan = made()
    found = check(year, blocks, sessions=sessions or plan.sessions)
    return [one for one in found if one.code == SUMS]


# --- weeks and their sessions -------------------------------------------------------------------


def test_the_weeks_of_a_plan_are_the_sums_of_its_sessions() -> None:
    _, plan = made()
    assert said_of_sums([*plan.blocks]) == []


@pytest.mark.parametrize(
    ("number", "about"),
    [
        ("minutes", "minutes"), ("training_days", "training days"), ("rock_days", "days on rock"),
        ("free_minutes", "free minutes"), ("hard_seconds", "hard seconds"), ("rpe", "effort"),
    ],
)  # fmt: skip
def test_every_number_of_a_week_that_is_no_sum_is_reported(number: str, about: str) -> None:
    old, blocks = with_week(lambda week: {number: getattr(week, number) + 1})
    (found,) = said_of_sums(blocks)
    assert (found.about, found.span, found.strength) == (about, old.span, "hard")
    assert found.found == pytest.approx((found.limit or 0) + 1, abs=0.06)


@pytest.mark.parametrize("quality", list(Quality))
def test_a_load_of_a_week_that_is_no_sum_is_reported(quality: Quality) -> None:
    def more(week: Week) -> dict[str, Any]:
        loads = {**dict(week.loads), quality.value: week.loads.of(quality) + 0.2}
        return {"loads": Loads(**loads)}

    (found,) = said_of_sums(with_week(more)[1])
    assert found.about == f"load of {quality.value}"


def test_maximal_finger_work_denied_is_reported() -> None:
    (found,) = said_of_sums(with_week(lambda week: {"max_fingers": not week.max_fingers})[1])
    assert found.about == "maximal fingers"


def test_a_session_left_out_is_missed_in_the_sums_of_its_week() -> None:
    _, plan = made()
    first = next(one for one in plan.sessions if one.load)
    found = said_of_sums([*plan.blocks], tuple(s for s in plan.sessions if s is not first))
    assert {"minutes"} <= {one.about for one in found}
    assert all(first.day in one.span for one in found)


def test_a_plan_that_lost_all_its_sessions_is_no_clean_plan() -> None:
    year, plan = made()
    assert SUMS in {one.code for one in check(year, plan.blocks, sessions=())}


# --- ids ----------------------------------------------------------------------------------------


def test_a_session_id_twice_is_reported() -> None:
    _, plan = made()
    one, other = plan.sessions[:2]
    doubled = (one, Session(**{**dict(other), "id": one.id}), *plan.sessions[2:])
    (found,) = said_of_sums([*plan.blocks], doubled)
    assert (found.about, found.sessions, found.found) == ("a session twice", (one.id,), 2)
    assert (found.span, found.limit) == (Span.through(one.day, other.day), 1)


def test_a_block_id_twice_and_one_of_another_kind_are_reported() -> None:
    _, plan = made()
    first, *rest = plan.blocks
    last = rest[-1]
    doubled = [first, *rest[:-1], Block(**{**dict(last), "id": first.id})]
    told = {one.about for one in said_of_sums(doubled)}
    assert "the id of a block twice" in told
    wrong = [Block(**{**dict(first), "id": "trip-9"}), *rest]
    assert [one.about for one in said_of_sums(wrong)] == ["an id of another kind"]


def test_an_emphasis_that_a_kind_cannot_have_is_reported() -> None:
    _, plan = made()
    rest = next(block for block in plan.blocks if block.kind is Kind.BASE)
    others = [block for block in plan.blocks if block is not rest]
    wrong = Block(**{**dict(rest), "emphasis": Emphasis.POWER})
    assert [one.about for one in said_of_sums([wrong, *others])] == ["emphasis power"]


# --- what was done in part ---------------------------------------------------------------------


def said_of_done(first: date, share: float, *, day: date | None = None) -> list[tuple[str, Span]]:
    year, plan = made()
    found = check(year, plan.blocks, sessions=plan.sessions, done={first: share}, today=day)
    return [(one.about, one.span) for one in found if one.code == SUMS]


def trained_week() -> Span:
    """The first whole week of base or strength."""
    kinds = (Kind.BASE, Kind.STRENGTH)
    weeks = (week for block in made()[1].blocks if block.kind in kinds for week in block.weeks)
    return next(week.span for week in weeks if week.span.length == 7)


@pytest.mark.parametrize("share", [-0.01, 1.0, 40.0, float("nan"), float("inf")])
def test_a_week_was_done_in_part_or_not_at_all_and_never_otherwise(share: float) -> None:
    week = trained_week()
    told = said_of_done(week.first, share, day=week.after)
    assert told == [("done in part: no share from 0 to 1", week)]
    for sound in (0.0, 0.5, 0.99):
        assert said_of_done(week.first, sound, day=week.after) == []


def test_a_week_that_is_not_over_cannot_have_been_done_in_part() -> None:
    week = trained_week()
    told = said_of_done(week.first, 0.5, day=week.last)
    assert told == [("done in part: a week that is not over", week)]
    assert said_of_done(week.first, 0.5) == []  # the year is looked at whole


@pytest.mark.parametrize("days", [1, 6, 9000, -9000])
def test_what_was_done_in_part_is_a_week_of_the_year_by_its_first_day(days: int) -> None:
    day = trained_week().first + timedelta(days=days)
    about, span = ("done in part: no first day of a week", Span.through(day, day))
    assert said_of_done(day, 0.5, day=date.max) == [(about, span)]


def test_a_week_with_nothing_to_train_in_it_was_not_missed() -> None:
    _, plan = made()
    kinds = {b.span: b.kind for b in plan.blocks if b.kind not in (Kind.BASE, Kind.STRENGTH)}
    week = next(
        w.span for b in plan.blocks if b.span in kinds for w in b.weeks if w.span.length == 7
    )
    told = said_of_done(week.first, 0.5, day=week.after)
    assert told == [("done in part: a week without training", week)]


# --- the proof ----------------------------------------------------------------------------------


def said_of_proof(score: Score | None = None, **changes: Any) -> list[str]:
    year, plan = made()
    points = plan.score.points
    proof = {"optimal": True, "gap": 0.0, "bound": points, "confirmed": True} | changes
    found = check(
        year, plan.blocks, sessions=plan.sessions, claimed=score or plan.score,
        proof=Proof(**proof),
    )  # fmt: skip
    return [one.about for one in found if one.code in (PROOF, SUMS)]


def test_a_proof_that_can_be_so_is_let_be() -> None:
    points = made()[1].score.points
    assert said_of_proof() == []
    assert said_of_proof(confirmed=False) == []
    bound = max(points, 1.0) + 1
    open_end = {"optimal": False, "confirmed": False, "bound": bound}
    assert said_of_proof(**open_end, gap=(bound - points) / bound) == []


def test_a_bound_below_the_points_is_reported() -> None:
    assert "bound" in said_of_proof(bound=made()[1].score.points - 1)


@pytest.mark.parametrize("gap", [-0.1, 0.2, 1.1, float("nan")])
def test_a_gap_out_of_range_or_that_does_not_follow_is_reported(gap: float) -> None:
    assert "gap" in said_of_proof(optimal=False, confirmed=False, gap=gap)


def test_the_best_plan_has_no_gap_and_only_the_best_is_confirmed() -> None:
    points = made()[1].score.points
    bound = max(points, 1.0) + 1
    gap = (bound - points) / bound
    assert said_of_proof(bound=bound, gap=gap) == ["optimal"]
    assert said_of_proof(bound=bound, gap=gap, optimal=False) == ["confirmed"]


def test_what_a_proof_would_have_to_be_is_told() -> None:
    year, plan = made()
    best = plan.score.points
    bad = Proof(optimal=True, gap=0.5, bound=best, confirmed=True)
    found = check(year, plan.blocks, sessions=plan.sessions, claimed=plan.score, proof=bad)
    told = {one.about: (one.found, one.limit) for one in found if one.code == PROOF}
    assert told == {"gap": (0.5, 0.0), "optimal": (0.5, 0.0)}


def test_an_occasion_told_twice_is_reported() -> None:
    score = made()[1].score
    one = score.occasions[0]
    twice = Score(**{**dict(score), "occasions": (one, *score.occasions)})
    assert said_of_proof(twice) == [f"{one.goal} at {one.entry} twice"]
    year, plan = made()
    proof = Proof(optimal=True, gap=0.0, bound=score.points, confirmed=True)
    found = check(year, plan.blocks, sessions=plan.sessions, claimed=twice, proof=proof)
    (said,) = [each for each in found if each.about.endswith("twice")]
    assert (said.found, said.limit, said.span) == (2, 1, one.span)
