"""What was just said stands above the keys; the last word is always seen."""

from __future__ import annotations

from pathlib import Path

from stage import TODAY, bench, demo, opened, press, words
from week_stage import at_week


async def test_the_last_thing_said_is_seen_under_a_long_one_before_it(tmp_path: Path) -> None:
    path = f"/a/{'very-long-name/' * 9}seasonplan.ics"
    async with opened(demo(tmp_path), size=(80, 24), today=TODAY) as pilot:
        pilot.app.say(f"{path}: 515 events. Open it on your phone; run serve {path}.")
        pilot.app.say("There is no plan of the year as it is.", grave=True)
        await pilot.pause()
        assert "There is no plan of the year as it is." in words(pilot)


async def test_what_was_said_of_a_change_goes_with_it(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), size=(80, 24), today=TODAY) as pilot:
        await at_week(pilot)
        await press(pilot, "x")
        said = "Days on rock and form stay as they were."
        assert said in words(pilot)
        await press(pilot, "u")
        assert "The last change is taken back." in words(pilot)
        assert said not in words(pilot)


async def test_a_session_moved_by_key_shows_on_the_year_and_in_the_calendar_at_once(
    tmp_path: Path,
) -> None:
    folder = demo(tmp_path)
    async with opened(folder, size=(80, 24), today=TODAY) as pilot:
        await at_week(pilot)
        await press(pilot, "x")
        left_out = bench(pilot).desk.year.fixed_sessions[0].session
        assert left_out not in {one.id for one in bench(pilot).sessions}
        assert "✓ plan 1 and your own sessions" in words(pilot)
        await press(pilot, "1", "e")
        assert "events. Open it on your phone" in words(pilot)
