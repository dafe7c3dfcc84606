"""What a week looks like where it is odd: no colour, no room, busy, cut, clocks changed."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rich.cells import cell_len
from stage import bench, demo, opened, press, screen_text, short_of_time, slip, week, words
from textual.pilot import Pilot
from week_stage import (
    at_sheet,
    at_week,
    chosen,
    laid_out,
    line_of,
    places,
    point_at,
    point_of,
    view,
)

from seasonplan.days import Span, calendar_weeks
from tui.bench import Bench
from tui.week.draw import HEAD, boxes, fitted, marked
from tui.week.sessions import shown
from tui.week.told import facts_of

WEDNESDAY = date(2027, 4, 7)
SMALL, WIDE = (80, 24), (120, 40)
ROOM, COLUMN = 9, 9  # lines for hours and columns of a day on 80 x 24
YEARS = ("autumn-project", "mountain-summer", "trips-and-boulders")


def head(pilot: Pilot[int]) -> str:
    """The lines above the sheet."""
    lines = screen_text(pilot).splitlines()[1 : view(pilot).region.y]
    return " ".join(" ".join(lines).split())


def busy(folder: Path, start: str, end: str) -> None:
    """A busy calendar with one appointment, in universal time."""
    (folder / "work.ics").write_text(
        "BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//x//x//EN\r\nBEGIN:VEVENT\r\nUID:1\r\n"
        f"DTSTAMP:20270101T000000Z\r\nDTSTART:{start}\r\nDTEND:{end}\r\nSUMMARY:secret\r\n"
        "END:VEVENT\r\nEND:VCALENDAR\r\n"
    )
    year = folder / "year.toml"
    year.write_text(year.read_text() + '\n[sessions]\nbusy = ["work.ics"]\n')


# --- little room ------------------------------------------------------------------------------


@pytest.mark.parametrize("name", YEARS)
def test_no_session_of_a_whole_year_is_hidden_or_cut_on_a_small_screen(
    tmp_path: Path, name: str
) -> None:
    opened_bench = Bench(demo(tmp_path, name))
    year, count = opened_bench.desk.year, 0
    for week_span in calendar_weeks(year.span, year.climber.week_begins):
        week_of = Span(week_span.first, week_span.first + timedelta(days=7))
        facts = facts_of(opened_bench, week_of, shown(opened_bench, week_of))
        hours = facts.laid_out(ROOM)
        if hours is None:  # a long day in the mountains and evenings: the week is shown as a list
            continue
        found = boxes(facts, hours)
        for day in facts.week.days():
            there = [one for one in facts.sessions if one.session.day == day]
            mine = [found[one.session.id] for one in there]
            assert not there or mine[0][0] == HEAD + hours.line(there[0].minute)
            lines = [line for top, bottom in mine for line in range(top, bottom)]
            assert len(lines) == len(set(lines)) and all(top < bottom for top, bottom in mine)
            assert all(HEAD <= line < HEAD + ROOM for line in lines)
        for key, (top, bottom) in found.items():
            text = fitted(facts.names[key], COLUMN, bottom - top)
            assert " ".join(text) in facts.names[key]
            count += 1
    assert count > 200


def test_a_name_that_does_not_fit_gives_way_to_the_short_one() -> None:
    names = ("Fingerboard, little and often", "Fingers")
    assert fitted(names, 9, 2) == ["Fingers"]
    assert fitted(names, 16, 2) == ["Fingerboard,", "little and often"]
    assert fitted(("Technique drills", "Drills"), 9, 2) == ["Technique", "drills"]
    assert fitted(("Technique drills", "Drills"), 9, 1) == ["Drills"]


def test_a_tick_before_a_name_never_cuts_it() -> None:
    names = ("Pressing and shoulders", "Pressing")
    assert marked(names, "✓", 8) == names
    assert marked(names, "✓", 10) == ("✓ Pressing and shoulders", "✓ Pressing")
    assert marked(names, "", 10) == names


@given(st.text(min_size=1, max_size=30), st.text(max_size=9), st.integers(1, 30), st.integers(1, 4))
def test_whatever_a_session_is_called_it_stays_in_its_column(
    name: str, short: str, width: int, lines: int
) -> None:
    text = fitted((name, short), width, lines)
    assert len(text) <= lines and all(cell_len(line) <= width for line in text)


async def test_a_small_screen_shows_whole_words(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), today=date(2027, 1, 4), size=SMALL) as pilot:
        await at_week(pilot)
        text = screen_text(pilot)
        grid = text.split("▔")[-1].split("────")[0]
        facts = view(pilot).facts
        assert facts is not None and len(facts.names) > 3
        for key, names in facts.names.items():
            top, bottom = places(pilot)[key]
            shown_as = fitted(names, COLUMN - 1, max(1, bottom - top - 1))
            assert all(line in grid for line in shown_as)


async def test_hours_without_anything_are_one_mark_in_the_margin(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), today=WEDNESDAY, size=SMALL) as pilot:
        await at_sheet(pilot)
        (fold,) = [row for row in laid_out(pilot).rows if row.folded]
        assert line_of(pilot, HEAD + fold.top).strip() == "⋮"
        assert all(row.lines == 2 for row in laid_out(pilot).rows if row.first in (10, 18))


async def test_sessions_at_the_same_minute_stand_under_each_other(tmp_path: Path) -> None:
    folder = demo(tmp_path)
    year = folder / "year.toml"
    more = "".join(
        f'\n[[session]]\nrecipe = "{name}"\nday = 2027-04-09\nstart = "18:00"\nminutes = 20\n'
        for name in ("mobility", "aerobic")
    )
    year.write_text(year.read_text() + more)
    async with opened(folder, today=WEDNESDAY, size=SMALL) as pilot:
        await at_sheet(pilot)
        mine = [one.session.id for one in week(pilot)._sessions if one.session.day.day == 9]
        first, second = (places(pilot)[key] for key in mine)
        assert first[0] == HEAD + laid_out(pilot).line(18 * 60)
        assert first[1] == second[0]


async def test_a_week_too_full_for_the_screen_is_a_list(tmp_path: Path) -> None:
    folder = demo(tmp_path)
    year = folder / "year.toml"
    more = "".join(
        f'\n[[session]]\nrecipe = "mobility"\nday = 2027-04-09\nstart = "{hour:02}:00"\n'
        f'minutes = 20\nid = "more-{hour}"\n'
        for hour in range(6, 23)
    )
    year.write_text(year.read_text() + more)
    async with opened(folder, today=WEDNESDAY, size=SMALL) as pilot:
        await at_sheet(pilot)
        assert view(pilot).hours is None
        await press(pilot, *["down"] * 20)
        one = chosen(pilot)
        assert f"›{one.session.start:%H:%M}" in screen_text(pilot)  # noqa: RUF001  (drawn)


# --- the head ---------------------------------------------------------------------------------


async def test_the_head_says_what_the_week_is_for(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), today=date(2027, 1, 4), size=SMALL) as pilot:
        await at_week(pilot)
        sessions = week(pilot)._sessions
        hours, minutes = divmod(sum(one.session.minutes for one in sessions), 60)
        amount = f"{len(sessions)} sessions, {hours} h {minutes} min"
        assert head(pilot).startswith(f"4 to 10 Jan 2027 {amount}")
        assert " Base block, fingers, week 1 of 4." in head(pilot)
        assert "This week" in head(pilot)


async def test_the_head_says_what_does_not_fit_and_why(tmp_path: Path) -> None:
    for size in (SMALL, WIDE, (40, 24)):
        async with opened(
            short_of_time(tmp_path / str(size)), today=date(2027, 4, 1), size=size
        ) as pilot:
            await at_week(pilot)
            assert "! 30 min do not fit: hard sessions" in head(pilot)
            assert "Performance block; fingers kept, week 2 of 7." in head(pilot)


async def test_a_day_without_session_tells_what_would_help_the_week(tmp_path: Path) -> None:
    async with opened(short_of_time(tmp_path), today=date(2027, 3, 30), size=SMALL) as pilot:
        await press(pilot, "2")
        while week(pilot).chosen is not None:
            await press(pilot, "right")
        assert "Rest day." in slip(pilot)
        assert "30 of 450 minutes do not fit" in slip(pilot)
        assert "accept a lighter week" in slip(pilot)


async def test_a_caution_is_in_view_on_a_small_screen(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), today=WEDNESDAY, size=SMALL) as pilot:
        await at_week(pilot)
        assert "Take care" in screen_text(pilot)


# --- without colour ---------------------------------------------------------------------------


async def test_without_colour_a_sign_and_a_word_say_what_became_of_a_session(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("NO_COLOR", "1")
    async with opened(demo(tmp_path), today=WEDNESDAY, size=WIDE) as pilot:
        await at_sheet(pilot)
        told = {}
        for name, keys in {
            "done": ("d", "7"), "missed": ("up", "m"), "left out": ("down", "down", "x"),
            "moved by you": ("down", "less_than_sign"),
        }.items():  # fmt: skip
            await press(pilot, *keys)
            assert name in slip(pilot)
            told[name] = chosen(pilot).session.id
        await press(pilot, "home", "t")
        signs = {"done": "✓", "missed": "×", "moved by you": "→", "left out": "–"}  # noqa: RUF001
        for name, key in told.items():
            one = next(one for one in week(pilot)._sessions if one.session.id == key)
            column, _ = point_of(pilot, one)
            top, bottom = places(pilot)[key]
            text = [line_of(pilot, n)[column - 2 : column + 12] for n in range(top, bottom)]
            assert signs[name] in text[0], name
            assert bottom - top < 4 or any(name in row for row in text), name
        week(pilot).chosen = told["done"]
        week(pilot).redraw()
        cell = line_of(pilot, places(pilot)[told["done"]][0])
        assert "›✓ " in cell  # noqa: RUF001  (drawn)


async def test_a_narrow_list_says_what_became_of_a_session(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), today=WEDNESDAY, size=(40, 24)) as pilot:
        await at_week(pilot)
        await press(pilot, "d", "7", "down", "m")
        text = screen_text(pilot)
        assert "✓Pressing, done" in text and "Long easy climbing" in text and ", done" in text


async def test_a_narrow_slip_begins_with_what_to_mind(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), today=WEDNESDAY, size=(40, 24)) as pilot:
        await at_week(pilot)
        one = chosen(pilot).session
        caution = bench(pilot).desk.recipes[one.recipe].caution
        assert f"{caution.split('. ')[0]}" in slip(pilot).split(f"{one.minutes} minutes")[0]


@pytest.mark.parametrize("size", [(20, 10), (59, 8), (8, 4)], ids=lambda s: f"{s[0]}x{s[1]}")
async def test_a_tiny_window_breaks_nothing(tmp_path: Path, size: tuple[int, int]) -> None:
    async with opened(demo(tmp_path), today=WEDNESDAY, size=size) as pilot:
        await press(pilot, "2", "down", "d", "down", "n")
        assert week(pilot).day >= WEDNESDAY + timedelta(days=7)


# --- odd weeks --------------------------------------------------------------------------------


async def test_the_clocks_go_forward_and_busy_hours_stay_on_the_wall_clock(tmp_path: Path) -> None:
    folder = demo(tmp_path)
    busy(folder, "20270328T120000Z", "20270328T140000Z")  # 14:00 to 16:00 in summer time
    async with opened(folder, today=date(2027, 3, 27), size=WIDE) as pilot:
        await at_sheet(pilot)
        assert "The clocks go forward on Sun 28 Mar." in head(pilot)
        sunday = date(2027, 3, 28)
        hatched = {
            hour
            for hour in range(8, 20)
            for column, line in [point_at(pilot, sunday, hour * 60)]
            if line_of(pilot, line)[column] == "╱"  # noqa: RUF001  (drawn)
        }
        assert hatched == {14, 15}
        assert "secret" not in screen_text(pilot)


async def test_the_clocks_go_back(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), today=date(2027, 10, 30), size=SMALL) as pilot:
        await at_sheet(pilot)
        assert "The clocks go back on Sun 31 Oct." in head(pilot)
        await press(pilot, "n")
        assert "clocks" not in words(pilot)


async def test_a_week_may_begin_on_sunday_and_the_first_be_cut(tmp_path: Path) -> None:
    folder = demo(tmp_path, "trips-and-boulders")
    async with opened(folder, today=date(2027, 1, 13), size=SMALL) as pilot:
        await at_sheet(pilot)
        names = line_of(pilot, 0).split()
        assert names[::2] == ["Sun", "Mon", "Tue", "▼Wed", "Thu", "Fri", "Sat"]
        assert line_of(pilot, 1).count("Outside") == 3
        assert head(pilot).startswith("13 to 16 Jan 2027")
        await press(pilot, "left", "left")
        assert week(pilot).day == date(2027, 1, 13)


async def test_the_last_week_is_cut_where_the_year_ends(tmp_path: Path) -> None:
    folder = demo(tmp_path, "trips-and-boulders")
    async with opened(folder, today=date(2028, 1, 11), size=SMALL) as pilot:
        await at_sheet(pilot)
        assert head(pilot).startswith("9 to 11 Jan 2028")
        assert line_of(pilot, 1).count("Outside") == 4
        await pilot.click(view(pilot), offset=(point_at(pilot, date(2028, 1, 13), 0)[0], 0))
        await press(pilot, "n", "right")
        assert week(pilot).day == date(2028, 1, 11)


async def test_days_away_say_so(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), today=date(2027, 8, 17), size=SMALL) as pilot:
        await at_sheet(pilot)
        assert line_of(pilot, 1).count("Away") == 6
        assert "Absence “Trade fair”, day 2 of 7. This week has no training." in head(pilot)
