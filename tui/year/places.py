"""Which lines of the sheet each row has: taller and apart where there is room. Draws nothing."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from tui.year.lanes import Lane, Row

HEAD_LINES = 2
NARROW_MARGIN, WIDE_MARGIN = 12, 22  # columns left of the days
LINES = {
    Lane.ROCK: 1, Lane.CHANCE: 1, Lane.AWAY: 1, Lane.PLAN: 2, Lane.HOURS: 2, Lane.GOAL: 1,
}  # fmt: skip
# What lanes grow by where there is room, in this order: the lane, by how many lines each.
GROWTH = (
    (Lane.GOAL, 1), (Lane.CHANCE, 2), (Lane.GOAL, 1), (Lane.HOURS, 1), (Lane.GOAL, 1),
    (Lane.HOURS, 1), (Lane.CHANCE, 1),
)  # fmt: skip
SPACED = (Lane.PLAN, Lane.HOURS, Lane.GOAL)  # an empty line before them where there is room


@dataclass(frozen=True, slots=True)
class Place:
    """Where a row is drawn: its number, first line and lines."""

    number: int
    top: int
    lines: int


def places(rows: Sequence[Row], height: int, *, current: int) -> tuple[Place, ...]:
    """The rows under the head, taller and with space between them where there is room.

    Where there is not even room for all, those above are pushed out so that `current` is seen.
    """
    tight = HEAD_LINES + sum(LINES[row.lane] for row in rows)
    spare = height - tight
    opening = [number for number in range(len(rows)) if _opens(rows, number)]
    spaced = set(opening[: max(0, spare)])
    taller = _taller(rows, max(0, spare - len(spaced)))
    found, top = [], HEAD_LINES
    for number, row in enumerate(rows):
        top += 1 if number in spaced else 0
        lines = LINES[row.lane] + taller.get(row.lane, 0)
        found.append(Place(number, top, lines))
        top += lines
    return _pushed(found, height, current)


def _taller(rows: Sequence[Row], spare: int) -> dict[Lane, int]:
    """By how many lines each lane grows; lanes of one sort grow together."""
    found: dict[Lane, int] = {}
    for lane, most in GROWTH:
        number = sum(row.lane is lane for row in rows)
        lines = min(most, spare // number) if number else 0
        found[lane] = found.get(lane, 0) + lines
        spare -= lines * number
    return found


def _pushed(found: list[Place], height: int, current: int) -> tuple[Place, ...]:
    """The same places, moved up by whole rows until the current one ends inside the height."""
    end = found[current].top + found[current].lines if found else 0
    gone = 0
    while end - (found[gone].top - HEAD_LINES if gone else 0) > height and gone < current:
        gone += 1
    up = found[gone].top - HEAD_LINES if gone else 0
    return tuple(Place(p.number, p.top - up, p.lines) for p in found[gone:])


def lines_wanted(rows: Sequence[Row]) -> int:
    """How many lines the rows would like, with space between them."""
    gaps = sum(_opens(rows, number) for number in range(len(rows)))
    grown = dict.fromkeys(LINES, 0)
    for lane, lines in GROWTH:
        grown[lane] += lines
    return HEAD_LINES + sum(LINES[row.lane] + grown[row.lane] for row in rows) + gaps


def _opens(rows: Sequence[Row], number: int) -> bool:
    """Whether a row is the first of a lane that likes space before it."""
    lane = rows[number].lane
    above = rows[number - 1].lane if number else lane
    return lane in SPACED and number > 0 and (above is not lane or lane is Lane.PLAN)
