"""One line while the planner works: that it works, since when, and how to stop it."""

from __future__ import annotations

from textual.content import Content
from textual.widgets import Static

from tui.jobs import Job

TURNS = "·∙•∙"
PLANNING = "Planning"
NO_WAY = "No plan is possible so; looking for what stands in the way"


class SearchLine(Static):
    """Shown only while the planner works."""

    def tell(self, job: Job[object] | None) -> None:
        self.display = job is not None
        if job is not None:
            self.update(Content.assemble(*_parts(job)))


def _parts(job: Job[object]) -> list[tuple[str, str]]:
    turn = TURNS[int(job.seconds * 4) % len(TURNS)]
    return [
        (f"{turn} {job.stage or PLANNING}  ", "bold $accent"),
        (f"{job.seconds:.0f} s", "$quiet"),
        ("   stopping…" if job.stopped else "   Esc stops; nothing is changed then", "$quiet"),
    ]
