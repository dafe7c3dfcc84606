"""Life happens to an autumn year: little changes beyond the news, and for a reason.

The five cases, their days and bounds are in `autumn.py`; the bounds are what the rules need.
"""

from __future__ import annotations

from datetime import date
from itertools import pairwise

import pytest
from autumn import NEWS, first_plan, proposal, proposal_at, reasons, year_of

from seasonplan.checker import check, check_sessions
from seasonplan.explain import because, before_after
from seasonplan.explain.causes import ShareOfChange
from seasonplan.explain.news import Years
from seasonplan.plan import Revision, Session
from seasonplan.planning.proposal import Keep
from seasonplan.rules.statements import book_of
from seasonplan.rules.tables import keep_points
from seasonplan.vocabulary import Kind

every_case = pytest.mark.parametrize("case", NEWS)


def kinds(revision: Revision) -> dict[date, Kind]:
    return {day: block.kind for block in revision.blocks for day in block.span.days()}


def what(session: Session) -> tuple[object, ...]:
    """A session without the block it belongs to, which an injury may have taken its day from."""
    return session.id, session.day, session.start, session.minutes, session.recipe


# --- little changes -------------------------------------------------------------------------


@every_case
def test_few_days_outside_the_news_change(case: str) -> None:
    assert len(proposal(case).outside) <= NEWS[case].outside, NEWS[case].why


@every_case
def test_the_changed_days_are_those_of_another_kind_from_today_on(case: str) -> None:
    """Counted again, day by day."""
    answer = proposal(case)
    before, after = kinds(answer.before), kinds(answer.after)
    assert set(answer.changed) == {
        day for day in before if day >= answer.today and before[day] is not after[day]
    }
    assert set(answer.outside) <= set(answer.changed)


@every_case
def test_what_is_over_stays_as_it_was(case: str) -> None:
    answer = proposal(case)
    before, after = kinds(answer.before), kinds(answer.after)
    past = [day for day in before if day < answer.today]
    assert len(past) > 70
    news = [span for block in answer.after.blocks if block.entry in answer.news
            for span in [block.span]]  # fmt: skip
    assert [d for d in past if before[d] is not after[d] and not any(d in s for s in news)] == []
    done = [what(s) for s in answer.before.sessions if s.day < answer.today]
    assert len(done) > 50
    assert [what(s) for s in answer.after.sessions if s.day < answer.today] == done


def _on_rock_alike(session: Session) -> Session:
    return session if session.role is None else session.model_copy(update={"week": 0})


@every_case
def test_most_sessions_still_to_come_stay_as_they_were(case: str) -> None:
    """Of weeks whose days are of the same kind before and after, outside the news.

    For how many weeks a rock is known, and so what it is about, may be news by itself.
    """
    answer = proposal(case)
    same = {b.span for b in answer.before.blocks} & {b.span for b in answer.after.blocks}
    year, old = year_of(f"autumn-{case}"), first_plan().current
    crunch = [a.span for a in year.absences]
    kept = [
        s for s in old.sessions
        if s.day >= answer.today and any(s.day in b for b in same)
        and not any(s.day in a for a in crunch)
    ]  # fmt: skip
    now = {_on_rock_alike(s) for s in answer.after.sessions}
    stayed = [s for s in kept if _on_rock_alike(s) in now]
    assert len(kept) > 40
    assert len(stayed) >= 0.7 * len(kept)


@every_case
def test_every_session_has_an_id_of_its_own_and_lies_in_its_block(case: str) -> None:
    answer = proposal(case)
    assert len({s.id for s in answer.after.sessions}) == len(answer.after.sessions)
    spans = {block.id: block.span for block in answer.after.blocks}
    assert [s for s in answer.after.sessions if s.day not in spans[s.block]] == []


# --- the checker ----------------------------------------------------------------------------


@every_case
def test_the_checker_finds_no_rule_broken(case: str) -> None:
    answer, year = proposal(case), year_of(f"autumn-{case}")
    now = answer.after
    found = [
        *check(
            year,
            now.blocks,
            sessions=now.sessions,
            claimed=now.score,
            proof=now.proof,
            today=answer.today,
        ),
        *check_sessions(
            year, now.blocks, now.sessions, now.shortfalls, book=book_of(year), today=answer.today
        ),
    ]
    assert [finding for finding in found if finding.strength == "hard"] == []
    assert answer.after.proof.optimal


# --- why ------------------------------------------------------------------------------------


CAUSED = (ShareOfChange.ITSELF, ShareOfChange.WHOLLY, ShareOfChange.TOGETHER)


@every_case
def test_every_change_has_a_reason(case: str) -> None:
    """With one piece of news: that, or the block is what was entered."""
    answer, given = proposal(case), reasons(case)
    assert [one.change for one in given] == list(answer.blocks)
    for one in given:
        assert one.cause.part in CAUSED
        assert [piece.name for piece in one.cause.pieces] == list(answer.news)
        kept = bool(one.parties) or one.points is not None
        begun = one.change.before is None or one.change.before.span.first < answer.today
        news = one.cause.part is ShareOfChange.ITSELF or not one.change.stands.kind.chosen
        assert kept or begun or news, one


