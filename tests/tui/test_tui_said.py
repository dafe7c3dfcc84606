"""What was just said stands above the keys; the last word is always seen."""

from __future__ import annotations

from pathlib import Path

from stage import TODAY, demo, opened, words


async def test_the_last_thing_said_is_seen_under_a_long_one_before_it(tmp_path: Path) -> None:
    path = f"/a/{'very-long-name/' * 9}seasonplan.ics"
    async with opened(demo(tmp_path), size=(80, 24), today=TODAY) as pilot:
        pilot.app.say(f"{path}: 515 events. Open it on your phone; run serve {path}.")
        pilot.app.say("There is no plan of the year as it is.", grave=True)
        await pilot.pause()
        assert "There is no plan of the year as it is." in words(pilot)
