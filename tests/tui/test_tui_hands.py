"""Changes by hand: what each key and drag writes into the year, and what the checker says."""

from __future__ import annotations

from datetime import date, timedelta
from itertools import pairwise
from pathlib import Path

import pytest
from stage import (
    TODAY,
    bench,
    block,
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
    slip,
    told,
    until,
    words,
)
from textual.events import Key
from textual.pilot import Pilot

from seasonplan.errors import CannotWrite
from seasonplan.files import disk
from seasonplan.vocabulary import Kind
from tui.year.places import places

DAY = timedelta(days=1)


# --- keys -------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("key", "first", "last"),
    [
        ("full_stop", 1, 1),
        ("comma", -1, -1),
        ("greater_than_sign", 7, 7),
        ("less_than_sign", -7, -7),
        ("right_square_bracket", 0, 1),
        ("left_square_bracket", 0, -1),
        ("right_curly_bracket", 1, 0),
        ("left_curly_bracket", -1, 0),
    ],
)
async def test_a_key_moves_a_block_or_one_of_its_ends(
    tmp_path: Path, key: str, first: int, last: int
) -> None:
    async with opened(demo(tmp_path)) as pilot:
        was = point(pilot, "base-2").span
        await press(pilot, key)
        assert pin(pilot, "base-2").first == was.first + first * DAY
        assert pin(pilot, "base-2").last == was.last + last * DAY
        assert pointed(pilot).key == "base-2" and pointed(pilot).pinned
        assert 'id = "pin-base-2"' in on_disk(pilot)
        assert "# An invented climber" in on_disk(pilot)  # comments stay


async def test_neighbours_give_way_at_once(tmp_path: Path) -> None:
    async with opened(demo(tmp_path)) as pilot:
        point(pilot, "strength-2")
        await press(pilot, "greater_than_sign", "less_than_sign", "left_curly_bracket")
        blocks = bench(pilot).blocks
        for one, after in pairwise(blocks):
            assert one.span.after == after.span.first
        assert blocks[0].span.first == bench(pilot).desk.year.span.first


async def test_p_fixes_a_block_and_frees_it_again(tmp_path: Path) -> None:
    async with opened(demo(tmp_path)) as pilot:
        point(pilot, "base-2")
        await press(pilot, "p")
        assert pin(pilot, "base-2").kind is Kind.BASE
        assert "◆" in screen_text(pilot)
        assert "You fixed it here." in slip(pilot)
        await press(pilot, "p")
        assert bench(pilot).desk.year.pins == ()


async def test_k_changes_the_kind(tmp_path: Path) -> None:
    async with opened(demo(tmp_path)) as pilot:
        point(pilot, "base-2")
        await press(pilot, "k")
        assert "Which kind of block" in words(pilot)
        await press(pilot, "enter")
        assert pin(pilot, "base-2").kind is Kind.STRENGTH


async def test_escape_leaves_the_kind_as_it_is(tmp_path: Path) -> None:
    async with opened(demo(tmp_path)) as pilot:
        before = on_disk(pilot)
        point(pilot, "base-2")
        await press(pilot, "k", "escape")
        assert on_disk(pilot) == before


async def test_s_cuts_a_block_at_the_start_of_a_week(tmp_path: Path) -> None:
    async with opened(demo(tmp_path)) as pilot:
        was = point(pilot, "strength-1").span
        await press(pilot, "s", "down", "down", "enter")
        first, rest = bench(pilot).desk.year.pins
        assert (first.kind, rest.kind) == (Kind.STRENGTH, Kind.REST)
        assert (first.first, rest.last) == (was.first, was.last)
        assert rest.first == first.last + DAY and rest.first.weekday() == 0


async def test_j_joins_a_block_with_the_next(tmp_path: Path) -> None:
    async with opened(demo(tmp_path)) as pilot:
        was = point(pilot, "base-2").span
        after = block(pilot, "strength-2").span
        await press(pilot, "j")
        assert (pin(pilot, "base-2").first, pin(pilot, "base-2").last) == (was.first, after.last)


async def test_x_takes_out_a_trip_and_its_mentions(tmp_path: Path) -> None:
    async with opened(demo(tmp_path)) as pilot:
        point(pilot, "family-sea")
        await press(pilot, "x")
        assert bench(pilot).desk.year.entry("family-sea") is None
        assert "family-sea" not in on_disk(pilot)


async def test_an_absence_is_moved_by_its_entry(tmp_path: Path) -> None:
    async with opened(demo(tmp_path)) as pilot:
        point(pilot, "trade-fair")
        await press(pilot, "greater_than_sign")
        entry = bench(pilot).desk.year.entry("trade-fair")
        assert entry is not None and entry.span.first == date(2027, 8, 23)  # type: ignore[attr-defined]


