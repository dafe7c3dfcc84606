"""Plan the demo years anew and write their calendars: `python tests/remake_demos.py`.

Keys of the calendars and stamps of the plans stay, so that only what the planner now does otherwise
changes. Not a test; run it after a change of the planner, and look at the weeks.
"""

from __future__ import annotations

import json
import subprocess
import sys
from datetime import UTC, datetime
from pathlib import Path
from uuid import UUID

from seasonplan.pictures.files import svg_file
from seasonplan.pictures.strip import strip
from seasonplan.workspace.desk import Desk

DEMO = Path(__file__).parent.parent / "calendars_demo"
STAMP = datetime(2026, 11, 20, 18, tzinfo=UTC)
NEW_KEY = UUID("3b0f2f39-70c0-4f1c-8a36-3d2c1f7f7a10")  # of the half-hour year


def remake(folder: Path) -> None:
    """One demo year: its plan as first revision, then its calendar."""
    kept = folder / "plan.json"
    key = UUID(json.loads(kept.read_text())["calendar_key"]) if kept.exists() else NEW_KEY
    for name in ("plan.json", "feed.json", "seasonplan.ics"):
        (folder / name).unlink(missing_ok=True)
    Desk(folder).make_plan("first plan", stamp=STAMP, calendar_key=key)
    run = "from seasonplan.cli import main; main()"
    command = [sys.executable, "-c", run, "export", str(folder)]
    subprocess.run(command, check=True, stdout=subprocess.DEVNULL)
    (folder / "feed.json").unlink(missing_ok=True)
    if (folder / "year.svg").exists():  # the picture of the README
        picture = strip(Desk(folder).view())
        (folder / "year.svg").write_bytes(svg_file(picture, folder / "year.svg"))


if __name__ == "__main__":
    for year in sorted(DEMO.glob("*/year.toml")):
        remake(year.parent)
        sys.stdout.write(f"{year.parent.name} made anew\n")
