"""The terminal face: draws a draft and posts edits. Decides nothing."""

from __future__ import annotations

import gc
import sys
from datetime import date
from pathlib import Path

OBJECTS_A_LOOK = 10_000  # new ones before memory is searched for circles


def run(folder: Path, *, today: date | None = None) -> int:
    """Open a folder in the terminal until the climber leaves; the exit code.

    A mistake of ours ends it with 70 and a report that is kept.
    """
    from tui.app import SeasonApp
    from tui.jobs import leave

    code, fault, app = 0, None, None
    try:
        app = SeasonApp(folder, today=today)
        gc.freeze()  # what is loaded stays: else a key waits now and then while all is searched
        gc.set_threshold(OBJECTS_A_LOOK)
        code = app.run() or app.return_code or 0
        fault = app.fault
    except Exception as error:
        fault = error
    if fault is not None:
        code = _report(fault, app.folder if app else folder)
    leave(code)
    return code


def _report(fault: Exception, folder: Path) -> int:
    from seasonplan.cli.exits import Exit
    from seasonplan.workspace import clock
    from tui import report

    place = report.kept(fault, folder, stamp=clock.stamp())
    print(report.told(fault, place), file=sys.stderr)
    return Exit.OUR_MISTAKE
