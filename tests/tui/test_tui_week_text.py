"""The whole text of a session, what is done on a wet day, what to mind, and room between boxes."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest
from stage import bench, demo, opened, press, screen_text, slip, until, week, words
from textual.pilot import Pilot
from week_stage import at_sheet, chosen, line_of, places, view

from seasonplan.days import Span
from seasonplan.explain.sessions import facts_text
from seasonplan.injury import in_force_within
from seasonplan.plan import Session
from tui.week.draw import sentences_in

WIDE, SMALL = (160, 50), (80, 24)
OCTOBER = date(2027, 10, 6)


async def at(pilot: Pilot[int], session: Session) -> None:
    """Choose a session of the week that is shown."""
    await at_sheet(pilot)
    week(pilot).day, week(pilot).chosen = session.day, session.id
    week(pilot).redraw()
    await pilot.pause()


def of_week(pilot: Pilot[int], day: date, *, rock: bool) -> Session:
    found = (
        one
        for one in bench(pilot).desk.plan.current.sessions  # type: ignore[union-attr]
        if 0 <= (one.day - day).days < 5 and bool(one.rock) is rock and one.minutes
    )
    return next(found)


def flat(text: str) -> str:
    return " ".join(text.split())


@pytest.mark.parametrize("rock", [True, False])
async def test_the_slip_holds_the_whole_text_of_a_session(tmp_path: Path, rock: bool) -> None:
    async with opened(demo(tmp_path), today=OCTOBER, size=WIDE) as pilot:
        session = of_week(pilot, OCTOBER, rock=rock)
        await at(pilot, session)
        agenda = bench(pilot).agenda
        assert agenda is not None
        said = agenda.text(session)
        assert said.warm_up and said.do and said.stop
        for text in (*said.warm_up, said.do, said.this_week, said.stop, said.wet):
            assert flat(text) in slip(pilot)
        recipe = bench(pilot).desk.recipes[session.recipe]
        assert " With: " in facts_text(session, recipe)  # as `today` and the page have it
        assert facts_text(session, recipe) in slip(pilot)
        assert "{" not in slip(pilot)
        for head in ("Warm up", "Do", "Stop", "Take care"):
            assert head in slip(pilot)


async def test_what_is_done_on_a_wet_day_stands_beside_the_session(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), today=OCTOBER, size=WIDE) as pilot:
        session = of_week(pilot, OCTOBER, rock=True)
        await at_sheet(pilot)
        top, bottom = places(pilot)[session.id]
        left = view(pilot)._picture().left(session.day)
        box = " ".join(line_of(pilot, n)[left + 1 : left + 20].strip() for n in range(top, bottom))
        assert "Wet or too warm:" in box
        await at(pilot, session)
        assert "Wet or too warm?" in slip(pilot)


async def test_a_session_at_home_says_nothing_of_wet_rock(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), today=OCTOBER, size=WIDE) as pilot:
        await at(pilot, of_week(pilot, OCTOBER, rock=False))
        assert "Wet or too warm?" not in slip(pilot)


def test_a_text_in_a_box_ends_with_a_whole_sentence() -> None:
    text = "Easy indoors, or off. An easy day is not made up for by a hard one."
    assert sentences_in(text, 12, 3) == ["Easy", "indoors, or", "off."]
    assert sentences_in(text, 12, 2) == ["Easy", "indoors…"]
    assert " ".join(sentences_in(text, 12, 30)) == text
    assert sentences_in(text, 12, 1) == []


@pytest.mark.parametrize("size", [SMALL, (120, 40), WIDE])
async def test_every_box_with_two_lines_tells_its_hour(
    tmp_path: Path, size: tuple[int, int]
) -> None:
    async with opened(demo(tmp_path), today=OCTOBER, size=size) as pilot:
        await at_sheet(pilot)
        told = 0
        for one in week(pilot)._sessions:
            top, bottom = places(pilot)[one.session.id]
            left = view(pilot)._picture().left(one.session.day)
            box = [line_of(pilot, n)[left : left + 18] for n in range(top, bottom)]
            if bottom - top > 1:
                assert any(f"{one.session.start:%H:%M}" in line for line in box)
                told += 1
        assert told > 2


async def test_an_empty_line_lies_between_sessions_that_follow_each_other(tmp_path: Path) -> None:
    folder = demo(tmp_path)
    year = folder / "year.toml"
    more = "".join(
        f'\n[[session]]\nrecipe = "{name}"\nday = 2027-10-08\nstart = "{start}"\nminutes = 60\n'
        for name, start in (("mobility", "17:00"), ("aerobic", "18:00"))
    )
    year.write_text(year.read_text() + more)
    async with opened(folder, today=OCTOBER, size=WIDE) as pilot:
        await at_sheet(pilot)
        mine = [one.session.id for one in week(pilot)._sessions if one.session.day.day == 8]
        first, second = (places(pilot)[key] for key in mine)
        assert first[1] + 1 == second[0]


async def test_the_slip_of_the_week_is_read_on_with_the_space_bar(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), today=OCTOBER, size=SMALL) as pilot:
        await at(pilot, of_week(pilot, OCTOBER, rock=True))
        view_of = week(pilot).query_one("#week-slip")
        await press(pilot, "space")
        await until(pilot, lambda: view_of.scroll_y > 0)
        await press(pilot, "shift+up")
        await until(pilot, lambda: view_of.scroll_y == 0)


async def test_cautions_of_an_injury_are_told_once_and_name_the_part(tmp_path: Path) -> None:
    folder = demo(tmp_path)
    year = folder / "year.toml"
    year.write_text(
        year.read_text() + '\n[[injury]]\nname = "Sore shoulder"\npart = "shoulder"\n'
        'side = "left"\nhappened = 2027-10-04\neasy_from = 2027-10-05\n'
        "building_from = 2027-10-20\nfull_from = 2027-11-03\n"
    )
    async with opened(folder, today=OCTOBER, size=WIDE) as pilot:
        await at_sheet(pilot)
        one = next(one for one in week(pilot)._sessions if one.session.day >= OCTOBER)
        await at(pilot, one.session)
        day = one.session.day
        told = in_force_within(bench(pilot).desk.year, Span.through(day, day))
        assert told and all(slip(pilot).count(flat(each.text)) == 1 for each in told)
        assert slip(pilot).count("Climbing and finger training can hurt") == 1


async def test_the_sessions_to_add_say_what_they_are_without_gaps_to_fill(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), today=OCTOBER, size=WIDE) as pilot:
        await at_sheet(pilot)
        await press(pilot, "a")
        assert "Add which session?" in words(pilot)
        assert "{" not in screen_text(pilot)
        await press(pilot, "escape")
        assert chosen(pilot)
