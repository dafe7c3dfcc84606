"""What is told of goals: good days to expect, how many of them with tries; rock that is gone.

That an easy day is good for no project: common practice, no source. Sums are done by hand here.
"""

from __future__ import annotations

from folder_maker import KEY, revision, session
from plan_maker import a_year, day, goal, season, span

from seasonplan.explain.before_after import goal_lines
from seasonplan.explain.notes import occasion_text
from seasonplan.explain.prospects import outlook_lines
from seasonplan.plan import Occasion, Plan, Revision, Score, Session
from seasonplan.planning.proposal import GoalChange, Proposal
from seasonplan.views import year_view
from seasonplan.vocabulary import RockRole
from seasonplan.year import Year

WEEKENDS = {"rock_days": ["saturday", "sunday"], "rock_minutes": 240}
YEAR = a_year(climber=WEEKENDS, goals=(goal(),), seasons=(season(0, 28, chance=0.5),))
SATURDAYS, SUNDAYS = (5, 12, 19), (6, 13, 20)


def sessions(tried: tuple[int, ...], easy: tuple[int, ...]) -> list[Session]:
    held = dict.fromkeys(tried, RockRole.PROJECT) | dict.fromkeys(easy, RockRole.EASY)
    recipe = {RockRole.PROJECT: "redpoint-day", RockRole.EASY: "easy-rock-day"}
    return [
        session(f"rock-{n}", recipe[role], n, "10:00", 240, rock="season", role=role)
        for n, role in held.items()
    ]


def plan(tried: tuple[int, ...], easy: tuple[int, ...]) -> Revision:
    days = len(tried) + len(easy)
    there = Occasion(
        goal="line", entry="season", span=span(5, 23), possible=4.0, rock_days=days,
        easy_days=len(easy), good_days=0.5 * days,
    )  # fmt: skip
    score = Score(occasions=(there,), costs=(), points=1)
    return revision(sessions(tried, easy), score=score)


def told(tried: tuple[int, ...], easy: tuple[int, ...]) -> str:
    made = plan(tried, easy)
    text = occasion_text(made.score.occasions[0], YEAR, made.sessions)
    assert text in outlook_lines(made, YEAR)
    return text


def test_easy_days_do_not_count_as_good_ones_for_the_project() -> None:
    text = told(SATURDAYS[:2], SUNDAYS)
    assert "5 days on rock planned, 3 of them easy, 2.5 good ones (1 with tries) to expect" in text
    assert "with tries" not in told(SATURDAYS, ())
    assert "with tries" not in told((), SUNDAYS)


def test_a_new_plan_tells_the_good_days_with_tries_before_and_after() -> None:
    was, now = plan(SATURDAYS, ()), plan(SATURDAYS[:2], SUNDAYS)
    ends = (one.score.occasions[0] for one in (was, now))
    line = next(goal_lines(proposal(was, now, GoalChange("line", "season", *ends))))
    assert "3 → 5 days on rock planned, 0 → 3 of them easy" in line
    assert "1.5 → 2.5 good ones (1.5 → 1 with tries) to expect" in line
    now = plan((), SUNDAYS)
    change = GoalChange("line", "season", was.score.occasions[0], now.score.occasions[0])
    assert "(1.5 → 0 with tries)" in next(goal_lines(proposal(was, now, change)))


def test_rock_that_was_taken_out_is_told_by_its_name() -> None:
    """An id stood there, in quotes as if it were what the climber had written."""
    was, now = plan(SATURDAYS, ()), revision(())
    change = GoalChange("line", "season", was.score.occasions[0], None)
    gone = a_year(climber=WEEKENDS, goals=(goal(),))
    line = next(goal_lines(proposal(was, now, change, year=gone)))
    assert line == "“Line” at “Season”: no day on rock any more."


def test_easy_days_that_count_for_no_goal_are_told_beside_those_that_do() -> None:
    """ "No day on rock any more" stood there of five easy days, and "4 days" of five in its weeks:
    what is hurt lets none of them count."""
    was = plan(SATURDAYS, ())
    before = was.score.occasions[0]
    easy = revision(sessions((), SUNDAYS[:2]))
    line = next(goal_lines(proposal(was, easy, GoalChange("line", "season", before, None))))
    assert line.endswith(
        ": no day on rock that counts any more. 2 easy days there count for no goal."
    )
    now = plan(SATURDAYS[:1], ())
    more = now.model_copy(update={"sessions": (*now.sessions, *sessions((), SUNDAYS[2:]))})
    change = GoalChange("line", "season", before, now.score.occasions[0])
    line = next(goal_lines(proposal(was, more, change)))
    assert "3 → 1 day on rock planned" in line and " 1 easy day there counts for no goal." in line


def proposal(was: Revision, now: Revision, change: GoalChange, *, year: Year = YEAR) -> Proposal:
    both = Plan(calendar_key=KEY, revisions=(was, now.model_copy(update={"number": 2})))
    return Proposal(
        base=1, old_year=YEAR, year=year, year_digest="", plan=both, findings=(), today=day(0),
        news=(), blocks=(), goals=(change,), changed=(), outside=(),
    )  # fmt: skip


def test_programs_read_how_many_good_days_hold_tries() -> None:
    there = year_view(YEAR, plan(SATURDAYS[:2], SUNDAYS)).goals[0].stretches[0]
    assert (there.good_days, there.good_tries) == (2.5, 1.0)
