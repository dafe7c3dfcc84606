"""Files that are none, or hold what no reader has room for: told in a line, never waited for."""

from __future__ import annotations

import os
import socket
import subprocess
import sys
import threading
from collections.abc import Callable
from pathlib import Path

import pytest
from draft_maker import YEAR
from places import ROOT
from typer.testing import CliRunner

from seasonplan.cli.app import app
from seasonplan.cli.exits import Exit
from seasonplan.edits import changes
from seasonplan.errors import BadInput, CannotWrite
from seasonplan.files import disk
from seasonplan.files.disk import NotAFile, read_whole
from seasonplan.workspace import store
from seasonplan.year.nesting import DEEPEST, too_deep
from tui.forms.unfinished import Unfinished

DEEP = 3000
PATIENCE_SECONDS = 60.0  # a guard against waiting for ever, no claim about speed
posix = pytest.mark.skipif(os.name != "posix", reason="pipes and devices as POSIX has them")


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "year.toml").write_text(YEAR)
    return tmp_path


# --- deep -----------------------------------------------------------------------------------

TOO_DEEP = {
    "a list": "x = " + "[" * DEEP + "]" * DEEP,
    "a list left open": "x = " + "[" * DEEP,
    "tables": "x = " + "{a=" * DEEP + "1" + "}" * DEEP,
    "over lines": "x = " + "[\n" * DEEP + "]" * DEEP,
    "a key": ".".join(["a"] * 20_000) + " = 1",
    "a quoted key": ".".join(['"a"'] * 20_000) + " = 1",
    "a header": "[" + ".".join(["a"] * 20_000) + "]",
    "a header of entries": "[[" + " . ".join(["a"] * 20_000) + "]]",
    "in an entry": '[[goal]]\nname = "A"\nplace = ' + "[" * DEEP + "]" * DEEP,
}


@pytest.mark.parametrize("text", TOO_DEEP.values(), ids=TOO_DEEP)
def test_what_lies_too_deep_in_the_year_is_told_with_its_line(folder: Path, text: str) -> None:
    """The user saw: RecursionError."""
    (folder / "year.toml").write_text(f"{YEAR}\n{text}\n")
    ran = CliRunner().invoke(app, ["show", str(folder)])
    assert ran.exit_code == Exit.BAD_INPUT, ran.exception
    first = YEAR.count("\n") + 2
    line = first + {"over lines": DEEPEST, "in an entry": 2}.get(
        next(name for name, one in TOO_DEEP.items() if one == text), 0
    )
    assert ran.stderr.startswith(f"{folder / 'year.toml'}, line {line}: found values or parts of")
    assert ran.stderr.count("\n") == 1


def test_signs_in_texts_and_comments_are_no_depth() -> None:
    many = "[{." * 100
    for text in (
        f'note = "{many}"', f"note = '{many}'", f'note = """\n{many}\n"""', f"note = '''{many}'''",
        f"# {many}", f'note = "a \\" {many}"', "x = [1.5, 2.5]\n" * 100, "a.b.c = 1\n" * 100,
        "x = [" + "1.5, " * 100 + "]", '{"a": "' + many + '", "b": [1.5, 2.5]}',
    ):  # fmt: skip
        assert too_deep(text) is None, text[:40]
    assert too_deep("x = " + "[" * DEEPEST + "]" * DEEPEST) is None
    assert too_deep("x = " + "[" * (DEEPEST + 1)) == 1


@pytest.mark.parametrize("text", ["[" * 100_000, '{"a":' * 5000 + "1" + "}" * 5000])
def test_a_plan_that_lies_too_deep_is_told(folder: Path, text: str) -> None:
    (folder / "plan.json").write_text(f"\n{text}")
    ran = CliRunner().invoke(app, ["show", str(folder)])
    assert ran.exit_code == Exit.BAD_INPUT, ran.exception
    assert f"{folder / 'plan.json'}, line 2: found values more than {DEEPEST} deep" in ran.stderr
    assert "Traceback" not in ran.stderr and (folder / "plan.json").read_text().startswith("\n")


