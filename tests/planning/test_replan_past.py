"""News of days that are over, pins and conflicts: what was done stands, a plan is found."""

from __future__ import annotations

from datetime import date

import pytest
from autumn import STAMP, first_plan, text_of

from seasonplan.checker import check
from seasonplan.days import Span
from seasonplan.edits import read
from seasonplan.errors import Misuse
from seasonplan.identity import all_ids
from seasonplan.plan import Block, Plan, Revision, Session
from seasonplan.planning.proposal import Proposal, propose
from seasonplan.planning.replan import NoPlan, Provenance, Stopped, refuse_another_past
from seasonplan.vocabulary import Kind
from seasonplan.year import FixedSession

SPRING = "twelve-weeks"
FAMILY_WEEK = text_of(SPRING)[text_of(SPRING).index("[[absence]]") :]
TRIP_TEXT = """
[[trip]]
name = "{name}"
first = {first}
last = {last}
place = "Fernwall"
discipline = "sport"
"""
STRENGTH = """
[[pin]]
name = "strength-2"
id = "pin-strength-2"
kind = "strength"
first = 2027-06-21
last = 2027-08-01
"""
INJURY = text_of("autumn-finger-in-june")
INJURY = INJURY[INJURY.index("[[injury]]") :]


def asked(
    text: str, today: date, *, name: str = "autumn", before: Plan | None = None, old: str = ""
) -> Proposal | NoPlan | Stopped:
    """What is proposed for another text of a year."""
    return propose(
        read(text), Provenance("test", STAMP, "digest", text), previous=before or first_plan(name),
        old_year=read(old or text_of(name)), today=today, keep=0.15,
    )  # fmt: skip


def proposed(text: str, today: date, **more: object) -> Proposal:
    answer = asked(text, today, **more)  # type: ignore[arg-type]
    assert isinstance(answer, Proposal)
    return answer


def on(blocks: tuple[Block, ...], day: date) -> Block:
    (found,) = [block for block in blocks if day in block.span]
    return found


# --- what was given and is no more ----------------------------------------------------------


@pytest.mark.parametrize("today", [date(2026, 4, 2), date(2026, 4, 6), date(2026, 4, 10)])
def test_days_off_that_did_not_happen_count_as_rest_where_they_are_over(today: date) -> None:
    """Nobody knows what was done instead, so nothing is counted on."""
    answer = proposed(text_of(SPRING).replace(FAMILY_WEEK, ""), today, name=SPRING)
    now, first = answer.after.blocks, date(2026, 3, 30)
    assert on(answer.before.blocks, first).kind is Kind.ABSENCE
    over = Span(first, min(today, date(2026, 4, 6)))
    assert {on(now, day).kind for day in over.days()} == {Kind.REST}
    assert on(now, date(2026, 3, 29)) == on(answer.before.blocks, date(2026, 3, 29))


def test_days_off_that_began_and_were_put_off_a_week_are_off_then() -> None:
    later = text_of(SPRING).replace("2026-03-30", "2026-04-06").replace("2026-04-05", "2026-04-12")
    answer = proposed(later, date(2026, 4, 1), name=SPRING)
    away = on(answer.after.blocks, date(2026, 4, 6))
    assert away.kind is Kind.ABSENCE
    assert away.span == Span(date(2026, 4, 6), date(2026, 4, 13))
    assert on(answer.after.blocks, date(2026, 3, 31)).kind is Kind.REST


def test_a_year_that_begins_before_its_plan_did_has_a_plan() -> None:
    earlier = text_of("autumn").replace("first = 2027-01-04", "first = 2026-12-21")
    answer = proposed(earlier, date(2027, 1, 20))
    assert answer.after.blocks[0].span.first == date(2026, 12, 21)
    assert answer.after.blocks[0].kind is Kind.REST


def test_a_rule_switched_off_changes_nothing_of_what_is_over() -> None:
    """The user saw: light weeks of January to March become full ones in June."""
    today = date(2027, 6, 12)
    answer = proposed(text_of("autumn") + "\n[rules.deload]\non = false\n", today)
    was, now = (
        [week for block in one.blocks for week in block.weeks if week.span.after <= today]
        for one in (answer.before, answer.after)
    )
    assert was == now and sum(week.deload for week in now) >= 3
    over = [o for o in answer.before.score.occasions if o.span.after <= today]
    assert over and set(over) <= set(answer.after.score.occasions)
    coming = [w for b in answer.after.blocks for w in b.weeks if w.span.first >= today]
    assert not any(week.deload for week in coming)


def test_what_was_done_keeps_the_hours_and_the_recipe_of_its_day() -> None:
    """Free time and sessions are others from today on: weeks that are over say what they said."""
    today = date(2026, 4, 6)
    text = text_of(SPRING).replace("tuesday = 90", "tuesday = 60")
    assert text != text_of(SPRING)
    text += "\n[recipes.fingerboard-long]\nrpe = 3\n"
    answer = proposed(text, today, name=SPRING)
    was, now = (
        [week for block in one.blocks for week in block.weeks if week.span.after <= today]
        for one in (answer.before, answer.after)
    )
    assert was == now and len(was) >= 4


