"""The week under the mouse: sessions are chosen, held, dragged and let go."""

from __future__ import annotations

from datetime import date, time, timedelta
from pathlib import Path

from stage import bench, demo, main, opened, press, screen_text, told, week
from textual.pilot import Pilot
from week_stage import Point, at_sheet, chosen, point_at, point_of, tint, view, wish

from tui.week.sessions import Shown, Stand

WEDNESDAY = date(2027, 4, 7)
FRIDAY, SUNDAY = date(2027, 4, 9), date(2027, 4, 11)
WIDE = (120, 40)


async def held(pilot: Pilot[int], day: date = WEDNESDAY) -> Shown:
    """The first session of a day, with the mouse down on it."""
    await at_sheet(pilot)
    one = next(one for one in week(pilot)._sessions if one.session.day == day)
    await pilot.mouse_down(view(pilot), offset=point_of(pilot, one))
    return one


ODD = 18 * 60 + 35


def odd_minute(into: Path) -> Path:
    """A year with a session of the climber's own on Friday at 18:35."""
    folder = demo(into)
    year = folder / "year.toml"
    own = 'recipe = "mobility"\nday = 2027-04-09\nstart = "18:35"\nminutes = 20\n'
    year.write_text(f"{year.read_text()}\n[[session]]\n{own}")
    return folder


async def over(pilot: Pilot[int], point: Point) -> None:
    await pilot.hover(view(pilot), offset=point)
    await pilot.pause()


async def dropped(pilot: Pilot[int], point: Point) -> None:
    await over(pilot, point)
    await pilot.mouse_up(view(pilot), offset=point)
    await pilot.pause()


def unchanged(pilot: Pilot[int]) -> bool:
    return bench(pilot).desk.year.fixed_sessions == ()


async def test_a_session_is_dragged_to_another_day_and_hour(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), today=WEDNESDAY, size=WIDE) as pilot:
        one = await held(pilot)
        await dropped(pilot, point_at(pilot, FRIDAY, 19 * 60))
        assert (wish(pilot).session, wish(pilot).day) == (one.session.id, FRIDAY)
        assert wish(pilot).start == time(19)
        assert chosen(pilot).session.id == one.session.id
        assert chosen(pilot).stand is Stand.MOVED and week(pilot).day == FRIDAY
        await press(pilot, "u")
        assert unchanged(pilot)


async def test_keys_and_mouse_make_the_same_change(tmp_path: Path) -> None:
    folders = [demo(tmp_path / name) for name in ("mouse", "keys")]
    async with opened(folders[0], today=WEDNESDAY, size=WIDE) as pilot:
        one = await held(pilot)
        thursday = WEDNESDAY + timedelta(days=1)
        await dropped(pilot, (point_at(pilot, thursday, 0)[0], point_of(pilot, one)[1]))
    async with opened(folders[1], today=WEDNESDAY, size=WIDE) as pilot:
        await press(pilot, "2", "greater_than_sign")
    mouse, keys = ((folder / "year.toml").read_text() for folder in folders)
    assert mouse == keys and one.session.id in mouse


async def test_what_is_dragged_tells_its_new_day_and_hour(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), today=WEDNESDAY, size=WIDE) as pilot:
        one = await held(pilot)
        point = point_at(pilot, FRIDAY, 19 * 60)
        await over(pilot, point)
        assert "Fri 9 19:00" in screen_text(pilot)
        ghost = view(pilot).get_component_rich_style("week--ghost")
        assert tint(pilot, point) == ghost.bgcolor
        assert "Esc Let go" in screen_text(pilot)
        await dropped(pilot, point_of(pilot, one))
        assert "Fri 9 19:00" not in screen_text(pilot)
        assert unchanged(pilot)


async def test_a_narrow_day_tells_the_new_hour_in_full_too(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), today=WEDNESDAY, size=(80, 24)) as pilot:
        await held(pilot)
        await over(pilot, point_at(pilot, FRIDAY, 18 * 60))
        text = screen_text(pilot)
        assert "Fri 9" in text and "18:00 " in text.split("Fri 9", 2)[2]


