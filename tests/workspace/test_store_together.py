"""Files that belong together are written together, whoever is killed, meets or interferes."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import threading
from datetime import date
from pathlib import Path

import pytest
from draft_maker import YEAR, plan, revision
from places import ROOT
from stage import demo

from seasonplan.cli.exits import Exit
from seasonplan.edits import AddEntry
from seasonplan.errors import CannotWrite, ChangedOnDisk
from seasonplan.files import disk
from seasonplan.files.disk import Save, write_all
from seasonplan.plan import Plan
from seasonplan.workspace import store
from seasonplan.workspace.desk import Desk

PROGRAM = "from seasonplan.cli import main; main()"
# Kills the program when it is about to rename over a file.
KILLED_AT = """
import os, pathlib, signal
real = pathlib.Path.replace
def replace(self, target):
    if pathlib.Path(target).name == "{name}":
        os.kill(os.getpid(), signal.SIGKILL)
    return real(self, target)
pathlib.Path.replace = replace
"""
NIGHTS = AddEntry(
    section="absence",
    values={"name": "Nights", "first": date(2027, 6, 1), "last": date(2027, 6, 3)},
)
posix = pytest.mark.skipif(os.name != "posix", reason="SIGKILL and pipes are of POSIX")


def ran(*arguments: object, before: str = "") -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-c", before + PROGRAM, *map(str, arguments)],
        cwd=ROOT, capture_output=True, text=True, timeout=120,
    )  # fmt: skip


def names(folder: Path) -> list[str]:
    """The hidden files that are no locks."""
    return sorted(one.name for one in folder.glob(".*") if not one.name.endswith(".lock"))


def pair(folder: Path) -> tuple[Path, Path]:
    first, second = folder / "year.toml", folder / "plan.json"
    first.write_bytes(b"old year")
    second.write_bytes(b"old plan")
    return first, second


def save_both(folder: Path) -> None:
    was = [store.digest_of(one) for one in (b"old year", b"old plan")]
    first, second = folder / "year.toml", folder / "plan.json"
    write_all([Save(first, b"new year", was[0]), Save(second, b"new plan", was[1])])


def cut_short(folder: Path, monkeypatch: pytest.MonkeyPatch, *, at: str) -> None:
    """Save both and fail at the rename of one, as a kill would, with nothing tidied after."""
    real = Path.replace

    def replace(self: Path, target: Path) -> Path:
        if Path(target).name == at:
            raise KeyboardInterrupt
        return real(self, target)

    with monkeypatch.context() as patched:
        patched.setattr(Path, "replace", replace)
        patched.setattr(disk, "_clean", lambda *_: None)
        with pytest.raises(KeyboardInterrupt):
            save_both(folder)


# --- killed ---------------------------------------------------------------------------------


def with_two_plans(tmp_path: Path) -> Path:
    """The demo year with a second plan, made after an edit."""
    folder = demo(tmp_path)
    desk = Desk(folder)
    desk.change(NIGHTS)
    assert desk.plan is not None
    old = desk.plan.current
    said = {"number": old.number + 1, "year_text": desk._year.text, "year_digest": desk._meaning}
    both = desk.plan.model_copy(
        update={"revisions": (*desk.plan.revisions, old.model_copy(update=said))}
    )
    store.save_plan(folder, both, based_on=store.digest_of((folder / "plan.json").read_bytes()))
    return folder


@posix
def test_an_undo_killed_between_its_two_renames_is_done_and_the_next_redo_works(
    tmp_path: Path,
) -> None:
    folder = with_two_plans(tmp_path)
    today = ("--today", "2027-01-04")
    first = Desk(folder)
    assert first.plan is not None
    killed = ran("undo", folder, *today, before=KILLED_AT.format(name="plan.json"))
    assert killed.returncode == -signal.SIGKILL
    assert 'name = "Nights"' not in (folder / "year.toml").read_text()  # the first rename was done
    assert store.digest_of((folder / "plan.json").read_bytes()) == first._plan.digest  # type: ignore[union-attr]
    after = Desk(folder)
    assert after.plan is not None and after.plan.current.undoes == first.plan.current.number
    assert not after.stale and names(folder) == []
    again = ran("redo", folder, *today)
    assert again.returncode == Exit.FINE, again.stderr
    assert 'name = "Nights"' in (folder / "year.toml").read_text()


@posix
def test_an_undo_killed_before_its_first_rename_is_done_by_the_next_command(
    tmp_path: Path,
) -> None:
    folder = with_two_plans(tmp_path)
    killed = ran("undo", folder, "--today", "2027-01-04",
                 before=KILLED_AT.format(name="year.toml"))  # fmt: skip
    assert killed.returncode == -signal.SIGKILL
    told = ran("history", folder)
    assert told.returncode == Exit.FINE and "undo" in told.stdout
    assert 'name = "Nights"' not in (folder / "year.toml").read_text()
    assert not Desk(folder).stale


def test_a_save_cut_short_never_goes_over_what_the_climber_wrote_since(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    year, made = pair(tmp_path)
    cut_short(tmp_path, monkeypatch, at="plan.json")
    year.write_bytes(b"mine")
    disk.finish(tmp_path)
    assert (year.read_bytes(), made.read_bytes()) == (b"mine", b"new plan")
    assert names(tmp_path) == []


def test_a_save_that_renamed_nothing_is_dropped_where_a_file_is_another_by_now(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    year, made = pair(tmp_path)
    cut_short(tmp_path, monkeypatch, at="year.toml")
    year.write_bytes(b"mine")
    disk.finish(tmp_path)
    assert (year.read_bytes(), made.read_bytes()) == (b"mine", b"old plan")
    assert names(tmp_path) == []


def fail(folder: Path, monkeypatch: pytest.MonkeyPatch, *, at: str) -> None:
    """Save both on a disk that fails at the rename of one."""
    real = Path.replace

    def replace(self: Path, target: Path) -> Path:
        if Path(target).name == at:
            raise OSError(5, "Input/output error")
        return real(self, target)

    with monkeypatch.context() as patched, pytest.raises(CannotWrite, match="Input/output"):
        patched.setattr(Path, "replace", replace)
        save_both(folder)


def test_a_rename_that_fails_is_done_at_the_next_opening(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    year, made = pair(tmp_path)
    fail(tmp_path, monkeypatch, at="plan.json")
    disk.finish(tmp_path)
    assert (year.read_bytes(), made.read_bytes()) == (b"new year", b"new plan")
    assert names(tmp_path) == []


def test_a_save_refused_before_any_rename_is_not_done_later(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    year, made = pair(tmp_path)
    fail(tmp_path, monkeypatch, at="year.toml")
    assert names(tmp_path) == []
    disk.finish(tmp_path)
    assert (year.read_bytes(), made.read_bytes()) == (b"old year", b"old plan")


def test_what_somebody_else_tidied_away_meanwhile_is_no_fault(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A half-written file that was seen, and the note of a save, are gone when they are to go."""
    year, made = pair(tmp_path)
    real, listed = Path.replace, Path.glob

    def replace(self: Path, target: Path) -> Path:
        done = real(self, target)
        if Path(target).name == "plan.json":
            (tmp_path / ".year.toml.unfinished-save").unlink()
        return done

    def glob(self: Path, pattern: str) -> list[Path]:
        gone = [self / ".year.toml.abc.part"] if pattern.endswith(".part") else []
        return [*listed(self, pattern), *gone]

    monkeypatch.setattr(Path, "replace", replace)
    monkeypatch.setattr(Path, "glob", glob)
    save_both(tmp_path)
    assert (year.read_bytes(), made.read_bytes()) == (b"new year", b"new plan")


