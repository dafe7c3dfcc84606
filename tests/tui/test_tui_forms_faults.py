"""Every line has words and every sort a form; faults stand beside their line while one types."""

from __future__ import annotations

from pathlib import Path

from filling import choose, field, fill, form, judged, text
from stage import demo, opened, press, screen_text, until, words

from seasonplan.edits.form_words import SECTIONS, SETTINGS
from seasonplan.edits.forms import (
    Line,
    entry_lines,
    lines_of,
    recipe_lines,
    rule_lines,
    setting_lines,
)
from seasonplan.edits.in_form import in_form
from seasonplan.injury import Hurt
from seasonplan.year import Year
from seasonplan.year.model import ENTRY_FIELDS

# --- the models -------------------------------------------------------------------------------


def every_line() -> list[Line]:
    found = [*rule_lines(), *recipe_lines(), *lines_of(Hurt, "injury")]
    for section in ENTRY_FIELDS:
        found += entry_lines(section)
    for part in SETTINGS:
        found += setting_lines(part)
    return found


def test_every_line_of_every_form_has_words() -> None:
    lines = every_line()
    assert len(lines) > 100
    assert not [line.key for line in lines if not line.help or not line.label]


def test_no_section_and_no_setting_is_forgotten() -> None:
    assert set(SECTIONS) == set(ENTRY_FIELDS)
    named = {field.alias or name for name, field in Year.model_fields.items()}
    parts = {part.partition(".")[0] for part in SETTINGS}
    assert named == {*SECTIONS, *parts, "rules", "recipes", "schema"}
    minutes = {f"minutes.{line.key}" for line in setting_lines("climber.minutes")}
    assert len(minutes) == 7


# --- faults -----------------------------------------------------------------------------------


async def test_faults_stand_under_their_line_while_one_types(tmp_path: Path) -> None:
    folder = demo(tmp_path)
    async with opened(folder) as pilot:
        await choose(pilot, "goal onsights")
        await press(pilot, "enter")
        await fill(pilot, "grade", "7z")
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
        await until(pilot, lambda: words(pilot).count("may stay empty") == 1)


async def test_a_fault_of_the_whole_entry_is_told_below(tmp_path: Path) -> None:
    async with opened(demo(tmp_path)) as pilot:
        await choose(pilot, "trip family-sea")
        await press(pilot, "enter")
        await fill(pilot, "last", "1 mar")
        await judged(pilot, "", "“Last day: 2027-03-01” before “First day: 2027-07-05”")
        assert "Exchange or correct the dates." in words(pilot)


async def test_what_a_setting_breaks_elsewhere_is_told_below(tmp_path: Path) -> None:
    folder = demo(tmp_path)
    with (folder / "year.toml").open("a", encoding="utf-8") as file:
        file.write('\n[[pin]]\nname = "Lake"\nkind = "rest"\nfirst = 2027-12-06\n'
                   "last = 2027-12-12\n")  # fmt: skip
    async with opened(folder) as pilot:
        await choose(pilot, "set year")
        await press(pilot, "enter")
        await fill(pilot, "weeks", "20")
        await judged(pilot, "", "“Lake”: found 2027-12-06 to 2027-12-12")


async def test_a_form_speaks_of_its_lines_and_never_of_the_file(tmp_path: Path) -> None:
    async with opened(demo(tmp_path)) as pilot:
        await choose(pilot, "trip family-sea")
        await press(pilot, "enter")
        await fill(pilot, "climbing", "perhaps")
        await judged(pilot, "climbing", "found 'perhaps'; wanted yes or no.")
        await fill(pilot, "climbing", "yes")
        await judged(pilot, "", "found a climbing trip without “Place” and “Discipline”")
        wrong = form(pilot).wrong[""].text
        assert "“You climb there: no”" in wrong
        assert not [sign for sign in ("trip.1", "false", "`", "=") if sign in wrong]


# Faults of each sort that a form can meet, as the file writes them.
SAID = (
    ("Write `[3, 6]`.", "rule", "Write 3, 6."),
    ('Write `"18:30"`.', "session", "Write 18:30."),
    ("`true` or `false`", "trip", "yes or no"),
    ("`easy_from` and `full_from`", "injury", "“Light load from” and “Everything from”"),
    ("`rain_below = 1`", "place", "“Rain below: 1”"),
    ("`least_minutes`", "recipe", "“Shortest”"),
    ("See `seasonplan rules`.", "rule", "See `seasonplan rules`."),
)


def test_what_the_file_writes_is_told_by_labels_and_as_one_types_it() -> None:
    for text_of_file, about, told in SAID:
        assert in_form(text_of_file, about=about, lines=()) == told
