"""`seasonplan injury` and `seasonplan ill`: asked or typed, into a year whose words stay."""

from __future__ import annotations

import json
import shutil
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any
from uuid import UUID

import pytest
from hurt import hurt_text
from page_lines import unbroken
from places import TESTS
from typer.testing import CliRunner

from seasonplan.cli.app import app
from seasonplan.cli.exits import Exit
from seasonplan.injury import waits
from seasonplan.plan import Block, Plan, Proof, Revision, Score, Week
from seasonplan.vocabulary import BodyPart, Kind, NamedBy, Severity, Side
from seasonplan.workspace.store import load_year, save_plan
from seasonplan.year import Injury

YEARS = TESTS / "years"
CAUTION = "Ask a doctor or physiotherapist about the injury."


def run(*arguments: object, keys: str | None = None) -> Any:
    environment = {"COLUMNS": "80", "NO_COLOR": None}
    words = [*(str(one) for one in arguments), "--today", "2026-03-10"]
    return CliRunner().invoke(app, words, input=keys, env=environment)


def typed(*answers: str) -> str:
    return "".join(f"{answer}\n" for answer in answers)


def answered(folder: Path, *answers: str) -> Any:
    """The questions for a new injury, answered to the end."""
    ran = run("injury", folder, keys=typed(*answers))
    assert ran.exit_code == Exit.FINE, ran.stderr
    return ran


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
    assert "“Elbow” takes 8 days at “Spring in the Cleft”" in unbroken(ran.stdout)
    (entry,) = injuries(folder)
    assert waits(entry) and entry.severity is Severity.MODERATE


def test_days_of_one_s_own_are_noted_as_own(folder: Path) -> None:
    days = ("--easy-from", "2026-03-20", "--full-from", "2026-04-20")
    ran = run("injury", folder, "--part", "knee", *days)
    assert ran.exit_code == Exit.FINE, ran.stderr
    assert "Your own days; no clinician named them." in unbroken(ran.stdout)
    told = unbroken(ran.stdout)  # full before the season begins, but no use for a project yet
    assert "“Knee” takes 4 days at" in told and "no project on them until Sun 3 May 2026." in told
    ran = run("injury", folder, "--part", "ankle", *days, "--cleared")
    assert ran.exit_code == Exit.FINE and "A clinician named these days." in unbroken(ran.stdout)
    knee, ankle = injuries(folder)
    assert (knee.named_by, ankle.named_by) == (NamedBy.OWN, NamedBy.CLINICIAN)
    assert knee.building_from == ankle.building_from == date(2026, 4, 5)
    assert 'named_by = "own"' in (folder / "year.toml").read_text()


def test_days_of_one_s_own_before_the_table_s_are_told_as_early(folder: Path) -> None:
    days = ("--easy-from", "2026-03-20", "--full-from", "2026-04-10")
    ran = run("injury", folder, "--part", "finger", "--grade", "III", *days)
    assert ran.exit_code == Exit.FINE, ran.stderr
    assert unbroken(ran.stderr).count("earlier than the table's earliest") == 2
    assert injuries(folder)[0].named_by is NamedBy.OWN


def test_a_healed_injury_is_entered_by_the_day_of_full_load(folder: Path) -> None:
    said = ("--part", "knee", "--happened", "2025-12-01", "--healed")
    ran = run("injury", folder, *said, "2026-03-01")
    assert ran.exit_code == Exit.FINE, ran.stderr
    assert "Fully loaded from Sun 1 Mar 2026" in unbroken(ran.stdout)
    (entry,) = injuries(folder)
    assert entry.full_from == date(2026, 3, 1) and not waits(entry)
    late = run("injury", folder, *said, "2026-03-11")
    assert late.exit_code == Exit.BAD_INPUT and "--healed" in late.stderr


