"""The plan as a hand left it: pins where they were put, neighbours giving way, nothing solved.

The plan is made by hand for twelve weeks; lengths below are days from Monday 4 January 2027.
"""

from __future__ import annotations

import pytest
from autumn import NEWS, first_plan, year_of
from plan_maker import a_year as made_year
from plan_maker import absence, block, day, given, goal, season, span, trip

from seasonplan.checker import check
from seasonplan.identity import pin_id
from seasonplan.plan import Block
from seasonplan.planning.arrange import arranged_plan
from seasonplan.rules.statements import book_of
from seasonplan.vocabulary import Kind
from seasonplan.year import Pin, Year

BEFORE = (
    block(Kind.BASE, 0, 28, id="base-1"),
    block(Kind.STRENGTH, 28, 28, id="strength-1"),
    block(Kind.PERFORMANCE, 56, 21, id="performance-1"),
    block(Kind.REST, 77, 7, id="rest-1"),
)


def a_year(**fields: object) -> Year:
    return made_year(12, seasons=[season(56, 21)], goals=[goal(priority=1)], **fields)


def pin(name: str, kind: Kind, first: int, days: int) -> Pin:
    return Pin(name=name, id=pin_id(name), kind=kind, first=day(first), last=day(first + days - 1))


def after(year: Year, before: tuple[Block, ...] = BEFORE) -> tuple[Block, ...]:
    return arranged_plan(year, before, book=book_of(year)).blocks


def lie(blocks: tuple[Block, ...]) -> list[tuple[str, int, int]]:
    """Name, first day number and days of each."""
    return [(b.id, (b.span.first - day(0)).days, b.span.length) for b in blocks]


def tiles(year: Year, blocks: tuple[Block, ...]) -> None:
    """Each day of the year is in one block, and the weeks of each block make it up."""
    assert [d for b in blocks for d in b.span.days()] == list(year.span.days())
    assert all([d for w in b.weeks for d in w.span.days()] == list(b.span.days()) for b in blocks)


# --- nothing changed ------------------------------------------------------------------------


@pytest.mark.parametrize("name", ["autumn", "twelve-weeks"])
def test_an_unchanged_year_gives_back_the_very_same_blocks(name: str) -> None:
    """Weeks and loads as well, as the planner made them."""
    blocks = first_plan(name).current.blocks
    year = year_of(name)
    assert arranged_plan(year, blocks, book=book_of(year)).blocks == blocks


@pytest.mark.parametrize("case", NEWS)
def test_what_is_arranged_for_any_news_is_whole_and_judged_without_an_accident(case: str) -> None:
    """Rules may be broken: that is for the checker to say. The days and what is given are right."""
    year = year_of(f"autumn-{case}")
    blocks = arranged_plan(year, first_plan().current.blocks, book=book_of(year)).blocks
    tiles(year, blocks)
    wrong = {f.code for f in check(year, blocks) if f.strength == "hard"}
    assert not wrong & {"cover", "given", "pin", "minutes"}


# --- pins -----------------------------------------------------------------------------------


def test_a_block_moved_later_leaves_its_days_to_the_one_before_it() -> None:
    year = a_year(pins=[pin("strength-1", Kind.STRENGTH, 35, 28)])
    assert lie(after(year)) == [
        ("base-1", 0, 35), ("strength-1", 35, 28), ("performance-1", 63, 14), ("rest-1", 77, 7),
    ]  # fmt: skip
    moved = after(year)[1]
    assert moved.pinned and moved.entry == "pin-strength-1"
    tiles(year, after(year))


def test_a_block_moved_earlier_takes_days_and_leaves_others() -> None:
    year = a_year(pins=[pin("strength-1", Kind.STRENGTH, 21, 28)])
    now = after(year)
    assert lie(now)[:2] == [("base-1", 0, 21), ("strength-1", 21, 28)]
    # days that opened cannot go to what is fixed; the block after them takes them
    assert lie(now)[2:] == [("performance-1", 49, 28), ("rest-1", 77, 7)]
    tiles(year, now)


def test_a_pinned_block_is_as_it_was_where_it_is_pinned_as_it_lies() -> None:
    year = a_year(pins=[pin("strength-1", Kind.STRENGTH, 28, 28)])
    assert lie(after(year)) == lie(BEFORE)
    assert [b.id for b in after(year) if b.pinned] == ["strength-1"]


