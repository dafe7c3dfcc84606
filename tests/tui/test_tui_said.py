"""What was just said stands above the keys; the last word is always seen."""

from __future__ import annotations

from pathlib import Path

import pytest
from stage import KEY, STAMP, TODAY, bench, demo, main, moved, opened, press, told, words
from textual.widget import Widget
from week_stage import at_week

from seasonplan.workspace.desk import Desk
from tui.week.hours import Hours
from tui.week.sheet import WeekSheet

BUSY = (
    "BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//x//x//EN\r\nBEGIN:VEVENT\r\nUID:1\r\n"
    "DTSTAMP:20270101T000000Z\r\nDTSTART:20270303T080000Z\r\nDTEND:20270303T220000Z\r\n"
    "SUMMARY:secret\r\nEND:VEVENT\r\nEND:VCALENDAR\r\n"
)


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


@pytest.mark.parametrize("size", [(80, 24), (80, 30), (120, 40)], ids=lambda s: f"{s[0]}x{s[1]}")
async def test_a_long_word_takes_no_line_from_the_drawn_week_or_year(
    tmp_path: Path, size: tuple[int, int]
) -> None:
    """Else a drawn week becomes a list for as long as it stands there."""
    async with opened(demo(tmp_path), size=size, today=TODAY) as pilot:
        for page, name in (("1", "#sheet"), ("2", "#week-sheet")):
            await press(pilot, page)
            sheet = pilot.app.screen.query_one(name)
            before, drawn = sheet.region, week_drawn(sheet)
            pilot.app.say("It lies near your hardest days and takes one of them. " * 4)
            await pilot.pause()
            assert "It lies near your hardest days" in words(pilot)
            assert sheet.region == before and before.height > 0
            assert week_drawn(sheet) == drawn
            pilot.app.unsay()
            await pilot.pause()


def week_drawn(sheet: Widget) -> Hours | None:
    """The hours of a week that is drawn and no list; nothing of a year."""
    if not isinstance(sheet, WeekSheet):
        return None
    assert sheet.hours is not None, "a drawn week"
    return sheet.hours


async def test_undo_is_offered_where_there_is_something_to_take_back(tmp_path: Path) -> None:
    """A busy calendar that is another makes a plan old, and is nothing that `u` could undo."""
    folder = demo(tmp_path)
    lines = (folder / "year.toml").read_text()
    (folder / "year.toml").write_text(f'{lines}\n[sessions]\nbusy = ["work.ics"]\n')
    calendar = folder / "work.ics"
    calendar.write_text(BUSY)
    (folder / "plan.json").unlink()
    Desk(folder).make_plan("first", stamp=STAMP, calendar_key=KEY)
    calendar.write_text(BUSY.replace("20270303", "20270304"))
    async with opened(folder, size=(80, 24), today=TODAY) as pilot:
        assert bench(pilot).desk.stale and not main(pilot).offers("undo")
        await press(pilot, "right_square_bracket")
        assert main(pilot).offers("undo")
        await press(pilot, "u")
        assert not main(pilot).offers("undo")


async def test_a_calendar_of_a_plan_older_than_the_year_is_written_and_told(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), size=(120, 50)) as pilot:
        await moved(pilot)
        assert main(pilot).offers("calendar")
        await press(pilot, "e")
        assert "It is of the plan as it was: press r" in told(pilot)
        assert (bench(pilot).folder / "seasonplan.ics").read_bytes().startswith(b"BEGIN:VCALENDAR")
