"""The year as a sheet: what is seen, what can be pointed at, and what is told of it."""

from __future__ import annotations

import subprocess
import sys
from datetime import date
from pathlib import Path

import pytest
from places import ROOT
from stage import (
    bench,
    demo,
    main,
    opened,
    point,
    pointed,
    press,
    screen_text,
    sheet,
    slip,
    until,
    words,
)
from textual.widgets import Static

from seasonplan.days import Span
from seasonplan.explain.signs import SIGNS
from seasonplan.vocabulary import Kind
from tui.year.lanes import Lane
from tui.year.scale import Zoom

YEAR = Span(date(2027, 1, 4), date(2028, 1, 3))


# --- the sheet --------------------------------------------------------------------------------


async def test_the_sheet_opens_on_the_block_of_today(tmp_path: Path) -> None:
    async with opened(demo(tmp_path)) as pilot:
        assert pointed(pilot).key == "strength-1"
        assert "Strength block, fingers" in words(pilot)
        assert "▼ today" in screen_text(pilot)


async def test_every_lane_is_named_and_every_kind_has_sign_and_word(tmp_path: Path) -> None:
    async with opened(demo(tmp_path)) as pilot:
        text = words(pilot)
        for lane in ("rock", "away", "plan", "hours", "The long", "A handful"):
            assert lane in text
        for kind in (Kind.BASE, Kind.STRENGTH, Kind.PERFORMANCE, Kind.REST, Kind.ABSENCE):
            assert f"{SIGNS[kind].drawn} {SIGNS[kind].word}" in text


async def test_arrows_walk_along_a_lane_and_from_lane_to_lane(tmp_path: Path) -> None:
    async with opened(demo(tmp_path)) as pilot:
        await press(pilot, "right", "right")
        assert pointed(pilot).key == "performance-1"
        await press(pilot, "up", "up")
        assert (pointed(pilot).lane, pointed(pilot).name) == (Lane.CHANCE, "Larchfold in spring")
        await press(pilot, "up")
        assert (pointed(pilot).lane, pointed(pilot).key) == (Lane.ROCK, "larchfold-spring")
        await press(pilot, "down", "down")
        assert pointed(pilot).key == "busy-quarter"
        await press(pilot, "down", "down", "down")
        assert pointed(pilot).lane is Lane.GOAL
        await press(pilot, "end", "home", "left")
        assert pointed(pilot).lane is Lane.GOAL


async def test_the_ends_of_a_lane_hold(tmp_path: Path) -> None:
    async with opened(demo(tmp_path)) as pilot:
        await press(pilot, "end")
        assert pointed(pilot).key == "base-4"
        await press(pilot, "right")
        assert pointed(pilot).key == "base-4"
        await press(pilot, "t")
        assert pointed(pilot).key == "strength-1"


@pytest.mark.parametrize(
    ("lane", "key", "told"),
    [
        (Lane.PLAN, "performance-1", "good, for “A handful of 7b onsights”"),
        (Lane.PLAN, "strength-2", "furthest behind what “The long traverse” asks"),
        (Lane.ROCK, "larchfold-autumn", "It serves “The long traverse”"),
        (Lane.AWAY, "family-sea", "Away without climbing"),
        (Lane.AWAY, "busy-quarter", "It takes 7 h"),
        (Lane.HOURS, "week-3", "are free at home"),
        (Lane.GOAL, "long-traverse larchfold-autumn 2027-09-25", "with tries) to expect"),
    ],
)
async def test_what_is_pointed_at_is_explained(
    tmp_path: Path, lane: Lane, key: str, told: str
) -> None:
    async with opened(demo(tmp_path), size=(120, 50)) as pilot:
        mark = point(pilot, key)
        await pilot.pause()
        assert mark.lane is lane
        assert told in slip(pilot)


async def test_zoom_goes_from_year_to_quarter_to_month_and_back(tmp_path: Path) -> None:
    async with opened(demo(tmp_path)) as pilot:
        lengths = []
        for _ in range(3):
            lengths.append(sheet(pilot).scale.shown.length)
            assert pointed(pilot).span.meet(sheet(pilot).scale.shown)
            await press(pilot, "z")
        assert lengths == sorted(lengths, reverse=True) and len(set(lengths)) == 3
        assert sheet(pilot).zoom is Zoom.YEAR
        await press(pilot, "plus", "minus", "minus")
        assert sheet(pilot).zoom is Zoom.YEAR


