"""Beginning a year: the questions, the file that explains itself, and the whole way after it."""

from __future__ import annotations

import json
import re
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from typer.testing import CliRunner

from seasonplan.cli.app import app
from seasonplan.cli.exits import Exit
from seasonplan.vocabulary import Spread
from seasonplan.workspace.store import load_year
from seasonplan.year.fresh import SPLITS, Answers, coming_monday, year_text
from seasonplan.year.toml import read_year

TODAY = ("--today", "2026-02-25")
GOOD = (
    "Mira", "1990", "Europe/Vienna", "", "12", "tue 90, thu 1h30, sat 4h, sun 180",
    "Slow Lightning", "Harrow Cleft", "sport", "7b+", "1", "2026-04-20", "2026-05-17", "0.5",
    "sat, sunday", "4h", "5,5", "1,5", "no", "2",
)  # fmt: skip


def run(*arguments: object, keys: str | None = None) -> Any:
    environment = {"COLUMNS": "80", "NO_COLOR": None, "TZ": None}
    return CliRunner().invoke(app, [str(one) for one in arguments], input=keys, env=environment)


def typed(*answers: str) -> str:
    return "".join(f"{answer}\n" for answer in answers)


def test_from_new_to_the_phone(tmp_path: Path) -> None:
    folder = tmp_path / "my-year"
    assert run("new", folder, *TODAY, keys=typed(*GOOD)).exit_code == Exit.FINE
    planned = run("plan", folder, *TODAY)
    assert planned.exit_code == Exit.FINE and "Slow Lightning" in planned.stdout
    assert run("check", folder).stdout.startswith("No rule is broken.")
    shown = run("show", folder, *TODAY)
    assert "Mira's year" in shown.stdout
    assert run("export", folder).exit_code == Exit.FINE
    assert b"BEGIN:VEVENT" in (folder / "seasonplan.ics").read_bytes()
    block = json.loads(run("show", folder, *TODAY, "--json").stdout)["plan"]["blocks"][0]["id"]
    assert run("why", folder, block).exit_code == Exit.FINE


def test_the_answers_are_in_the_year(tmp_path: Path) -> None:
    run("new", tmp_path, *TODAY, keys=typed(*GOOD))
    year = load_year(tmp_path).year
    assert (year.climber.name, year.climber.time_zone) == ("Mira", "Europe/Vienna")
    assert year.climber.birth_year == 1990
    assert (year.climber.rock_days, year.climber.rock_minutes) == (("saturday", "sunday"), 240)
    assert (year.horizon.first, year.horizon.weeks) == (date(2026, 3, 2), 12)
    assert [year.climber.minutes.on(weekday) for weekday in range(7)] == [0, 90, 0, 90, 0, 240, 180]
    (goal,), (season,) = year.goals, year.seasons
    assert (goal.name, goal.place, goal.grade, goal.priority) == (
        "Slow Lightning", "Harrow Cleft", "7b+", 1,
    )  # fmt: skip
    assert (season.first, season.last, season.chance) == (date(2026, 4, 20), date(2026, 5, 17), 0.5)


def test_finger_work_before_and_its_split_are_in_the_year(tmp_path: Path) -> None:
    ran = run("new", tmp_path, *TODAY, keys=typed(*GOOD))
    year = load_year(tmp_path).year
    assert (year.before.hard_finger_sessions, year.before.hung_daily) == (1.5, False)
    assert year.sessions.spread is Spread.SHORT_AND_HARD
    told = " ".join(ran.stderr.split())
    assert all(f"{way.value}: {words}." in told for way, words in SPLITS.items())
    assert "common practice, no source" in SPLITS[Spread.SHORT_AND_HARD]
    assert "Short and hard is not for climbers under 18" in told
    assert "Short and hard is not for climbers under 18" in " ".join(
        line.lstrip("# ") for line in (tmp_path / "year.toml").read_text().splitlines()
    )


def test_who_says_no_age_and_no_days_for_the_rock_may_say_them_later(tmp_path: Path) -> None:
    said = (GOOD[0], "", *GOOD[2:14], "", *GOOD[16:])
    ran = run("new", tmp_path, *TODAY, keys=typed(*said))
    climber = load_year(tmp_path).year.climber
    assert ran.exit_code == Exit.FINE and "Year of birth (may stay empty" in ran.stderr
    assert (climber.birth_year, climber.rock_days, climber.rock_minutes) == (None, (), None)
    told = (tmp_path / "year.toml").read_text()
    assert "#birth_year = 1990" in told and '#rock_days = ["saturday", "sunday"]' in told


