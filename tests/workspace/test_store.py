"""Files are old or new and whole, whatever is killed, full, forbidden or in a hurry.

What POSIX promises of rename() and fsync() is taken as given (IEEE Std 1003.1, from memory).
"""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from collections.abc import Iterator
from itertools import islice
from pathlib import Path
from typing import Any

import pytest
import saver
from draft_maker import STAMP, YEAR, draft, plan, revision
from places import TESTS

from seasonplan.errors import BadInput, CannotWrite, ChangedOnDisk
from seasonplan.explain import because
from seasonplan.explain.before_after import OLDER, goal_lines, nothing_changes, summary
from seasonplan.explain.changes import worth_text
from seasonplan.explain.why import why
from seasonplan.explain.why_told import UNKNOWN, sentences
from seasonplan.files.disk import Save, write_all
from seasonplan.plan import Plan
from seasonplan.planning.history import compare
from seasonplan.planning.proposal import Proposal
from seasonplan.vocabulary import Emphasis, Spread
from seasonplan.workspace import store
from seasonplan.workspace.desk import Desk
from seasonplan.workspace.store import digest_of

KILLS = 320


def program(*arguments: object) -> subprocess.Popen[str]:
    command = [sys.executable, str(TESTS / "support" / "saver.py"), *map(str, arguments)]
    path = os.pathsep.join([str(TESTS.parent), str(TESTS)])
    return subprocess.Popen(
        command, env={**os.environ, "PYTHONPATH": path}, text=True,
        stdout=subprocess.PIPE, stderr=subprocess.PIPE,
    )  # fmt: skip


def told(run: subprocess.Popen[str]) -> Any:
    out, errors = run.communicate(timeout=120)
    assert run.returncode == 0, errors
    return json.loads(out)


def fill(folder: Path) -> list[bytes]:
    """A folder in state 0, and the bytes of its files."""
    contents = [saver.year_of(0), saver.plan_of(0), saver.diary_of(0)]
    for path, content in zip(saver.paths(folder), contents, strict=True):
        path.write_bytes(content)
    return contents


def held(folder: Path) -> list[bytes]:
    return [path.read_bytes() for path in saver.paths(folder)]


# --- killed ---------------------------------------------------------------------------------


def test_a_save_killed_at_any_moment_leaves_old_or_new_whole(tmp_path: Path) -> None:
    """`saver.killed` looks after each kill; here it is asked whether it really hit saves."""
    seen = told(program("killed", tmp_path, KILLS))
    assert seen["kills"] == KILLS
    assert seen["saved"] >= KILLS // 4  # the child really saved
    assert seen["parts"] >= KILLS // 20  # killed while a file was being written
    assert seen["apart"] >= KILLS // 20  # killed between two files


def test_a_pair_torn_by_a_kill_is_known_by_the_digest_of_the_year(tmp_path: Path) -> None:
    from seasonplan.workspace.desk import Desk

    (tmp_path / "year.toml").write_text(YEAR)
    digest = Desk(tmp_path)._meaning
    store.save_plan(tmp_path, plan(revision(year_digest=digest)), based_on=None)
    assert not Desk(tmp_path).stale
    (tmp_path / "year.toml").write_text(YEAR.replace("weeks = 12", "weeks = 13"))
    assert Desk(tmp_path).stale


def test_what_a_killed_save_left_behind_goes_with_the_next(tmp_path: Path) -> None:
    left = tmp_path / ".diary.csv.abc123.part"
    other = tmp_path / ".diary.csv.part.txt"
    left.write_text("half")
    other.write_text("mine")
    store.save_diary(tmp_path, "x", based_on=None)
    assert not left.exists() and other.exists()


# --- two writers ----------------------------------------------------------------------------


def test_two_writers_never_lose_each_others_work(tmp_path: Path) -> None:
    (tmp_path / "count.txt").write_text("0")
    both = [program("counted", tmp_path, 120) for _ in range(2)]
    again = sum(told(run)["again"] for run in both)
    assert (tmp_path / "count.txt").read_text() == "240"
    assert again > 0  # they really met


