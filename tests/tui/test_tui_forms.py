"""Forms for everything that was entered: what is typed, judged, written down and taken back."""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path

import pytest
from filling import choose, field, fill, form, judged, open_form, page, text
from stage import demo, main, opened, press, screen_text, told, until, words
from textual.events import Key, Paste
from textual.widgets import Input, OptionList

from seasonplan.edits.form_words import SECTIONS
from seasonplan.year.model import ENTRY_FIELDS
from tui.listing import HERE

# --- the list ---------------------------------------------------------------------------------


async def test_the_third_page_lists_everything_that_was_entered(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), size=(120, 50)) as pilot:
        await press(pilot, "3")
        shown = words(pilot)
        for head, one in SECTIONS.values():
            assert head in shown and f"+ {one}" in shown
        assert "The long traverse 8a sport, Larchfold, priority 1" in shown
        assert "every year 20 March to 5 May" in shown
        assert "12 h 15 a week: Mon 45 min" in shown


async def test_what_is_chosen_is_told_in_full(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), size=(120, 50)) as pilot:
        await choose(pilot, "goal long-traverse")
        shown = words(pilot)
        assert "Only at larchfold-autumn" in shown
        assert "What it asks of you" in shown and "Finger strength 5" in shown
        await choose(pilot, "absence busy-quarter")
        shown = words(pilot)
        assert "First day Mon 22 Mar 2027" in shown and "Time that is left 50 %" in shown


async def test_the_list_fits_a_narrow_window(tmp_path: Path) -> None:
    """And its chosen line stays in sight where something is said below."""
    async with opened(demo(tmp_path), size=(40, 24)) as pilot:
        await press(pilot, "3")
        lines = screen_text(pilot).splitlines()
        await press(pilot, *["down"] * 40)
        pilot.app.say("A long word. " * 12, grave=True)  # type: ignore[attr-defined]
        await until(pilot, lambda: "A long word" in screen_text(pilot))
        await pilot.pause()
        assert HERE in screen_text(pilot).partition("─" * 9)[0]
        assert all(len(line) <= 40 for line in lines)
        assert any("The long traverse" in line for line in lines)


# --- entering ---------------------------------------------------------------------------------


async def test_a_goal_is_entered_and_comments_survive(tmp_path: Path) -> None:
    folder = demo(tmp_path)
    before = text(folder)
    async with opened(folder) as pilot:
        await open_form(
            pilot, "new goal",
            {
                "name": "Slow Lightning", "place": "Larchfold", "discipline": "sp", "grade": "7c+",
                "demands.power": "5",
            },
        )  # fmt: skip
        await press(pilot, "ctrl+s")
        goal = main(pilot).bench.desk.year.goals[-1]
        assert (goal.name, goal.discipline, goal.grade) == ("Slow Lightning", "sport", "7c+")
        assert goal.demands == {"power": 5}
        assert page(pilot)._chosen.entry == "slow-lightning"  # type: ignore[union-attr]
        assert "changed since the plan" in words(pilot)
    after = text(folder)
    assert all(line in after for line in before.splitlines())
    assert "# the weak area" in after


async def test_days_are_said_in_plain_words_and_written_as_dates(tmp_path: Path) -> None:
    folder = demo(tmp_path)
    async with opened(folder) as pilot:
        await open_form(pilot, "new absence", {"name": "Night shifts", "first": "next friday"})
        await until(pilot, lambda: "Fri 26 Feb 2027" in words(pilot))
        await fill(pilot, "last", "in 2 weeks")
        await fill(pilot, "left", "50 %")
        await press(pilot, "ctrl+s")
    assert "first = 2027-02-26\nlast = 2027-03-03\nleft = 0.5\n" in text(folder)


async def test_a_season_of_every_year_with_chances_by_month(tmp_path: Path) -> None:
    folder = demo(tmp_path)
    async with opened(folder) as pilot:
        said = {
            "name": "Winter", "place": "Larchfold", "discipline": "sport",
            "first": "1 dec every year", "last": "31 dec every year", "chance": "dec 20 %",
        }  # fmt: skip
        await open_form(pilot, "new season", said)
        await press(pilot, "ctrl+s")
        season = main(pilot).bench.desk.year.seasons[-1]
        assert (season.first, season.last, season.chance) == ("12-01", "12-31", {"december": 0.2})


async def test_a_day_outside_the_year_is_told_to_be_so(tmp_path: Path) -> None:
    async with opened(demo(tmp_path)) as pilot:
        await open_form(pilot, "new absence", {"first": "20 december 2026"})
        await until(pilot, lambda: "Sun 20 Dec 2026, before your year" in words(pilot))


async def test_what_is_typed_fast_lands_on_its_own_line(tmp_path: Path) -> None:
    async with opened(demo(tmp_path)) as pilot:
        await open_form(pilot, "new absence")
        for key in (*"lake", "enter", *"today", "enter", *"tomorrow"):
            pilot.app.post_message(Key(key, key))
        await until(pilot, lambda: field(pilot, "last").words == "tomorrow")
        assert [field(pilot, key).words for key in ("name", "first")] == ["lake", "today"]


