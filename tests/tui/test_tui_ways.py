"""Where no plan is possible, and over the end of a sitting: ways out and steps back."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest
from stage import (
    asked,
    bench,
    demo,
    main,
    moved,
    opened,
    point,
    press,
    screen_text,
    told,
    until,
    words,
)
from textual.pilot import Pilot

from tui.ask import Choice, Choose
from tui.listing import HERE
from tui.plans.before_after import BeforeAfter

# --- no plan, and the ways out ----------------------------------------------------------------


async def no_plan(pilot: Pilot[int]) -> None:
    """Fix the block before the autumn where performance may not be, and plan anew."""
    point(pilot, "base-3")
    await press(pilot, "k", "down", "enter", "r", "enter")
    await until(pilot, lambda: "There is no plan" in words(pilot))


async def test_a_way_out_is_taken_and_planned_with_at_once(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), size=(120, 40)) as pilot:
        await no_plan(pilot)
        assert "Any one of these changes makes a plan possible" in words(pilot)
        assert "your fixed performance block (" in words(pilot) and "pinned" not in words(pilot)
        assert bench(pilot).desk.year.pins
        before = (bench(pilot).folder / "year.toml").read_bytes()
        await press(pilot, "enter")
        await until(pilot, lambda: (bench(pilot).folder / "year.toml").read_bytes() != before)
        await until(pilot, lambda: isinstance(pilot.app.screen, BeforeAfter))


async def test_the_last_change_can_be_taken_back_from_there(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), size=(120, 40)) as pilot:
        before = (bench(pilot).folder / "year.toml").read_bytes()
        await no_plan(pilot)
        await press(pilot, "end", "up", "enter")
        await until(pilot, lambda: "The last change is taken back" in told(pilot))
        assert (bench(pilot).folder / "year.toml").read_bytes() == before


async def test_a_small_window_shows_the_chosen_way_and_how_to_answer(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), size=(40, 20)) as pilot:
        await press(pilot, "r")
        await press(pilot, "down", "down")
        assert f"{HERE} As little as needed" in words(pilot)
        assert "↑ ↓ and Enter; Esc goes back" in words(pilot)
        pilot.app.pop_screen()
        many = [Choice(str(n), f"Answer {n}") for n in range(20)]
        pilot.app.push_screen(Choose("Which? " * 30, many, about="It is so. " * 30))
        await pilot.pause()
        await press(pilot, "end")
        assert f"{HERE} Answer 19" in words(pilot) and "↑ ↓ and Enter; Esc goes back" in words(
            pilot
        )


async def test_ctrl_c_says_how_to_leave_in_words_of_this_face(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), size=(80, 24)) as pilot:
        await press(pilot, "ctrl+c")
        assert "q leaves; Esc stops what is at work" in told(pilot)


async def test_leaving_it_changes_nothing(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), size=(80, 24)) as pilot:
        await no_plan(pilot)
        before = (bench(pilot).folder / "year.toml").read_bytes()
        await press(pilot, "end", "enter")
        await until(pilot, lambda: pilot.app.screen is main(pilot))
        assert (bench(pilot).folder / "year.toml").read_bytes() == before


# --- steps back over the end of a sitting -------------------------------------------------------


async def test_changes_of_an_earlier_sitting_are_taken_back_together(tmp_path: Path) -> None:
    folder = demo(tmp_path)
    before = (folder / "year.toml").read_bytes()
    async with opened(folder) as pilot:
        await moved(pilot)
    after = (folder / "year.toml").read_bytes()
    async with opened(folder) as pilot:
        await press(pilot, "u")
        assert "Take back all that was changed since the plan was made?" in words(pilot)
        assert "New pin “rest-2”: kind rest" in words(pilot)
        await press(pilot, "enter")
        assert (folder / "year.toml").read_bytes() == before
        assert "plan 1 stands" in words(pilot)
        await press(pilot, "U")  # as the question said
        assert (folder / "year.toml").read_bytes() == after
        assert "The change is done again." in told(pilot)
        await press(pilot, "u")
        assert (folder / "year.toml").read_bytes() == before
    async with opened(folder) as pilot:
        await press(pilot, "U")
        assert (folder / "year.toml").read_bytes() == after
        assert "plan 1 stands" not in words(pilot)


async def test_accepting_is_not_taken_for_another_program(tmp_path: Path) -> None:
    async with opened(demo(tmp_path)) as pilot:
        await moved(pilot)
        await asked(pilot)
        await press(pilot, "a")
        assert not bench(pilot).changed_outside
        main(pilot).read_if_changed()
        assert "another program" not in told(pilot)


async def test_a_file_that_cannot_be_read_is_said_until_it_can(tmp_path: Path) -> None:
    folder = demo(tmp_path)
    good = (folder / "year.toml").read_text(encoding="utf-8")
    async with opened(folder) as pilot:
        (folder / "year.toml").write_text(good + "\nnonsense", encoding="utf-8")
        main(pilot).read_if_changed()
        await pilot.pause()
        assert "year.toml cannot be read" in screen_text(pilot).splitlines()[0]
        (folder / "year.toml").write_text(good + "\n# fine again\n", encoding="utf-8")
        main(pilot).read_if_changed()
        await pilot.pause()
        assert "cannot be read" not in screen_text(pilot).splitlines()[0]


@pytest.mark.parametrize("seen", [False, True])
async def test_planning_anew_tells_the_faults_of_the_files_before_it_asks(
    tmp_path: Path, seen: bool
) -> None:
    folder = demo(tmp_path)
    good = (folder / "year.toml").read_text(encoding="utf-8")
    async with opened(folder) as pilot:
        (folder / "year.toml").write_text(good + "\nnonsense", encoding="utf-8")
        if seen:  # by the look once a second
            main(pilot).read_if_changed()
            pilot.app.unsay()
        await press(pilot, "r")
        assert not isinstance(pilot.app.screen, Choose)
        assert "not readable so" in screen_text(pilot)
        (folder / "year.toml").write_text(good, encoding="utf-8")
        await press(pilot, "r")
        assert isinstance(pilot.app.screen, Choose)
        await press(pilot, "escape")
        assert "not readable so" not in screen_text(pilot)


async def test_of_several_faults_the_first_is_said_and_how_many_more(tmp_path: Path) -> None:
    folder = demo(tmp_path)
    good = (folder / "year.toml").read_text(encoding="utf-8")
    bad = good.replace("priority = 1", "priority = 9", 1)
    more = '\n[[trip]]\nname = "X"\nfirst = 2027-05-02\nlast = 2027-05-01\nclimbing = false\n'
    async with opened(folder) as pilot:
        for text, said in ((bad, ""), (bad + more, "And 1 fault more.")):
            (folder / "year.toml").write_text(text, encoding="utf-8")
            main(pilot).read_if_changed()
            await pilot.pause()
            assert "found 9; wanted 3 or less" in told(pilot)
            assert ("more." in told(pilot)) is bool(said) and said in told(pilot)


async def test_before_the_year_begins_no_day_is_called_today(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), today=date(2026, 11, 25)) as pilot:
        assert "▼" not in screen_text(pilot)
        await press(pilot, "2")
        assert "▼" not in screen_text(pilot)
        assert "4 Jan" in screen_text(pilot)
