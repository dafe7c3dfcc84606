"""The week: what is in it, and what keys make of its sessions."""

from __future__ import annotations

from datetime import date, time, timedelta
from pathlib import Path

from stage import bench, demo, opened, press, screen_text, slip, told, week, words
from week_stage import at_sheet, at_week, chosen, point_of, tint, view, wish

from seasonplan import diary
from seasonplan.diary import Did
from seasonplan.explain.sessions import effort_band
from tui.week.draw import BANDS, BEGINS, LEGEND, SHORT_LEGEND
from tui.week.sessions import Stand
from tui.week.sheet import WeekSheet

WEDNESDAY = date(2027, 4, 7)


async def test_the_week_of_today_shows_its_sessions_by_day_and_hour(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), today=WEDNESDAY) as pilot:
        await at_week(pilot)
        text = screen_text(pilot)
        assert "▼Wed 7" in text and "18:00" in text
        plan = bench(pilot).desk.plan
        assert plan is not None
        planned = [one for one in plan.current.sessions if one.day in week(pilot).week]
        assert planned and len(week(pilot)._sessions) == len(planned)


async def test_the_chosen_session_is_told_with_what_to_mind(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), today=WEDNESDAY) as pilot:
        await at_week(pilot)
        one = chosen(pilot)
        assert f"{one.session.minutes} minutes" in slip(pilot)
        assert "Climbing and finger training can hurt" in slip(pilot)


async def test_done_takes_two_keys(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), today=WEDNESDAY) as pilot:
        await at_week(pilot)
        session = chosen(pilot).session
        await press(pilot, "d")
        assert "How hard was it?" in slip(pilot)
        await press(pilot, "7")
        (entry,) = diary.parse(bench(pilot).desk.draft().diary, file=diary.FILE)
        assert (entry.kind, entry.session, entry.rpe) == (Did.DONE, session.id, 7)
        assert entry.minutes == session.minutes
        assert chosen(pilot).stand is Stand.DONE
        assert "done, effort 7 of 10" in slip(pilot)


async def test_zero_stands_for_ten_and_escape_leaves_it(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), today=WEDNESDAY) as pilot:
        await at_week(pilot)
        await press(pilot, "d", "escape", "9")
        assert bench(pilot).desk.draft().diary == ""
        await press(pilot, "d", "0")
        (entry,) = diary.parse(bench(pilot).desk.draft().diary, file=diary.FILE)
        assert entry.rpe == 10


async def test_missed_is_written_down(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), today=WEDNESDAY) as pilot:
        await at_week(pilot)
        await press(pilot, "m")
        (entry,) = diary.parse(bench(pilot).desk.draft().diary, file=diary.FILE)
        assert entry.kind is Did.MISSED and chosen(pilot).stand is Stand.MISSED
        await press(pilot, "x")
        assert "It is marked as missed" in told(pilot)
        assert bench(pilot).desk.year.fixed_sessions == ()
        await press(pilot, "u")
        assert bench(pilot).desk.draft().diary == ""


async def test_x_leaves_a_session_out_and_f_plans_it_again(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), today=WEDNESDAY) as pilot:
        await at_week(pilot)
        await press(pilot, "x")
        assert wish(pilot).skip and chosen(pilot).stand is Stand.OUT
        assert "left out" in slip(pilot)
        await press(pilot, "f")
        assert bench(pilot).desk.year.fixed_sessions == ()
        assert chosen(pilot).stand is Stand.PLANNED


async def test_a_session_moves_by_half_hours_and_by_days(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), today=WEDNESDAY) as pilot:
        await at_week(pilot)
        was = chosen(pilot).session
        await press(pilot, "full_stop")
        moved = chosen(pilot).session
        assert moved.id == was.id
        minute = 60 * was.start.hour + was.start.minute + 30
        assert moved.start == time(minute // 60, minute % 60)
        await press(pilot, "greater_than_sign")
        assert chosen(pilot).session.day == was.day + timedelta(days=1)
        assert wish(pilot).day == was.day + timedelta(days=1)
        assert chosen(pilot).stand is Stand.MOVED


async def test_keys_without_a_session_say_so(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), today=date(2027, 7, 7)) as pilot:
        await press(pilot, "2", "d", "x")
        assert "No session is chosen" in told(pilot)
        assert "sessions" in words(pilot)


async def test_a_day_of_rest_tells_of_the_next_session_as_it_stands(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), today=WEDNESDAY) as pilot:
        await at_week(pilot)
        free = {one.session.day for one in week(pilot)._sessions}
        days = [day for day in week(pilot).week.days() if day not in free]
        week(pilot)._go(days[0])
        after = next(one for one in week(pilot)._sessions if one.session.day > days[0])
        title = f"Next: {after.session.day:%a} {after.session.day.day}"
        assert title in slip(pilot) and f"{after.session.start:%H:%M}" in slip(pilot)


