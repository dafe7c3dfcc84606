"""The words on the days of a sheet: names, tests, emphases, light weeks, as far as they fit."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import islice

from seasonplan.days import ONE_DAY
from seasonplan.explain.signs import SIGNS
from seasonplan.explain.tints import ACCENT, QUIET, TINTS
from seasonplan.explain.words import emphasis_text
from seasonplan.pictures.cells import PaperSheet, flag_box, halves
from seasonplan.pictures.fonts import OTHER_TYPE, broken, fitting, font
from seasonplan.pictures.marks import Words
from seasonplan.pictures.motifs import CAPITALS
from seasonplan.views import AwayView, TestDay, YearView
from seasonplan.vocabulary import Kind

SMALL = 2.5  # mm on A3, 7.1 points: the smallest type there
FEWEST_LETTERS = 3  # of a name that is cut


@dataclass(frozen=True, slots=True)
class DayWords:
    """A few words on a day; a `name` is shortened where it must be, other words are left out.

    They may be broken over the days up to `last`; `boxed`: these days have a box around them.
    """

    text: str
    colour: str
    last: date
    name: bool = False
    boxed: bool = False


def words(view: YearView, sheet: PaperSheet, flagged: Mapping[date, str]) -> Iterator[Words]:
    """What is away, tests, emphases, light weeks: as far as it fits beside flags."""
    told, frames = _said(view, sheet, flagged), _frames(view, sheet)
    for day, every in told.items():
        left = sheet.cells[day].room.x + 1.1 * sheet.scale
        for n, said in enumerate(every):
            free = _free_after(day, sheet, {*flagged, *told})
            right = _right(day + free * ONE_DAY if sheet.flows else day, sheet, flagged)
            if sheet.flows:
                line = sheet.cells[day].line
                left, right = _between(frames.get(line, ()), said, left, right, sheet)
            room = (right - left) / _wider(sheet)
            lines = [fitting(said.text, room, SMALL * sheet.scale, bold=said.name)]
            if lines != [said.text] and n == 0 and sheet.down:
                held = min(free, (said.last - day).days)
                lines = _over_days(said, room, held, sheet) or lines
            if not _says_something(lines, said):
                continue
            for at, text in enumerate(lines):
                yield _word(text, said, day + at * ONE_DAY, left, sheet)
            left += _wide(lines[0], said, sheet) + 0.5 * SMALL * sheet.scale


def _says_something(lines: Sequence[str], said: DayWords) -> bool:
    """Whether words are whole, or a name is cut but not to a letter or two."""
    return " ".join(lines) == said.text or (said.name and len(lines[0]) > FEWEST_LETTERS)


def _wider(sheet: PaperSheet) -> float:
    """How much wider words may turn out: those that flow are for screens, with types of theirs."""
    return OTHER_TYPE if sheet.flows else 1.0


def _wide(text: str, said: DayWords, sheet: PaperSheet) -> float:
    return SMALL * sheet.scale * font(bold=said.name).width(text) * _wider(sheet)


def _frames(view: YearView, sheet: PaperSheet) -> dict[int, list[float]]:
    """Where in each line the boxes around days away begin and end."""
    found: dict[int, list[float]] = {}
    for entry in view.away:
        for run in sheet.runs(entry.span):
            found.setdefault(run[0].line, []).extend((run[0].box.x, run[-1].box.right))
    return found


def _between(
    frames: Sequence[float], said: DayWords, left: float, right: float, sheet: PaperSheet
) -> tuple[float, float]:
    """The ends of the room for words through which no line of a box goes; for the name of a box
    that is too long for it maybe the room behind it."""
    gap = 0.8 * sheet.scale

    def up_to_next(begin: float) -> tuple[float, float]:
        return begin, min([right, *(end - gap for end in frames if end > begin)])

    inside = up_to_next(left)
    if not said.boxed or left + _wide(said.text, said, sheet) <= inside[1]:
        return inside
    return max(inside, up_to_next(inside[1] + 2 * gap), key=lambda room: room[1] - room[0])


def _right(day: date, sheet: PaperSheet, flagged: Mapping[date, str]) -> float:
    """Where words on a day must end."""
    cell = sheet.cells[day]
    return (
        flag_box(cell, sheet, flagged[day]).x if day in flagged else cell.room.right
    ) - 0.8 * sheet.scale


def _free_after(day: date, sheet: PaperSheet, held: Collection[date]) -> int:
    """How many days of the same line after a day hold neither words nor flag."""
    line_, free, after = sheet.cells[day].line, 0, day + ONE_DAY
    while after in sheet.cells and sheet.cells[after].line == line_ and after not in held:
        free, after = free + 1, after + ONE_DAY
    return free


def _over_days(said: DayWords, room: float, free: int, sheet: PaperSheet) -> list[str]:
    """Words in lines, one a day; none where a word is too long or there are too few free days."""
    size = SMALL * sheet.scale
    lines = broken(said.text, room, size, bold=said.name)
    wide = any(size * font(bold=said.name).width(text) > room for text in lines)
    return [] if wide or len(lines) > free + 1 else lines


def _word(text: str, said: DayWords, day: date, left: float, sheet: PaperSheet) -> Words:
    size = SMALL * sheet.scale
    base = halves(sheet.cells[day], sheet)[1].middle[1] + size * CAPITALS / 2
    return Words(left, base, text, size, said.colour, said.name)


def _said(
    view: YearView, sheet: PaperSheet, flagged: Mapping[date, str]
) -> dict[date, list[DayWords]]:
    """The words for each day of the sheet, what matters most first."""
    found: dict[date, list[DayWords]] = {}

    def say(
        day: date, text: str, colour: str, *, last: date, name: bool = False, boxed: bool = False
    ) -> None:
        if day in sheet.cells:
            found.setdefault(day, []).append(DayWords(text, colour, last, name, boxed))

    for entry in view.away:
        for day in _named_on(entry, sheet, flagged):
            say(day, entry.name, away_ink(entry), last=entry.last, name=True, boxed=True)
    for test in view.tests:
        say(test.day, test_text(test), ACCENT, last=view.last, name=True)
    for block in view.blocks:
        if block.kind.chosen:
            told = emphasis_text(block.kind, block.emphasis) or SIGNS[block.kind].word
            say(block.first, told, TINTS[block.kind][1], last=block.last)
    for week in view.weeks:
        if week.light and week.trained:
            say(week.trained[0], "light week", QUIET, last=week.last)
    return found


def _named_on(entry: AwayView, sheet: PaperSheet, flagged: Mapping[date, str]) -> Iterator[date]:
    """In each column, in rows once: the first day without a flag, or the first."""
    inside = entry.span.meet(sheet.span)
    days = iter(inside.days() if inside else ())
    runs = list(sheet.runs(entry.span))
    for run in runs if sheet.down or sheet.flows else runs[:1]:
        held = list(islice(days, len(run)))
        yield next((day for day in held if day not in flagged), held[0])


def away_ink(entry: AwayView) -> str:
    """Climbing trips in the ink of trips, all else in that of absences."""
    return TINTS[Kind.TRIP if entry.climbing else Kind.ABSENCE][1]


def test_text(test: TestDay) -> str:
    return f"test: {test.name}"