def test_deep_texts_inside_a_plan_and_unfinished_forms_say_nothing(folder: Path) -> None:
    assert changes(TOO_DEEP["a list"], "") == ()
    (folder / "unfinished.json").write_text("[" * 100_000)
    assert Unfinished(folder).all() == {}


# --- no files -------------------------------------------------------------------------------


def a_folder(path: Path) -> None:
    path.mkdir()


def a_pipe(path: Path) -> None:
    os.mkfifo(path)


def a_device(path: Path) -> None:
    path.symlink_to("/dev/zero")


def a_socket(path: Path) -> None:
    here = Path.cwd()
    os.chdir(path.parent)  # a socket's name may have no more than some 100 signs
    try:
        with socket.socket(socket.AF_UNIX) as made:
            made.bind(path.name)
    finally:
        os.chdir(here)


NO_FILES: list[Callable[[Path], None]] = [a_folder, a_pipe, a_device, a_socket]


@posix
@pytest.mark.parametrize("make", NO_FILES)
@pytest.mark.parametrize("name", ["year.toml", "plan.json", "diary.csv"])
def test_what_is_no_file_is_refused_and_not_waited_for(
    folder: Path, name: str, make: Callable[[Path], None]
) -> None:
    """A program of its own, as one that waits would never come back to the test."""
    (folder / name).unlink(missing_ok=True)
    make(folder / name)
    ran = subprocess.run(
        [sys.executable, "-c", "from seasonplan.cli import main; main()",
         "log", str(folder), "note", "calm"],
        cwd=ROOT, capture_output=True, text=True, timeout=120,
    )  # fmt: skip
    assert ran.returncode == Exit.BAD_INPUT, ran.stderr
    what = make.__name__.replace("_", " ")
    assert ran.stderr.startswith(f"{folder / name}: found {what}; wanted a file we may read.")
    assert "Move it away" in ran.stderr and ran.stderr.count("\n") == 1


@posix
@pytest.mark.parametrize("make", NO_FILES)
def test_what_is_no_file_is_never_written_over(folder: Path, make: Callable[[Path], None]) -> None:
    path = folder / "out.ics"
    make(path)
    before = path.stat().st_mode
    with pytest.raises(CannotWrite, match=r"out\.ics: could not be written \(a "):
        disk.write_output(path, b"x")
    with pytest.raises(CannotWrite, match=r"\(a "):
        store.write(path, b"x", based_on=None)
    assert path.stat().st_mode == before and not list(folder.glob(".*.part"))


@posix
def test_a_pipe_in_place_of_a_table_or_record_is_refused(folder: Path) -> None:
    a_pipe(folder / "old.csv")
    ran = CliRunner().invoke(app, ["log", str(folder), "import", str(folder / "old.csv")])
    assert ran.exit_code == Exit.BAD_INPUT and "(a pipe)" in ran.stderr
    a_pipe(folder / "unfinished.json")
    assert Unfinished(folder).all() == {}


@posix
def test_a_pipe_put_in_the_place_of_a_file_at_the_last_moment_is_not_waited_for(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    pipe, file, refused = tmp_path / "year.toml", Path(__file__).stat(), threading.Event()
    os.mkfifo(pipe)
    monkeypatch.setattr(Path, "stat", lambda self: file)  # it was a file when one looked

    def read() -> None:
        with pytest.raises(NotAFile):
            read_whole(pipe)
        refused.set()

    threading.Thread(target=read, daemon=True).start()
    assert refused.wait(PATIENCE_SECONDS)


def test_a_link_to_a_file_is_read_and_stays_a_link(folder: Path, tmp_path: Path) -> None:
    real = tmp_path / "real.toml"
    (folder / "year.toml").rename(real)
    (folder / "year.toml").symlink_to(real)
    read = store.load_year(folder)
    store.save_year(folder, f"{read.text}# more\n", based_on=read.digest)
    assert (folder / "year.toml").is_symlink() and real.read_text().endswith("# more\n")


def test_a_diary_that_is_a_folder_does_not_keep_the_year_from_being_read(folder: Path) -> None:
    (folder / "diary.csv").mkdir()
    assert store.load_year(folder).text == YEAR
    with pytest.raises(BadInput, match="a folder"):
        store.load_diary(folder)
