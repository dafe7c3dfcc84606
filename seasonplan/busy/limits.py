"""How much a busy calendar may ask of us, and what is remarked of its events.

Plain, as the process that reads a calendar starts for each and shall start quickly.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Remark:
    """What the reader should know of one event or zone: why, whose, where in the file."""

    reason: str
    uid: str = ""
    line: int | None = None


@dataclass(frozen=True, slots=True)
class BusyLimits:
    """How much a calendar may ask of us. Preferences of this project: real calendars pass
    2 MB and seldom 5,000 events; hostile ones ask for millions of instances in 1 kB.

    `by_values` is the product of the lengths of a rule's BY lists, `clock_values` that of
    BYHOUR, BYMINUTE and BYSECOND alone. `steps` are days looked at for a rule: daily since 1900
    takes some 420,000, and a rule that never comes true would take millions. `seconds` is for
    what hangs all the same, and far more than a slow machine needs.
    """

    file_bytes: int = 10_000_000
    events: int = 20_000
    depth: int = 4
    lines_per_event: int = 2_000
    line_bytes: int = 100_000
    rules_per_event: int = 4
    dates_per_event: int = 5_000
    count: int = 5_000
    by_values: int = 1_000
    clock_values: int = 48
    instances_per_event: int = 5_000
    instances: int = 50_000
    remarks: int = 1_000
    steps_per_event: int = 1_000_000
    steps: int = 40_000_000
    seconds: float = 120.0
    memory_bytes: int = 1_000_000_000
