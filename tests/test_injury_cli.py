"""`seasonplan injury` and `seasonplan ill`: asked or typed, into a year whose words stay."""

from __future__ import annotations

import json
import shutil
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from typer.testing import CliRunner

from seasonplan.cli.app import app
from seasonplan.cli.exits import Exit
from seasonplan.injury import waits
from seasonplan.store import load_year
from seasonplan.vocabulary import BodyPart, Severity
from seasonplan.year import Injury

YEARS = Path(__file__).parent / "years"
CAUTION = "Ask a doctor or physiotherapist about the injury."


def run(*arguments: object, keys: str | None = None) -> Any:
    environment = {"COLUMNS": "80", "NO_COLOR": None}
    words = [*(str(one) for one in arguments), "--today", "2026-03-10"]
    return CliRunner().invoke(app, words, input=keys, env=environment)


def typed(*answers: str) -> str:
    return "".join(f"{answer}\n" for answer in answers)


def unbroken(text: str) -> str:
    return " ".join(text.split())


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    shutil.copy(YEARS / "twelve-weeks.toml", tmp_path / "year.toml")
    return tmp_path


def injuries(folder: Path) -> tuple[Injury, ...]:
    return load_year(folder).year.injuries


# --- typed ----------------------------------------------------------------------------------


def test_a_graded_pulley_gets_the_table_and_its_source(folder: Path) -> None:
    before = (folder / "year.toml").read_text()
    ran = run("injury", folder, "--part", "finger", "--side", "left", "--grade", "iii")
    assert ran.exit_code == Exit.FINE, ran.stderr
    told = unbroken(ran.stderr)
    assert "Schöffl & Schöffl 2006" in told and "quoted by others" in told and "ultrasound" in told
    assert CAUTION in unbroken(ran.stdout) and "run `seasonplan plan" in told
    (entry,) = injuries(folder)
    assert (entry.easy_from, entry.full_from) == (date(2026, 5, 5), date(2026, 6, 10))
    assert (folder / "year.toml").read_text().startswith(before.rstrip("\n"))


def test_without_days_the_part_stays_off_until_somebody_is_seen(folder: Path) -> None:
    ran = run("injury", folder, "--part", "elbow", "--severity", "moderate")
    assert ran.exit_code == Exit.FINE, ran.stderr
    assert "--change elbow" in unbroken(ran.stdout) and CAUTION in unbroken(ran.stdout)
    (entry,) = injuries(folder)
    assert waits(entry) and entry.severity is Severity.MODERATE


def test_days_of_one_s_own_need_a_clinician_s_word(folder: Path) -> None:
    days = ("--easy-from", "2026-03-20", "--full-from", "2026-04-20")
    ran = run("injury", folder, "--part", "knee", *days)
    assert ran.exit_code == Exit.BAD_INPUT and "--cleared" in ran.stderr
    assert not injuries(folder)
    assert run("injury", folder, "--part", "knee", *days, "--cleared").exit_code == Exit.FINE
    assert injuries(folder)[0].building_from == date(2026, 4, 5)


def test_every_fault_of_what_was_typed_is_told_at_once(folder: Path) -> None:
    ran = run("injury", folder, "--part", "toe", "--grade", "VI", "--severity", "awful")
    assert ran.exit_code == Exit.BAD_INPUT
    assert all(key in ran.stderr for key in ("--part", "--grade", "--severity"))


def test_under_eighteen_there_are_no_days_and_a_specialist_is_named(folder: Path) -> None:
    text = (folder / "year.toml").read_text()
    (folder / "year.toml").write_text(
        text.replace('name = "Mira"', 'name = "Mira"\nbirth_year = 2011')
    )
    ran = run("injury", folder, "--part", "finger", "--grade", "I")
    assert ran.exit_code == Exit.FINE and waits(injuries(folder)[0])
    assert "specialist" in unbroken(ran.stderr)
    assert "prompt examination" in unbroken(ran.stdout)


# --- changed --------------------------------------------------------------------------------


def test_the_clinician_s_days_replace_what_stood_there(folder: Path) -> None:
    run("injury", folder, "--part", "elbow", "--note", "after a fall")
    change = ("injury", folder, "--change", "elbow")
    days = ("--easy-from", "2026-03-20", "--full-from", "2026-04-20")
    assert run(*change, *days).exit_code == Exit.BAD_INPUT
    ran = run(*change, *days, "--cleared", "--json")
    assert ran.exit_code == Exit.FINE, ran.stderr
    assert json.loads(ran.stdout)["entry"]["full_from"] == "2026-04-20"
    (entry,) = injuries(folder)
    assert (entry.full_from, entry.note) == (date(2026, 4, 20), "after a fall")


