"""From an empty folder to a calendar with real keys in a real terminal, by who has read nothing."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from shlex import quote
from time import sleep

import pytest

MOST_KEYS = 150
LOOKS, PAUSE = 600, 0.2  # a guard against waiting for ever, no claim about speed
TMUX = shutil.which("tmux")


class Terminal:
    """A terminal that counts the keys pressed in it."""

    def __init__(self, folder: Path, socket: str) -> None:
        self.keys = 0
        self._tmux = [str(TMUX), "-L", socket]
        started = "from seasonplan.cli import main; main()"
        program = f"{quote(sys.executable)} -c {quote(started)} {quote(str(folder))}"
        run = ["new-session", "-d", "-s", "new", "-x", "100", "-y", "36", program]
        env = {**os.environ, "TERM": "xterm-256color", "TZ": "Europe/Vienna"}
        subprocess.run([*self._tmux, "-f", os.devnull, *run], check=True, env=env, timeout=60)

    @property
    def text(self) -> str:
        asked = [*self._tmux, "capture-pane", "-p", "-t", "new"]
        return subprocess.run(asked, capture_output=True, text=True, timeout=60).stdout

    def press(self, *names: str) -> None:
        """Press keys by their names."""
        self._send(list(names), len(names))

    def write(self, words: str) -> None:
        """Type words, a key for each letter."""
        self._send(["-l", words], len(words))

    def _send(self, what: list[str], count: int) -> None:
        subprocess.run([*self._tmux, "send-keys", "-t", "new", *what], check=True, timeout=60)
        self.keys += count

    def wait_for(self, words: str) -> None:
        for _ in range(LOOKS):
            if words in self.text:
                return
            sleep(PAUSE)
        raise AssertionError(f"{words!r} never came; there is:\n{self.text}")

    def end(self) -> None:
        subprocess.run([*self._tmux, "kill-server"], check=False, capture_output=True, timeout=60)


@pytest.fixture
def terminal(tmp_path: Path) -> Iterator[Terminal]:
    if TMUX is None:
        pytest.skip("no tmux here to press keys in")
    (tmp_path / "mine").mkdir()
    found = Terminal(tmp_path / "mine", f"seasonplan-test-{os.getpid()}")
    yield found
    found.end()


def test_a_newcomer_comes_to_a_calendar_in_150_keys(terminal: Terminal, tmp_path: Path) -> None:
    terminal.wait_for("Begin my year")
    terminal.press("Enter")
    terminal.wait_for("Ctrl+S writes it down")
    assert "Europe/Vienna" in terminal.text  # the machine knows it
    terminal.press(*["Down"] * 12)
    terminal.write("Tidemark")
    terminal.press("Enter")
    terminal.write("Saltmere")
    terminal.press("Down", "Down")
    terminal.write("7b+")
    terminal.press("Enter")
    terminal.write("may every year")
    terminal.press("Enter")
    terminal.write("june every year")
    terminal.press("Enter")
    terminal.wait_for("✓ 30 June, every year")
    terminal.press("C-s")
    terminal.wait_for("Your plan is made.")  # without being asked for
    assert "Tidemark" in terminal.text and "e Calendar" in terminal.text
    terminal.press("e")
    terminal.wait_for("seasonplan.ics: ")
    terminal.press("q")
    written = (tmp_path / "mine" / "seasonplan.ics").read_text(encoding="utf-8")
    assert written.count("BEGIN:VEVENT") > 100
    assert terminal.keys <= MOST_KEYS
