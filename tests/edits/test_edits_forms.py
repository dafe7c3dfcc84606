"""The registry of forms, the words typed into them, and the commands made from them."""

from __future__ import annotations

import json
import shlex
from pathlib import Path
from typing import Any

import pytest
from draft_maker import SESSION, YEAR, draft
from places import TESTS
from typer.testing import CliRunner

from seasonplan.cli.app import app
from seasonplan.cli.exits import Exit
from seasonplan.edits import REGISTRY, EditForm, EditRefused, edit_from_words, edit_of, typed
from seasonplan.edits.registry import UNION
from seasonplan.errors import BadInput
from seasonplan.plan import Plan
from seasonplan.vocabulary import Kind
from seasonplan.workspace.desk import Desk
from seasonplan.workspace.store import save_plan


def run(*arguments: object) -> Any:
    return CliRunner().invoke(app, [str(one) for one in arguments], env={"COLUMNS": "100"})


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A folder with the year and the hand-made plan of `draft_maker`."""
    (tmp_path / "year.toml").write_text(YEAR, encoding="utf-8")
    made = draft().plan
    assert made is not None
    digest = Desk(tmp_path)._meaning
    current = made.current.model_copy(update={"year_digest": digest})
    plan = Plan(calendar_key=made.calendar_key, revisions=(current,))
    save_plan(tmp_path, plan, based_on=None)
    return tmp_path


# --- forms ----------------------------------------------------------------------------------


def test_every_edit_has_a_form_and_every_verb_is_there_once() -> None:
    verbs = [form.verb for form in REGISTRY]
    assert len(set(verbs)) == len(verbs)
    assert {model.model_fields["do"].default for model in UNION} <= set(verbs)
    assert {"lengthen", "shorten"} <= set(verbs)


@pytest.mark.parametrize("form", REGISTRY, ids=lambda form: form.verb)
def test_a_form_says_what_a_person_needs_to_fill_it(form: EditForm) -> None:
    assert form.title and form.help.endswith(".") and "\n" not in form.help
    assert form.example.startswith(form.verb + " ")
    assert form.fields
    for field in form.fields:
        assert field.label and field.help
        assert field.asks != "kind" or field.choices == (
            "base",
            "strength",
            "performance",
            "rest",
        )


@pytest.mark.parametrize("form", REGISTRY, ids=lambda form: form.verb)
def test_the_example_of_a_command_is_in_its_help_and_can_be_typed(
    form: EditForm, folder: Path
) -> None:
    told = run("edit", folder, form.verb, "--help")
    assert told.exit_code == Exit.FINE
    assert "Example:" in told.stdout and form.help.split(",")[0] in told.stdout
    ran = run("edit", folder, *shlex.split(form.example))
    # done, or refused because this year has no such thing; never an error of usage
    assert "Usage:" not in ran.output and "Traceback" not in ran.output
    assert ran.exit_code == Exit.FINE or "Nothing was changed" in ran.output


@pytest.mark.parametrize(
    ("words", "place", "value"),
    [
        ("2027", ("trip", "name"), "2027"),
        ("true", ("trip", "climbing"), True),
        ("2", ("goal", "priority"), 2),
        ("7", ("goal", "grade"), "7"),
        ("a, b", ("goal", "served_by"), ["a", "b"]),
        ("{ power = 3 }", ("goal", "demands"), {"power": 3}),
        ("09-20", ("season", "first"), "09-20"),
        ("0.2, 0.4", ("season", "chance"), [0.2, 0.4]),
        ("18:00-19:30", ("climber", "minutes", "tuesday"), "18:00-19:30"),
        ("4", ("climber", "level", "power"), 4),
        ("3,6", ("rules", "base-length", "limit"), [3, 6]),
        ("few and long", ("sessions", "spread_for", "base"), "few and long"),
        ("nonsense", ("goal", "priority"), "nonsense"),
        ("x y", ("goal", "unknown"), "x y"),
    ],
)
def test_words_become_what_their_place_takes(
    words: str, place: tuple[str, ...], value: Any
) -> None:
    assert typed(words, *place) == value
    assert type(typed(words, *place)) is type(value)


def test_values_typed_as_pairs_become_an_edit() -> None:
    edit = edit_from_words(
        draft(), "change", {"id": "isle", "values": ["note=", "name=Far = isle"]}
    )
    assert edit.model_dump() == {
        "do": "change", "id": "isle", "values": {"note": None, "name": "Far = isle"},
    }  # fmt: skip
    for word in ("note", "=x"):
        with pytest.raises(EditRefused, match="first=2026-05-04"):
            edit_from_words(draft(), "change", {"id": "isle", "values": [word]})


def test_a_form_filled_wrongly_tells_every_fault() -> None:
    with pytest.raises(BadInput) as bad:
        edit_of(draft(), "split", {"block": "base-1", "day": "soon", "kind": "hard"})
    assert [fault.key for fault in bad.value.faults] == ["day", "kind"]


# --- commands -------------------------------------------------------------------------------


def test_an_edit_is_kept_and_told_as_was_and_is(folder: Path) -> None:
    ran = run("edit", folder, "change", "isle", "last=2027-01-30")
    assert ran.exit_code == Exit.FINE
    assert "last was Sun 31 Jan 2027, is Sat 30 Jan 2027." in ran.stdout
    assert f"`seasonplan replan {folder}`" in ran.stderr
    assert "last = 2027-01-30" in (folder / "year.toml").read_text()
    assert Desk(folder).stale


def test_a_removed_entry_says_what_its_goals_lose(folder: Path) -> None:
    run("edit", folder, "change", "long-crack", "served_by=isle")
    ran = run("edit", folder, "remove", "isle", "--plain")
    assert "served by was isle, is no longer said: any rock of its place" in ran.stdout
    assert "The trip isle is gone; it said name Isle" in ran.stdout


def test_a_negative_number_of_days_is_no_option(folder: Path) -> None:
    ran = run("edit", folder, "move", "strength-1", "--days", "-3")
    assert ran.exit_code == Exit.FINE and "first Fri 5 Feb 2027" in ran.stdout


def test_a_refused_edit_changes_nothing_and_says_what_would_work(folder: Path) -> None:
    ran = run("edit", folder, "move", "base-1", "--days", "3")
    assert ran.exit_code == Exit.BAD_INPUT
    assert "“Isle” is in the way" in ran.stderr and "4 weeks later would work" in ran.stderr
    assert (folder / "year.toml").read_text() == YEAR


def test_the_folder_may_be_left_out(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(folder)
    assert run("edit", "pin", "base-1").exit_code == Exit.FINE
    assert 'id = "pin-base-1"' in Path("year.toml").read_text()


def test_json_of_an_edit_holds_what_was_and_is(folder: Path) -> None:
    ran = run("edit", folder, "set", "climber.minutes.tuesday", "1h", "--json")
    assert json.loads(ran.stdout) == {
        "changes": [
            {"how": "changed", "section": None, "about": "climber.minutes.tuesday", "key": None,
             "was": 90, "now": "1h"}
        ],
        "diary": False,
    }  # fmt: skip


def test_a_session_marked_done_is_in_the_diary(folder: Path) -> None:
    early = run("edit", folder, "done", SESSION, "--today", "2027-01-01")
    assert early.exit_code == Exit.BAD_INPUT and "which is still to come" in early.stderr
    assert not (folder / "diary.csv").exists()
    ran = run("edit", folder, "done", SESSION, "--rpe", "3", "--today", "2027-01-05")
    assert "diary" in ran.stdout and "seasonplan replan" not in ran.stderr
    assert SESSION in (folder / "diary.csv").read_text()
    run("edit", folder, "missed", SESSION, "--today", "2027-01-05")
    assert len((folder / "diary.csv").read_text().splitlines()) == 3


def test_a_file_changed_meanwhile_is_not_written_over(folder: Path) -> None:
    desk = Desk(folder)
    (folder / "year.toml").write_text(YEAR + "# mine\n")
    from seasonplan.edits import PinBlock
    from seasonplan.errors import ChangedOnDisk

    with pytest.raises(ChangedOnDisk):
        desk.change(PinBlock(block="base-1"))
    assert (folder / "year.toml").read_text() == YEAR + "# mine\n"


def test_an_edited_pin_survives_replanning_and_undo_brings_both_back(tmp_path: Path) -> None:
    (tmp_path / "year.toml").write_text((TESTS / "years" / "twelve-weeks.toml").read_text())
    assert run("plan", tmp_path).exit_code == Exit.FINE
    before = Desk(tmp_path)
    assert before.plan is not None
    block = next(b for b in before.plan.current.blocks if b.kind is Kind.BASE)
    ran = run("edit", tmp_path, "shorten", block.id, "--days", "7", "--plan", "--json")
    assert ran.exit_code == Exit.FINE, ran.output
    assert json.loads(ran.stdout)["plan"]["revision"] == 2
    after = Desk(tmp_path).block(block.id)
    assert after is not None and after.pinned
    assert (after.span.first, after.span.length) == (block.span.first, block.span.length - 7)
    assert after.emphasis is block.emphasis and Desk(tmp_path).year.pins[0].emphasis

    undone = run("undo", tmp_path, "--json")
    assert json.loads(undone.stdout)["revision"]["restores"] == 1
    now = Desk(tmp_path)
    assert now.plan is not None and not now.stale
    assert now.plan.current.blocks == before.plan.current.blocks
    assert now.year == before.year

    redone = run("redo", tmp_path)
    assert "Plan 4 is plan 2 again." in redone.stdout
    assert f"{block.id} is shortened and fixed" in redone.stdout.replace("\n  ", " ")
    assert "shortened" in run("compare", tmp_path, 1, 2, "--plain").stdout
    told = run("history", tmp_path, "--plain").stdout.splitlines()
    assert len(told) == 4 and told[3].endswith("(in force)")
    assert len(json.loads(run("history", tmp_path, "--json").stdout)["revisions"]) == 4


def test_undo_is_refused_where_a_hand_changed_the_year_since(folder: Path) -> None:
    (folder / "year.toml").write_text(YEAR + "# mine\n")
    for way in ("undo", "redo"):
        ran = run(way, folder)
        assert ran.exit_code == Exit.BAD_INPUT
        assert (
            "undoing would lose that" in ran.stderr
            and f"`seasonplan replan {folder}`" in ran.stderr
        )
    assert (folder / "year.toml").read_text() == YEAR + "# mine\n"


def test_a_number_out_of_bounds_is_refused_in_words(folder: Path) -> None:
    ran = run("edit", folder, "move", "strength-1", "--days", "900")
    assert ran.exit_code == Exit.BAD_INPUT
    assert ran.stderr == "edit move, days: found 900; wanted 800 or less. Correct it.\n"


def test_days_and_shares_are_said_in_words_on_the_command_line(folder: Path) -> None:
    values = ("name=Second crag", "place=Saltmere", "discipline=sport", "chance=60")
    ran = run(
        "edit", folder, "add", "season", *values, "first=february every year",
        "last=march every year",
    )  # fmt: skip
    assert "chance 0.6, first 02-01, last 03-31" in " ".join(ran.stdout.split())
    assert "contradicts itself" not in ran.stderr
    ran = run("edit", folder, "add", "trip", "name=Y", "first=31 feb", "last=march", "climbing=no")
    assert ran.exit_code == Exit.BAD_INPUT and "February has 28 days" in ran.stderr
