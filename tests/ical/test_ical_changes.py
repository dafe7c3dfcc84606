"""When an event counts as changed: told by the revisions, never by a clock."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta, timezone
from uuid import UUID

import pytest
from pydantic import ValidationError

from seasonplan.days import Span
from seasonplan.errors import Misuse
from seasonplan.ical.changes import Change, block_change, calendar_change, entry_change
from seasonplan.plan import Block, Loads, Occasion, Plan, Proof, Revision, Score, Week
from seasonplan.vocabulary import Kind

MARCH = Span(date(2026, 3, 2), date(2026, 3, 30))
APRIL = Span(date(2026, 3, 30), date(2026, 4, 27))


def _stamp(day: int) -> datetime:
    return datetime(2026, 1, day, 9, 30, tzinfo=UTC)


def _block(block_id: str, span: Span, kind: Kind = Kind.STRENGTH, minutes: float = 300) -> Block:
    week = Week(span=span, minutes=minutes, free_minutes=360, training_days=4, rpe=7, loads=Loads())
    return Block(id=block_id, kind=kind, span=span, weeks=(week,))


def _plan(*contents: tuple[Block, ...], digests: str = "", goal_days: str = "") -> Plan:
    """A revision a day from 1 January; a letter of `digests` for each year, "a" for all."""
    revisions = tuple(
        Revision(
            number=number,
            stamp=_stamp(number),
            cause="test",
            year_digest=(digests or "a" * len(contents))[number - 1],
            blocks=blocks,
            score=Score(occasions=_occasions(goal_days[number - 1 : number]), costs=(), points=0),
            proof=Proof(optimal=True, gap=0, bound=0),
        )
        for number, blocks in enumerate(contents, 1)
    )
    return Plan(calendar_key=UUID(int=1), revisions=revisions)


def _occasions(good_days: str) -> tuple[Occasion, ...]:
    if not good_days:
        return ()
    days = float(good_days)
    return (Occasion(goal="arete", entry="spring", span=APRIL, possible=9, good_days=days),)


A = _block("a", MARCH)
B = _block("b", APRIL)


# RFC 5545 3.8.7.4: SEQUENCE starts at 0; 3.8.7.2: DTSTAMP without METHOD is the last revision
def test_a_new_block_begins_at_nought_with_the_stamp_of_its_revision() -> None:
    plan = _plan((A,), (A, B))
    assert block_change(plan, "a") == Change(_stamp(1), 0)
    assert block_change(plan, "b") == Change(_stamp(2), 0)


def test_an_unmoved_block_keeps_its_stamp_through_revisions() -> None:
    plan = _plan((A, B), (A, _block("b", APRIL.shifted(7))), (A, B))
    assert block_change(plan, "a") == Change(_stamp(1), 0)
    assert block_change(plan, "b") == Change(_stamp(3), 2)


def test_a_block_that_went_and_came_back_has_changed() -> None:
    plan = _plan((A, B), (A,), (A, B), (A, B))
    assert block_change(plan, "b") == Change(_stamp(3), 1)


@pytest.mark.parametrize(
    "other",
    [
        _block("a", MARCH, Kind.BASE),
        _block("a", MARCH, minutes=240),
        Block(id="a", kind=Kind.STRENGTH, span=MARCH, weeks=A.weeks, pinned=True),
    ],
)
def test_a_block_changes_with_what_is_told_of_it(other: Block) -> None:
    assert block_change(_plan((A,), (other,)), "a") == Change(_stamp(2), 1)


def test_noise_in_the_last_digits_is_no_change() -> None:
    assert block_change(_plan((A,), (_block("a", MARCH, minutes=300.0001),)), "a").sequence == 0


def test_a_change_of_the_year_moves_entries_and_performance_blocks_alone() -> None:
    send = _block("send", APRIL, Kind.PERFORMANCE)
    plan = _plan((A, send), (A, send), (A, send), digests="aab")
    assert block_change(plan, "a") == Change(_stamp(1), 0)
    assert block_change(plan, "send") == Change(_stamp(3), 1)
    assert entry_change(plan, "spring") == Change(_stamp(3), 1)


def test_a_performance_block_changes_with_the_goals_it_serves() -> None:
    send = _block("send", APRIL, Kind.PERFORMANCE)
    plan = _plan((send,), (send,), (send,), goal_days="033")
    assert block_change(plan, "send") == Change(_stamp(2), 1)


def test_a_trip_changes_with_the_block_it_gives() -> None:
    def given(span: Span) -> tuple[Block, ...]:
        return (Block(id="t", kind=Kind.TRIP, span=span, weeks=(), entry="isle"),)

    plan = _plan(given(APRIL), given(APRIL.shifted(1)))
    assert entry_change(plan, "isle").sequence == 1
    assert entry_change(plan, "other").sequence == 0


# RFC 7986 5.4: LAST-MODIFIED of the calendar is its newest change
def test_the_calendar_changes_also_when_a_block_goes() -> None:
    assert calendar_change(_plan((A, B), (A,), (A,))).stamp == _stamp(2)
    assert calendar_change(_plan((A, B), (A, B))).stamp == _stamp(1)


# RFC 5545 3.8.7.2: DTSTAMP is in UTC
def test_stamps_are_told_in_utc_and_whole_seconds() -> None:
    odd = datetime(2026, 1, 1, 1, 0, 0, 999, tzinfo=timezone(timedelta(hours=2)))
    revision = _plan((A,)).current
    moved = Revision(**{**dict(revision), "stamp": odd})
    plan = Plan(calendar_key=UUID(int=1), revisions=(moved,))
    assert calendar_change(plan).stamp == datetime(2025, 12, 31, 23, 0, tzinfo=UTC)


def test_a_stamp_without_a_zone_is_refused_and_not_guessed() -> None:
    bare = datetime(2026, 1, 1)  # noqa: DTZ001  (the mistake under test)
    current = _plan((A,)).current
    with pytest.raises(ValidationError, match="timezone"):
        Revision(**{**dict(current), "stamp": bare})
    moved = current.model_copy(update={"stamp": bare})  # which looks at nothing
    with pytest.raises(Misuse, match="without a zone"):
        calendar_change(_plan((A,)).model_copy(update={"revisions": (moved,)}))