async def test_weeks_turn_and_come_back(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), today=WEDNESDAY) as pilot:
        await at_week(pilot)
        first = week(pilot).week
        await press(pilot, "n", "n", "b")
        assert week(pilot).week.first == first.first + timedelta(days=7)
        await press(pilot, "t", "left")
        assert week(pilot).day == WEDNESDAY - timedelta(days=1)


async def test_the_ends_of_the_year_hold(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), today=date(2027, 1, 4)) as pilot:
        await press(pilot, "2", "left", "b")
        assert week(pilot).day == date(2027, 1, 4)


async def test_busy_times_are_drawn(tmp_path: Path) -> None:
    folder = demo(tmp_path)
    (folder / "work.ics").write_text(
        "BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//x//x//EN\r\nBEGIN:VEVENT\r\nUID:1\r\n"
        "DTSTAMP:20270101T000000Z\r\nDTSTART:20270407T140000Z\r\nDTEND:20270407T160000Z\r\n"
        "SUMMARY:secret\r\nEND:VEVENT\r\nEND:VCALENDAR\r\n"
    )
    year = folder / "year.toml"
    year.write_text(year.read_text() + '\n[sessions]\nbusy = ["work.ics"]\n')
    async with opened(folder, today=WEDNESDAY) as pilot:
        await press(pilot, "2")
        assert "╱╱╱" in screen_text(pilot)  # noqa: RUF001  (drawn)
        assert "secret" not in screen_text(pilot)


async def test_a_narrow_week_is_a_list(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), today=WEDNESDAY, size=(40, 24)) as pilot:
        await at_week(pilot)
        text = screen_text(pilot)
        assert "▼Wed  7" in text and "›18:20" in text  # noqa: RUF001  (drawn)
        assert "week 3 of 7." in " ".join(text.split())
        assert "Fri  9" in text


async def test_a_session_is_added_after_what_the_day_holds(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), today=WEDNESDAY) as pilot:
        await at_week(pilot)
        day = week(pilot).day
        before = [one for one in week(pilot)._sessions if one.session.day == day]
        await press(pilot, "a")
        assert "Add which session?" in screen_text(pilot)
        await press(pilot, "enter")
        own = wish(pilot)
        assert own.recipe and own.day == day and own.start is not None
        ends = max(one.minute + one.session.minutes for one in before)
        assert own.start.hour * 60 + own.start.minute == ends
        assert any(one.stand is Stand.ADDED for one in week(pilot)._sessions)


async def test_escape_adds_nothing(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), today=WEDNESDAY) as pilot:
        await at_week(pilot)
        await press(pilot, "a", "escape")
        assert bench(pilot).desk.year.fixed_sessions == ()


async def test_a_session_that_was_added_moves_and_goes_like_the_others(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), today=WEDNESDAY) as pilot:
        await at_week(pilot)
        await press(pilot, "a", "enter")
        own = wish(pilot)
        added = next(one for one in week(pilot)._sessions if one.stand is Stand.ADDED)
        week(pilot).chosen = added.session.id
        await press(pilot, "full_stop", "greater_than_sign")
        moved = wish(pilot)
        assert moved.day == own.day + timedelta(days=1)  # type: ignore[operator]
        assert chosen(pilot).minute == added.minute + 30
        assert week(pilot).day == moved.day
        await press(pilot, "x")
        assert bench(pilot).desk.year.fixed_sessions == ()


async def test_a_session_pushed_over_the_end_of_the_week_stays_in_hand(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), today=date(2027, 4, 11)) as pilot:
        await at_week(pilot)
        was = chosen(pilot).session
        await press(pilot, "greater_than_sign")
        assert chosen(pilot).session.id == was.id
        assert week(pilot).week.first == date(2027, 4, 12) == week(pilot).day


async def test_the_keys_of_the_week_are_told_in_sentences(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), today=WEDNESDAY, size=(100, 60)) as pilot:
        await at_week(pilot)
        await press(pilot, "question_mark")
        text = words(pilot)
        assert "Mark done; the next key is the effort" in text
        assert "dragging moves a session" in text
        await press(pilot, "escape", "d", "question_mark")
        assert "How hard it was: a digit, 1 to 9, or 0 for 10." in words(pilot)


# --- the question of effort -------------------------------------------------------------------


async def test_the_question_of_effort_stands_where_the_eyes_are(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), today=WEDNESDAY, size=(80, 24)) as pilot:
        await at_week(pilot)
        await press(pilot, "d")
        text = screen_text(pilot)
        cell = next(line for line in text.splitlines() if "›" in line)  # noqa: RUF001  (drawn)
        assert "0 to 9?" in cell
        assert "5 6  hard" in text and "7 8 9  very hard" in text
        assert "Press a digit" in words(pilot)
        foot = text.splitlines()[-1]
        assert "0-9 How hard" in foot and "Esc No mark" in foot
        assert "Done, then" not in foot
        await press(pilot, "escape")
        assert "How hard" not in screen_text(pilot)


