"""A block held in the hand: what each date would cost, and the rest of the year then."""

from __future__ import annotations

import re
from datetime import date
from pathlib import Path

from stage import (
    bench,
    demo,
    main,
    on_disk,
    opened,
    pin,
    point,
    pointed,
    press,
    screen_text,
    sheet,
    told,
    until,
    words,
)
from textual.pilot import Pilot
from textual.widgets import Static

from seasonplan.days import day_month_text
from seasonplan.explain.held_told import Ease, legend
from tui.plans.before_after import BeforeAfter
from tui.plans.others import OtherYears


def hints(pilot: Pilot[int]) -> str:
    """The line at the bottom."""
    return screen_text(pilot).splitlines()[-1]


async def taken_up(pilot: Pilot[int], key: str) -> None:
    """Hold a block by keys until its dates are priced."""
    point(pilot, key)
    await press(pilot, "h")
    await until(pilot, lambda: sheet(pilot).holding and sheet(pilot).holding.known)


async def test_a_held_block_tells_of_every_date_and_esc_leaves_it(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), size=(80, 24)) as pilot:
        before, shown = on_disk(pilot), screen_text(pilot)
        await taken_up(pilot, "strength-2")
        text = screen_text(pilot)
        assert "begins on" in text and "begins on" not in shown
        row = next(line for line in text.splitlines() if "begins on" in line)
        assert {one.sign for one in Ease if one.sign in row} > {Ease.NONE.sign}
        assert str(main(pilot).query_one("#legend", Static).content) == legend()
        await press(pilot, "right")
        ghost = sheet(pilot).holding
        assert ghost is not None and ghost.ghost is not None and ghost.place is not None
        assert "↑" in screen_text(pilot) and "points" not in screen_text(pilot)
        assert "costs nothing" in text or "good days on rock" in text
        await press(pilot, "escape")
        assert "begins on" not in screen_text(pilot) and on_disk(pilot) == before


async def test_what_is_carried_runs_into_no_word_and_leaves_only_its_own_keys(
    tmp_path: Path,
) -> None:
    async with opened(demo(tmp_path), size=(80, 24)) as pilot:
        point(pilot, "strength-2")
        await pilot.pause()
        assert "h Carry" in hints(pilot)
        await taken_up(pilot, "strength-2")
        assert "Enter Let go here   Esc Put back   , Earlier" in hints(pilot)
        assert not any(word in hints(pilot) for word in ("Plan anew", "Why", "Calendar", "Carry"))
        await press(pilot, "full_stop")
        ghost = next(line for line in screen_text(pilot).splitlines() if " to " in line)
        assert not re.search(r"[A-Za-z]\d+ \w{3} to|to \d+ [A-Z][a-z]{2}\w", ghost), ghost


async def test_what_cannot_be_carried_is_said_from_where_one_is(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), size=(80, 24)) as pilot:
        point(pilot, "absence-1")
        await press(pilot, "h")
        assert "go to one beside it" in told(pilot)
        await press(pilot, "down", "down", "h")
        assert "Go to the lane “plan”" in told(pilot)
        assert "h Carry" not in hints(pilot)


async def test_letting_go_offers_the_rest_rearranged_and_one_step_takes_it_back(
    tmp_path: Path,
) -> None:
    async with opened(demo(tmp_path), size=(100, 40)) as pilot:
        before = on_disk(pilot)
        plan = bench(pilot).desk.plan
        assert plan is not None
        await taken_up(pilot, "strength-2")
        for _ in range(8):
            await press(pilot, "left")
            price = re.search(r"worth [\d.]+", words(pilot))
            if price is not None:
                break
        await press(pilot, "enter")
        assert "And the rest of the year?" in screen_text(pilot)
        assert "points" not in words(pilot)
        assert price is not None and price[0] in words(pilot)
        await press(pilot, "down", "enter")
        await until(pilot, lambda: "rearranged around it" in told(pilot))
        now = bench(pilot).desk.plan
        assert now is not None and now.current.number == plan.current.number + 1
        fixed = pin(pilot, "strength-2")
        assert any(b.pinned and b.span == fixed.span for b in now.current.blocks)
        assert not bench(pilot).broken
        await press(pilot, "u")
        assert on_disk(pilot) == before


