"""One line while the planner works: best so far, how far from the best possible, time, stop."""

from __future__ import annotations

from textual.content import Content
from textual.widgets import Static

from tui.jobs import Job

TURNS = "·∙•∙"


class SearchLine(Static):
    """Shown only while a search runs."""

    def tell(self, job: Job[object] | None) -> None:
        self.display = job is not None
        if job is not None:
            self.update(Content.assemble(*_parts(job)))


def _parts(job: Job[object]) -> list[tuple[str, str]]:
    turn = TURNS[int(job.seconds * 4) % len(TURNS)]
    told = [(f" {turn} Planning  ", "bold $accent")]
    heard = job.heard
    if heard is None:
        told.append(("no plan yet", ""))
    else:
        told.append((f"best so far {heard.points:.1f} points", ""))
        if 0 <= heard.gap < 1:
            told.append((f"  at most {100 * heard.gap:.1f} % below the best", ""))
    told.append((f"  {job.seconds:.0f} s", "$quiet"))
    told.append(("   stopping…" if job.stopped else "   Esc stops and keeps the best", "$quiet"))
    return told
