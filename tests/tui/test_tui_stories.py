"""Three stories with real keys in a real terminal (tmux) against the real planner.

Skipped where tmux is missing; `apt-get install tmux` brings it.
"""

from __future__ import annotations

import shutil
import subprocess
import sys
import threading
from collections.abc import Iterator
from datetime import date
from pathlib import Path
from uuid import uuid4

import pytest
from places import ROOT
from stage import PATIENCE_SECONDS, TODAY, demo

from seasonplan.vocabulary import Kind
from seasonplan.workspace.desk import Desk
from tui.bench import Bench

TMUX = shutil.which("tmux")
pytestmark = pytest.mark.skipif(TMUX is None, reason="tmux is not installed: no real terminal")
MOST_PAGES = 6


class Terminal:
    """A terminal of 80 by 24 with the program in it. Its server is its own."""

    def __init__(self, folder: Path, socket: Path) -> None:
        self.socket = str(socket)
        code = (
            "import sys; from datetime import date; from pathlib import Path; import tui; "
            f"sys.exit(tui.run(Path({str(folder)!r}), today=date(2027, 2, 17)))"
        )
        self._tmux("-f", "/dev/null", "new-session", "-d", "-s", "story", "-x", "80", "-y", "24",
                   "-c", str(ROOT), sys.executable, "-c", code)  # fmt: skip

    def keys(self, *keys: str) -> None:
        self._tmux("send-keys", "-t", "story", *keys)

    def type(self, text: str) -> None:
        self._tmux("send-keys", "-t", "story", "-l", text)

    def text(self) -> str:
        ran = self._tmux("capture-pane", "-p", "-t", "story", check=False)
        return " ".join(ran.stdout.split())

    def until(self, words: str) -> str:
        """The screen, once it says so."""
        pause = threading.Event()
        for _ in range(int(PATIENCE_SECONDS * 10)):
            if words in self.text():
                return self.text()
            pause.wait(0.1)
        raise AssertionError(f"{words!r} never came; the screen says: {self.text()}")

    def read_on(self, words: str) -> None:
        """Read on below, a few lines at a time, until it says so."""
        pause = threading.Event()
        for _ in range(MOST_PAGES):
            before = self.text()
            self.keys("Space")
            for _ in range(int(PATIENCE_SECONDS * 10)):
                if self.text() != before:
                    break
                pause.wait(0.1)
            if words in self.text():
                return
        raise AssertionError(f"{words!r} is not below; the screen says: {self.text()}")

    @property
    def over(self) -> bool:
        return self._tmux("has-session", "-t", "story", check=False).returncode != 0

    def leave(self) -> None:
        """Press q and wait for the program to end."""
        self.keys("q")
        pause = threading.Event()
        for _ in range(int(PATIENCE_SECONDS * 10)):
            if self.over:
                return
            pause.wait(0.1)
        raise AssertionError("the program did not end")

    def close(self) -> None:
        self._tmux("kill-server", check=False)
        Path(self.socket).unlink(missing_ok=True)

    def _tmux(self, *words: str, check: bool = True) -> subprocess.CompletedProcess[str]:
        assert TMUX is not None
        return subprocess.run(
            [TMUX, "-S", self.socket, *words], capture_output=True, text=True, check=check
        )


@pytest.fixture
def terminals() -> Iterator[list[Terminal]]:
    opened: list[Terminal] = []
    yield opened
    for terminal in opened:
        terminal.close()


def opened(folder: Path, terminals: list[Terminal]) -> Terminal:
    terminal = Terminal(folder, Path("/tmp") / f"story-{uuid4().hex[:8]}")
    terminals.append(terminal)
    return terminal


def test_a_newcomer_plans_the_year_around_an_autumn(
    tmp_path: Path, terminals: list[Terminal]
) -> None:
    folder = tmp_path / "my-year"
    terminal = opened(folder, terminals)
    terminal.until("Begin my year")
    terminal.keys("Enter")
    terminal.until("Your name")
    terminal.type("Mira")
    terminal.keys(*["Tab"] * 12)
    for words in ("Slow Lightning", "Harrow Cleft", "", "7b+", "09-18", "11-07"):
        terminal.type(words) if words else None
        terminal.keys("Enter")
    terminal.keys("C-s")
    terminal.until("✓ plan 1 stands")
    terminal.keys("Up")
    terminal.until("Season at Harrow Cleft")
    terminal.keys("Down")  # nothing is on the lane of days away
    terminal.until("Performance block")
    terminal.keys("w")
    terminal.until("Weighing every other year")
    terminal.leave()
    desk = Desk(folder)
    assert desk.plan is not None
    performing = [b for b in desk.plan.current.blocks if b.kind is Kind.PERFORMANCE]
    assert any(date(2027, 10, 10) in block.span for block in performing)


def test_an_injury_is_answered_with_another_plan(tmp_path: Path, terminals: list[Terminal]) -> None:
    folder = demo(tmp_path)
    terminal = opened(folder, terminals)
    terminal.until("✓ plan 1 stands")
    year = folder / "year.toml"
    year.write_text(
        year.read_text() + '\n[[injury]]\nname = "Sore finger"\npart = "finger"\nside = "left"\n'
        "happened = 2027-02-15\neasy_from = 2027-03-01\nbuilding_from = 2027-03-15\n"
        "full_from = 2027-04-05\n"
    )
    terminal.until("r plans anew")
    terminal.keys("r")
    terminal.until("Most of it")
    terminal.keys("Enter")
    terminal.until("Before and after")
    terminal.until("What each goal wins or loses")
    terminal.read_on("Blocks that change")
    terminal.keys("a")
    terminal.until("✓ plan 2 stands")
    terminal.leave()
    desk = Desk(folder)
    assert desk.plan is not None and len(desk.plan.revisions) == 2
    kinds = {block.kind for block in desk.plan.current.blocks}
    assert {Kind.INJURED, Kind.RETURN} <= kinds
    assert Bench(folder, now=TODAY).broken == ()


def test_the_plan_goes_to_the_phone(tmp_path: Path, terminals: list[Terminal]) -> None:
    folder = demo(tmp_path)
    terminal = opened(folder, terminals)
    terminal.until("✓ plan 1 stands")
    terminal.keys("e")
    terminal.until("events.")
    first = (folder / "seasonplan.ics").read_bytes()
    assert first.startswith(b"BEGIN:VCALENDAR") and b"BEGIN:VEVENT" in first
    terminal.keys("Right", "Right", "Right", ">")
    terminal.until("r plans anew")
    terminal.keys("e")
    terminal.until("of the plan as it was")
    terminal.keys("r")
    terminal.until("Most of it")
    terminal.keys("Enter")
    terminal.until("What each goal wins or loses")
    terminal.keys("Space")
    terminal.until("Blocks that change")
    terminal.keys("a")
    terminal.until("✓ plan 2 stands")
    terminal.keys("e")
    terminal.until("events.")
    terminal.leave()
    assert (folder / "seasonplan.ics").read_bytes() != first