def test_an_injury_that_waits_can_be_told_healed(folder: Path) -> None:
    run("injury", folder, "--part", "elbow", "--happened", "2026-01-10")
    ran = run("injury", folder, "--change", "elbow", "--healed", "2026-03-01")
    assert ran.exit_code == Exit.FINE, ran.stderr
    assert "the hardest last" in unbroken(ran.stdout)
    assert injuries(folder)[0].full_from == date(2026, 3, 1)
    late = run("injury", folder, "--change", "elbow", "--healed", "2026-03-11")
    assert late.exit_code == Exit.BAD_INPUT and "--healed" in late.stderr


def test_no_day_far_off_is_written_or_told_where_none_is_named(folder: Path) -> None:
    ran = run("injury", folder, "--part", "elbow")
    told = unbroken(ran.stdout)
    assert "No days named yet for your elbow" in told and "at most to the end of your year" in told
    ran = run("injury", folder, "--part", "knee", "--json")
    shown = ran.stdout + told + (folder / "year.toml").read_text()
    assert "2199" not in shown and "easy_from" not in shown


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
    assert run(*change, *days).exit_code == Exit.FINE
    assert injuries(folder)[0].named_by is NamedBy.OWN
    ran = run(*change, *days, "--cleared", "--json")
    assert ran.exit_code == Exit.FINE, ran.stderr
    assert json.loads(ran.stdout)["entry"]["full_from"] == "2026-04-20"
    (entry,) = injuries(folder)
    assert (entry.full_from, entry.note) == (date(2026, 4, 20), "after a fall")
    assert entry.named_by is NamedBy.CLINICIAN


def test_days_changed_as_any_entry_is_are_no_longer_the_table_s(folder: Path) -> None:
    run("injury", folder, "--part", "finger", "--grade", "II")
    assert injuries(folder)[0].named_by is NamedBy.TABLE
    ran = run("edit", folder, "change", "finger", "full_from=2026-06-01")
    assert ran.exit_code == Exit.FINE, ran.output
    (entry,) = injuries(folder)
    assert (entry.full_from, entry.named_by) == (date(2026, 6, 1), NamedBy.OWN)
    run("injury", folder, "--change", "finger", "--full-from", "2026-06-08", "--cleared")
    run("injury", folder, "--change", "finger", "--full-from", "2026-06-15", "--cleared")
    assert injuries(folder)[0].named_by is NamedBy.CLINICIAN


def test_a_grade_that_is_found_out_later_brings_the_table(folder: Path) -> None:
    run("injury", folder, "--part", "finger")
    ran = run("injury", folder, "--change", "finger", "--grade", "II")
    assert ran.exit_code == Exit.FINE and "published table" in unbroken(ran.stderr)
    assert injuries(folder)[0].easy_from == date(2026, 4, 7)


@pytest.mark.parametrize("how", ["--healed", "--full-from"])
def test_days_changed_to_before_the_table_s_are_told_as_early(folder: Path, how: str) -> None:
    """Grade II, 5 January: full sport after six weeks at the earliest (Schöffl & Schöffl 2006)."""
    run("injury", folder, "--part", "finger", "--grade", "II", "--happened", "2026-01-05")
    change = ("injury", folder, "--change", "finger", how, "2026-02-15")
    early = "Full from Sun 15 Feb 2026 is earlier than the table's earliest, Mon 16 Feb 2026"
    assert early in unbroken(run(*change).stderr)
    assert "earlier than" not in run(*change, "--cleared").stderr


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
    ran = answered(
        folder, "toe", "finger", "left", "2026-03-08", "", "3", "II", "Ring finger", "", "", ""
    )
    (entry,) = injuries(folder)
    assert (entry.name, entry.happened) == ("Ring finger", date(2026, 3, 8))
    assert (entry.easy_from, entry.full_from) == (date(2026, 4, 5), date(2026, 5, 3))
    assert CAUTION in unbroken(ran.stdout)


