"""Help and the palette: only our own keys are told of, and everything is found by its name."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

import pytest
from filling import choose, fill, form, page
from stage import (
    bench,
    demo,
    main,
    opened,
    pointed,
    press,
    screen_text,
    told,
    typed,
    until,
    words,
)
from textual.pilot import Pilot

from seasonplan.pictures.asked import FORM, LOAD, PICTURES
from tui.help import HelpScreen
from tui.hints import Hints
from tui.lists.entries import EntriesPage
from tui.week.page import WeekPage

LIBRARY = ("Scroll", "Page Up", "Page Down", "Select", "Copy selected", "super+")


async def ask(pilot: Pilot[int], said: str) -> None:
    """Open the palette and type."""
    await press(pilot, "ctrl+p")
    await typed(pilot, said)
    await until(pilot, lambda: "Search" not in words(pilot))
    await pilot.pause(0.3)


@pytest.mark.parametrize("tab", ["1", "2", "3", "4"])
async def test_help_tells_of_our_keys_only(tmp_path: Path, tab: str) -> None:
    async with opened(demo(tmp_path), size=(100, 60)) as pilot:
        await press(pilot, tab, "question_mark")
        screen = pilot.app.screen
        assert isinstance(screen, HelpScreen)
        told = " ".join(f"{keys} {what}" for keys, what in screen.lines)
        assert not [word for word in LIBRARY if word in told]
        assert "Plan anew" in told
        named = [key for keys, _ in screen.lines for key in keys.split() if len(key) > 1]
        assert "Esc" in named and all(key[0].isupper() for key in named), named


async def test_f1_helps_where_a_question_mark_is_typed(tmp_path: Path) -> None:
    async with opened(demo(tmp_path)) as pilot:
        await choose(pilot, "goal onsights")
        await press(pilot, "enter")
        assert "q Leave" not in words(pilot) and "F1 Keys" in words(pilot)
        await press(pilot, "f1")
        screen = pilot.app.screen
        assert isinstance(screen, HelpScreen)
        assert ("Ctrl+S", "Write down what you filled in; wrong lines are shown first.") in (
            screen.lines
        )


async def test_the_palette_does_what_the_screen_under_it_can(tmp_path: Path) -> None:
    """Its entries did nothing where the key is the screen's and not that of what has the focus."""
    folder = demo(tmp_path)
    async with opened(folder, size=(100, 40)) as pilot:
        await ask(pilot, "poster")
        await until(pilot, lambda: "Poster for the wall" in words(pilot))
        await press(pilot, "enter")
        await until(pilot, lambda: (folder / "poster.pdf").exists())
        assert "`" not in told(pilot)
        for name in (FORM, LOAD):
            await ask(pilot, f"picture: {name}")
            await until(pilot, lambda name=name: f"writes {name}.svg" in words(pilot))
            await press(pilot, "enter")
            await until(pilot, lambda name=name: (folder / f"{name}.svg").exists())
            assert (folder / f"{name}.svg").read_bytes().startswith(b"<svg")
            assert f"{name}.svg: {PICTURES[name]}" in told(pilot)


@pytest.mark.parametrize(
    ("said", "holds"),
    [
        ("injury", "Enter an injury"),
        ("illness", "Enter an illness"),
        ("base block, endurance", "a block of the plan"),
        ("theme", "Slate, dark"),
        ("trade fair", "time away from training"),
        ("calendar", "Calendar for the phone"),
        ("mobility", "a recipe"),
    ],
)
async def test_everything_is_found_by_its_name(tmp_path: Path, said: str, holds: str) -> None:
    async with opened(demo(tmp_path), size=(100, 40)) as pilot:
        await ask(pilot, said)
        await until(pilot, lambda: holds in words(pilot))


async def test_a_name_leads_there(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), size=(100, 40)) as pilot:
        await ask(pilot, "base block, fingers, 19 jul")
        await press(pilot, "enter")
        await until(pilot, lambda: pointed(pilot).key == "base-3")
        await ask(pilot, "trade fair")
        await press(pilot, "enter")
        await until(pilot, lambda: page(pilot)._chosen is not None and page(pilot).display)
        assert page(pilot)._chosen.entry == "trade-fair"  # type: ignore[union-attr]
        await ask(pilot, "enter an illness")
        await press(pilot, "enter")
        await until(pilot, lambda: pilot.app.screen is not main(pilot))
        await until(pilot, lambda: "Enter an illness" in words(pilot))


# --- an illness -------------------------------------------------------------------------------


async def test_a_short_illness_is_time_off(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), size=(120, 40)) as pilot:
        await press(pilot, "3")
        page(pilot).point("set before")
        await press(pilot, "a")
        await until(pilot, lambda: "an illness, days off and the way back" in words(pilot))
        main(pilot).app.pop_screen()
        page(pilot).open_form("ill")
        await pilot.pause()
        await fill(pilot, "first", "yesterday")
        await fill(pilot, "last", "in 1 day")
        await until(pilot, lambda: "16 Feb 2027 to Thu 18 Feb 2027 without" in words(pilot))
        await press(pilot, "ctrl+s")
        (ill,) = [one for one in bench(pilot).desk.year.absences if one.name == "Illness"]
        assert (str(ill.first), str(ill.last)) == ("2027-02-16", "2027-02-18")


