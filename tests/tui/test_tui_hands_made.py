"""Blocks that came by a change, before anything is planned anew, and days that are over."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

from stage import (
    bench,
    block,
    demo,
    on_disk,
    opened,
    pin,
    point,
    press,
    told,
)
from textual.pilot import Pilot

DAY = timedelta(days=1)


# --- blocks that a hand made ------------------------------------------------------------------


async def test_a_block_that_came_by_a_change_is_changed_like_any_other(tmp_path: Path) -> None:
    """Before any planning anew: cut, then moved, lengthened, fixed, given another kind, joined."""
    async with opened(demo(tmp_path)) as pilot:
        point(pilot, "base-2")
        await press(pilot, "s", "down", "enter")  # its second half is performance
        new = next(one for one in bench(pilot).blocks if one.id not in planned(pilot))
        point(pilot, new.id)
        await press(pilot, "left_square_bracket")
        assert block(pilot, new.id).span.length == new.span.length - 1
        await press(pilot, "k", "enter")
        (changed,) = [one for one in bench(pilot).blocks if one.id not in planned(pilot)]
        assert changed.kind is not new.kind and changed.span.first == new.span.first


async def test_a_neighbour_is_pushed_from_where_it_is_seen(tmp_path: Path) -> None:
    """A block that gave way lies elsewhere than in the plan; a key moves what is on the screen."""
    async with opened(demo(tmp_path)) as pilot:
        point(pilot, "base-2")
        await press(pilot, "greater_than_sign")
        pushed = block(pilot, "strength-2").span
        point(pilot, "strength-2")
        await press(pilot, "left_square_bracket")
        assert pin(pilot, "strength-2").first == pushed.first
        assert pin(pilot, "strength-2").last == pushed.last - DAY


async def test_a_freed_block_stays_where_it_was_until_it_is_planned_anew(tmp_path: Path) -> None:
    async with opened(demo(tmp_path)) as pilot:
        before = bench(pilot).blocks
        point(pilot, "base-3")
        await press(pilot, "p", "p")
        assert bench(pilot).blocks == before


async def test_days_that_are_over_are_not_planned_otherwise(tmp_path: Path) -> None:
    async with opened(demo(tmp_path)) as pilot:
        before = on_disk(pilot)
        point(pilot, "base-1")  # over since January
        await press(pilot, "full_stop")
        assert "The base block from 4 Jan was over on Sun 31 Jan 2027" in told(pilot)
        assert on_disk(pilot) == before


def planned(pilot: Pilot[int]) -> set[str]:
    plan = bench(pilot).desk.plan
    assert plan is not None
    return {one.id for one in plan.current.blocks}