def test_too_early_without_a_clinician_leaves_the_cautious_days(folder: Path) -> None:
    keys = typed("finger", "left", "", "III", "", "2026-03-20", "2026-04-20", "no", "")
    ran = run("injury", folder, keys=keys)
    assert ran.exit_code == Exit.FINE and "the cautious days of the table stand" in ran.stderr
    assert injuries(folder)[0].easy_from == date(2026, 5, 5)


def test_early_days_are_kept_as_one_s_own_where_one_says_so(folder: Path) -> None:
    answered(folder, "finger", "left", "", "III", "", "2026-03-20", "2026-04-20", "no", "yes", "")
    (entry,) = injuries(folder)
    assert (entry.easy_from, entry.named_by) == (date(2026, 3, 20), NamedBy.OWN)


def test_a_healed_injury_is_asked_for_and_no_days_after_it(folder: Path) -> None:
    ran = answered(folder, "knee", "", "2026-01-08", "2026-02-20", "mild", "")
    assert injuries(folder)[0].full_from == date(2026, 2, 20)
    ran = answered(folder, "knee", "", "2026-01-08", "2026-03-12", "", "mild", "", "no", "no")
    assert "wanted today, Tue 10 Mar 2026, or before" in ran.stderr
    assert waits(injuries(folder)[1])


def test_days_of_one_s_own_are_asked_for_where_no_clinician_named_any(folder: Path) -> None:
    answered(folder, "knee", "right", "", "mild", "", "no", "yes", "2026-03-20", "2026-04-20", "")
    (entry,) = injuries(folder)
    assert (entry.full_from, entry.named_by) == (date(2026, 4, 20), NamedBy.OWN)


def test_other_parts_have_no_days_in_brackets(folder: Path) -> None:
    ran = answered(
        folder, "knee", "right", "", "mild", "", "yes", "", "2026-03-20", "2026-04-20", ""
    )
    assert "Light load from: " in ran.stderr and "no published table" in unbroken(ran.stderr)
    (entry,) = injuries(folder)
    assert (entry.part, entry.full_from) == (BodyPart.KNEE, date(2026, 4, 20))


def test_words_may_be_begun_and_days_are_told_as_they_were_meant(folder: Path) -> None:
    ran = answered(folder, "elbw", "elb", "l", "friday", "", "mod", "", "no", "yes",
                   "20 mar", "1 mar", "")  # fmt: skip
    assert "Did you mean elbow?" in ran.stderr
    for meant in ("Fri 6 Mar 2026", "Fri 20 Mar 2026", "Mon 1 Mar 2027"):
        assert f"that is {meant}" in ran.stderr, meant
    (entry,) = injuries(folder)
    assert (entry.part, entry.side) == (BodyPart.ELBOW, Side.LEFT)
    assert (entry.happened, entry.full_from) == (date(2026, 3, 6), date(2027, 3, 1))


def test_not_having_seen_anybody_is_an_answer(folder: Path) -> None:
    ran = run("injury", folder, keys=typed("shoulder", "", "", "", "", "", ""))
    assert ran.exit_code == Exit.FINE and waits(injuries(folder)[0])


def test_questions_broken_off_change_nothing(folder: Path) -> None:
    before = (folder / "year.toml").read_bytes()
    assert run("injury", folder, keys=typed("finger")).exit_code == Exit.STOPPED
    assert (folder / "year.toml").read_bytes() == before


def test_a_second_entry_of_one_part_says_how_to_make_one_of_the_two(folder: Path) -> None:
    assert run("injury", folder, "--part", "elbow", "--side", "left").exit_code == Exit.FINE
    again = unbroken(run("injury", folder, "--part", "elbow", "--side", "left").stderr)
    assert "“Left elbow” is entered for that already and not in full yet." in again
    assert "remove left-elbow-2` takes this one out" in again
    assert "--change left-elbow` names other days" in again
    other = run("injury", folder, "--part", "elbow", "--side", "right")
    assert "already" not in other.stderr


