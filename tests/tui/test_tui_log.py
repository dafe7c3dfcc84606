"""Pain, tests, weight and notes written into the diary from the terminal."""

from __future__ import annotations

from pathlib import Path

from filling import fill
from stage import bench, demo, opened, press, screen_text, told
from textual.widgets import ContentSwitcher

from seasonplan import diary
from seasonplan.diary import DiaryEntry, Did
from tui.find import things


async def test_pain_a_test_and_weight_go_into_the_diary(tmp_path: Path) -> None:
    async with opened(demo(tmp_path)) as pilot:
        await press(pilot, "l", "enter")
        assert "Log pain" in screen_text(pilot)
        await fill(pilot, "part", "elbow")
        await fill(pilot, "pain", "3")
        await press(pilot, "ctrl+s")
        assert "pain" in told(pilot).lower()
        await press(pilot, "l", "down", "enter")
        await fill(pilot, "what", "20 mm hang")
        await fill(pilot, "value", "32,5")
        await fill(pilot, "unit", "kg")
        await press(pilot, "ctrl+s", "l", "down", "down", "enter")
        await fill(pilot, "value", "68.4")
        await press(pilot, "ctrl+s")
        rows: list[DiaryEntry] = list(diary.parse(bench(pilot).desk.draft().diary, file="x"))
        assert [row.kind for row in rows] == [Did.PAIN, Did.TEST, Did.WEIGHT]
        assert (rows[0].part, rows[0].pain, rows[1].value) == ("elbow", 3, 32.5)
        assert (rows[2].value, rows[2].unit) == (68.4, "kg")
        await press(pilot, "u")
        assert len(diary.parse(bench(pilot).desk.draft().diary, file="x")) == 2
        actions = {one.name: one.action for one in things(bench(pilot))}
        await press(pilot, "2")
        await pilot.app.run_action(actions["Log a note"], pilot.app.screen)
        await pilot.pause()
        await press(pilot, "escape")
        assert pilot.app.screen.query_one(ContentSwitcher).current == "week", "as it was"
        names = [*actions]
        assert {"Log pain", "Log the result of a test", "Log your weight", "Log a note"} <= {*names}


async def test_what_is_needed_is_said_in_words(tmp_path: Path) -> None:
    async with opened(demo(tmp_path)) as pilot:
        await press(pilot, "l", "enter", "ctrl+s")
        assert "“Where” is needed: finger, wrist, elbow" in screen_text(pilot)
        assert "wanted" not in screen_text(pilot)


async def test_how_bad_it_is_asks_for_digits_as_a_rating_has_them(tmp_path: Path) -> None:
    async with opened(demo(tmp_path)) as pilot:
        await press(pilot, "l", "enter")
        await fill(pilot, "part", "ankle")
        await fill(pilot, "pain", "left")
        await press(pilot, "ctrl+s")
        assert "wanted a number. Write digits," in " ".join(screen_text(pilot).split())