def test_who_is_not_sure_of_finger_work_before_is_not_asked_for_more(tmp_path: Path) -> None:
    ran = run("new", tmp_path, *TODAY, keys=typed(*GOOD[:17], "", "1"))
    assert ran.exit_code == Exit.FINE
    year = load_year(tmp_path).year
    assert year.before.hard_finger_sessions is None and not year.before.hung_daily
    assert year.sessions.spread is Spread.FEW_AND_LONG


@pytest.mark.parametrize(
    ("said", "load"), [("5,5", 1650), ("4h30", 1350), ("6 hours", 1800), ("45 min", 225), ("0", 0)]
)
def test_hours_before_are_the_load_of_the_weeks_before(
    tmp_path: Path, said: str, load: int
) -> None:
    """Who trained well was told "so little is taken for it". An effort of 5 is a preference."""
    ran = run("new", tmp_path, *TODAY, keys=typed(*GOOD[:16], said, *GOOD[17:]))
    assert ran.exit_code == Exit.FINE
    assert load_year(tmp_path).year.before.weekly_load == ((load,) * 4 if load else ())
    assert (f"that is {load} a week" in ran.stderr) is bool(load)


def test_who_is_not_sure_of_the_hours_before_may_say_them_later(tmp_path: Path) -> None:
    run("new", tmp_path, *TODAY, keys=typed(*GOOD[:16], "", *GOOD[17:]))
    assert load_year(tmp_path).year.before.weekly_load == ()
    assert "#weekly_load = [1200, 1400, 1300, 900]" in (tmp_path / "year.toml").read_text()


def test_a_year_may_be_said_in_words(tmp_path: Path) -> None:
    ran = run("new", tmp_path, *TODAY, keys=typed(*GOOD[:4], "a year", *GOOD[5:]))
    assert ran.exit_code == Exit.FINE and "that is 52 weeks" in ran.stderr
    assert load_year(tmp_path).year.horizon.weeks == 52


def test_names_with_quotes_survive(tmp_path: Path) -> None:
    name = 'The "Big" one \\ Ölwand'
    run("new", tmp_path, *TODAY, keys=typed(*GOOD[:6], name, *GOOD[7:]))
    assert load_year(tmp_path).year.goals[0].name == name


@pytest.mark.parametrize(
    ("place", "bad", "wanted"),
    [
        (1, "88", "a year from 1900 to 2026"),
        (1, "2030", "Write all four digits"),
        (2, "Saltmere", "a time zone by its name"),
        (3, "soon", "a date"),
        (4, "many", "a number of weeks"),
        (4, "500", "4 to 104 weeks"),
        (4, "0", "found 0 weeks; wanted 4 to 104 weeks."),
        (5, "90", "a weekday and minutes"),
        (5, "tue long", "minutes from 0 to 1440"),
        (5, "tue 90, tuesday 30", "found tuesday twice; wanted it once."),
        (7, " ", "a place"),
        (8, "golf", "sport, trad, boulder, multipitch, mountain"),
        (9, "hard", "a grade such as"),
        (10, "7", "1 to 3"),
        (11, "20 Aprul", "a date"),
        (13, "400", "a share"),
        (14, "sat, s", "wanted weekdays"),
        (15, "long", "wanted a time"),
        (15, "10", "30 or more"),
        (16, "much", "hours from 0 to 40"),
        (16, "90", "hours from 0 to 40"),
        (17, "often", "a number from 0 to 14"),
        (18, "perhaps", "yes or no"),
        (19, "4", "1 to 3"),
    ],
)
def test_a_bad_answer_is_asked_again(tmp_path: Path, place: int, bad: str, wanted: str) -> None:
    ran = run("new", tmp_path, *TODAY, keys=typed(*GOOD[:place], bad, *GOOD[place:]))
    assert ran.exit_code == Exit.FINE
    assert wanted in ran.stderr
    assert load_year(tmp_path).year.goals[0].name == "Slow Lightning"


def test_days_in_words_are_told_as_they_were_meant(tmp_path: Path) -> None:
    late = ("--today", "2026-11-26")
    said = ("next year", "50", *GOOD[5:11], "mid september", "mid november", "35", *GOOD[14:])
    ran = run("new", tmp_path, *late, keys=typed("Mira", "", "vienna", *said))
    for meant in ("Europe/Vienna", "Fri 1 Jan 2027", "Wed 15 Sep 2027", "Mon 15 Nov 2027", "35 %"):
        assert f"that is {meant}" in ran.stderr, meant
    (season,) = load_year(tmp_path).year.seasons
    assert (season.first, season.last) == (date(2027, 9, 15), date(2027, 11, 15))
    said = " ".join(ran.stderr.split())
    assert "makes the plan." in said and "what is missing" not in said


def test_a_season_without_a_year_lies_in_the_year_that_is_begun(tmp_path: Path) -> None:
    said = ("2028-01-03", "50", *GOOD[5:11], "12 sep", "20 nov", *GOOD[13:])
    run("new", tmp_path, *TODAY, keys=typed("Mira", "", "", *said))
    assert load_year(tmp_path).year.seasons[0].first == date(2028, 9, 12)