async def test_a_drag_begins_on_quarters_of_an_hour(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), today=WEDNESDAY, size=(160, 50)) as pilot:
        one = await held(pilot)
        column, line = point_of(pilot, one)
        seen = set()
        for lower in range(1, 7):
            await over(pilot, (column, line + lower))
            ghost = view(pilot)._ghost
            seen.add(ghost.minute if ghost else None)
        assert seen == {one.minute + quarter for quarter in (15, 30, 45, 60)}
        await press(pilot, "escape")


async def test_a_drag_to_the_side_keeps_the_hour_to_the_minute(tmp_path: Path) -> None:
    async with opened(odd_minute(tmp_path), today=WEDNESDAY, size=WIDE) as pilot:
        await at_sheet(pilot)
        odd = next(one for one in week(pilot)._sessions if one.minute == ODD)
        used = {
            one.session.day for one in week(pilot)._sessions
            if one.minute < odd.end and odd.minute < one.end
        }  # fmt: skip
        day = next(day for day in week(pilot).week.days() if day >= WEDNESDAY and day not in used)
        column, line = point_of(pilot, odd)
        await pilot.mouse_down(view(pilot), offset=(column, line))
        await dropped(pilot, (point_at(pilot, day, 0)[0], line))
        assert (wish(pilot).day, wish(pilot).start) == (day, odd.session.start)


async def test_a_session_at_an_odd_minute_snaps_to_a_quarter(tmp_path: Path) -> None:
    async with opened(odd_minute(tmp_path), today=WEDNESDAY, size=WIDE) as pilot:
        await at_sheet(pilot)
        odd = next(one for one in week(pilot)._sessions if one.minute == ODD)
        column, line = point_of(pilot, odd)
        await pilot.mouse_down(view(pilot), offset=(column, line))
        await dropped(pilot, (column, line + 2))
        assert chosen(pilot).minute % 15 == 0 and chosen(pilot).minute > odd.minute


async def test_a_drag_that_ends_outside_does_nothing(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), today=WEDNESDAY, size=WIDE) as pilot:
        for point in ((1, 8), (60, 0), (116, 8)):
            await held(pilot)
            await dropped(pilot, point)
            assert unchanged(pilot) and view(pilot)._ghost is None
        await held(pilot)
        await pilot.hover("#week-slip", offset=(30, 3))
        await pilot.mouse_up("#week-slip", offset=(30, 3))
        await pilot.hover("Masthead")
        assert unchanged(pilot) and view(pilot)._drag is None


async def test_days_outside_the_year_take_no_session(tmp_path: Path) -> None:
    first = date(2027, 1, 13)
    folder = demo(tmp_path, "trips-and-boulders")
    async with opened(folder, today=first, size=WIDE) as pilot:
        await held(pilot, first)
        await dropped(pilot, point_at(pilot, first - timedelta(days=1), 19 * 60))
        assert unchanged(pilot) and told(pilot) == ""


async def test_escape_lets_go(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), today=WEDNESDAY, size=WIDE) as pilot:
        await held(pilot)
        point = point_at(pilot, FRIDAY, 19 * 60)
        await over(pilot, point)
        await press(pilot, "escape")
        assert view(pilot)._ghost is None and "Fri 9 19:00" not in screen_text(pilot)
        await dropped(pilot, point)
        assert unchanged(pilot)


async def test_a_window_that_changes_its_size_in_the_midst_of_a_drag_harms_nothing(
    tmp_path: Path,
) -> None:
    async with opened(demo(tmp_path), today=WEDNESDAY, size=WIDE) as pilot:
        for size in ((80, 24), (40, 24)):
            await held(pilot)
            assert view(pilot)._drag is not None
            await pilot.resize_terminal(*size)
            await pilot.pause()
            point = point_at(pilot, FRIDAY, 18 * 60) if view(pilot).hours else (20, 5)
            await dropped(pilot, point)
            assert unchanged(pilot) and view(pilot)._drag is None


