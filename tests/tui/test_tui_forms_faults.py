"""Faults stand beside their line while one types."""

from __future__ import annotations

from pathlib import Path

from filling import choose, field, fill, form, judged, open_form, text
from stage import demo, opened, press, screen_text, until, words


async def test_faults_stand_under_their_line_while_one_types(tmp_path: Path) -> None:
    folder = demo(tmp_path)
    async with opened(folder) as pilot:
        await open_form(pilot, "goal onsights", {"grade": "7z"})
        await judged(pilot, "grade", "found '7z'; wanted a grade such as 7b+")
        await fill(pilot, "priority", "9")
        await judged(pilot, "priority", "found 9; wanted 3 or less")
        await fill(pilot, "served_by", "larchfold-sprung")
        await judged(pilot, "served_by", "Did you mean 'larchfold-spring'?")
        lines = screen_text(pilot).splitlines()
        at = next(n for n, one in enumerate(lines) if "Grade" in one)
        assert "! found '7z'" in lines[at + 1]
        await fill(pilot, "grade", "7c")
        await until(pilot, lambda: "grade" not in form(pilot).wrong)
        await press(pilot, "ctrl+s")
        assert field(pilot, "priority").input.has_focus
    assert "7z" not in text(folder)


async def test_a_fault_at_the_lower_edge_is_scrolled_to(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), size=(80, 24)) as pilot:
        await choose(pilot, "goal onsights")
        await press(pilot, "enter")
        await fill(pilot, "demands.movement", "9")
        await until(pilot, lambda: "wanted 5 or less" in words(pilot))


async def test_what_was_understood_is_read_in_full_in_a_narrow_window(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), size=(80, 24)) as pilot:
        await choose(pilot, "season larchfold-autumn")
        await press(pilot, "enter")
        await fill(pilot, "first", "december every year")
        await until(pilot, lambda: "✓ 1 December, every year" in words(pilot))


async def test_a_help_that_stands_beside_its_line_is_not_told_twice(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), size=(100, 30)) as pilot:
        await choose(pilot, "set climber")
        await press(pilot, "enter")
        await until(pilot, lambda: words(pilot).count("may stay empty") == 2)  # name and birth


async def test_a_fault_of_the_whole_entry_is_told_below(tmp_path: Path) -> None:
    async with opened(demo(tmp_path)) as pilot:
        await open_form(pilot, "trip family-sea", {"last": "1 mar"})
        await judged(pilot, "", "“Last day: 2027-03-01” before “First day: 2027-07-05”")
        assert "Exchange or correct the dates." in words(pilot)


async def test_what_a_setting_breaks_elsewhere_is_told_below(tmp_path: Path) -> None:
    folder = demo(tmp_path)
    with (folder / "year.toml").open("a", encoding="utf-8") as file:
        file.write('\n[[pin]]\nname = "Lake"\nkind = "rest"\nfirst = 2027-12-06\n'
                   "last = 2027-12-12\n")  # fmt: skip
    async with opened(folder) as pilot:
        await open_form(pilot, "set year", {"weeks": "20"})
        await judged(pilot, "", "“Lake”: found 2027-12-06 to 2027-12-12")


async def test_a_form_speaks_of_its_lines_and_never_of_the_file(tmp_path: Path) -> None:
    async with opened(demo(tmp_path)) as pilot:
        await open_form(pilot, "trip family-sea", {"climbing": "perhaps"})
        await judged(pilot, "climbing", "found 'perhaps'; wanted yes or no.")
        await fill(pilot, "climbing", "yes")
        await judged(pilot, "", "found a climbing trip without “Place” and “Discipline”")
        wrong = form(pilot).wrong[""].text
        assert "“You climb there: no”" in wrong
        assert not [sign for sign in ("trip.1", "false", "`", "=") if sign in wrong]