async def test_what_is_deleted_fast_is_deleted_on_its_own_line(tmp_path: Path) -> None:
    async with opened(demo(tmp_path)) as pilot:
        await open_form(pilot, "new absence", {"first": "today", "last": "x"})
        await press(pilot, "up", "up")
        for key in (*"lakk", "backspace", "e", "enter", "ctrl+u", *"today", "enter"):
            pilot.app.post_message(Key(key, key if len(key) == 1 else None))
        await until(pilot, lambda: field(pilot, "last").input.has_focus)
        await until(pilot, lambda: field(pilot, "first").words == "today")
        said = [field(pilot, key).words for key in ("name", "first", "last")]
        assert said == ["lake", "today", "x"]


async def test_lines_that_are_pasted_are_one_name(tmp_path: Path) -> None:
    async with opened(demo(tmp_path)) as pilot:
        await open_form(pilot, "new absence")
        pilot.app.post_message(Paste("\nWeek at\r\n  the lake\t"))
        await until(pilot, lambda: field(pilot, "name").words == "Week at the lake")


async def test_among_the_settings_add_asks_for_the_sort(tmp_path: Path) -> None:
    async with opened(demo(tmp_path)) as pilot:
        await choose(pilot, "set climber")
        await press(pilot, "a")
        assert "What do you want to enter?" in words(pilot)
        await press(pilot, "down", "down", "down", "enter")
        assert form(pilot).about.section == "trip"


async def test_an_empty_form_says_what_it_needs_and_writes_nothing(tmp_path: Path) -> None:
    folder = demo(tmp_path)
    before = text(folder)
    async with opened(folder) as pilot:
        await open_form(pilot, "new trip")
        assert "needed" in screen_text(pilot) and "found nothing" not in words(pilot)
        await press(pilot, "ctrl+s")
        assert "“Name” is needed: what you call it." in words(pilot)
        assert field(pilot, "name").input.has_focus
    assert text(folder) == before


@pytest.mark.parametrize("section", ENTRY_FIELDS)
async def test_every_sort_of_entry_has_a_form(tmp_path: Path, section: str) -> None:
    async with opened(demo(tmp_path), size=(80, 24)) as pilot:
        await open_form(pilot, f"new {section}")
        assert {line.key for line in form(pilot).about.lines} == {
            one.line.key for one in form(pilot).fields
        }
        await press(pilot, "escape")
        assert pilot.app.screen is main(pilot)


# --- changing ---------------------------------------------------------------------------------


async def test_only_what_was_changed_is_written(tmp_path: Path) -> None:
    folder = demo(tmp_path)
    before = text(folder).splitlines()
    async with opened(folder) as pilot:
        await choose(pilot, "set climber")
        await press(pilot, "c")
        await fill(pilot, "level.finger_strength", "2")
        await press(pilot, "ctrl+s")
    changed = [line for line in text(folder).splitlines() if line not in before]
    assert changed == ["finger_strength = 2      # the weak area"]


async def test_the_usual_week_is_changed_as_one_and_taken_back_as_one(tmp_path: Path) -> None:
    folder = demo(tmp_path)
    before = text(folder)
    async with opened(folder) as pilot:
        await open_form(
            pilot, "set climber.minutes",
            {"monday": "18:00-19:30", "friday": "", "sunday": "2h"},
        )  # fmt: skip
        await press(pilot, "ctrl+s")
        routine = main(pilot).bench.desk.year.climber.minutes
        assert (routine.monday.minutes, routine.friday.minutes, routine.sunday.minutes) == (
            90, 0, 120,
        )  # fmt: skip
        assert "free for training on a usual day" in text(folder)
        await press(pilot, "u")
    assert text(folder) == before


async def test_the_end_of_the_year_is_given_one_way_or_the_other(tmp_path: Path) -> None:
    folder = demo(tmp_path)
    async with opened(folder) as pilot:
        await open_form(pilot, "set year", {"last": "2027-12-31"})
        await press(pilot, "ctrl+s")
        assert main(pilot).bench.desk.year.span.last == date(2027, 12, 31)
    assert "weeks" not in text(folder).partition("[climber]")[0]


async def test_a_table_inside_an_entry_keeps_its_other_lines_and_comments(tmp_path: Path) -> None:
    folder = demo(tmp_path)
    with (folder / "year.toml").open("a", encoding="utf-8") as file:
        file.write('\n[[place]]\nname = "Harrow Cleft"\nlatitude = 47\nlongitude = 12\n'
                   "[[place.good]]\ntemperature = [2, 15]  # as I like it\n"
                   "rain_below = 1\n")  # fmt: skip
    async with opened(folder) as pilot:
        await open_form(pilot, "place place-harrow-cleft", {"good.0.rain_below": "2"})
        await press(pilot, "ctrl+s")
    assert text(folder).endswith("temperature = [2, 15]  # as I like it\nrain_below = 2\n")


