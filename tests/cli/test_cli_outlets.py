"""What is said may find no way out: closed, full, nobody there. Never a traceback, never a lie."""

from __future__ import annotations

import os
import shlex
import subprocess
import sys
from pathlib import Path

import pytest
from places import ROOT
from stage import demo

from seasonplan.cli.exits import Exit
from seasonplan.workspace.desk import Desk

PROGRAM = f"{shlex.quote(sys.executable)} -c 'from seasonplan.cli import main; main()'"
pytestmark = [
    pytest.mark.skipif(os.name != "posix", reason="ends are closed as a POSIX shell does"),
    pytest.mark.skipif(not Path("/dev/full").exists(), reason="no device that is always full"),
]


def shell(words: str) -> subprocess.CompletedProcess[str]:
    """A line of the shell, with `seasonplan` in it."""
    line = words.replace("seasonplan ", f"{PROGRAM} ", 1)
    return subprocess.run(
        ["bash", "-c", line], cwd=ROOT, capture_output=True, text=True, timeout=120
    )


@pytest.fixture
def folder(tmp_path: Path) -> str:
    return shlex.quote(str(demo(tmp_path)))


@pytest.mark.parametrize("command", ["show {}", "show {} --json", "--help", "rules"])
@pytest.mark.parametrize(
    ("end", "why"), [(">&-", "it is closed"), (">/dev/full", "No space left on device")]
)
def test_an_output_that_takes_nothing_ends_with_5_and_says_why(
    folder: str, command: str, end: str, why: str
) -> None:
    ran = shell(f"seasonplan {command.format(folder)} {end}")
    assert ran.returncode == Exit.CANNOT_WRITE
    assert ran.stderr.startswith(f"stdout: could not be written ({why}).")
    assert ran.stderr.count("\n") == 1


def test_a_reader_who_has_left_hears_no_complaint() -> None:
    reads, writes = os.pipe()
    os.close(reads)
    ran = subprocess.run(
        [sys.executable, "-c", "from seasonplan.cli import main; main()", "rules"],
        cwd=ROOT, stdout=writes, stderr=subprocess.PIPE, text=True, timeout=120,
    )  # fmt: skip
    os.close(writes)
    assert (ran.returncode, ran.stderr) == (Exit.CANNOT_WRITE, "")


@pytest.mark.parametrize("end", ["2>&-", "2>/dev/full"])
def test_a_code_tells_what_stderr_does_not_take(folder: str, end: str) -> None:
    ran = shell(f"seasonplan show no-such-folder {end}")
    assert (ran.returncode, ran.stdout, ran.stderr) == (Exit.BAD_INPUT, "", "")


@pytest.mark.parametrize("end", ["2>&-", "2>/dev/full"])
def test_a_word_lost_on_stderr_is_no_success_but_costs_no_data(folder: str, end: str) -> None:
    quiet = shell(f"seasonplan show {folder} --plain {end}")
    assert quiet.returncode == Exit.FINE and quiet.stdout  # there was nothing to say there
    with (Path(shlex.split(folder)[0]) / "year.toml").open("a") as file:
        file.write('\n[[absence]]\nname = "Nights"\nfirst = 2027-06-01\nlast = 2027-06-03\n')
    told = shell(f"seasonplan show {folder} --plain {end}")
    assert told.returncode == Exit.CANNOT_WRITE and "2027" in told.stdout


@pytest.mark.parametrize("ends", [">&- 2>&-", "<&- >&- 2>&-", ">/dev/full 2>/dev/full"])
def test_with_every_end_closed_the_work_is_done_and_the_code_tells(folder: str, ends: str) -> None:
    path = Path(shlex.split(folder)[0])
    ran = shell(
        f"seasonplan edit {folder} add absence name=Nights first=2027-06-01 last=2027-06-03 {ends}"
    )
    assert ran.returncode == Exit.CANNOT_WRITE
    assert Desk(path).year.entry("nights")  # and nothing that was said went into a file
    assert "Run" not in (path / "year.toml").read_text(encoding="utf-8")


def test_without_an_input_the_terminal_face_is_refused(folder: str) -> None:
    ran = shell(f"seasonplan open {folder} <&-")
    assert ran.returncode == Exit.BAD_INPUT and "needs a terminal" in ran.stderr