def test_what_a_change_of_days_cannot_take_is_refused_not_dropped(folder: Path) -> None:
    run("injury", folder, "--part", "elbow")
    before = (folder / "year.toml").read_bytes()
    ran = run("injury", folder, "--change", "elbow", "--severity", "severe")
    assert ran.exit_code == Exit.BAD_INPUT
    assert "change elbow severity=severe` changes it." in ran.stderr
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
    ran = run("ill", folder, keys=typed("2 mar", ""))
    assert ran.exit_code == Exit.FINE, ran.stderr
    assert injuries(folder)[0].easy_from == date(2026, 3, 11)


@pytest.mark.parametrize("asked", [False, True])
def test_an_illness_told_when_it_is_over_ends_in_its_own_year(folder: Path, asked: bool) -> None:
    """On Tue 10 March: from 23 February to 6 March, not to that of next year."""
    days = ("23 feb", "6 mar")
    options = () if asked else ("--from", days[0], "--to", days[1])
    ran = run("ill", folder, *options, keys=typed(*days) if asked else None)
    assert ran.exit_code == Exit.FINE, ran.stderr
    assert injuries(folder)[0].easy_from == date(2026, 3, 7)
    slip = run("ill", folder, "--from", "23 feb", "--to", "20 feb")
    assert slip.exit_code == Exit.BAD_INPUT and "found Fri 20 Feb 2026 before" in slip.stderr
    assert run("ill", folder, "--from", "2026-03-09", "--to", "2026-03-02").exit_code == 2


def test_both_commands_show_examples_in_their_help() -> None:
    for command in ("injury", "ill"):
        ran = CliRunner().invoke(app, [command, "--help"])
        assert f"Examples:\n\n    seasonplan {command}" in ran.stdout


# --- today and week -------------------------------------------------------------------------

HURT = hurt_text(
    "Ring finger", "finger", "2026-01-10", "2026-03-07", "2026-03-24", "2026-04-10",
    side="left", grade="III", named_by="own",
) + hurt_text("Elbow", "elbow", "2026-03-01")  # fmt: skip


@pytest.fixture
def hurting(folder: Path) -> Path:
    """The folder with two injuries and a plan of nothing but days."""
    with (folder / "year.toml").open("a", encoding="utf-8") as file:
        file.write(HURT)
    read = load_year(folder)
    span = read.year.span
    block = Block(id="injured-1", kind=Kind.INJURED, span=span, weeks=(Week(span=span),))
    revision = Revision(
        number=1, stamp=datetime(2026, 3, 2, 12, tzinfo=UTC), cause="test", year_digest="",
        blocks=(block,), score=Score(occasions=(), costs=(), points=0),
        proof=Proof(optimal=True, gap=0, bound=0),
    )  # fmt: skip
    save_plan(folder, Plan(calendar_key=UUID(int=1), revisions=(revision,)), based_on=None)
    return folder


@pytest.mark.parametrize("command", ["today", "week"])
def test_what_is_hurt_is_told_with_its_dates(hurting: Path, command: str) -> None:
    ran = run(command, hurting)
    assert ran.exit_code == Exit.FINE, ran.output
    told = unbroken(ran.stdout)
    assert "Left finger, easy from Sat 7 Mar 2026 until Mon 23 Mar 2026. Not yet: hard" in told
    assert "First hard finger work from Fri 24 Apr 2026" in told
    assert "Left finger: your own days; no clinician named them." in told
    assert "Left finger: tape while climbing until Thu 9 Jul 2026" in told
    assert "Elbow: no days named yet" in told and "--change elbow`." in told


@pytest.mark.parametrize("command", ["today", "week"])
def test_programs_read_what_is_hurt(hurting: Path, command: str) -> None:
    facts = json.loads(run(command, hurting, "--json").stdout)["hurting"]
    assert {(one["part"], one["entry"]) for one in facts} == {
        ("left finger", "ring-finger"), ("elbow", "elbow"),
    }  # fmt: skip
    assert facts[0]["until"] == "2026-03-23" and facts[-1]["until"] is None
    assert "2199" not in json.dumps(facts)