async def test_the_view_follows_what_is_pointed_at(tmp_path: Path) -> None:
    async with opened(demo(tmp_path)) as pilot:
        await press(pilot, "z", "z")
        await press(pilot, *["right"] * 12)
        assert pointed(pilot).span.first in sheet(pilot).scale.shown


async def test_the_wheel_turns_the_year(tmp_path: Path) -> None:
    async with opened(demo(tmp_path)) as pilot:
        await press(pilot, "z")
        before = sheet(pilot).scale.shown.first
        await pilot._post_mouse_events([_wheel()], sheet(pilot), offset=(40, 6))
        await pilot.pause()
        assert sheet(pilot).scale.shown.first > before


def _wheel() -> type:
    from textual.events import MouseScrollDown

    return MouseScrollDown


async def test_a_click_points_at_what_is_under_it(tmp_path: Path) -> None:
    async with opened(demo(tmp_path)) as pilot:
        view = sheet(pilot)
        assert view.sheet is not None
        row = next(n for n, row in enumerate(view.sheet.rows) if row.lane is Lane.PLAN)
        mark = next(m for m in view.sheet.rows[row].marks if m.key == "performance-2")
        columns = view.scale.columns(mark.span)
        assert columns is not None
        line = _line_of(pilot, row)
        await pilot.click(view, offset=(view.margin + columns[0] + 2, line))
        await pilot.pause()
        assert pointed(pilot).key == "performance-2"


def _line_of(pilot, row: int) -> int:  # type: ignore[no-untyped-def]
    from tui.year.places import places

    view = sheet(pilot)
    assert view.sheet is not None
    found = places(view.sheet.rows, view.size.height, current=view.row)
    return next(place.top for place in found if place.number == row)


async def test_a_narrow_window_gives_a_list(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), size=(40, 24)) as pilot:
        text = screen_text(pilot)
        assert "≡▼ 1 Feb - 14 Mar strength" in text
        await press(pilot, "down")
        assert pointed(pilot).key == "rest-1"
        assert all(len(line) <= 40 for line in text.splitlines())


async def test_another_size_keeps_what_is_pointed_at(tmp_path: Path) -> None:
    async with opened(demo(tmp_path)) as pilot:
        await press(pilot, "right", "right")
        for size in ((80, 24), (40, 20), (160, 50)):
            await pilot.resize_terminal(*size)
            await pilot.pause()
            assert pointed(pilot).key == "performance-1"


async def test_many_goals_scroll_under_the_months(tmp_path: Path) -> None:
    folder = demo(tmp_path)
    more = "".join(
        f'\n[[goal]]\nname = "Wall {n}"\nplace = "Larchfold"\ndiscipline = "sport"\ngrade = "7a"\n'
        for n in range(9)
    )
    year = folder / "year.toml"
    year.write_text(year.read_text() + more)
    async with opened(folder, size=(80, 24)) as pilot:
        await press(pilot, *["down"] * 12)
        assert "› Wall 8" in screen_text(pilot)  # noqa: RUF001  (drawn)
        assert "Mar" in screen_text(pilot).splitlines()[3]


# --- why --------------------------------------------------------------------------------------


async def test_why_is_asked_beside_the_keys_and_then_told(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), size=(120, 50)) as pilot:
        await press(pilot, "w")
        await press(pilot, "right")
        assert pointed(pilot).key == "rest-1"
        await press(pilot, "left")
        await until(pilot, lambda: "Ended today:" in slip(pilot))
        assert "It has begun" in slip(pilot)


async def test_why_after_a_change_asks_for_a_new_plan_first(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), size=(120, 50)) as pilot:
        await press(pilot, "right", "right", "full_stop", "w")  # all of the block is still to come
        assert "press r to plan anew, then w" in slip(pilot)


# --- help, commands -------------------------------------------------------------------------


async def test_help_names_the_keys_of_what_is_focused(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), size=(100, 60)) as pilot:
        await press(pilot, "question_mark")
        assert "A day later." in words(pilot) and "The lane above." in words(pilot)
        await press(pilot, "escape", "2", "question_mark")
        assert "Half an hour later." in words(pilot)
        assert "The lane above." not in words(pilot)


async def test_the_palette_finds_an_action_and_does_it(tmp_path: Path) -> None:
    async with opened(demo(tmp_path)) as pilot:
        await press(pilot, "ctrl+p", *"slate")
        await until(pilot, lambda: "Slate, dark" in words(pilot))
        await press(pilot, "enter")
        await until(pilot, lambda: pilot.app.theme == "slate")


