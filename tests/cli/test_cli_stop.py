"""The program as the shell runs it: Ctrl-C, pipes, and progress for those who wait."""

from __future__ import annotations

import io
import os
import shutil
import signal
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from places import ROOT, TESTS

from seasonplan.cli.exits import Exit
from seasonplan.cli.planning import standing
from seasonplan.cli.screen import Screen
from seasonplan.cli.search import Ticker
from seasonplan.workspace.desk import Desk

YEARS = TESTS / "years"
PROGRAM = "from seasonplan.cli import main; main()"

# A planner that says that it runs, is stopped too late, and has its plan.
PATIENT = """
import sys
from seasonplan.planning import replan
real = replan.plan_year
def patient(year, occasion, *, stop, **rest):
    print("SEARCHING", file=sys.stderr, flush=True)
    assert stop.wait(60)
    return real(year, occasion, stop=None, **rest)
replan.plan_year = patient
"""
# One that is stopped in time.
HEEDING = PATIENT.replace("stop=None", "stop=stop")
# One that heeds no stop.
DEAF = """
import sys, time
from seasonplan.planning import replan
def deaf(*parts, **rest):
    print("SEARCHING", file=sys.stderr, flush=True)
    time.sleep(60)
replan.plan_year = deaf
"""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    shutil.copy(YEARS / "twelve-weeks.toml", tmp_path / "year.toml")
    return tmp_path


RUNNING: list[subprocess.Popen[str]] = []


@pytest.fixture(autouse=True)
def _ended() -> Iterator[None]:
    """No program outlives its test, whatever became of that."""
    yield
    while RUNNING:
        with RUNNING.pop() as program:
            program.kill()


def started(*arguments: str, before: str = "") -> subprocess.Popen[str]:
    program = subprocess.Popen(
        [sys.executable, "-c", before + PROGRAM, *arguments],
        cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, encoding="utf-8",
        env={**os.environ, "COLUMNS": "80", "PYTHONIOENCODING": "utf-8"},
    )  # fmt: skip
    RUNNING.append(program)
    return program


def heard(program: subprocess.Popen[str], word: str) -> None:
    """Wait until the program says a word on stderr."""
    assert program.stderr is not None
    said = ""
    while word not in said:
        line = program.stderr.readline()
        assert line, f"ended without {word}: {said}"
        said += line


def stopped(folder: Path, before: str) -> tuple[str, str]:
    """What a plan that Ctrl-C ends while it searches says on stdout and stderr."""
    program = started("plan", str(folder), before=before)
    heard(program, "SEARCHING")
    program.send_signal(signal.SIGINT)
    out, err = program.communicate(timeout=60)
    assert program.returncode == Exit.STOPPED, err
    return out, err


posix = pytest.mark.skipif(os.name != "posix", reason="SIGINT is sent as POSIX does")


@posix
def test_ctrl_c_after_the_plan_was_found_keeps_it_and_says_so(folder: Path) -> None:
    out, err = stopped(folder, PATIENT)
    assert "Stopping; press Ctrl-C once more" in err
    assert "the best plan was found already: it is kept" in err
    assert "Plan 1 is made" in out
    assert Desk(folder).plan is not None


@posix
def test_a_second_ctrl_c_leaves_at_once_and_writes_nothing(folder: Path) -> None:
    program = started("plan", str(folder), before=DEAF)
    heard(program, "SEARCHING")
    program.send_signal(signal.SIGINT)
    heard(program, "once more")
    program.send_signal(signal.SIGINT)
    program.communicate(timeout=60)
    assert program.returncode == Exit.STOPPED
    assert not (folder / "plan.json").exists()


@posix
def test_ctrl_c_before_there_is_a_plan_changes_nothing(folder: Path) -> None:
    out, err = stopped(folder, HEEDING)
    assert "Stopped before any plan was found; nothing was changed." in err and out == ""
    assert not (folder / "plan.json").exists()


def test_stdout_is_data_and_stderr_narrates(folder: Path) -> None:
    program = started("plan", str(folder), "--json")
    out, err = program.communicate(timeout=60)
    assert program.returncode == Exit.FINE, err
    assert out.startswith("{") and out.rstrip().endswith("}")


def test_a_broken_program_says_that_it_is_our_mistake(folder: Path) -> None:
    broken = "from seasonplan.workspace import desk\ndesk.Desk.make_plan = None\n"
    program = started("plan", str(folder), before=broken)
    out, err = program.communicate(timeout=60)
    assert program.returncode == Exit.OUR_MISTAKE
    assert out == "" and err.rstrip().endswith("with the lines above.")


# --- progress -------------------------------------------------------------------------------


class Watch:
    """A clock that the test turns."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch) -> None:
        self.seconds = 100.0
        monkeypatch.setattr("seasonplan.cli.search.monotonic", lambda: self.seconds)


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


def screen(*, plain: bool) -> Screen:
    return Screen(plain=plain, colour=False, unicode=not plain, width=60)


def test_work_under_a_second_is_not_narrated(monkeypatch: pytest.MonkeyPatch) -> None:
    watch, said = Watch(monkeypatch), io.StringIO()
    monkeypatch.setattr(sys, "stderr", said)
    ticker = Ticker(screen(plain=False))
    watch.seconds += 0.9
    ticker.tick("Planning")
    ticker.clear()
    assert said.getvalue() == ""
    watch.seconds += 0.2
    ticker.tick("Planning")
    assert said.getvalue() == "Planning (1 s)\n"


def test_without_a_terminal_a_line_comes_at_most_every_second(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    watch, said = Watch(monkeypatch), io.StringIO()
    monkeypatch.setattr(sys, "stderr", said)
    ticker = Ticker(screen(plain=False))
    for tenth in range(100):
        watch.seconds = 100 + tenth / 10
        ticker.tick(f"best {tenth}")
    lines = said.getvalue().splitlines()
    assert 8 <= len(lines) <= 9 and "\x1b" not in said.getvalue()


@pytest.mark.parametrize("plain", [True, False])
def test_one_line_is_rewritten_on_a_terminal_unless_plain(
    monkeypatch: pytest.MonkeyPatch, plain: bool
) -> None:
    watch, said = Watch(monkeypatch), Terminal()
    monkeypatch.setattr(sys, "stderr", said)
    ticker = Ticker(screen(plain=plain))
    for second in range(1, 4):
        watch.seconds += 1.01
        ticker.tick(f"best {second}")
    ticker.clear()
    assert ("\r" in said.getvalue()) is not plain
    assert said.getvalue().count("\n") == (3 if plain else 0)


def test_how_the_search_stands_is_told_in_words() -> None:
    from seasonplan.planner.run import Progress

    assert standing(None) == "Planning: weighing every week"
    found = standing(Progress())
    assert found == "Planning: the best is found; a second method confirms it"
