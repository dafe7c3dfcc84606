"""What a plan lets the climber expect, goal by goal: the one place where that is put into words."""

from __future__ import annotations

from seasonplan.explain.notes import occasion_text
from seasonplan.plan import Revision
from seasonplan.year import Year


def outlook_lines(revision: Revision, year: Year) -> list[str]:
    """A sentence for each goal at each season, window or trip."""
    return [occasion_text(occasion, year) for occasion in revision.score.occasions]