async def test_names_cannot_steer_the_terminal_or_the_markup(tmp_path: Path) -> None:
    folder = demo(tmp_path)
    year = folder / "year.toml"
    text = year.read_text().replace('"Trade fair"', '"[red]Fair\\u001b[2J[/]"')
    year.write_text(text)
    async with opened(folder, size=(120, 50)) as pilot:
        point(pilot, "trade-fair")
        await pilot.pause()
        assert "[red]Fair" in slip(pilot)
        assert "\x1b" not in screen_text(pilot)


# --- files that cannot be read -----------------------------------------------------------------


async def test_every_fault_of_the_files_is_told_and_they_can_be_read_again(tmp_path: Path) -> None:
    folder = demo(tmp_path)
    year = folder / "year.toml"
    good = year.read_text()
    year.write_text(good.replace("weeks = 52", "weeks = 2").replace('"8a"', '"hard"'))
    async with opened(folder) as pilot:
        text = words(pilot)
        assert "2 things in your files" in text and "weeks" in text and "hard" in text
        year.write_text(good)
        await press(pilot, "r")
        assert pointed(pilot).key == "strength-1"


# --- loading ----------------------------------------------------------------------------------


def test_the_solver_is_not_loaded_before_a_solve(tmp_path: Path) -> None:
    folder = demo(tmp_path)
    code = f"""
import asyncio, sys
from datetime import date
from pathlib import Path
from tui.app import SeasonApp

async def look():
    app = SeasonApp(Path({str(folder)!r}), today=date(2027, 2, 17))
    async with app.run_test(size=(100, 40)) as pilot:
        await pilot.press("right", "full_stop", "u", "2", "down", "1", "z")
        await pilot.pause()
        assert "ortools" not in sys.modules
        assert "textual" in sys.modules
        print("LOOKED")

asyncio.run(look())
"""
    ran = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True)
    assert "LOOKED" in ran.stdout + ran.stderr, ran.stderr


async def test_the_mark_of_today_covers_no_other_day(tmp_path: Path) -> None:
    """At every width the numbers beside "▼ today" are whole Mondays of the quarter."""
    for width in (80, 120, 160):
        async with opened(demo(tmp_path / str(width)), size=(width, 40)) as pilot:
            await press(pilot, "z")
            line = next(one for one in screen_text(pilot).splitlines() if "▼ today" in one)
            before, _, after = line.partition("▼ today")
            assert before.endswith(" ") and after.startswith(" "), (width, line)


async def test_names_of_neighbours_never_run_together(tmp_path: Path) -> None:
    async with opened(demo(tmp_path, "mountain-summer"), size=(80, 24)) as pilot:
        for block in bench(pilot).blocks:
            if block.kind.chosen:
                point(pilot, block.id)
                await pilot.pause()
                shown = screen_text(pilot)
                words = ("base", "strength", "performance", "rest")
                assert not [a + b for a in words for b in words if a + b in shown]


@pytest.mark.parametrize("width", [80, 100, 160])
async def test_every_sign_of_the_year_stands_in_a_legend_that_is_never_cut(
    tmp_path: Path, width: int
) -> None:
    async with opened(demo(tmp_path, "trips-and-boulders"), size=(width, 24)) as pilot:
        legend = str(main(pilot).query_one("#legend", Static).content)
        lines = screen_text(pilot).splitlines()
        assert len(legend.splitlines()) <= 2
        assert all(any(told in line for line in lines) for told in legend.splitlines())
        drawn = "".join(lines[: next(n for n, line in enumerate(lines) if "⚑ goal" in line)])
        signs = {sign.drawn for sign in SIGNS.values()} | set("⚑●◆▔░▒▓")
        shown = {sign for sign in signs if sign in drawn}
        assert len(shown) >= 9 and shown <= set(legend)
        assert ("━" in legend) is ("━" in drawn)  # form is told as a line only where it is one


async def test_the_list_tells_each_sign_that_has_no_name_beside_it(tmp_path: Path) -> None:
    async with opened(demo(tmp_path, "trips-and-boulders"), size=(40, 20)) as pilot:
        legend = str(main(pilot).query_one("#legend", Static).content)
        assert any(legend in line for line in screen_text(pilot).splitlines())
        assert "▒ rock" in legend and "» trip" in legend and SIGNS[Kind.ABSENCE].drawn in legend