@pytest.mark.parametrize(
    ("mark", "key", "said"),
    [
        ("larchfold-spring", "full_stop", "cannot be pushed"),
        ("larchfold-spring", "p", "This works on blocks"),
        ("larchfold-spring", "k", "This works on blocks"),
        ("base-1", "less_than_sign", "your year begins on"),
        ("base-4", "j", "no block after it"),
    ],
)
async def test_what_cannot_be_done_is_said_with_what_would_work(
    tmp_path: Path, mark: str, key: str, said: str
) -> None:
    async with opened(demo(tmp_path)) as pilot:
        before = on_disk(pilot)
        point(pilot, mark)
        await press(pilot, key)
        assert said in told(pilot)
        assert on_disk(pilot) == before


# --- the checker ------------------------------------------------------------------------------


async def test_a_broken_rule_is_shown_allowed_and_offered_as_replan(tmp_path: Path) -> None:
    async with opened(demo(tmp_path)) as pilot:
        point(pilot, "performance-2")
        await press(pilot, *["right_curly_bracket"] * 3, *["right_square_bracket"] * 20)
        assert [found for found in bench(pilot).findings if found.strength == "hard"]
        assert "broken: r plans anew" in words(pilot)
        assert "r plans anew around it, u takes it back." in slip(pilot)
        assert "!◆" in screen_text(pilot)
        assert "pin-performance-2" in on_disk(pilot)


async def test_findings_agree_with_the_checker_asked_directly(tmp_path: Path) -> None:
    from seasonplan.checker import check

    async with opened(demo(tmp_path)) as pilot:
        point(pilot, "rest-2")
        await press(pilot, "greater_than_sign")
        here = bench(pilot)
        asked = check(here.desk.year, here.blocks, book=here.desk.book, today=TODAY)
        blocks = [found for found in asked if found.code != "sums"]  # of weeks not filled anew
        assert [found for found in here.findings if found.code != "sums"] == blocks and blocks


# --- the mouse --------------------------------------------------------------------------------


async def drag(pilot: Pilot[int], key: str, *, grip: str, columns: int) -> tuple[date, date]:
    """Drag a block by columns; the days it had."""
    view = sheet(pilot)
    mark = point(pilot, key)
    await pilot.pause()
    assert view.sheet is not None
    across = view.scale.columns(mark.span)
    assert across is not None
    x = {"start": across[0], "end": across[1] - 1, "whole": (across[0] + across[1]) // 2}[grip]
    top = next(
        place.top
        for place in places(view.sheet.rows, view.size.height, current=view.row)
        if mark in view.sheet.rows[place.number].marks
    )
    at = (view.margin + x, top)
    await pilot.mouse_down(view, offset=at)
    await pilot.hover(view, offset=(at[0] + columns, top))
    await pilot.mouse_up(view, offset=(at[0] + columns, top))
    await pilot.pause()
    if columns:
        await press(pilot, "enter")  # the rest as it stood
    return mark.span.first, mark.span.last


async def test_dragging_the_middle_moves_a_block(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), size=(160, 40)) as pilot:
        first, last = await drag(pilot, "strength-2", grip="whole", columns=-2)
        moved = pin(pilot, "strength-2")
        assert moved.first < first and moved.last - moved.first == last - first


@pytest.mark.parametrize(("grip", "columns"), [("start", -2), ("end", -2)])
async def test_dragging_an_end_makes_a_block_longer_or_shorter(
    tmp_path: Path, grip: str, columns: int
) -> None:
    async with opened(demo(tmp_path), size=(160, 40)) as pilot:
        first, last = await drag(pilot, "strength-2", grip=grip, columns=columns)
        moved = pin(pilot, "strength-2")
        assert (moved.first < first) is (grip == "start")
        assert (moved.last < last) is (grip == "end")


async def test_a_click_without_a_drag_changes_nothing(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), size=(160, 40)) as pilot:
        before = on_disk(pilot)
        await drag(pilot, "strength-2", grip="whole", columns=0)
        assert on_disk(pilot) == before and pointed(pilot).key == "strength-2"


# --- steps back -------------------------------------------------------------------------------


async def test_u_takes_back_each_change_and_shift_u_does_it_again(tmp_path: Path) -> None:
    async with opened(demo(tmp_path)) as pilot:
        texts = [on_disk(pilot)]
        point(pilot, "strength-2")
        for key in ("comma", "comma", "right_square_bracket"):
            await press(pilot, key)
            texts.append(on_disk(pilot))
        assert len(set(texts)) == 4
        for text in reversed(texts[:-1]):
            await press(pilot, "u")
            assert on_disk(pilot) == text
        for text in texts[1:]:
            await press(pilot, "U")
            assert on_disk(pilot) == text