@pytest.mark.parametrize("other", [b"somebody else's", None])
def test_a_file_changed_or_gone_since_it_was_read_is_left_alone(
    tmp_path: Path, other: bytes | None
) -> None:
    path = tmp_path / "year.toml"
    if other is not None:
        path.write_bytes(other)
    with pytest.raises(ChangedOnDisk, match="run the command again"):
        store.write(path, b"mine", based_on=digest_of(b"read"))
    assert (path.read_bytes() if path.exists() else None) == other


def test_of_two_files_none_is_written_when_one_was_changed(tmp_path: Path) -> None:
    first, second = tmp_path / "a", tmp_path / "b"
    first.write_bytes(b"1")
    second.write_bytes(b"2")
    for changed in (0, 1):
        based_on = [digest_of(b"1"), digest_of(b"2")]
        based_on[changed] = digest_of(b"0")
        with pytest.raises(ChangedOnDisk):
            write_all([Save(first, b"x", based_on[0]), Save(second, b"y", based_on[1])])
        assert (first.read_bytes(), second.read_bytes()) == (b"1", b"2")


# --- no room, no permission -----------------------------------------------------------------


def mounted(folder: Path, *arguments: str) -> Iterator[Path]:
    """A folder with something mounted on it; skipped where one may not."""
    folder.mkdir()
    ran = subprocess.run(["mount", *arguments, str(folder)], capture_output=True)
    if ran.returncode:
        pytest.skip("mounting is not allowed here")
    try:
        yield folder
    finally:
        subprocess.run(["umount", str(folder)], check=True)


@pytest.fixture
def small_disk(tmp_path: Path) -> Iterator[Path]:
    yield from mounted(tmp_path / "small", "-t", "tmpfs", "-o", "size=96k", "none")


@pytest.fixture
def sealed(tmp_path: Path) -> Iterator[Path]:
    """A folder in state 0 that nobody may write in; root needs a disk that is read-only."""
    real = tmp_path / "real"
    real.mkdir()
    fill(real)
    if os.geteuid() != 0:
        real.chmod(0o555)
        yield real
        real.chmod(0o755)
        return
    for view in mounted(tmp_path / "view", "--bind", str(real)):
        subprocess.run(["mount", "-o", "remount,bind,ro", str(view)], check=True)
        yield view


@pytest.mark.parametrize("room", [0, 1])
def test_a_full_disk_gives_a_clear_error_and_loses_nothing(small_disk: Path, room: int) -> None:
    """With room for the year but not for the plan, neither is written."""
    contents = fill(small_disk)
    filler = small_disk / "filler"
    with filler.open("wb", buffering=0) as file, pytest.raises(OSError, match="No space"):
        while True:
            file.write(b"x" * 4096)
    if room:
        os.truncate(filler, filler.stat().st_size - len(saver.year_of(1)) - 4096)
    error = saver.refused(small_disk)
    assert "No space left on device" in error and "Make room" in error
    assert held(small_disk) == contents
    assert not list(small_disk.glob(".*.part"))


def test_a_limit_on_the_size_of_files_loses_nothing(tmp_path: Path) -> None:
    contents = fill(tmp_path)
    assert len(saver.plan_of(1)) > 14_000 > len(saver.year_of(1))
    error = told(program("cramped", tmp_path, 14_000))["error"]
    assert "plan.json: could not be written (File too large)" in error
    assert held(tmp_path) == contents
    assert not list(tmp_path.glob(".*.part"))


def test_a_folder_one_may_not_write_in_gives_a_clear_error(sealed: Path) -> None:
    contents = held(sealed)
    error = saver.refused(sealed)
    assert "could not be written (" in error and "give write permission" in error
    assert held(sealed) == contents


def test_a_folder_that_is_not_there_gives_a_clear_error(tmp_path: Path) -> None:
    for save in (
        lambda: store.write(tmp_path / "no" / "x", b"x", based_on=None),
        lambda: store.write_output(tmp_path / "no" / "x", b"x"),
    ):
        with pytest.raises(CannotWrite, match=r"No such file or directory.*Make its folder, then"):
            save()


def test_a_link_to_a_file_elsewhere_stays_a_link(tmp_path: Path) -> None:
    real, link = tmp_path / "synced.toml", tmp_path / "year.toml"
    real.write_bytes(b"old")
    real.chmod(0o640)
    link.symlink_to(real)
    store.write(link, b"new", based_on=digest_of(b"old"))
    assert link.is_symlink() and real.read_bytes() == b"new"
    assert real.stat().st_mode & 0o777 == 0o640
    new = tmp_path / "new.json"
    write_all([Save(new, b"{}", None)])
    assert new.stat().st_mode & 0o777 == 0o644


