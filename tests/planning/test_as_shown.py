"""What a proposal says of a trip that is covered, and that it asks nothing of what is shown."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from autumn import proposal

from seasonplan.explain.before_after import as_shown, block_lines
from seasonplan.plan import Plan, Revision
from seasonplan.planning.history import Move
from seasonplan.planning.proposal import Proposal, ProposedChange
from seasonplan.vocabulary import Kind

TODAY = date(2026, 4, 8)


def test_a_trip_that_something_covers_is_not_said_to_go() -> None:
    """The climber entered it, and it is entered still; only the plan has no block for it."""
    answer = proposal("trip-a-week-later")
    trip = next(b for b in answer.before.blocks if b.kind is Kind.TRIP)
    gone = ProposedChange((Move.REMOVED,), trip, None, None)
    (line,) = block_lines(replace(answer, blocks=(gone,), changed=(), goals=()))
    assert line.startswith(f"{trip.id} is no block of its own any more: ")
    without = answer.year.with_fields(trips=())
    (line,) = block_lines(replace(answer, year=without, blocks=(gone,), changed=(), goals=()))
    assert line.startswith(f"{trip.id} goes: ")


def with_after(answer: Proposal, after: Revision) -> Proposal:
    plan = Plan(
        calendar_key=answer.plan.calendar_key, revisions=(*answer.plan.revisions[:-1], after)
    )
    return replace(answer, plan=plan)


def test_a_plan_that_only_takes_over_what_is_shown_asks_nothing() -> None:
    answer = proposal("trip-a-week-later")
    was = answer.before
    shown = was.model_copy(update={"sessions": was.sessions[1:]})
    assert as_shown(with_after(answer, shown), shown)
    assert not as_shown(answer, shown)  # blocks are others, too
    assert not as_shown(with_after(answer, was), was)  # nothing was changed by hand
    assert not as_shown(with_after(answer, was), shown)
    missed = shown.model_copy(update={"done": {TODAY: 0.5}})
    assert not as_shown(with_after(answer, missed), shown)