def test_a_block_that_an_injury_lies_in_could_not_stay_and_names_what_forbids_it() -> None:
    answer = proposal("finger-in-june")
    years = Years(answer.old_year, answer.year)
    gone = [one for one in reasons("finger-in-june") if one.parties]
    assert gone
    for one in gone:
        assert "finger" in {party.name for party in one.parties}
        told = because.kept_text(one, years, book=book_of(answer.year))
        assert told.startswith("It could not stay because of") and "“Ring finger”" in told


def test_a_block_that_gives_way_to_a_trip_says_what_keeping_it_would_cost() -> None:
    given = {
        one.change.before.id: one
        for one in reasons("trip-a-week-later")
        if one.change.before is not None
    }
    assert given["trip-1"].cause.part is ShareOfChange.ITSELF
    assert given["performance-1"].points is not None or given["performance-1"].parties
    assert given["strength-2"].points is not None


# --- goals ----------------------------------------------------------------------------------


@every_case
def test_the_goals_of_the_year_are_still_within_reach(case: str) -> None:
    """None of the five takes half of the good days of a season."""
    changes = proposal(case).goals
    assert {change.goal for change in changes} == {"traverse", "onsights"}
    assert [change for change in changes if not change.reachable] == []


def test_eight_weeks_of_injury_in_summer_cost_form_and_no_good_day_in_autumn() -> None:
    (autumn,) = [c for c in proposal("finger-in-june").goals if c.goal == "traverse"]
    assert autumn.before is not None and autumn.after is not None
    assert autumn.after.good_days == pytest.approx(autumn.before.good_days, abs=0.1)
    assert autumn.after.form < autumn.before.form
    assert proposal("finger-in-june").points < 0


def test_a_window_brings_good_days_of_its_own() -> None:
    answer = proposal("window-ten-days-early")
    (spell,) = [change for change in answer.goals if change.entry == "spell"]
    assert spell.before is None and spell.after is not None
    assert spell.after.rock_days == 2 and spell.after.good_days == pytest.approx(1.6, abs=0.01)
    assert "good days on rock are to be expected in all, " in before_after.summary(answer)
    assert "points" not in before_after.summary(answer)


def test_a_goal_whose_season_is_lost_is_out_of_reach() -> None:
    """Half of the good days is the least that counts as within reach (ours, no source)."""
    from seasonplan.planning.proposal import GoalChange

    (autumn,) = [c for c in proposal("job-crunch").goals if c.goal == "traverse"]
    assert autumn.after is not None
    for share, reachable in ((0.0, False), (0.49, False), (0.51, True)):
        less = type(autumn.after)(
            **{**dict(autumn.after), "good_days": share * autumn.after.good_days}
        )
        assert GoalChange("traverse", "autumn", autumn.after, less).reachable is reachable
    assert not GoalChange("traverse", "autumn", autumn.after, None).reachable


# --- how dear the accepted plan is -----------------------------------------------------------


@pytest.mark.parametrize("case", ["finger-in-june", "trip-a-week-later", "window-ten-days-early"])
def test_a_dear_plan_changes_on_no_more_days_than_a_cheap_one(case: str) -> None:
    assert len(proposal(case, Keep.HIGH).changed) <= len(proposal(case, Keep.LOW).changed)


@pytest.mark.parametrize("case", ["trip-a-week-later", "window-ten-days-early"])
def test_the_dearer_the_plan_the_fewer_days_change_and_the_less_it_is_worth(case: str) -> None:
    prices = (0.0, keep_points(Keep.LOW), keep_points(Keep.HIGH), 1.0)
    found = [proposal_at(case, price) for price in prices]
    for cheap, dear in pairwise(found):
        assert len(dear.changed) <= len(cheap.changed) and dear.points <= cheap.points + 0.01
    assert len(found[-1].changed) < len(found[0].changed)


# --- in words -------------------------------------------------------------------------------


@every_case
def test_before_and_after_are_told_block_by_block_and_goal_by_goal(case: str) -> None:
    answer = proposal(case)
    lines = list(before_after.block_lines(answer))
    assert len(lines) == len(answer.blocks)
    for change, line in zip(answer.blocks, lines, strict=True):
        block = change.before or change.after
        assert block is not None and line.startswith(block.id)
    assert len(list(before_after.goal_lines(answer))) == len(answer.goals)
    for change, line in zip(answer.goals, before_after.goal_lines(answer), strict=True):
        if change.after is not None and change.after.easy_days:
            assert f"{change.after.easy_days} of them easy" in line
    weeks = list(before_after.weeks_beside(answer))
    assert bool(weeks) is bool(answer.changed)
    assert len(weeks) <= len(answer.changed)