# --- plan.json ------------------------------------------------------------------------------


def test_a_plan_comes_back_as_it_was_with_a_line_for_each_revision(tmp_path: Path) -> None:
    many = plan(revision(), revision(2, undoes=None), revision(3, undoes=2, restores=1))
    store.save_plan(tmp_path, many, based_on=None)
    on_disk = store.load_plan(tmp_path)
    assert on_disk is not None and on_disk.plan == many
    lines = (tmp_path / "plan.json").read_text().splitlines()
    assert len(lines) == 2 + len(many.revisions)
    assert lines[0].startswith('{"schema_version":2,"calendar_key":')


def test_a_plan_written_at_length_is_read_as_well(tmp_path: Path) -> None:
    made = draft().plan
    assert made is not None
    (tmp_path / "plan.json").write_text(made.model_dump_json(indent=1))
    on_disk = store.load_plan(tmp_path)
    assert on_disk is not None and on_disk.plan == made


def test_an_old_schema_is_stepped_up_one_by_one(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Two made-up older schemas: one without causes, one with another word for them."""

    def first(raw: dict[str, Any]) -> dict[str, Any]:
        return raw | {
            "schema_version": 1,
            "revisions": [one | {"reason": "unknown"} for one in raw["revisions"]],
        }

    def second(raw: dict[str, Any]) -> dict[str, Any]:
        revisions = [
            {("cause" if key == "reason" else key): value for key, value in one.items()}
            for one in raw["revisions"]
        ]
        return raw | {"schema_version": 2, "revisions": revisions}

    monkeypatch.setattr(store, "PLAN_STEPS", {0: first, 1: second})
    made = plan(revision(cause="unknown"))
    raw = json.loads(store.plan_text(made))
    raw["schema_version"] = 0
    del raw["revisions"][0]["cause"]
    (tmp_path / "plan.json").write_text(json.dumps(raw))
    on_disk = store.load_plan(tmp_path)
    assert on_disk is not None and on_disk.plan == made


# --- schema 1: a folder as it was written before sessions made up the weeks ------------------


@pytest.fixture
def old(tmp_path: Path) -> Path:
    """A year and its plan of schema 1, as the program wrote them then."""
    return Path(shutil.copytree(TESTS / "old", tmp_path / "old"))


def test_a_plan_of_schema_1_keeps_its_blocks_sessions_and_ids(old: Path) -> None:
    raw = json.loads((old / "plan.json").read_text())
    on_disk = store.load_plan(old)
    assert raw["schema_version"] == 1 and on_disk is not None
    was, now = raw["revisions"][-1], on_disk.plan.current
    assert on_disk.plan.schema_version == 2
    assert str(on_disk.plan.calendar_key) == raw["calendar_key"]
    assert [(b["id"], b["kind"], b["span"]["first"]) for b in was["blocks"]] == [
        (b.id, b.kind, str(b.span.first)) for b in now.blocks
    ]
    assert [(s["id"], s["recipe"], s["day"], s["minutes"]) for s in was["sessions"]] == [
        (s.id, s.recipe, str(s.day), s.minutes) for s in now.sessions
    ]
    minutes = [week["minutes"] for block in was["blocks"] for week in block["weeks"]]
    assert minutes == [week.minutes for block in now.blocks for week in block.weeks]
    assert all(block.emphasis is Emphasis.NONE for block in now.blocks)
    assert [o["good_days"] for o in was["score"]["occasions"]] == [
        o.good_days for o in now.score.occasions
    ]
    assert not now.proof.optimal and not now.proof.confirmed


def test_a_session_of_a_recipe_that_is_gone_has_what_took_its_place(old: Path) -> None:
    text = (old / "plan.json").read_text()
    gone = text.replace('"recipe":"sharpening"', '"recipe":"maximal-hangs"')
    assert gone != text
    (old / "plan.json").write_text(gone)
    on_disk = store.load_plan(old)
    assert on_disk is not None
    recipes = {one.recipe for one in on_disk.plan.current.sessions}
    assert "fingerboard-long" in recipes and not {"maximal-hangs", "sharpening"} & recipes


def test_an_old_plan_is_written_as_schema_2_and_read_back_the_same(old: Path) -> None:
    on_disk = store.load_plan(old)
    assert on_disk is not None
    store.save_plan(old, on_disk.plan, based_on=on_disk.digest)
    again = store.load_plan(old)
    assert again is not None and again.plan == on_disk.plan
    assert (old / "plan.json").read_text().startswith('{"schema_version":2,')


def test_an_old_folder_is_planned_anew_and_both_plans_are_kept(old: Path) -> None:
    desk = Desk(old)
    assert desk.plan is not None and not desk.up_to_date
    today = desk.year.span.first
    answer = desk.propose("the new program", stamp=STAMP, today=today)
    assert isinstance(answer, Proposal)
    told = " ".join([summary(answer), *goal_lines(answer)])
    assert OLDER in told and "points" not in told and "→" not in told
    assert "days on rock planned" in told
    assert not nothing_changes(answer)
    kept = desk.accept(answer)
    assert kept.number == 2 and kept.proof.optimal
    found = compare(store.load_plan(old).plan, 1, 2)  # type: ignore[union-attr]
    assert not found.comparable and "cannot be compared" in worth_text(found)


def test_why_says_that_an_old_plan_cannot_be_compared_and_replan_what_keeping_it_costs(
    old: Path,
) -> None:
    desk = Desk(old)
    assert desk.plan is not None
    block = desk.plan.current.blocks[0]
    reason = why(desk.year, desk.plan.current, block, book=desk.book)
    assert sentences(reason, desk.year)[1:] == [UNKNOWN]
    answer = desk.propose("the new program", stamp=STAMP, today=desk.year.span.first)
    assert isinstance(answer, Proposal) and answer.blocks
    for one in islice(because.reasons(answer, book=desk.book), 3):  # each asks many plans
        assert len(one.parties) < 6
        assert one.parties or one.points is not None or one.change.before is None


def test_an_old_year_with_former_words_and_recipes_can_be_read(old: Path) -> None:
    with (old / "year.toml").open("a") as file:
        file.write('\n[sessions]\nspread = "little and often"\n'
                   "[recipes.maximal-hangs]\nminutes = 50\n"
                   '[[session]]\nrecipe = "maximal-hangs"\nday = 2027-08-27\n'
                   'start = "18:00"\nminutes = 45\n')  # fmt: skip
    desk = Desk(old)
    assert desk.year.sessions.spread is Spread.LIGHT
    assert desk.recipes["fingerboard-long"].minutes == 50
    assert [one.recipe for one in desk.year.fixed_sessions] == ["fingerboard-long"]
    assert desk.stale  # what the year says is another thing now


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ('{"schema_version": 3}', "update the program"),
        ('{"schema_version": 1}', "revisions: found nothing"),
        ('{"schema_version": 1, "revisions": 5}', "revisions: found"),
        ('{"schema_version": -7}', "wanted 1 or more"),
        ('{"schema_version": "x"}', "a whole number"),
        ("[]", "line 1: found JSON that is no plan"),
        ('{"revisions": [', "line 1: found a file that ends too early"),
        ("", "line 1: found an empty file"),
        ('{"revisions":\n  [1,]}', "line 2: found text that is no JSON from column 6 on"),
        ("\udcff", "bytes that are not UTF-8"),
    ],
)
def test_a_plan_that_cannot_be_read_is_told_and_left_alone(
    tmp_path: Path, text: str, said: str
) -> None:
    content = text.encode("utf-8", "surrogateescape")
    (tmp_path / "plan.json").write_bytes(content)
    with pytest.raises(BadInput, match=said) as bad:
        store.load_plan(tmp_path)
    assert "plan.json" in bad.value.faults[0].file
    assert (tmp_path / "plan.json").read_bytes() == content


def test_the_states_of_the_saver_are_files_we_can_read(tmp_path: Path) -> None:
    fill(tmp_path)
    assert store.load_year(tmp_path).text == saver.year_text(0)
    on_disk = store.load_plan(tmp_path)
    assert on_disk is not None and isinstance(on_disk.plan, Plan)
    assert saver.states(tmp_path) == (0, 0, 0)
