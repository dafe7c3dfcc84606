"""Where there is room for a block: free days around it, the nearest place, and how that is told."""

from __future__ import annotations

import pytest
from draft_maker import YEAR, draft
from plan_maker import a_year, absence, block, day, span
from test_edits import no

from seasonplan.edits import MoveBlock
from seasonplan.edits.standing import free_run, nearest_move, obstacle
from seasonplan.vocabulary import Kind

EMPTY = YEAR[: YEAR.index("# --- what I want ---")]  # no entries


@pytest.mark.parametrize(
    ("away", "wished", "found"),
    [
        ((35, 13), 3, 20),  # later by 17 days more, as was meant, and not one day earlier
        ((35, 24), 3, 31),  # 28 days more are as good as meant
        ((35, 25), 3, -1),  # 29 are not
        ((36, 10), 5, 1),  # one day later is later
        ((35, 10), 1, 17),
        ((20, 8), -1, -15),
    ],
)
def test_the_nearest_free_place_is_the_way_that_was_meant(
    away: tuple[int, int], wished: int, found: int
) -> None:
    """A week on days 28 to 34, of which something takes the days it is moved to."""
    year = a_year(12, absences=[absence(*away)])
    assert nearest_move(year, span(28, 7), wished, but=()) == found


def test_a_place_reaches_from_what_ends_before_it_to_what_begins_after_it() -> None:
    year = a_year(6, absences=[absence(14, 7), absence(30, 5, name="Later")])
    assert free_run(year, span(21, 7), but=()) == span(21, 9)
    assert free_run(year, span(23, 7), but=()) == span(21, 9)
    assert free_run(year, span(7, 7), but=()) == span(0, 14)
    assert free_run(year, span(20, 2), but=()) is None
    assert free_run(year, span(20, 2), but=("away",)) == span(0, 30)


def test_a_block_may_begin_and_end_with_the_year() -> None:
    year = a_year(6)
    for first, days, free in ((0, 7, True), (35, 7, True), (-1, 7, False), (36, 7, False)):
        assert (obstacle(year, span(first, days), but=()) is None) is free


@pytest.mark.parametrize(
    ("away", "days", "would_work"),
    [
        ((35, 24), 3, "Moving it 4 weeks 3 days later would work."),  # 28 days more than was meant
        ((35, 25), 3, "The nearest free place is 1 day earlier, from Sun 31 Jan 2027."),
        ((20, 8), -1, "Moving it 2 weeks 1 day earlier would work."),
    ],
)
def test_a_place_within_four_weeks_of_the_wished_one_is_as_good_as_meant(
    away: tuple[int, int], days: int, would_work: str
) -> None:
    first, length = away
    text = EMPTY + (
        f'[[absence]]\nname = "Away"\nfirst = {day(first)}\nlast = {day(first + length - 1)}\n'
    )
    before = draft(text, blocks=(block(Kind.BASE, 28, 7, id="base-1"),))
    assert no(MoveBlock(block="base-1", days=days), before).would_work == would_work


def test_a_trip_that_one_would_move_as_a_block_is_told_to_be_an_entry() -> None:
    refusal = no(MoveBlock(block="isle", days=7))
    assert refusal.why == "isle is your entry “Isle”, no block of the plan."
    assert "`edit change isle …`" in refusal.would_work