def test_a_grade_that_is_found_out_later_brings_the_table(folder: Path) -> None:
    run("injury", folder, "--part", "finger")
    ran = run("injury", folder, "--change", "finger", "--grade", "II")
    assert ran.exit_code == Exit.FINE and "published table" in unbroken(ran.stderr)
    assert injuries(folder)[0].easy_from == date(2026, 4, 7)


def test_an_injury_that_is_not_there_is_told_with_the_nearest(folder: Path) -> None:
    assert "there is none" in run("injury", folder, "--change", "elbow").stderr
    run("injury", folder, "--part", "elbow")
    ran = run("injury", folder, "--change", "elbo", "--full-from", "2026-04-20")
    assert ran.exit_code == Exit.BAD_INPUT and "Did you mean elbow?" in ran.stderr


def test_days_can_be_changed_by_answers(folder: Path) -> None:
    run("injury", folder, "--part", "elbow")
    keys = typed("2026-03-20", "2026-03-15", "2026-04-20", "", "yes")
    ran = run("injury", folder, "--change", "elbow", keys=keys)
    assert ran.exit_code == Exit.FINE, ran.stderr
    assert "wanted Fri 20 Mar 2026 or later" in ran.stderr
    (entry,) = injuries(folder)
    assert (entry.easy_from, entry.building_from, entry.full_from) == (
        date(2026, 3, 20), date(2026, 4, 5), date(2026, 4, 20),
    )  # fmt: skip


# --- asked ----------------------------------------------------------------------------------


def test_a_finger_is_asked_for_its_grade_and_enter_takes_the_cautious_end(folder: Path) -> None:
    keys = typed("toe", "finger", "left", "2026-03-08", "3", "II", "Ring finger", "", "", "")
    ran = run("injury", folder, keys=keys)
    assert ran.exit_code == Exit.FINE, ran.stderr
    (entry,) = injuries(folder)
    assert (entry.name, entry.happened) == ("Ring finger", date(2026, 3, 8))
    assert (entry.easy_from, entry.full_from) == (date(2026, 4, 5), date(2026, 5, 3))
    assert CAUTION in unbroken(ran.stdout)


def test_too_early_without_a_clinician_leaves_the_cautious_days(folder: Path) -> None:
    keys = typed("finger", "left", "", "III", "", "2026-03-20", "2026-04-20", "no")
    ran = run("injury", folder, keys=keys)
    assert ran.exit_code == Exit.FINE and "the cautious days of the table stand" in ran.stderr
    assert injuries(folder)[0].easy_from == date(2026, 5, 5)


def test_other_parts_have_no_days_in_brackets(folder: Path) -> None:
    keys = typed("knee", "right", "", "mild", "", "yes", "", "2026-03-20", "2026-04-20", "")
    ran = run("injury", folder, keys=keys)
    assert ran.exit_code == Exit.FINE, ran.stderr
    assert "Light load from: " in ran.stderr and "no published table" in unbroken(ran.stderr)
    (entry,) = injuries(folder)
    assert (entry.part, entry.full_from) == (BodyPart.KNEE, date(2026, 4, 20))


def test_not_having_seen_anybody_is_an_answer(folder: Path) -> None:
    ran = run("injury", folder, keys=typed("shoulder", "", "", "", "", ""))
    assert ran.exit_code == Exit.FINE and waits(injuries(folder)[0])


def test_questions_broken_off_change_nothing(folder: Path) -> None:
    before = (folder / "year.toml").read_bytes()
    assert run("injury", folder, keys=typed("finger")).exit_code == Exit.STOPPED
    assert (folder / "year.toml").read_bytes() == before


# --- illness --------------------------------------------------------------------------------


def test_long_illness_returns_gently_and_short_illness_is_days_off(folder: Path) -> None:
    ran = run("ill", folder, "--from", "2026-03-02", "--to", "2026-03-13", "--name", "Flu")
    assert ran.exit_code == Exit.FINE and "ask a doctor" in unbroken(ran.stdout)
    (entry,) = injuries(folder)
    assert (entry.name, entry.part, entry.easy_from) == ("Flu", BodyPart.OTHER, date(2026, 3, 14))
    short = run("ill", folder, "--from", "2026-04-06", "--to", "2026-04-07", "--json")
    assert json.loads(short.stdout)["section"] == "absence"
    assert load_year(folder).year.absences[-1].name == "Illness"


def test_days_of_illness_are_asked_for(folder: Path) -> None:
    ran = run("ill", folder, keys=typed("2026-03-02", ""))
    assert ran.exit_code == Exit.FINE, ran.stderr
    assert injuries(folder)[0].easy_from == date(2026, 3, 11)
    assert run("ill", folder, "--from", "2026-03-09", "--to", "2026-03-02").exit_code == 2


def test_both_commands_show_examples_in_their_help() -> None:
    for command in ("injury", "ill"):
        ran = CliRunner().invoke(app, [command, "--help"])
        assert f"Examples:\n\n    seasonplan {command}" in ran.stdout
