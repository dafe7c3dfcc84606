"""The terminal face: draws a draft and posts edits. Decides nothing."""

from __future__ import annotations

from datetime import date
from pathlib import Path


def run(folder: Path, *, today: date | None = None) -> int:
    """Open a folder in the terminal until the climber leaves; the exit code."""
    from tui.app import SeasonApp
    from tui.jobs import leave

    app = SeasonApp(folder, today=today)
    code = app.run()
    leave(code or 0)
    return code or app.return_code or 0
