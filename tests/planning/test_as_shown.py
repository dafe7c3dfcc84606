"""What a proposal says of a trip that is covered, and that it asks nothing of what is shown."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

from autumn import proposal

from seasonplan.days import Span
from seasonplan.explain.before_after import as_shown, block_lines
from seasonplan.plan import Block, Plan, Revision
from seasonplan.planning.history import Move
from seasonplan.planning.proposal import Proposal, ProposedChange
from seasonplan.vocabulary import Emphasis, Kind
from tui.plans.before_after import two_plans

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


def shorter_for_endurance(block: Block) -> Block:
    first, after = block.span.first, block.span.after - timedelta(days=7)
    new = {"span": Span(first, after), "emphasis": Emphasis.ENDURANCE, "weeks": ()}
    return block.model_copy(update=new)


def test_a_block_that_is_shorter_and_trains_something_else_is_said_to_do_both() -> None:
    answer = proposal("trip-a-week-later")
    was = next(b for b in answer.before.blocks if b.emphasis is Emphasis.FINGERS)
    now = shorter_for_endurance(was)
    both = ProposedChange((Move.SHORTENED, Move.EMPHASIS), was, now, None)
    (line,) = block_lines(replace(answer, blocks=(both,), changed=(), goals=()))
    assert line.startswith(f"{was.id} is 1 week shorter: ")
    assert line.endswith("; it trains endurance, not fingers.")


def test_each_of_two_plans_names_a_block_as_it_is_there() -> None:
    answer = proposal("trip-a-week-later")
    was = next(b for b in answer.before.blocks if b.emphasis is Emphasis.FINGERS)
    sheet = two_plans(answer, (shorter_for_endurance(was),))
    before, after = (
        next(m for row in sheet.rows if row.label == label for m in row.marks if m.key == was.id)
        for label in ("before", "after")
    )
    assert [sheet.block_of(mark) for mark in (before, after)] == [was, shorter_for_endurance(was)]
