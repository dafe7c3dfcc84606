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

from seasonplan.cli.exits import Exit
from seasonplan.cli.planning import standing
from seasonplan.cli.screen import Screen
from seasonplan.cli.search import Ticker
from seasonplan.desk import Desk

ROOT = Path(__file__).parent.parent
YEARS = Path(__file__).parent / "years"
PROGRAM = "from seasonplan.cli import main; main()"

# A planner that says that it runs, waits to be stopped, and then has its plan.
PATIENT = """
import sys
from seasonplan import replan
real = replan.plan_year
def patient(year, occasion, *, stop, **rest):
    print("SEARCHING", file=sys.stderr, flush=True)
    assert stop.wait(60)
    stop.clear()  # as the planner does
    return real(year, occasion, stop=None, **rest)
replan.plan_year = patient
"""
# One that heeds no stop.
DEAF = """
import sys, time
from seasonplan import replan
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


posix = pytest.mark.skipif(os.name != "posix", reason="SIGINT is sent as POSIX does")


@posix
def test_ctrl_c_keeps_the_best_plan_so_far(folder: Path) -> None:
    program = started("plan", str(folder), before=PATIENT)
    heard(program, "SEARCHING")
    program.send_signal(signal.SIGINT)
    out, err = program.communicate(timeout=60)
    assert program.returncode == Exit.STOPPED, err
    assert "Stopping with the best so far" in err
    assert "Stopped: the best plan so far is kept." in err
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


# Two more goals and seasons than the longest year of the benchmarks: several seconds to plan.
CROWDED = """
[[goal]]
name = "Slabs"
place = "Slate"
discipline = "trad"
grade = "6c"
priority = 1

[[season]]
name = "Summer"
place = "Slate"
discipline = "trad"
first = "06-10"
last = "09-05"
chance = 0.4

[[goal]]
name = "Long walls"
place = "Karst"
discipline = "multipitch"
grade = "7a"
priority = 2

[[season]]
name = "Walls"
place = "Karst"
discipline = "multipitch"
first = "05-15"
last = "07-10"
chance = 0.3
"""


@posix
def test_ctrl_c_while_the_solver_searches_keeps_the_best_plan_so_far(tmp_path: Path) -> None:
    """The user saw: the solver's own handler for Ctrl-C ends the program, and no plan is kept."""
    two_years = (ROOT / "tests" / "benchmarks" / "two-years.toml").read_text(encoding="utf-8")
    (tmp_path / "year.toml").write_text(two_years + CROWDED, encoding="utf-8")
    program = started("plan", str(tmp_path), "--today", "2026-01-10")
    heard(program, "best so far")
    program.send_signal(signal.SIGINT)
    out, err = program.communicate(timeout=60)
    assert program.returncode == Exit.STOPPED, err
    assert "Stopped: the best plan so far is kept." in err and "Plan 1 is made" in out
    desk = Desk(tmp_path)
    assert desk.plan is not None and not desk.plan.current.proof.optimal
    assert not desk.stale and not desk.up_to_date
    assert [finding for finding in desk.check() if finding.strength == "hard"] == []


def test_stdout_is_data_and_stderr_narrates(folder: Path) -> None:
    program = started("plan", str(folder), "--json")
    out, err = program.communicate(timeout=60)
    assert program.returncode == Exit.FINE, err
    assert out.startswith("{") and out.rstrip().endswith("}")


def test_a_broken_program_says_that_it_is_our_mistake(folder: Path) -> None:
    broken = "from seasonplan import desk\ndesk.Desk.make_plan = None\n"
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


def test_how_the_search_stands_is_told_in_points_and_percent() -> None:
    from seasonplan.planner.run import Progress

    assert standing(None) == "Planning: no plan yet"
    assert standing(Progress(40.0, 50.0, 1.0)) == (
        "Planning: best so far 40.0 points, at most 20.0 % below the best"
    )
    assert standing(Progress(40.0, float("inf"), 1.0)) == "Planning: best so far 40.0 points"