def test_a_disk_that_fails_is_told_even_where_the_half_written_file_is_gone(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(_: int) -> None:
        for part in tmp_path.glob(".*.part"):
            part.unlink()
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(CannotWrite, match="No space left"):
        store.write(tmp_path / "year.toml", b"x", based_on=None)


@pytest.mark.parametrize(
    "note",
    [
        b"", b"[[", b"[" * 5000, b'[["year.toml"]]', b'[[1, 2, 3, 4]]', b"{}",
        b'[["../year.toml", ".x.part", null, ""]]', b'[["year.toml", "../.x.part", null, ""]]',
    ],
)  # fmt: skip
def test_a_note_that_is_not_ours_moves_nothing(tmp_path: Path, note: bytes) -> None:
    inside = tmp_path / "inside"
    inside.mkdir()
    pair(tmp_path)
    (tmp_path / ".x.part").write_bytes(b"theirs")
    (inside / ".year.toml.unfinished-save").write_bytes(note)
    disk.finish(inside)
    assert (tmp_path / "year.toml").read_bytes() == b"old year"
    assert (tmp_path / ".x.part").read_bytes() == b"theirs" and names(inside) == []


def test_the_files_of_a_folder_one_may_only_read_are_read_as_they_are(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "year.toml").write_text(YEAR)
    (tmp_path / ".year.toml.unfinished-save").write_text("[]")

    def refused(*_: object) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr("seasonplan.files.journal.finish", lambda *_, **__: refused())
    with pytest.raises(CannotWrite):
        disk.finish(tmp_path)
    assert store.load_year(tmp_path).text == YEAR


def test_nothing_is_renamed_before_it_is_safe_on_the_disk(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Contents, then the note, then the renames; after each its folder. fsync(2), from memory."""
    pair(tmp_path)
    happened: list[str] = []
    sync, rename = os.fsync, Path.replace

    def synced(handle: int) -> None:
        happened.append(f"safe {Path(f'/proc/self/fd/{handle}').readlink().suffix or 'folder'}")
        sync(handle)

    def renamed(self: Path, target: Path) -> Path:
        happened.append(f"renamed {Path(target).name}")
        return rename(self, target)

    monkeypatch.setattr(os, "fsync", synced)
    monkeypatch.setattr(Path, "replace", renamed)
    save_both(tmp_path)
    assert names(tmp_path) == []
    assert happened == [
        "safe .part", "safe .part",
        "safe .part", "renamed .year.toml.unfinished-save", "safe folder",
        "renamed year.toml", "safe folder", "renamed plan.json", "safe folder",
    ]  # fmt: skip
    happened.clear()
    store.write(tmp_path / "year.toml", b"x", based_on=store.digest_of(b"new year"))
    assert happened == ["safe .part", "renamed year.toml", "safe folder"]


# --- the first of all writes ----------------------------------------------------------------


def test_a_file_made_by_another_program_first_is_never_written_over(tmp_path: Path) -> None:
    store.save_plan(tmp_path, plan(revision(cause="theirs")), based_on=None)
    before = (tmp_path / "plan.json").read_bytes()
    with pytest.raises(ChangedOnDisk, match=r"plan\.json"):
        store.save_plan(tmp_path, plan(revision(cause="ours")), based_on=None)
    assert (tmp_path / "plan.json").read_bytes() == before


def test_of_two_programs_that_make_the_first_plan_at_once_one_is_told(tmp_path: Path) -> None:
    (tmp_path / "year.toml").write_text(YEAR)
    desks = [Desk(tmp_path), Desk(tmp_path)]  # both saw a folder without a plan
    together = threading.Barrier(2)
    kept: list[str] = []
    refused: list[str] = []

    def keeps(desk: Desk, cause: str) -> None:
        made: Plan = plan(revision(cause=cause))
        together.wait(60)
        try:
            desk._keep(made)
            kept.append(cause)
        except ChangedOnDisk:
            refused.append(cause)

    threads = [
        threading.Thread(target=keeps, args=(desk, f"program {number}"))
        for number, desk in enumerate(desks)
    ]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(60)
    assert len(kept) == len(refused) == 1
    on_disk = store.load_plan(tmp_path)
    assert on_disk is not None and on_disk.plan.current.cause == kept[0]