async def test_nothing_to_take_back_is_said(tmp_path: Path) -> None:
    async with opened(demo(tmp_path)) as pilot:
        await press(pilot, "u")
        assert "nothing to undo" in told(pilot)
        await press(pilot, "U")
        assert "nothing to" in told(pilot).lower()


# --- other programs and full disks ------------------------------------------------------------


async def test_a_change_by_another_program_is_read(tmp_path: Path) -> None:
    async with opened(demo(tmp_path)) as pilot:
        year = bench(pilot).folder / "year.toml"
        year.write_text(year.read_text().replace('"Trade fair"', '"Harvest"'))
        await until(pilot, lambda: "read again" in told(pilot))
        assert "Harvest" in screen_text(pilot)


async def test_a_change_by_another_program_is_never_overwritten(tmp_path: Path) -> None:
    async with opened(demo(tmp_path)) as pilot:
        bench(pilot)._seen.clear()  # the watch sees nothing: the write itself must notice
        year = bench(pilot).folder / "year.toml"
        theirs = year.read_text().replace('"Trade fair"', '"Harvest"')
        year.write_text(theirs)
        point(pilot, "strength-2")
        await press(pilot, "comma")
        assert "year.toml was changed by another program" in words(pilot)
        assert year.read_text() == theirs
        await press(pilot, "enter")
        await until(pilot, lambda: "pin-strength-2" in year.read_text())
        assert "Harvest" in year.read_text()


async def test_leaving_ones_change_takes_theirs(tmp_path: Path) -> None:
    async with opened(demo(tmp_path)) as pilot:
        bench(pilot)._seen.clear()
        year = bench(pilot).folder / "year.toml"
        theirs = year.read_text().replace('"Trade fair"', '"Harvest"')
        year.write_text(theirs)
        point(pilot, "strength-2")
        await press(pilot, "comma", "down", "enter")
        assert year.read_text() == theirs
        assert "Harvest" in screen_text(pilot)


async def test_an_unreadable_change_leaves_what_is_shown(tmp_path: Path) -> None:
    async with opened(demo(tmp_path)) as pilot:
        year = bench(pilot).folder / "year.toml"
        year.write_text("this is no year")
        await until(pilot, lambda: "not readable" in told(pilot))
        assert pointed(pilot).key == "strength-1"
        await press(pilot, "full_stop")
        assert year.read_text() == "this is no year"
        year.unlink()
        await until(pilot, lambda: "Put it back; it is then read again." in told(pilot))
        assert "seasonplan new" not in told(pilot)


async def test_a_full_disk_is_told_and_loses_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    async with opened(demo(tmp_path)) as pilot:
        before = on_disk(pilot)

        def full(*_: object, **__: object) -> None:
            raise CannotWrite("year.toml", "No space left on device")

        point(pilot, "strength-2")
        with monkeypatch.context() as patched:
            patched.setattr(disk, "write", full)
            patched.setattr("seasonplan.workspace.store.write", full)
            await press(pilot, "comma")
        assert "No space left" in told(pilot)
        assert on_disk(pilot) == before
        await press(pilot, "comma")
        assert "pin-strength-2" in on_disk(pilot)


async def test_every_change_is_on_disk_before_the_next_key(tmp_path: Path) -> None:
    """A crash or a closed terminal can lose nothing that was seen."""
    async with opened(demo(tmp_path)) as pilot:
        point(pilot, "strength-2")
        await press(pilot, "comma")
        assert bench(pilot).desk.draft().text == on_disk(pilot)
        assert main(pilot).bench.desk.year.pins


async def test_a_block_taken_out_leaves_its_days_to_the_block_beside_it(tmp_path: Path) -> None:
    async with opened(demo(tmp_path)) as pilot:
        plan = bench(pilot).desk.plan
        assert plan is not None
        blocks = {block.id: block for block in plan.current.blocks}
        point(pilot, "base-2")
        await press(pilot, "x")
        ids = [block.id for block in bench(pilot).blocks]
        assert "base-2" not in ids
        (pin,) = bench(pilot).desk.year.pins
        assert pin.id == "pin-strength-2"
        assert pin.first == blocks["base-2"].span.first
        assert pin.last == blocks["strength-2"].span.last


async def test_a_key_held_down_does_its_work_each_time(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), today=date(2027, 1, 20)) as pilot:
        mark = point(pilot, "base-2")
        await pilot.pause()
        for _ in range(3):
            pilot.app.post_message(Key("right_square_bracket", "]"))
        await until(pilot, lambda: block(pilot, "base-2").span.last > mark.span.last + timedelta(2))
        assert block(pilot, "base-2").span.last == mark.span.last + timedelta(days=3)