async def test_in_a_narrow_list_a_held_block_is_priced_in_words(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), size=(40, 20)) as pilot:
        before = on_disk(pilot)
        main(pilot).action_go_to_block("strength-2")
        await press(pilot, "h")
        await until(pilot, lambda: sheet(pilot).holding and sheet(pilot).holding.known)
        await press(pilot, "down")
        said = str(main(pilot).query_one("#headline", Static).content)
        place = sheet(pilot).holding and sheet(pilot).holding.place
        assert place is not None and place.span != pointed(pilot).span
        day = day_month_text(place.span.first)
        assert said.startswith(f"begins on {day}: ")
        assert any(word in said for word in ("costs", "as good", "bring"))
        assert "Enter lets it go" in words(pilot) and "Esc Put back" in hints(pilot)
        await press(pilot, "escape")
        assert "begins on" not in screen_text(pilot) and on_disk(pilot) == before
        await press(pilot, "down", "h", "enter")
        assert sheet(pilot).holding is None and on_disk(pilot) == before


async def test_a_fixed_block_is_offered_to_be_freed_and_no_id_is_told(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), size=(160, 50)) as pilot:
        point(pilot, "strength-2")
        await pilot.pause()
        assert "p Fix " in hints(pilot)
        await press(pilot, "p")
        assert "p Free it" in hints(pilot) and "p Fix" not in hints(pilot)
        await press(pilot, "p")
        assert "p Fix " in hints(pilot) and not pointed(pilot).pinned
        point(pilot, "base-1")
        await press(pilot, "full_stop")
        assert "What is over stays as it was" in told(pilot) and "base-1" not in told(pilot)


async def test_another_year_is_looked_at_before_it_counts(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), size=(100, 40)) as pilot:
        before = on_disk(pilot)
        await press(pilot, "o")
        await until(pilot, lambda: isinstance(pilot.app.screen, OtherYears))
        await until(pilot, lambda: "another year" in screen_text(pilot))
        assert "days differ" in words(pilot) and "points" not in words(pilot)
        await press(pilot, "enter")
        await until(pilot, lambda: isinstance(pilot.app.screen, BeforeAfter))
        await press(pilot, "x")
        assert on_disk(pilot) == before


async def test_a_move_by_hand_tells_before_and_after_at_once(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), size=(160, 50)) as pilot:
        point(pilot, "performance-2")
        await press(pilot, *["left_square_bracket"] * 9)
        said = str(main(pilot).query_one("#headline", Static).content)
        assert "→" in said and "days on rock" in said


async def test_no_key_is_offered_for_what_is_over(tmp_path: Path) -> None:
    today = date(2027, 3, 3)
    async with opened(demo(tmp_path), size=(120, 40), today=today) as pilot:
        blocks = [one for one in bench(pilot).blocks if one.kind.chosen]
        now = next(one for one in blocks if today in one.span)
        offered = {}
        for one in (blocks[0], now, blocks[-1]):
            point(pilot, one.id)
            await pilot.pause()
            keys = ("h Carry", ". Later", "] Longer", "p Fix")
            offered[one.id] = [key for key in keys if key in hints(pilot)]
        assert blocks[0].span.after <= today and now.span.first < today
        assert list(offered.values()) == [[], ["] Longer", "p Fix"], list(keys)]


async def test_why_is_not_offered_before_a_change_is_planned_with(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), size=(120, 40)) as pilot:
        point(pilot, "base-2")
        await pilot.pause()
        assert "w Why" in hints(pilot)
        await press(pilot, "p")
        assert "w Why" not in hints(pilot)