async def test_a_file_read_again_in_the_midst_of_a_drag_lets_go_of_what_is_gone(
    tmp_path: Path,
) -> None:
    folder = demo(tmp_path)
    async with opened(folder, today=WEDNESDAY, size=WIDE) as pilot:
        one = await held(pilot)
        await over(pilot, point_at(pilot, FRIDAY, 19 * 60))
        year = folder / "year.toml"
        year.write_text(
            year.read_text() + f'\n[[session]]\nsession = "{one.session.id}"\nskip = true\n'
        )
        main(pilot).read_if_changed()
        await pilot.pause()
        await dropped(pilot, point_at(pilot, FRIDAY, 19 * 60))
        assert wish(pilot).skip and view(pilot)._ghost is None


async def test_nothing_is_dragged_into_the_past_or_out_of_it(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), today=WEDNESDAY, size=WIDE) as pilot:
        tuesday = WEDNESDAY - timedelta(days=1)
        await held(pilot)
        await dropped(pilot, point_at(pilot, tuesday, 19 * 60))
        assert unchanged(pilot) and "A day from" in told(pilot)
        await held(pilot, tuesday)
        await dropped(pilot, point_at(pilot, FRIDAY, 19 * 60))
        assert unchanged(pilot) and "done or missed" in told(pilot)


async def test_a_session_that_was_added_is_dragged_and_keeps_its_id(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), today=WEDNESDAY, size=WIDE) as pilot:
        await at_sheet(pilot)
        await press(pilot, "a", "enter")
        own = wish(pilot)
        one = next(one for one in week(pilot)._sessions if one.stand is Stand.ADDED)
        await pilot.mouse_down(view(pilot), offset=point_of(pilot, one))
        await dropped(pilot, point_at(pilot, FRIDAY, 19 * 60))
        assert (wish(pilot).id, wish(pilot).day) == (own.id, FRIDAY)
        assert wish(pilot).start in (time(18, 45), time(19))  # as finely as a line tells hours


async def test_clicking_a_session_chooses_it(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), today=WEDNESDAY, size=(80, 24)) as pilot:
        await at_sheet(pilot)
        one = week(pilot)._sessions[-1]
        await pilot.click(view(pilot), offset=point_of(pilot, one))
        await pilot.pause()
        assert chosen(pilot) == one and week(pilot).day == one.session.day
        assert unchanged(pilot)


async def test_clicking_a_day_chooses_the_first_of_it(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), today=WEDNESDAY, size=WIDE) as pilot:
        await at_sheet(pilot)
        await pilot.click(view(pilot), offset=(point_at(pilot, SUNDAY, 0)[0], 0))
        await pilot.pause()
        assert chosen(pilot).session.day == week(pilot).day == SUNDAY
        await pilot.click(view(pilot), offset=(point_at(pilot, FRIDAY, 0)[0], 0))
        await pilot.pause()
        assert week(pilot).chosen is None and week(pilot).day == FRIDAY


async def test_clicking_a_line_of_the_list_chooses_it(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), today=WEDNESDAY, size=(40, 24)) as pilot:
        await at_sheet(pilot)
        lines = screen_text(pilot).splitlines()
        line = next(number for number, text in enumerate(lines) if "Sun 11" in text)
        await pilot.click(view(pilot), offset=(12, line - view(pilot).region.y))
        await pilot.pause()
        assert chosen(pilot).session.day == SUNDAY


async def test_a_session_dropped_into_another_lies_beside_it(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), today=WEDNESDAY, size=WIDE) as pilot:
        one = await held(pilot)
        other = next(
            two for two in week(pilot)._sessions
            if two.session.day > WEDNESDAY and two.session.day != one.session.day
        )  # fmt: skip
        column, line = point_of(pilot, other)
        await dropped(pilot, (column, line))
        now = chosen(pilot)
        assert now.session.day == other.session.day
        assert now.minute >= other.end or now.end <= other.minute
        assert "is there on" in told(pilot)
        assert f"begins at {now.session.start:%H:%M}" in told(pilot)
        assert "Days on rock and form stay as they were." in told(pilot)