def test_faults_of_free_time_name_their_weekdays_each_on_a_line(tmp_path: Path) -> None:
    bad = "wed two hours, fri lunch"
    ran = run("new", tmp_path, *TODAY, keys=typed(*GOOD[:5], bad, *GOOD[5:]))
    assert "  wednesday: found 'two hours'; wanted minutes" in ran.stderr
    assert "\n  friday: found 'lunch'; wanted minutes" in ran.stderr


def test_a_season_that_ends_before_it_begins_is_asked_again(tmp_path: Path) -> None:
    season = ("2026-05-17", "2026-04-20")
    ran = run("new", tmp_path, *TODAY, keys=typed(*GOOD[:11], *season, *GOOD[11:]))
    assert ran.exit_code == Exit.FINE and "before “First day: 2026-05-17”" in ran.stderr
    assert ran.stderr.count("Chance of a good day") == 1
    assert load_year(tmp_path).year.seasons[0].last == date(2026, 5, 17)


def test_goal_and_season_may_come_later(tmp_path: Path) -> None:
    ran = run("new", tmp_path, *TODAY, keys=typed(*[""] * 10))
    assert ran.exit_code == Exit.FINE
    year = load_year(tmp_path).year
    assert not year.goals and not year.seasons
    assert year.horizon.weeks == 52 and year.climber.time_zone == "UTC"
    told = " ".join(ran.stderr.split())
    assert f"in forms with `seasonplan open {tmp_path}`" in told and "edit" in told


def test_the_usual_time_zone_is_offered(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from seasonplan.year.fresh import usual_zone

    monkeypatch.setenv("TZ", "America/Denver")
    assert usual_zone() == "America/Denver"
    monkeypatch.setenv("TZ", "nonsense")
    assert usual_zone() == "UTC"


def test_a_year_that_is_there_is_never_overwritten(tmp_path: Path) -> None:
    (tmp_path / "year.toml").write_text("mine")
    ran = run("new", tmp_path, "--blank", *TODAY)
    assert ran.exit_code == Exit.CHANGED_ON_DISK
    assert (tmp_path / "year.toml").read_text() == "mine"
    assert "Nothing was written" in ran.stderr


def test_leaving_in_the_middle_writes_nothing(tmp_path: Path) -> None:
    ran = run("new", tmp_path / "my-year", *TODAY, keys=typed("Mira", "Europe/Vienna"))
    assert ran.exit_code == Exit.STOPPED
    assert not (tmp_path / "my-year").exists()


def test_a_folder_that_cannot_be_made_is_told(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    ran = run("new", tmp_path / "file" / "my-year", "--blank", *TODAY)
    assert ran.exit_code == Exit.CANNOT_WRITE


def test_the_questions_go_to_stderr_and_the_file_name_to_stdout(tmp_path: Path) -> None:
    ran = run("new", tmp_path, *TODAY, "--json", keys=typed(*GOOD))
    assert json.loads(ran.stdout) == {"file": str(tmp_path / "year.toml")}
    assert "Time zone" in ran.stderr


# --- the file -------------------------------------------------------------------------------


def test_a_blank_file_can_be_read(tmp_path: Path) -> None:
    assert run("new", tmp_path, "--blank", *TODAY).exit_code == Exit.FINE
    year = load_year(tmp_path).year
    assert year.horizon.first == date(2026, 3, 2) and not year.goals


def test_every_example_in_the_file_can_be_switched_on() -> None:
    text = year_text(Answers("Europe/Vienna", date(2026, 3, 2)))
    switched = re.sub(r"^#(?=[\[a-z])", "", text, flags=re.MULTILINE)
    assert switched != text
    year = read_year(switched, file="year.toml")
    sections = year.entries_by_section()
    assert {section for section, entries in sections.items() if entries} == set(sections)
    assert year.rules and year.before.weekly_load and year.climber.level


def test_a_year_with_every_example_on_has_a_plan(tmp_path: Path) -> None:
    text = year_text(Answers("Europe/Vienna", date(2026, 3, 2)))
    (tmp_path / "year.toml").write_text(re.sub(r"^#(?=[\[a-z])", "", text, flags=re.MULTILINE))
    ran = run("plan", tmp_path, *TODAY)
    assert ran.exit_code == Exit.FINE, ran.stderr


@pytest.mark.parametrize("day", [date(2026, 3, 1), date(2026, 3, 2), date(2024, 2, 26)])
def test_a_year_begins_on_the_coming_monday(day: date) -> None:
    found = coming_monday(day)
    assert found.weekday() == 0 and 0 <= (found - day).days <= 6
