"""A plan that an older version wrote: what it is still judged by, and what faces say of it.

`tests/old` holds one of schema 1: three weeks of strength, a season of ten weeks, two days of rest.
"""

from __future__ import annotations

import json
import shutil
from collections import Counter
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any

import pytest
from page_lines import unbroken
from places import TESTS
from typer.testing import CliRunner

from seasonplan.checker import JUDGES, SESSION_JUDGES
from seasonplan.cli.app import app
from seasonplan.cli.exits import Exit
from seasonplan.explain.older import JUDGED, OLDER
from seasonplan.planning.proposal import Proposal
from seasonplan.rules.findings import COVER, GIVEN, PAST, PIN, PROOF, SCORE, SUMS
from seasonplan.workspace.desk import Desk
from tui.bench import Bench
from tui.standing import standing

TODAY = date(2027, 8, 23)
STAMP = datetime(2027, 8, 1, tzinfo=UTC)


@pytest.fixture
def old(tmp_path: Path) -> Path:
    return Path(shutil.copytree(TESTS / "old", tmp_path / "old"))


def run(*arguments: object) -> Any:
    environment = {"COLUMNS": "80", "NO_COLOR": None}
    return CliRunner().invoke(app, [str(one) for one in arguments], env=environment)


def codes(folder: Path) -> Counter[str]:
    return Counter(found.code for found in Desk(folder).check(today=TODAY))


def with_entry(folder: Path, text: str) -> Path:
    with (folder / "year.toml").open("a") as file:
        file.write(f"\n{text}\n")
    return folder


def changed(folder: Path, old: str, new: str) -> Path:
    text = (folder / "plan.json").read_text()
    assert old in text
    (folder / "plan.json").write_text(text.replace(old, new, 1))
    return folder


# --- what is judged -------------------------------------------------------------------------------


def test_sums_that_the_older_version_counted_otherwise_are_not_called_wrong(old: Path) -> None:
    desk = Desk(old)
    assert desk.older and not desk.stale
    found = codes(old)
    assert not {SUMS, SCORE, PROOF, "session-dose", "load-step", "lead-in-volume"} & {*found}


def test_what_was_fixed_and_entered_is_still_asked_of_it(old: Path) -> None:
    assert not {PIN, GIVEN} & {*codes(old)}
    fixed = (
        '\n[[pin]]\nid = "p"\nname = "P"\nkind = "base"\nfirst = 2027-08-30\nlast = 2027-09-12\n'
    )
    assert PIN in codes(with_entry(old, fixed))
    away = '\n[[absence]]\nid = "a"\nname = "A"\nfirst = 2027-10-04\nlast = 2027-10-10\n'
    assert GIVEN in codes(with_entry(old, away))


def test_published_rules_are_still_asked_of_it(old: Path) -> None:
    """A season cut to nine days, and a hard session two hours before sunrise."""
    short = '"span":{"first":"2027-09-13","after":"2027-11-13"}'
    assert COVER in codes(changed(old, short, '"span":{"first":"2027-09-13","after":"2027-09-22"}'))
    before = codes(old)["session-hours"]
    session = json.loads((old / "plan.json").read_text())["revisions"][-1]["sessions"][0]
    at_night = changed(old, f'"start":"{session["start"]}"', '"start":"03:00:00"')
    assert codes(at_night)["session-hours"] == before + 1


def test_a_session_that_stands_twice_is_still_told(old: Path) -> None:
    desk = Desk(old)
    assert desk.plan is not None
    one, other = (session.id for session in desk.plan.current.sessions[:2])
    assert codes(changed(old, f'"id":"{other}"', f'"id":"{one}"'))[SUMS] == 1


def test_of_a_new_plan_everything_is_asked(old: Path) -> None:
    """Its sums as well: a minute too much in one week is told."""
    desk = Desk(old)
    answer = desk.propose("the new version", stamp=STAMP, today=TODAY)
    assert isinstance(answer, Proposal)
    week = desk.accept(answer).blocks[0].weeks[0]
    assert not desk.older and SUMS not in codes(old)
    lines = (old / "plan.json").read_text().splitlines()
    more = lines[-2].replace(f'"minutes":{week.minutes}', f'"minutes":{week.minutes + 1}', 1)
    assert more != lines[-2]
    (old / "plan.json").write_text("\n".join([*lines[:-2], more, lines[-1]]))
    assert codes(old)[SUMS] == 1
    assert run("check", old, "--today", TODAY).stderr == ""
    assert OLDER[:40] not in run("today", old, "--today", TODAY).stderr


def test_rules_that_are_not_asked_of_an_older_plan_are_rules() -> None:
    from seasonplan.checker.older import COUNTED, COUNTED_IN_PART

    assert {*COUNTED, *(code for code, _ in COUNTED_IN_PART)} <= {*JUDGES, *SESSION_JUDGES}
    assert not COUNTED & {COVER, GIVEN, PIN, PAST}


# --- what is said ---------------------------------------------------------------------------------


def test_check_says_once_what_it_asks_and_sums_up_what_is_broken(old: Path) -> None:
    ran = run("check", old, "--today", TODAY)
    said = unbroken(ran.stderr)
    assert said.count("made by an older version") == 1
    assert f"`seasonplan replan {old}`" in said and f"`seasonplan plan {old} --again`" in said
    assert "Not checked are the sums of its weeks" in said and len(JUDGED) < 420
    assert "contradicts itself" not in ran.output and len(ran.stdout.splitlines()) < 30
    broken = [one for one in Desk(old).check(today=TODAY) if one.strength == "hard"]
    times = f"{len({one.code for one in broken})} rules are broken, {len(broken)} times in all."
    assert times in ran.stdout
    assert ran.exit_code == Exit.RULES_BROKEN
    whole = run("check", old, "--today", TODAY, "--all")
    assert times in whole.stdout


def test_check_as_json_says_that_the_plan_is_of_an_older_version(old: Path) -> None:
    found = json.loads(run("check", old, "--today", TODAY, "--json").stdout)
    assert found["older"] is True and found["stale"] is False


@pytest.mark.parametrize("command", ["show", "today", "week", "export"])
def test_other_commands_say_it_once_and_on_stderr(old: Path, command: str) -> None:
    ran = run(command, old, *(() if command == "export" else ("--today", TODAY)))
    assert ran.exit_code == Exit.FINE
    told = unbroken(ran.stderr)
    assert told.startswith(OLDER.replace("replan", f"replan {old}"))
    assert told.count("older version") == 1 and "older version" not in ran.stdout


def test_the_terminal_says_it_where_it_says_how_the_plan_stands(old: Path) -> None:
    assert standing(Bench(old, now=TODAY)) == "~ an older plan: r plans anew"