def test_a_pin_taken_away_leaves_the_block_standing_unpinned() -> None:
    pinned = after(a_year(pins=[pin("strength-1", Kind.STRENGTH, 35, 28)]))
    now = after(a_year(), pinned)
    assert not any(b.pinned for b in now)
    tiles(a_year(), now)


def test_a_block_covered_by_a_pin_of_another_kind_is_gone() -> None:
    year = a_year(pins=[pin("strength-1", Kind.BASE, 28, 28)])
    assert Kind.STRENGTH not in {b.kind for b in after(year)}
    tiles(year, after(year))


def test_two_pins_side_by_side_stay_two_blocks() -> None:
    year = a_year(pins=[pin("base-1", Kind.BASE, 0, 28), pin("strength-1", Kind.BASE, 28, 28)])
    assert [length for _, _, length in lie(after(year))][:2] == [28, 28]


# --- what is given --------------------------------------------------------------------------


def test_an_absence_in_the_middle_cuts_a_block_in_two_and_the_larger_keeps_its_name() -> None:
    year = a_year(absences=[absence(7, 5)])
    assert lie(after(year)) == [
        ("base-2", 0, 7), ("absence-1", 7, 5), ("base-1", 12, 16), ("strength-1", 28, 28),
        ("performance-1", 56, 21), ("rest-1", 77, 7),
    ]  # fmt: skip
    assert after(year)[1].entry == "away"


def test_days_of_a_trip_that_is_gone_go_to_the_block_before() -> None:
    before = (
        block(Kind.BASE, 0, 21, id="base-1"),
        given(Kind.TRIP, 21, 7, entry="trip").model_copy(update={"id": "trip-1"}),
        *BEFORE[1:],
    )
    year = a_year()
    assert lie(after(year, before)) == lie(BEFORE)
    tiles(year, after(year, before))


@pytest.mark.parametrize(("days", "kind"), [(14, Kind.REST), (21, Kind.BASE)])
def test_days_with_no_neighbour_to_go_to_are_rest_or_base(days: int, kind: Kind) -> None:
    """Between two trips: up to two weeks are rest."""
    before = (
        given(Kind.TRIP, 0, 7, entry="first"),
        given(Kind.ABSENCE, 7, days, entry="gone"),
        given(Kind.TRIP, 7 + days, 84 - 7 - days, entry="last"),
    )
    trips = [trip(0, 7, id="first"), trip(7 + days, 84 - 7 - days, id="last")]
    year = made_year(12, trips=trips)
    middle = after(year, before)[1]
    assert (middle.kind, middle.span, middle.pinned) == (kind, span(7, days), False)
    assert middle.weeks


# --- names ----------------------------------------------------------------------------------


def test_a_name_that_was_ever_used_is_not_given_again() -> None:
    year = a_year(absences=[absence(7, 5)])
    used = ["base-2", "base-7", "absence-3"]
    now = arranged_plan(year, BEFORE, book=book_of(year), used=used).blocks
    assert [b.id for b in now][:3] == ["base-8", "absence-4", "base-1"]


def test_a_moved_block_is_known_by_its_pin_however_far_it_moves() -> None:
    blocks = first_plan().current.blocks
    old = next(b for b in blocks if b.id == "strength-2")
    put = Pin(
        name="strength-2", id=pin_id("strength-2"), kind=old.kind,
        first=old.span.shifted(140).first, last=old.span.shifted(140).last,
    )  # fmt: skip
    year = year_of("autumn").with_fields(pins=(put,))
    now = arranged_plan(year, blocks, book=book_of(year)).blocks
    assert next(b for b in now if b.pinned).id == "strength-2"
    assert len({b.id for b in now}) == len(now)


def test_a_pinned_block_that_is_freed_stays_on_its_days() -> None:
    pinned = after(a_year(pins=[pin("strength-1", Kind.STRENGTH, 35, 28)]))
    assert lie(after(a_year(), pinned)) == lie(pinned)


def test_a_block_made_by_hand_keeps_its_name_once_it_is_fixed() -> None:
    """An absence cut base-1 in two and the new part, base-2, was then fixed."""
    year = a_year(absences=[absence(7, 5)], pins=[pin("base-2", Kind.BASE, 0, 5)])
    assert lie(after(year))[0] == ("base-2", 0, 5)
    assert "base-1" in [name for name, _, _ in lie(after(year))]