async def test_a_long_illness_comes_back_in_steps(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), size=(120, 40)) as pilot:
        page(pilot).open_form("ill")
        await pilot.pause()
        await fill(pilot, "first", "10 feb")
        await fill(pilot, "last", "24 feb")
        await until(pilot, lambda: "Easy days from" in words(pilot))
        await press(pilot, "ctrl+s")
        (ill,) = bench(pilot).desk.year.injuries
        assert str(ill.easy_from) == "2027-02-25" and ill.full_from > ill.building_from


async def test_an_illness_without_days_asks_for_them(tmp_path: Path) -> None:
    folder = demo(tmp_path)
    before = (folder / "year.toml").read_bytes()
    async with opened(folder) as pilot:
        page(pilot).open_form("ill")
        await pilot.pause()
        await fill(pilot, "first", "10 feb")
        await press(pilot, "ctrl+s")
        await until(pilot, lambda: "is needed" in words(pilot))
        await fill(pilot, "last", "2027-02-01")
        await press(pilot, "ctrl+s")
        await until(pilot, lambda: "the first day or later" in words(pilot))
        assert form(pilot).about.key == "ill"
    assert (folder / "year.toml").read_bytes() == before


# --- the chosen line --------------------------------------------------------------------------


async def test_the_chosen_answer_has_a_sign_besides_its_colour(tmp_path: Path) -> None:
    async with opened(demo(tmp_path)) as pilot:
        await press(pilot, "r")
        assert "› Most of it" in words(pilot)  # noqa: RUF001  (drawn)
        await press(pilot, "down")
        assert "› As much as possible" in words(pilot)  # noqa: RUF001  (drawn)
        assert "› Most of it" not in words(pilot)  # noqa: RUF001  (drawn)


async def test_the_chosen_beginning_has_a_sign_besides_its_colour(tmp_path: Path) -> None:
    async with opened(tmp_path) as pilot:
        assert "› Begin my year" in words(pilot)  # noqa: RUF001  (drawn)
        await press(pilot, "down")
        assert "› Example" in words(pilot)  # noqa: RUF001  (drawn)


async def test_the_chosen_line_of_a_narrow_year_has_a_sign(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), size=(40, 24)) as pilot:
        lines = [line for line in screen_text(pilot).splitlines() if "›" in line]  # noqa: RUF001
        assert len(lines) == 1 and "strength" in lines[0]
        await press(pilot, "down")
        lines = [line for line in screen_text(pilot).splitlines() if "›" in line]  # noqa: RUF001
        assert len(lines) == 1 and "strength" not in lines[0]


async def test_the_palette_has_our_words_and_no_picture(tmp_path: Path) -> None:
    async with opened(demo(tmp_path)) as pilot:
        await press(pilot, "ctrl+p")
        await until(pilot, lambda: "What you look for, by its name" in screen_text(pilot))
        assert "\U0001f50e" not in screen_text(pilot)
        await press(pilot, "q", "x", "q", "x", "z")
        await until(pilot, lambda: "Nothing here has that name" in screen_text(pilot))
        assert "No matches" not in screen_text(pilot)


def hints(pilot: Pilot[int]) -> str:
    return main(pilot).query_one(Hints).render().plain


async def test_lists_offer_what_works_on_the_chosen_line(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), size=(80, 40)) as pilot:
        await press(pilot, "5", "home")
        assert "Write a result" not in hints(pilot) and "Timer" not in hints(pilot)
        await press(pilot, "down")
        assert "Enter Write a result" in hints(pilot) and "t Timer" in hints(pilot)
        await press(pilot, "end")  # uphill time: no hangs to time
        assert "Enter Write a result" in hints(pilot) and "Timer" not in hints(pilot)
        await press(pilot, "4")
        assert "On or off" in hints(pilot) and "Default again" not in hints(pilot)
        await press(pilot, "d")
        assert "as by default already" in told(pilot)


async def test_a_line_for_one_more_offers_to_fill_in_and_an_entry_to_change(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), size=(160, 40)) as pilot:
        await press(pilot, "3")
        page = main(pilot).query_one(EntriesPage)
        page.point("new goal")
        await pilot.pause()
        assert "Enter Fill in" in hints(pilot) and "Change" not in hints(pilot)
        page.point("goal onsights")
        await pilot.pause()
        assert "Enter Change" in hints(pilot) and "Fill in" not in hints(pilot)
        await press(pilot, "question_mark")
        assert "Enter c" in screen_text(pilot)


async def test_a_key_right_behind_another_finds_what_that_one_did(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), size=(40, 24)) as pilot:
        await press(pilot, "home")
        first = pointed(pilot)
        for key in ("down", "p"):
            pilot.app.simulate_key(key)
        await pilot.pause()
        assert pointed(pilot).key != first.key
        assert [pin.span for pin in bench(pilot).desk.year.pins] == [pointed(pilot).span]
        week = main(pilot).query_one(WeekPage)
        await press(pilot, "2", "1")
        day = week.day
        for key in ("2", "n"):
            pilot.app.simulate_key(key)
        await pilot.pause()
        assert week.day == day + timedelta(days=7)