def test_a_plan_that_would_change_what_is_over_is_not_kept() -> None:
    plan = first_plan(SPRING).current
    first = plan.sessions[0]
    other = Session(**{**dict(first), "minutes": first.minutes + 5})
    changed = Revision(**{**dict(plan), "sessions": (other, *plan.sessions[1:])})
    year = read(text_of(SPRING))
    refuse_another_past(plan, plan, year, today=date(2026, 4, 6))
    with pytest.raises(Misuse, match="change what is over"):
        refuse_another_past(plan, changed, year, today=date(2026, 4, 6))
    told = FixedSession(session=first.id, minutes=other.minutes)
    mine = year.with_fields(fixed_sessions=(told,))
    refuse_another_past(plan, changed, mine, today=date(2026, 4, 6))


# --- what is told late ----------------------------------------------------------------------


def test_strength_that_began_before_a_trip_was_told_of_goes_on_after_it() -> None:
    """No rule on what follows what is asked of a block that has begun."""
    late = text_of("autumn") + TRIP_TEXT.format(name="Dash", first="2027-01-16", last="2027-01-20")
    answer = proposed(late, date(2027, 1, 23))
    assert on(answer.after.blocks, date(2027, 1, 18)).kind is Kind.TRIP
    assert on(answer.after.blocks, date(2027, 1, 22)).kind is Kind.STRENGTH
    found = check(answer.year, answer.after.blocks, sessions=answer.after.sessions)
    assert "rest-before-strength" in {f.code for f in found if f.strength == "hard"}
    told = check(
        answer.year, answer.after.blocks, sessions=answer.after.sessions, today=answer.today
    )
    assert [f for f in told if f.strength == "hard"] == []


def test_a_weekend_at_the_rock_in_a_return_from_injury_is_no_load_on_what_is_hurt() -> None:
    """The user saw: a mistake of ours, planner and checker disagree: injury-caps."""
    weekend = TRIP_TEXT.format(name="Weekend", first="2027-07-24", last="2027-07-25")
    answer = proposed(text_of("autumn") + INJURY + weekend, date(2027, 6, 10))
    back = on(answer.after.blocks, date(2027, 7, 24))
    assert back.kind is Kind.RETURN
    weekend = Span.through(date(2027, 7, 24), date(2027, 7, 25))
    there = [one for one in answer.after.sessions if one.day in weekend]
    assert not [one for one in there if one.role is not None or one.hangs]


# --- pins -----------------------------------------------------------------------------------


def test_a_pin_survives_replanning() -> None:
    pinned = text_of("autumn-trip-a-week-later") + STRENGTH
    answer = proposed(pinned, date(2027, 3, 20))
    block = on(answer.after.blocks, date(2027, 7, 1))
    assert (block.id, block.pinned, block.entry) == ("strength-2", True, "pin-strength-2")
    assert block.span == Span(date(2027, 6, 21), date(2027, 8, 2))
    assert answer.changed  # the trip moved, so there was something to give way to


def test_a_pin_on_a_block_that_has_begun_survives_as_it_was_pinned() -> None:
    pinned = text_of("autumn-job-crunch") + STRENGTH
    first = proposed(pinned, date(2027, 5, 20))
    later = pinned + TRIP_TEXT.format(name="Dash", first="2027-08-14", last="2027-08-19")
    answer = proposed(later, date(2027, 7, 7), before=first.plan, old=pinned)
    block = on(answer.after.blocks, date(2027, 7, 1))
    assert (block.id, block.pinned) == ("strength-2", True)
    assert block.span == Span(date(2027, 6, 21), date(2027, 8, 2))


def test_an_injury_on_pinned_days_is_told_as_what_cannot_hold() -> None:
    """The user saw, after days off that were over: no plan exists even with every rule off."""
    pin = 'name = "performance-1"\nid = "mine"\nkind = "performance"'
    hurt = INJURY.replace("2027-06-08", "2026-04-20").replace("2027-07-06", "2026-04-27")
    hurt = hurt.replace("2027-07-20", "2026-05-04").replace("2027-08-03", "2026-05-11")
    answer = asked(
        f"{text_of(SPRING)}\n[[pin]]\n{pin}\nfirst = 2026-04-06\nlast = 2026-05-17\n{hurt}",
        date(2026, 4, 21), name=SPRING,
    )  # fmt: skip
    assert isinstance(answer, NoPlan)
    assert {party.name for party in answer.conflict.parties} == {"finger", "mine"}


# --- ids ------------------------------------------------------------------------------------


def test_an_id_that_any_plan_used_never_names_another_block() -> None:
    """Through two changes: an injury takes blocks away, then heals a month sooner."""
    first = proposed(text_of("autumn") + INJURY, date(2027, 6, 10))
    gone = {b.id for b in first.before.blocks} - {b.id for b in first.after.blocks}
    assert len(gone) >= 2
    sooner = INJURY.replace("2027-08-03", "2027-07-25")
    second = proposed(
        text_of("autumn") + sooner, date(2027, 7, 22), before=first.plan,
        old=text_of("autumn") + INJURY,
    )  # fmt: skip
    new = {b.id for b in second.after.blocks} - {b.id for b in first.after.blocks}
    assert new.isdisjoint(all_ids(first.plan))
    assert {b.id for b in second.after.blocks}.isdisjoint(gone)
