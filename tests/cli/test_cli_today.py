"""`today` and `week`: what a climber reads, at every width, and what programs read."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from folder_maker import YEAR, blocks, planned, session
from hurt import hurt_text
from page_lines import unbroken
from typer.testing import CliRunner

from seasonplan.cli.app import app
from seasonplan.cli.exits import Exit
from seasonplan.explain.hang_loads import hard_turns
from seasonplan.explain.sessions import notes_by_session
from seasonplan.plan import Cause, Shortfall
from seasonplan.recipes import Step, session_text, standard_recipes, usual_text
from seasonplan.rules.tables import caution
from seasonplan.workspace.desk import Desk


def run(*arguments: object, columns: int = 80) -> Any:
    environment = {"COLUMNS": str(columns), "NO_COLOR": None}
    return CliRunner().invoke(app, [str(one) for one in arguments], env=environment)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return planned(tmp_path)


def today(folder: Path, day: str, *options: str, columns: int = 80) -> str:
    ran = run("today", folder, "--today", day, *options, columns=columns)
    assert ran.exit_code == Exit.FINE, ran.output
    return str(ran.stdout)


# --- today ----------------------------------------------------------------------------------


def test_today_says_what_when_how_long_how_hard_and_with_what(folder: Path) -> None:
    told = unbroken(today(folder, "2027-01-05"))
    assert told.startswith("Tue 5 Jan 2027 ─ base-1: base block, week 1 of 3 ")
    assert "18:00-19:30 Routes on the wall 90 minutes, 15 to warm up; hard, 6 of 10." in told
    assert "6 of 10. With: wall, partner." in told
    assert caution("general") in told
    assert told.endswith("Next: Wed 6 Jan 2027, 18:00-18:30, Light holds.")


def test_what_the_diary_says_of_a_session_is_told_in_place_of_what_to_do(folder: Path) -> None:
    before = unbroken(today(folder, "2027-01-05"))
    run("log", folder, "done", "2027-01-05", "--effort", "7", "--today", "2027-01-05")
    run("log", folder, "missed", "2027-01-06", "--today", "2027-01-06")
    told = unbroken(today(folder, "2027-01-05"))
    assert "Routes on the wall Done: 90 minutes, effort 7 of 10. 90 minutes, 15 to warm" in told
    assert "Step 1:" in before and "Step 1:" not in told
    week = unbroken(run("week", folder, "--today", "2027-01-06").stdout)
    assert "hard 6/10 Done: 90 minutes, effort 7 of 10. → Wed 6 18:00-18:30" in week
    assert "Missed." in week
    assert " 1 session, 1 h 30 min, load 540 (effort x minutes). 2 sessions were missed." in week
    plain = run("week", folder, "--plain", "--today", "2027-01-06").stdout
    assert "Missed" in plain and "18:00-19:30 Routes on the wall (" in plain
    diary = folder / "diary.csv"
    diary.write_text(diary.read_text() + "2027-33-01,,done\n")
    broken = run("today", folder, "--today", "2027-01-05")
    assert broken.exit_code == Exit.FINE and "Routes on the wall" in broken.stdout
    assert "diary.csv,line5,date:found" in "".join(broken.stderr.split())


def test_pain_that_was_written_down_is_told_before_what_to_do_next(folder: Path) -> None:
    run("log", folder, "pain", "elbow", "8", "--today", "2027-01-05")
    told = unbroken(today(folder, "2027-01-06"))
    assert "Take care Your elbow hurt on Tue 5 Jan 2027: 8 of 10." in told
    assert told.count("Your elbow hurt") == 1
    (folder / "diary.csv").unlink()
    assert "elbow hurt" not in today(folder, "2027-01-06")


def test_two_sessions_are_told_in_order_and_each_caution_once(folder: Path) -> None:
    told = unbroken(today(folder, "2027-01-06"))
    assert told.index("18:00-18:30 Light holds") < told.index("18:30-19:00 Technique drills")
    assert told.count("Light means light") == 1 == told.count(caution("general"))


def test_the_caution_of_a_session_stands_beside_it_and_what_always_holds_at_the_end(
    folder: Path,
) -> None:
    """Seen: two cautions in a row, neither with the session that it was about."""
    told = unbroken(today(folder, "2027-01-06"))
    first, second = told.index("18:00-18:30 Light holds"), told.index("18:30-19:00 Technique")
    care = told.index("Take care")
    assert first < told.index("Light means light") < second < care
    assert care < told.index(caution("general"))


def test_who_comes_warm_from_another_session_is_told_so(folder: Path) -> None:
    told = unbroken(today(folder, "2027-01-06"))
    assert told.count("You come warm") == 1
    assert told.index("18:30-19:00 Technique drills") < told.index("You come warm")
    assert "You come warm" not in today(folder, "2027-01-05")


@pytest.mark.parametrize(
    ("day", "said"),
    [
        ("2027-01-04", "Rest day."),
        ("2027-02-08", "On the trip “Isle”: a day to travel or to rest."),
        ("2027-02-16", "Away: “Fair”. Nothing is planned."),
    ],
)
def test_a_day_without_sessions_says_why(folder: Path, day: str, said: str) -> None:
    assert said in unbroken(today(folder, day))
    assert said.replace("“", '"').replace("”", '"') in today(folder, day, "--plain")


def test_a_trip_day_is_in_the_time_of_the_trip(folder: Path) -> None:
    told = unbroken(today(folder, "2027-02-09"))
    assert "09:00-13:00 Redpoint day (Atlantic/Madeira time)" in told
    assert "trip “Isle”".lower() in told.lower()
    assert caution("local_rules") in told


def test_a_light_week_and_rock_are_remarked(folder: Path) -> None:
    assert "Light week." in today(folder, "2027-01-26")
    assert "Rock at Karst: good day 40 %." in today(folder, "2027-02-06")


@pytest.mark.parametrize("day", ["2027-01-01", "2028-01-01"])
def test_a_day_outside_the_year_is_said_to_be_so(folder: Path, day: str) -> None:
    told = unbroken(today(folder, day))
    said = "has not begun. It runs" if day == "2027-01-01" else "is over. It ran"
    assert f": your year {said} from Mon 4 Jan 2027 to Sun 28 Feb 2027." in told
    assert ("Next: Tue 5 Jan 2027" in told) is (day == "2027-01-01")


def test_a_plan_without_sessions_says_to_plan_again(tmp_path: Path) -> None:
    folder = planned(tmp_path, sessions=())
    told = " ".join(today(folder, "2027-01-05").split())
    assert f"This plan has no sessions yet: run `seasonplan plan {folder}`." in told


@pytest.mark.parametrize("command", ["today", "week"])
def test_without_a_plan_one_is_asked_for(command: str, tmp_path: Path) -> None:
    (tmp_path / "year.toml").write_text(YEAR)
    ran = run(command, tmp_path, "--today", "2027-01-05")
    assert (
        ran.exit_code == Exit.BAD_INPUT
        and f"Run `seasonplan plan {tmp_path}` to make one." in ran.stderr
    )


def test_an_old_plan_is_still_read_and_said_to_be_old(folder: Path) -> None:
    (folder / "year.toml").write_text(YEAR.replace("7b", "7c"))
    ran = run("today", folder, "--today", "2027-01-05")
    assert ran.exit_code == Exit.FINE and "Routes on the wall" in ran.stdout
    assert "was changed after this plan was made" in unbroken(ran.stderr)


# --- who is careful -------------------------------------------------------------------------


UNSAID = "No year of birth is entered. If you are under 18: hard or daily finger loading, hangs to"


@pytest.mark.parametrize("command", ["today", "week"])
@pytest.mark.parametrize(
    ("born", "young", "unsaid"),
    [("1990", False, False), ("2012", True, False), (None, False, True)],
)
def test_finger_work_warns_the_young_and_who_did_not_say(
    tmp_path: Path, born: str | None, command: str, *, young: bool, unsaid: bool
) -> None:
    line = f"birth_year = {born}" if born else ""
    folder = planned(tmp_path, year=YEAR.replace("birth_year = 1990", line))
    shown = unbroken(run(command, folder, "--today", "2027-01-06").stdout)
    assert (caution("young") in shown, UNSAID in shown) == (young, unsaid)


def test_a_recipe_that_is_gone_is_told_by_its_id(tmp_path: Path) -> None:
    folder = planned(tmp_path, sessions=(session("a", "stairs", 1, "18:00", 30),))
    assert "18:00-18:30  stairs" in today(folder, "2027-01-05")


HURT = hurt_text(
    "Finger", "finger", "2027-01-02", "2027-01-20", "2027-01-30", "2027-02-10",
    side="left", named_by="own",
)  # fmt: skip


@pytest.mark.parametrize("command", ["today", "week"])
def test_cautions_in_force_come_first_and_name_the_part(tmp_path: Path, command: str) -> None:
    folder = planned(tmp_path, year=YEAR + HURT)
    told = unbroken(run(command, folder, "--today", "2027-01-05").stdout)
    care = told.partition("Take care ")[2]
    assert care.startswith("Left finger, off until Tue 19 Jan 2027. Not yet:")
    assert "Left finger: your own days; no clinician named them." in care
    after = unbroken(run(command, folder, "--today", "2027-02-22").stdout)
    assert "Left finger, off" not in after


# --- texts of sessions ------------------------------------------------------------------------


def test_today_tells_a_session_in_full_and_week_what_is_new(tmp_path: Path) -> None:
    one = session("a", "fingerboard-long", 8, "18:00", 45, week=2, hangs=10, rpe=7.0)
    folder = planned(tmp_path, sessions=(one,))
    text = session_text(
        standard_recipes()["fingerboard-long"], step=Step(), light=False, minutes=45, hangs=10
    )
    full = unbroken(today(folder, "2027-01-12"))
    for part in (*text.warm_up, text.do, text.this_week, text.stop):
        assert part and unbroken(part) in full
    week = unbroken(run("week", folder, "2027-01-12", "--today", "2027-01-12").stdout)
    assert unbroken(text.this_week) in week and "Step 1: " in week
    assert unbroken(text.do) not in week and unbroken(text.stop) not in week
    found = json.loads(today(folder, "2027-01-12", "--json"))["sessions"][0]
    assert (found["do"], found["this_week"], found["hangs"]) == (text.do, text.this_week, 10)
    assert "{" not in full + week


@pytest.mark.parametrize("command", ["today", "week"])
def test_a_day_on_rock_says_what_to_do_if_it_is_wet(folder: Path, command: str) -> None:
    told = unbroken(run(command, folder, "--today", "2027-02-06").stdout)
    wet = usual_text(standard_recipes()["redpoint-day"]).wet
    assert wet and f"Wet or too warm? {wet}" in told


@pytest.mark.parametrize(
    ("has", "said"), [('"hangboard"', "Repeaters at home"), ('"weights"', "Pull-ups and presses")]
)
def test_without_a_wall_pages_and_events_say_what_to_do_at_home_if_it_is_wet(
    tmp_path: Path, has: str, said: str
) -> None:
    folder = planned(tmp_path, year=YEAR + f"\n[sessions]\nhas = [{has}]\n")
    told = unbroken(run("week", folder, "--today", "2027-02-06").stdout)
    assert f"Wet or too warm? {said}" in told and "indoor" not in told
    year, plan = Desk(folder).year, Desk(folder).plan
    assert plan is not None
    notes = notes_by_session(plan.current, year, book=standard_recipes(), health=True)
    assert f"Wet or too warm? {said}" in notes["e"]


def test_of_hard_hangs_on_days_in_a_row_every_other_is_the_hard_one(tmp_path: Path) -> None:
    hangs = tuple(
        session(f"h{n}", "fingerboard-short", n, "18:00", 28, week=2, hangs=6, rpe=6.0)
        for n in (1, 2, 3)
    )
    first = session("f", "fingerboard-short", -4, "18:00", 28, week=1, hangs=6)
    light = session("l", "fingerboard-short", 8, "18:00", 28, week=3, light=True, hangs=4)
    alone = session("m", "fingerboard-short", 15, "18:00", 28, week=4, hangs=6)
    all_of_them = (first, *hangs, light, alone)
    steps = {one.id: Step(max(1, one.week)) for one in all_of_them}
    assert hard_turns(all_of_them, standard_recipes(), steps) == {"h1", "h3"}
    known = YEAR + "\n[before]\nhung_daily = true\n"
    folder = planned(tmp_path, year=known, sessions=(first, *hangs))
    assert "Today is the hard day of the two" in unbroken(today(folder, "2027-01-05"))
    assert "Today is the hard day of the two" not in unbroken(today(folder, "2027-01-06"))


# --- week -----------------------------------------------------------------------------------


def test_a_week_has_a_line_for_each_session_and_for_rest_days(folder: Path) -> None:
    lines = run("week", folder, "2027-01-06", "--today", "2027-01-06").stdout.splitlines()
    assert lines[0] == "Mon 4 Jan 2027 to Sun 10 Jan 2027"
    assert lines[2] == "3 sessions, 2 h 30 min, load 810 (effort x minutes)."
    assert lines[4] == "  Mon  4  Rest day."
    assert " ".join(lines[5].split()) == "Tue 5 18:00-19:30 Routes on the wall 90 min hard 6/10"
    assert lines[6].startswith("          Step 1: ")
    assert lines[7].startswith("→ Wed  6  18:00-18:30  Light holds")
    assert any(line.startswith("          18:30-19:00  Technique drills") for line in lines)


def test_the_longest_words_of_a_session_stay_on_one_line_of_eighty(tmp_path: Path) -> None:
    """ "somewhat hard" stood on one line, "4.5/10" below it."""
    one = session("a", "ice-technique-day", 1, "08:30", 225, rpe=4.5)
    told = run("week", planned(tmp_path, sessions=(one,)), "--today", "2027-01-06").stdout
    (line,) = [line for line in told.splitlines() if "08:30" in line]
    assert line.endswith("225 min  somewhat hard 4.5/10") and len(line) <= 80


def test_the_chance_of_a_place_is_told_once_though_it_was_entered_twice(tmp_path: Path) -> None:
    again = YEAR[YEAR.index("[[season]]") : YEAR.index("[[trip]]")]
    again = again.replace("Winter sun", "Again").replace("0.4", "0.3")
    folder = planned(tmp_path, year=YEAR + again)
    for command in ("today", "week"):
        told = unbroken(run(command, folder, "--today", "2027-02-02").stdout)
        day = told.partition("Wed 3")[0]
        assert day.lower().count("rock at karst: good day 40 %") == 1 and "30 %" not in day


def test_a_week_in_which_the_clocks_change_says_so_as_the_terminal_does(tmp_path: Path) -> None:
    folder = planned(tmp_path, year=YEAR.replace("weeks = 8", "weeks = 13"))
    for day, said in (("2027-03-24", True), ("2027-03-17", False)):
        told = run("week", folder, day, "--today", "2027-01-06").stdout
        assert ("The clocks go forward on Sun 28 Mar." in told) is said


def test_what_does_not_fit_is_told_with_its_cause_and_what_helps(folder: Path) -> None:
    told = unbroken(run("week", folder, "2027-01-06", "--today", "2027-01-06").stdout)
    assert "120 of 500 minutes do not fit, because the free hours are too few or too short." in told
    assert "Free more time in your usual week (climber.minutes)" in told
    other = run("week", folder, "2027-01-13", "--today", "2027-01-06").stdout
    assert "do not fit" not in other and "No sessions." in other


def test_shortfalls_are_in_show_and_summed_up_where_there_are_many(tmp_path: Path) -> None:
    from plan_maker import span

    many = [
        Shortfall(block="base-1", span=span(7 * n, 7), asked_minutes=100, missing_minutes=10 + n,
                  cause=cause)
        for n in range(3) for cause in Cause
    ]  # fmt: skip
    folder = planned(tmp_path, shortfalls=tuple(many))
    told = unbroken(run("show", folder, "--today", "2027-01-06").stdout)
    assert told.count("In 3 weeks 33 of 300 minutes do not fit, because") == 3
    assert "most in base-1, Mon 18 Jan 2027 to Sun 24 Jan 2027: 12." in told
    part = unbroken(run("show", folder, "--from", "2027-01-04", "--weeks", "1").stdout)
    assert part.count("10 of 100 minutes do not fit") == 3


@pytest.mark.parametrize("arguments", [("2027-01-06",), ()])
def test_the_week_of_a_day_or_of_today(
    folder: Path, arguments: tuple[str, ...], monkeypatch: pytest.MonkeyPatch
) -> None:
    whole = run("week", folder, *arguments, "--today", "2027-01-06").stdout
    monkeypatch.chdir(folder)
    assert run("week", *arguments, "--today", "2027-01-06").stdout == whole


def test_a_week_outside_the_year_is_said_to_be_so(folder: Path) -> None:
    ran = run("week", folder, "2030-01-06")
    assert ran.exit_code == Exit.FINE and "your year is over. It ran" in ran.stdout
    early = unbroken(run("week", folder, "2026-01-06").stdout)
    assert "has not begun" in early and f"`seasonplan week {folder} 2027-01-04` tells" in early


def test_two_blocks_in_a_week_are_both_named(tmp_path: Path) -> None:
    from plan_maker import block

    from seasonplan.vocabulary import Kind

    split = (block(Kind.BASE, 0, 3, id="base-1"), block(Kind.REST, 3, 18, id="rest-9"))
    folder = planned(tmp_path, blocks=(*split, *blocks()[1:]))
    told = run("week", folder, "2027-01-06", "--today", "2027-01-06").stdout
    assert "─ base-1: base block" in told and "· rest-9: rest block, week 1 of 3" in told


# --- every screen ---------------------------------------------------------------------------

DAYS = ("2027-01-05", "2027-01-06", "2027-01-26", "2027-02-06", "2027-02-09", "2027-02-16")


@pytest.mark.parametrize("columns", [40, 60, 80, 120])
@pytest.mark.parametrize("command", ["today", "week"])
def test_no_line_is_wider_than_the_screen(folder: Path, command: str, columns: int) -> None:
    for day in DAYS:
        lines = run(command, folder, "--today", day, columns=columns).stdout.splitlines()
        assert len(lines) >= 3
        assert max(map(len, lines)) <= columns, max(lines, key=len)


def test_no_week_needs_more_than_two_screens_of_24_lines(folder: Path) -> None:
    for day in DAYS:
        assert len(run("week", folder, "--today", day).stdout.splitlines()) <= 48


@pytest.mark.parametrize("command", ["today", "week"])
def test_plain_is_ascii_one_fact_on_each_line(folder: Path, command: str) -> None:
    for day in DAYS:
        shown = run(command, folder, "--today", day, "--plain").stdout
        assert shown.isascii() and "\x1b" not in shown
        assert not any(line.startswith(" ") or not line for line in shown.splitlines())
