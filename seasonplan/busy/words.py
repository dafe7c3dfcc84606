"""What reading a busy calendar gives back. Knows no iCalendar library."""

from __future__ import annotations

from pydantic import AwareDatetime

from seasonplan.busy.limits import Remark
from seasonplan.vocabulary import FrozenModel


class BusySpan(FrozenModel):
    """Time that is taken, in the climber's zone. What it is taken by is not kept.

    `all_day` when only whole days made it; `tentative` when nothing in it is certain.
    """

    start: AwareDatetime
    end: AwareDatetime
    all_day: bool = False
    tentative: bool = False


class BusyReport(FrozenModel):
    """The busy spans, merged and in order; what was left out; how doubtful things were read.

    `read` counts the events that could be read, whenever they are and whether they are busy.
    """

    spans: tuple[BusySpan, ...]
    read: int = 0
    skipped: tuple[Remark, ...] = ()
    notes: tuple[Remark, ...] = ()
