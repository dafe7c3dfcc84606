"""Where a session finds room on a day beside what stands there. Minutes after midnight; pure."""

from __future__ import annotations

from collections.abc import Iterable

DAY_MINUTES = 24 * 60
LAST_START = DAY_MINUTES - 15
Taken = Iterable[tuple[int, int]]  # from, up to


def overlap(taken: Taken, start: int, minutes: int) -> tuple[int, int] | None:
    """The first of some times that a session would lie in or around; None where it is clear."""
    end = start + minutes
    return next((one for one in sorted(taken) if one[0] < end and start < one[1]), None)


def clear_start(taken: Taken, start: int, minutes: int, *, toward: int = 0) -> int | None:
    """The start nearest to a wished one at which a session lies on no other; None without room.

    `toward` 1 looks only later, -1 only earlier, 0 both ways, later first where both are as near.
    """
    taken = tuple(taken)
    tries = {start, *(after for _, after in taken), *(first - minutes for first, _ in taken)}
    fits = [
        one for one in tries
        if 0 <= one <= LAST_START and (one - start) * toward >= 0
        and overlap(taken, one, minutes) is None
    ]  # fmt: skip
    return min(fits, key=lambda one: (abs(one - start), one < start), default=None)
