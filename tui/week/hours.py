"""Which hours of a week are shown on how many lines: what holds something grows, the rest folds.

Knows minutes after midnight and lines; no days, no sessions, no widget.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

HOUR, DAY_HOURS = 60, 24
MOST = 6  # lines an hour grows to: ten minutes on each
EMPTY = range(16, 22)  # shown where a week holds nothing


@dataclass(frozen=True, slots=True)
class Row:
    """Hours that lie together on some lines; `folded` where several share one."""

    first: int
    after: int
    top: int
    lines: int

    @property
    def folded(self) -> bool:
        return self.after - self.first > 1


@dataclass(frozen=True, slots=True)
class Hours:
    """The hours of a week, from the top."""

    rows: tuple[Row, ...]

    @property
    def height(self) -> int:
        last = self.rows[-1]
        return last.top + last.lines

    @property
    def shown(self) -> int:
        """How many hours have lines of their own."""
        return sum(not row.folded for row in self.rows)

    def line(self, minute: int) -> int:
        """The line on which a minute lies, the nearest edge where it lies on none."""
        for row in self.rows:
            if minute < row.after * HOUR:
                part = (minute - row.first * HOUR) / ((row.after - row.first) * HOUR)
                return row.top + round(max(0.0, part) * row.lines)
        return self.height

    def minute(self, line: int) -> int | None:
        """The first minute of a line; None above and below."""
        for row in self.rows:
            if row.top <= line < row.top + row.lines:
                length = (row.after - row.first) * HOUR
                return row.first * HOUR + (line - row.top) * length // row.lines
        return None


@dataclass(frozen=True, slots=True)
class Wanted:
    """What hours are there for. `starts`: how many sessions begin in an hour of one day."""

    starts: Mapping[int, int]
    used: frozenset[int]
    free: frozenset[int]
    busy: frozenset[int]


def hours_of(times: Sequence[tuple[int, int]]) -> frozenset[int]:
    """The hours that some times touch."""
    return frozenset(
        hour
        for start, end in times
        for hour in range(start // HOUR, min(DAY_HOURS, -(-max(end, start + 1) // HOUR)))
    )


def hours_in(room: int, wanted: Wanted) -> Hours | None:
    """The hours laid out on the lines there are; None where they do not fit.

    What only a busy calendar fills is folded first, then free time without a session, then
    hours in which sessions only go on.
    """
    all_of_it = wanted.used | wanted.free | wanted.busy or frozenset(EMPTY)
    begun = frozenset(wanted.starts)
    for kept in (all_of_it, wanted.used | wanted.free, wanted.used, begun):
        lines = {hour: max(1, wanted.starts.get(hour, 0)) for hour in kept}
        span = range(min(all_of_it), max(all_of_it) + 1)
        if lines and _height(lines, span) <= room:
            return Hours(_rows(*_grown(lines, span, room, wanted)))
    return None


def _runs(lines: Mapping[int, int], span: range) -> list[tuple[int, int]]:
    """Hours from and to, those without lines together."""
    cuts = [hour for hour in span if hour in lines or hour == span.start or hour - 1 in lines]
    return list(pairwise([*cuts, span.stop]))


def _height(lines: Mapping[int, int], span: range) -> int:
    return sum(lines.get(first, 1) for first, _ in _runs(lines, span))


def _grown(
    lines: dict[int, int], span: range, room: int, wanted: Wanted
) -> tuple[dict[int, int], range]:
    """Spends the lines that are left: two for an hour, an hour around, then up to four."""
    spare = room - _height(lines, span)
    spare = _raised(lines, 2, spare, wanted)
    if spare >= 2:
        before, after = max(0, span.start - 1), min(DAY_HOURS, span.stop + 1)
        wider = {hour: 1 for hour in (before, after - 1) if hour not in span}
        spare -= len(wider)
        lines, span = lines | wider, range(before, after)
    for most in range(2, MOST + 1):
        spare = _raised(lines, most, spare, wanted)
    for first, after in _runs(lines, span):
        if first not in lines and after - first <= spare + 1:
            lines |= dict.fromkeys(range(first, after), 1)
            spare -= after - first - 1
    return lines, span


def _raised(lines: dict[int, int], most: int, spare: int, wanted: Wanted) -> int:
    """Gives hours a line more, the fullest first; the lines that are left then."""
    order = sorted(lines, key=lambda hour: (-wanted.starts.get(hour, 0), hour not in wanted.used))
    for hour in order:
        if spare and lines[hour] < most:
            lines[hour] += 1
            spare -= 1
    return spare


def _rows(lines: Mapping[int, int], span: range) -> tuple[Row, ...]:
    rows, top = [], 0
    for first, after in _runs(lines, span):
        rows.append(Row(first, after, top, lines.get(first, 1)))
        top += rows[-1].lines
    return tuple(rows)
