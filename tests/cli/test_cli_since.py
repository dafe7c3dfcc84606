"""A session that was moved, left out or added: every command tells it at once."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import icalendar
import pytest
from folder_maker import SESSIONS, YEAR, planned, session
from page_lines import unbroken
from plan_maker import a_year, span
from typer.testing import CliRunner

from seasonplan.cli.app import app
from seasonplan.cli.exits import Exit
from seasonplan.explain.amounts import amount_text
from seasonplan.rules.findings import Finding
from seasonplan.rules.statements import book_of
from seasonplan.vocabulary import RockRole

NOW = "2027-01-04"


def run(*arguments: object) -> Any:
    ran = CliRunner().invoke(app, [str(one) for one in arguments], env={"COLUMNS": "80"})
    assert ran.exit_code == Exit.FINE, ran.output
    return ran


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return planned(tmp_path, year_text=YEAR)


def edit(folder: Path, *words: object) -> str:
    return unbroken(run("edit", folder, *words, "--today", NOW).stderr)


def days(folder: Path) -> dict[str, str]:
    """The day of each session of the first week, by its id."""
    told = json.loads(run("week", folder, "--json", "--today", NOW).stdout)
    return {one["id"]: one["day"] for day in told["days"] for one in day["sessions"]}


def events(folder: Path) -> dict[str, tuple[str, int, str]]:
    """Title, number and hour of each session of the exported calendar, by UID."""
    run("export", folder, "--without", "blocks", "--without", "rest", "--without", "trips")
    found = icalendar.Calendar.from_ical((folder / "seasonplan.ics").read_bytes())
    return {
        str(one["UID"]): (str(one["SUMMARY"]), int(one["SEQUENCE"]), f"{one['DTSTART'].dt}")
        for one in found.walk("VEVENT")
        if one.get("CATEGORIES") and "Session" in one["CATEGORIES"].cats
    }


def test_a_moved_session_is_on_its_new_day_in_week_today_and_calendar(folder: Path) -> None:
    before = events(folder)
    told = edit(folder, "move-session", "a", "--day", "2027-01-07")
    assert "It is so at once in `today`, `week`, the terminal and your calendars." in told
    assert days(folder)["a"] == "2027-01-07"
    assert "Routes on the wall" in run("today", folder, "--today", "2027-01-07").stdout
    assert "Routes on the wall" not in run("today", folder, "--today", "2027-01-05").stdout
    after = events(folder)
    changed = {uid for uid in before if before[uid] != after[uid]}
    (uid,) = changed
    assert before.keys() == after.keys()
    assert before[uid][:2] == ("Routes on the wall", 0)
    assert after[uid] == ("Routes on the wall", 1, "2027-01-07 18:00:00+01:00")


def test_a_skipped_session_is_gone_and_one_taken_back_is_there_under_the_next_number(
    folder: Path,
) -> None:
    before = events(folder)
    edit(folder, "skip", "b")
    assert "b" not in days(folder)
    (uid,) = before.keys() - events(folder).keys()
    edit(folder, "free-session", "b")
    assert days(folder)["b"] == "2027-01-06"
    assert events(folder)[uid] == (before[uid][0], 1, before[uid][2])


def test_an_added_session_is_there_is_moved_marked_and_taken_out_under_its_id(
    folder: Path,
) -> None:
    edit(folder, "add-session", "mobility", "--day", "2027-01-08", "--start", "18:00")
    own = "own/mobility-2027-01-08"
    assert days(folder)[own] == "2027-01-08"
    edit(folder, "move-session", own, "--day", "2027-01-09")
    assert days(folder)[own] == "2027-01-09"
    run("log", folder, "done", own, "--today", "2027-01-09")
    assert f"2027-01-09,,done,{own}," in (folder / "diary.csv").read_text()
    edit(folder, "skip", own)
    assert own not in days(folder)


def test_a_mark_is_of_the_day_to_which_a_session_was_moved(folder: Path) -> None:
    edit(folder, "move-session", "a", "--day", "2027-01-07")
    run("log", folder, "done", "today", "--effort", "6", "--today", "2027-01-07")
    assert "2027-01-07,,done,a,route-volume,," in (folder / "diary.csv").read_text()


def test_a_plan_older_than_the_year_is_exported_as_it_is_served_and_told_so(folder: Path) -> None:
    edit(folder, "move-session", "a", "--day", "2027-01-07")
    text = (folder / "year.toml").read_text()
    (folder / "year.toml").write_text(text.replace("wednesday = 60", "wednesday = 45"))
    ran = CliRunner().invoke(app, ["export", str(folder)])
    assert ran.exit_code == Exit.FINE and "run `seasonplan replan" in unbroken(ran.stderr)
    assert days(folder)["a"] == "2027-01-07"
    assert b"DTSTART;TZID=Europe/Vienna:20270107" in (folder / "seasonplan.ics").read_bytes()


def test_an_injury_since_the_plan_is_obeyed_by_an_export_at_once(folder: Path) -> None:
    before = {title for title, _, _ in events(folder).values()}
    hurt = '\n[[injury]]\nname = "Finger"\npart = "finger"\nhappened = 2027-01-04\n'
    (folder / "year.toml").write_text((folder / "year.toml").read_text() + hurt)
    after = {title for title, _, _ in events(folder).values()}
    assert any(title.startswith("Leave out") for title in after - before), after


def test_a_move_against_a_hard_rule_is_told_at_once_and_done_all_the_same(tmp_path: Path) -> None:
    hard = session("g", "limit-bouldering", 29, "18:00", 75, block="performance-1", rpe=8.0)
    others = tuple(one for one in SESSIONS if one.id != "e")
    project = session(
        "e", "redpoint-day", 33, "10:00", 240, block="performance-1", rpe=7.0,
        role=RockRole.PROJECT, rock="winter-sun",
    )  # fmt: skip
    folder = planned(tmp_path, year_text=YEAR, sessions=(*others, hard, project))
    told = edit(folder, "move-session", "g", "--day", "2027-02-05", "--start", "18:00")
    assert (
        "! “Limit bouldering”, Fri 5 Feb 2027: against “Fresh for the days that count” "
        "(hard on the eve of a project day or trip)." in told
    )
    move = ("edit", folder, "move-session", "g", "--day", "2027-02-05", "--start")
    assert "Fresh for the days" not in unbroken(run(*move, "18:30", "--today", NOW).stderr)
    run("edit", folder, "free-session", "g", "--today", NOW)
    facts = json.loads(run(*move, "18:00", "--today", NOW, "--json").stdout)
    assert "Fresh for the days" in " ".join(facts["against"])


@pytest.mark.parametrize(
    ("found", "wanted", "said"),
    [
        (0, 1, "no whole day between, 1 wanted"),
        (1, 2, "1 whole day between, 2 wanted"),
        (0, 0, "on one day"),
    ],
)
def test_days_between_hard_uses_are_told_as_days(found: float, wanted: float, said: str) -> None:
    rule = book_of(a_year())["session-spacing"]
    finding = Finding(
        code=rule.code, strength="hard", span=span(0, 2), found=found, limit=wanted
    )  # fmt: skip
    assert amount_text(finding, rule) == said
