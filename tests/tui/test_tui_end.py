"""How the terminal face ends: as asked, whatever is typed after, or with a report of what broke."""

from __future__ import annotations

import os
import select
import sys
import time
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest
from places import ROOT
from stage import PATIENCE_SECONDS, demo, opened

from seasonplan.cli.exits import Exit
from tui import report
from tui.ask import Choice, Choose

STAMP = datetime(2027, 2, 17, 8, tzinfo=UTC)
pytestmark = pytest.mark.skipif(os.name != "posix", reason="a pseudo terminal is of POSIX")

# Faults in a key, in a timer, and in a thread whose answer is taken by a timer.
BROKEN_KEY = """
from tui.main_screen import MainScreen
def broken(self): secret = "typed by the climber"; raise ValueError("broken on purpose")
MainScreen.action_undo = broken
"""
BROKEN_TIMER = """
from tui.main_screen import MainScreen
def broken(self): raise ValueError("broken on purpose")
MainScreen.read_if_changed = broken
"""
BROKEN_START = """
from tui.app import SeasonApp
def broken(self, *_, **__): raise ValueError("broken on purpose")
SeasonApp.get_theme_variable_defaults = broken
"""


def typed(folder: Path, keys: str, *, before: str = "") -> tuple[int, str]:
    """Run the program in a terminal of its own, type keys at once; its exit code and words."""
    import pty

    code = f"{before}\nfrom seasonplan.cli import main; main()"
    command = [sys.executable, "-c", code, "open", str(folder), "--today", "2027-02-17"]
    pid, terminal = pty.fork()
    if pid == 0:
        os.environ |= {"TERM": "xterm-256color", "COLUMNS": "100", "LINES": "40"}
        os.chdir(ROOT)
        os.execv(sys.executable, command)
    said, sent, ends = b"", False, time.monotonic() + PATIENCE_SECONDS
    while time.monotonic() < ends:
        if not select.select([terminal], [], [], 0.1)[0]:
            continue
        try:
            said += os.read(terminal, 65536)
        except OSError:  # the program has let go of its terminal
            break
        if not sent and b"Leave" in said:
            os.write(terminal, keys.encode())
            sent = True
    else:
        os.kill(pid, 9)
    os.close(terminal)
    return os.waitstatus_to_exitcode(os.waitpid(pid, 0)[1]), said.decode(errors="replace")


@pytest.mark.parametrize("after", ["k", "s", "r", "?", "u"])
def test_a_key_pressed_at_once_after_leaving_does_nothing(tmp_path: Path, after: str) -> None:
    """The user saw: a traceback of a question that had lost its place."""
    folder = demo(tmp_path)
    code, said = typed(folder, f"q{after}")
    assert code == Exit.FINE
    assert "Traceback" not in said and not (folder / report.FILE).exists()


@pytest.mark.parametrize("broken", [BROKEN_KEY, BROKEN_TIMER, BROKEN_START])
def test_a_mistake_of_ours_ends_with_70_and_a_report_without_what_was_typed(
    tmp_path: Path, broken: str
) -> None:
    folder = demo(tmp_path)
    code, said = typed(folder, "u", before=broken)
    assert code == Exit.OUR_MISTAKE
    assert "A mistake of ours: ValueError" in said and str(folder / report.FILE) in said
    assert "typed by the climber" not in said
    kept = (folder / report.FILE).read_text(encoding="utf-8")
    assert "broken on purpose" in kept and "in broken" in kept and "seasonplan 0." in kept


def test_a_report_that_the_folder_does_not_take_is_kept_elsewhere(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("tempfile.gettempdir", lambda: str(tmp_path))
    gone = tmp_path / "gone"
    assert report.kept(ValueError("x"), gone, stamp=STAMP) == tmp_path / report.FILE
    monkeypatch.setattr("tempfile.gettempdir", lambda: str(gone))
    assert report.kept(ValueError("x"), gone, stamp=STAMP) is None
    assert "ValueError: x" in report.told(ValueError("x"), None)


async def test_once_the_climber_leaves_no_action_and_no_screen_comes(tmp_path: Path) -> None:
    async with opened(demo(tmp_path)) as pilot:
        app: Any = pilot.app
        screens, paper = len(app.screen_stack), app.theme
        app.leaving = True
        assert await app.run_action("app.paper('slate')")
        app.push_screen(Choose("Well?", [Choice("a", "A")]))
        await pilot.pause()
        assert (len(app.screen_stack), app.theme) == (screens, paper)
        app.leaving = False
        app.push_screen(Choose("Well?", [Choice("a", "A")]))
        await pilot.pause()
        await app.run_action("app.paper('slate')")
        assert len(app.screen_stack) == screens + 1 and app.theme != paper