async def test_an_entry_is_taken_out_and_brought_back(tmp_path: Path) -> None:
    folder = demo(tmp_path)
    before = text(folder)
    async with opened(folder) as pilot:
        await choose(pilot, "season larchfold-autumn")
        await press(pilot, "x")
        year = main(pilot).bench.desk.year
        assert year.entry("larchfold-autumn") is None
        assert year.goals[0].served_by == ()
        await press(pilot, "u")
        assert text(folder) == before
        await choose(pilot, "set before")
        await press(pilot, "x")
        assert "Only entries can be removed." in told(pilot)


async def test_leaving_a_form_that_says_something_asks_first(tmp_path: Path) -> None:
    folder = demo(tmp_path)
    before = text(folder)
    async with opened(folder) as pilot:
        await open_form(pilot, "goal onsights", {"note": "try in may"})
        await press(pilot, "escape")
        assert "Leave what you wrote here?" in words(pilot)
        assert "Throw it away" in words(pilot)  # Esc goes back to the form
        await press(pilot, "escape")
        assert field(pilot, "note").words == "try in may"
        await press(pilot, "escape", "down", "enter")
        assert pilot.app.screen is main(pilot)
        assert text(folder) == before
        await press(pilot, "enter")
        await fill(pilot, "note", "try in may")
        await press(pilot, "escape", "enter")
        assert 'note = "try in may"' in text(folder)


async def test_a_form_without_changes_closes_at_once(tmp_path: Path) -> None:
    async with opened(demo(tmp_path)) as pilot:
        await choose(pilot, "goal onsights")
        await press(pilot, "enter", "ctrl+s")
        assert pilot.app.screen is main(pilot)
        assert "Nothing was changed." in told(pilot)


async def test_a_suggestion_is_taken_with_the_right_arrow(tmp_path: Path) -> None:
    async with opened(demo(tmp_path)) as pilot:
        await open_form(pilot, "goal onsights", {"served_by": "larchfold-spring, larchfold-a"})
        await until(pilot, lambda: bool(field(pilot, "served_by").input._suggestion))
        await press(pilot, "right")
        assert field(pilot, "served_by").words == "larchfold-spring, larchfold-autumn"


async def test_enter_and_arrows_go_from_line_to_line(tmp_path: Path) -> None:
    async with opened(demo(tmp_path)) as pilot:
        await choose(pilot, "goal onsights")
        await press(pilot, "enter", "enter", "down", "up")
        assert isinstance(pilot.app.focused, Input)
        assert field(pilot, "place").input.has_focus
        assert "\u203a Place" in screen_text(pilot)


async def test_a_year_changed_by_another_program_is_not_overwritten(tmp_path: Path) -> None:
    folder = demo(tmp_path)
    async with opened(folder) as pilot:
        await open_form(pilot, "goal onsights", {"grade": "7b+"})
        theirs = text(folder) + "\n# theirs\n"
        (folder / "year.toml").write_text(theirs, encoding="utf-8")
        await press(pilot, "ctrl+s")
        if "was changed by another program" in words(pilot):
            await press(pilot, "enter")
        await until(pilot, lambda: 'grade = "7b+"' in text(folder))
    assert text(folder).endswith("# theirs\n")


# --- no plan yet ------------------------------------------------------------------------------


async def test_everything_can_be_entered_before_there_is_a_plan(tmp_path: Path) -> None:
    folder = demo(tmp_path)
    plan = folder / "plan.json"
    json.loads(plan.read_text(encoding="utf-8"))
    plan.unlink()
    async with opened(folder) as pilot:
        await open_form(pilot, "goal onsights", {"priority": "2"})
        await press(pilot, "ctrl+s")
        assert main(pilot).bench.desk.year.goals[1].priority == 2
        assert pilot.app.screen.query_one("#entries .list", OptionList).has_focus


async def test_a_narrow_list_has_room_for_what_entries_say(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), size=(40, 20)) as pilot:
        await press(pilot, "3")
        text = screen_text(pilot)
        assert "Days to plan  4 Jan 2027 to" in text and "Goals  + a goal" in text


async def test_time_away_that_comes_again_is_entered_once(tmp_path: Path) -> None:
    async with opened(demo(tmp_path)) as pilot:
        await press(pilot, "3")
        page(pilot).open_form("again")
        await pilot.pause()
        for key, said in {
            "name": "Child",
            "first": "12 mar",
            "last": "14 mar",
            "weeks": "2",
        }.items():
            await fill(pilot, key, said)
        await fill(pilot, "days", "13 feb to 31 april")
        await judged(pilot, "days", "April has 30 days.")
        await fill(pilot, "days", "")
        await fill(pilot, "until", "april")
        await until(pilot, lambda: "4 entries:" in words(pilot))
        await press(pilot, "ctrl+s")
        mine = [one for one in main(pilot).bench.desk.year.absences if "Child" in one.name]
        assert [str(one.first)[5:] for one in mine] == ["03-12", "03-26", "04-09", "04-23"]
        assert {one.span.length for one in mine} == {3}
        page(pilot).open_form("again")
        await pilot.pause()
        await fill(pilot, "name", "School")
        await fill(pilot, "days", "3 may to 9 may, 30 oct")
        await press(pilot, "ctrl+s")
        school = [one for one in main(pilot).bench.desk.year.absences if "School" in one.name]
        assert [one.span.length for one in school] == [7, 1]