async def test_digits_of_pages_are_an_effort_while_it_is_asked_for(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), today=WEDNESDAY) as pilot:
        await at_week(pilot)
        await press(pilot, "d", "3")
        assert week(pilot).display
        (entry,) = diary.parse(bench(pilot).desk.draft().diary, file=diary.FILE)
        assert entry.rpe == 3
        await press(pilot, "3")
        assert not week(pilot).display


async def test_no_other_key_marks_while_the_effort_is_asked_for(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), today=WEDNESDAY) as pilot:
        await at_week(pilot)
        await press(pilot, "d", "x", "m", "full_stop")
        assert bench(pilot).desk.draft().diary == ""
        assert bench(pilot).desk.year.fixed_sessions == ()
        await press(pilot, "down", "8")
        assert bench(pilot).desk.draft().diary == ""


# --- days that are over -----------------------------------------------------------------------


async def test_a_past_session_can_still_be_marked(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), today=WEDNESDAY) as pilot:
        await press(pilot, "2", "left")
        one = chosen(pilot).session
        assert one.day < WEDNESDAY
        assert "mark the session done (d) or missed (m)" in slip(pilot)
        await press(pilot, "d", "6")
        (entry,) = diary.parse(bench(pilot).desk.draft().diary, file=diary.FILE)
        assert (entry.session, entry.date) == (one.id, one.day)
        assert "This day is over" not in slip(pilot)


async def test_past_days_are_quieter(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), today=WEDNESDAY, size=(120, 40)) as pilot:
        await at_sheet(pilot)
        week(pilot).chosen = None
        week(pilot).redraw()
        past = view(pilot).get_component_rich_style("week--past").bgcolor
        for one in week(pilot)._sessions:
            over = one.session.day < WEDNESDAY
            part = "past" if over else BANDS[effort_band(one.session.rpe)]
            style = view(pilot).get_component_rich_style(f"week--{part}")
            assert tint(pilot, point_of(pilot, one)) == style.bgcolor
            assert over or style.bgcolor != past


async def test_effort_is_shown_by_tint_and_by_the_edge_of_a_session(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), today=WEDNESDAY, size=(120, 40)) as pilot:
        await at_sheet(pilot)
        ahead = [one.session.rpe for one in week(pilot)._sessions if one.session.day >= WEDNESDAY]
        bands = {effort_band(rpe) for rpe in ahead}
        assert len(bands) > 1
        text = screen_text(pilot)
        assert LEGEND in text and all(BEGINS[band] in text.replace(LEGEND, "") for band in bands)
        assert [effort_band(rpe) for rpe in (3, 4, 6.9, 7)] == [0, 1, 1, 2]


async def test_the_edge_of_a_session_is_explained_where_the_window_is_small(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), today=WEDNESDAY, size=(80, 24)) as pilot:
        await at_sheet(pilot)
        grid = week(pilot).query_one(WeekSheet).hours is not None
        assert grid and SHORT_LEGEND in screen_text(pilot)
        await pilot.resize_terminal(50, 24)
        await pilot.pause()
        assert SHORT_LEGEND not in screen_text(pilot), "no edges in the list of days"


async def test_what_is_over_is_not_moved_and_the_refusal_is_told(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), today=WEDNESDAY) as pilot:
        await press(pilot, "2", "left")
        was = chosen(pilot).session
        await press(pilot, "full_stop", "x")
        assert bench(pilot).desk.year.fixed_sessions == ()
        assert "done or missed" in told(pilot)
        assert chosen(pilot).session == was


async def test_a_session_of_a_coming_day_asks_when_it_was_done(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), today=WEDNESDAY) as pilot:
        await at_week(pilot)
        while chosen(pilot).session.day <= WEDNESDAY:
            await press(pilot, "down")
        coming = chosen(pilot).session
        assert "m Missed" not in screen_text(pilot).splitlines()[-1]
        await press(pilot, "m")
        assert "which is still to come" in told(pilot)
        await press(pilot, "d")
        assert "When did you do it?" in screen_text(pilot)
        await press(pilot, "down", "down", "enter", "7")
        assert bench(pilot).desk.draft().diary == ""
        await press(pilot, "d", "down", "enter", "7")
        (entry,) = diary.parse(bench(pilot).desk.draft().diary, file=diary.FILE)
        assert (entry.session, entry.date) == (coming.id, WEDNESDAY - timedelta(days=1))
        assert "done on Tue 6 Apr 2027, effort 7 of 10" in slip(pilot)


async def test_a_session_that_was_changed_is_entered_under_what_it_holds(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), size=(160, 50), today=WEDNESDAY) as pilot:
        await at_week(pilot)
        name = bench(pilot).desk.recipes[chosen(pilot).session.recipe].name
        await press(pilot, "x", "3")
        assert f"{name} " in screen_text(pilot)
        assert "left out, in the week from Mon 5 Apr 2027" in screen_text(pilot)
