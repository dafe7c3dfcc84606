"""What the program says to the shell when it ends."""

from __future__ import annotations

from enum import IntEnum


class Exit(IntEnum):
    """Exit codes; the last two are the shell's own usage (sysexits EX_SOFTWARE, 128 + SIGINT).

    CANNOT_WRITE is also the end where stdout or stderr takes nothing: closed, full, or (without
    a word) a pipe whose reader has gone. BAD_INPUT is also what a command ends with that needs a
    plan where none was made yet. NO_PLAN is an answer: what the year asks for cannot all hold, so
    no plan is possible.
    """

    FINE = 0
    RULES_BROKEN = 1
    BAD_INPUT = 2
    NO_PLAN = 3
    CHANGED_ON_DISK = 4
    CANNOT_WRITE = 5
    OUR_MISTAKE = 70
    STOPPED = 130
