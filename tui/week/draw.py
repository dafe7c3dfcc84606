"""Draws a week with its days across and its hours down. Knows no keys and no mouse."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from math import ceil
from textwrap import wrap

from rich.cells import cell_len, set_cell_size
from rich.style import Style

from seasonplan.days import Span, month_text, weekday_text
from seasonplan.explain.sessions import effort_band
from tui.canvas import Canvas
from tui.week.hours import HOUR, MOST, Hours, Wanted, hours_in, hours_of
from tui.week.sessions import NOT_HELD, SIGN, Shown, Stand

MARGIN, HEAD, GUTTER = 6, 2, 1  # columns, lines, columns of each day
TALL = 2  # lines of a session: its name and its hours
HOURS_WIDTH = 11  # of "18:00-19:30"
START = 5  # letters of "18:00"
ASKING = "0 to 9?"
FREE, BUSY = "·", "╱"  # noqa: RUF001  (drawn)
EDGE, HERE, FOLD = "▏", "›", "⋮"  # noqa: RUF001  (drawn)
BEGINS = ("▎", "▌", "█")  # the edge of the first line by effort: up to 3, 6, 10 of 10
EFFORTS = ("easy", "middling", "very hard")  # in the legend; "somewhat hard" has no room
BANDS = ("easy", "hard", "very-hard")
LEGEND = "   ".join(
    (
        *(f"{sign} {word}" for sign, word in zip(BEGINS, EFFORTS, strict=True)),
        f"{FREE} free time",
    )
)
SHORT_LEGEND = " ".join(f"{sign}{word}" for sign, word in zip(BEGINS, EFFORTS, strict=True))


@dataclass(frozen=True, slots=True)
class WeekFacts:
    """What one week shows. Times are minutes after midnight, where the climber lives.

    `names` are a long and a short one of each session, `wet` what is done in its place where the
    rock is wet or too warm, `notes` are of each day without a session.
    """

    week: Span
    inside: Span | None
    sessions: Sequence[Shown]
    names: Mapping[str, tuple[str, str]]
    hours: Mapping[str, str]
    free: Mapping[date, Sequence[tuple[int, int]]]
    busy: Mapping[date, Sequence[tuple[int, int]]]
    notes: Mapping[date, tuple[str, str]]
    wet: Mapping[str, str] = field(default_factory=dict)

    def laid_out(self, room: int) -> Hours | None:
        """The hours on so many lines; None where they do not fit.

        Each session has lines for its name and hours, and a gap after it, where there is room.
        """
        free, busy = (
            hours_of([time for day in times.values() for time in day])
            for times in (self.free, self.busy)
        )
        used = hours_of([(one.minute, one.end) for one in self.sessions])
        least = hours_in(room, Wanted(self._starts(1), used, free, busy))
        for lines in (3, 2):
            found = hours_in(room, Wanted(self._starts(lines), used, free, busy))
            if found and least and found.shown >= least.shown:
                return found
        return least

    def _starts(self, lines: int) -> dict[int, int]:
        """The lines that each hour needs so that each session that begins in it has so many."""
        begun: dict[tuple[date, int], list[int]] = {}
        for one in self.sessions:
            begun.setdefault((one.session.day, one.minute // HOUR), []).append(one.session.minutes)
        starts: dict[int, int] = {}
        for (_, hour), minutes in begun.items():
            needed = len(minutes) * lines
            if lines > 1:
                needed = max(needed, min(MOST, ceil(lines * HOUR / max(1, min(minutes)))))
            starts[hour] = max(needed, starts.get(hour, 0))
        return starts


@dataclass(frozen=True, slots=True)
class Ghost:
    """A dragged session, and where it would begin."""

    session: Shown
    day: date
    minute: int


@dataclass(frozen=True, slots=True)
class Picture:
    """All that is drawn of a week. `asking`: the chosen session waits for its effort."""

    facts: WeekFacts
    width: int
    height: int
    styles: Mapping[str, Style]
    today: date
    day: date
    chosen: str | None
    asking: bool = False
    ghost: Ghost | None = None

    @property
    def day_width(self) -> int:
        """Columns of a day with its gutter."""
        return max(4, (self.width - MARGIN) // 7)

    def left(self, day: date) -> int:
        return MARGIN + (day - self.facts.week.first).days * self.day_width


def boxes(facts: WeekFacts, hours: Hours) -> dict[str, tuple[int, int]]:
    """First line of each session and the one after its last; none hides another of its day.

    Between two that follow each other lies an empty line, where the first has lines to spare.
    """
    found: dict[str, tuple[int, int]] = {}
    for day in facts.week.days():
        mine = [one for one in facts.sessions if one.session.day == day]
        tops = [hours.line(one.minute) for one in mine]
        for number in range(1, len(tops)):
            tops[number] = max(tops[number], tops[number - 1] + 1)
        below, ends = hours.height, hours.height
        for number in reversed(range(len(tops))):
            tops[number] = min(tops[number], below - 1)
            bottom = min(max(tops[number] + 1, hours.line(mine[number].end)), below)
            gap = bottom == below < ends and bottom - tops[number] > TALL
            found[mine[number].session.id] = HEAD + tops[number], HEAD + bottom - gap
            below = tops[number]
    return found


def marked(names: tuple[str, str], sign: str, width: int) -> tuple[str, str]:
    """The names after a sign of what became of it, where that cuts neither."""
    fits = cell_len(f"{sign} {names[1]}") <= width
    return (f"{sign} {names[0]}", f"{sign} {names[1]}") if sign and fits else names


def fitted(names: tuple[str, str], width: int, lines: int) -> list[str]:
    """The name in the lines there are; the short one where it does not fit."""
    width = max(1, width)
    for name in names:
        found = wrap(name, width, break_long_words=False)
        if found and len(found) <= lines and all(cell_len(line) <= width for line in found):
            return found
    return [set_cell_size(names[1], width).rstrip()]


# --- days across ------------------------------------------------------------------------------


def draw_grid(picture: Picture, hours: Hours) -> Canvas:
    canvas = Canvas(picture.width, picture.height, picture.styles["paper"])
    for row in hours.rows:
        sign = f"{FOLD:>3}" if row.folded else f"{row.first:>2}:00"
        canvas.put(0, HEAD + row.top, sign, picture.styles["quiet"])
    for day in picture.facts.week.days():
        _head(canvas, picture, day)
        _times(canvas, picture, hours, day)
    places = boxes(picture.facts, hours)
    for one in picture.facts.sessions:
        _session(canvas, picture, one, places[one.session.id])
    if picture.ghost is not None:
        _ghost(canvas, picture, hours, picture.ghost)
    return canvas


def _head(canvas: Canvas, picture: Picture, day: date) -> None:
    left, width = picture.left(day), picture.day_width - GUTTER
    name = f"{weekday_text(day)} {day.day}"
    name += f" {month_text(day)}" if len(name) + 4 < width else ""
    style = picture.styles[day_part(picture, day)]
    if day == picture.today:
        canvas.put(left, 0, "▼", picture.styles["today"])
    canvas.put(left + GUTTER, 0, name, style)
    if day == picture.day:
        canvas.put(left + GUTTER, 1, "▔" * (width - 1), picture.styles["today"])
    else:
        long, short = picture.facts.notes.get(day, ("", ""))
        note = long if cell_len(long) < width else set_cell_size(short, width - 1)
        canvas.put(left + GUTTER, 1, note, picture.styles["quiet"])


def day_part(picture: Picture, day: date) -> str:
    if day in (picture.today, picture.day):
        return "today"
    inside = picture.facts.inside
    return "day" if day > picture.today and inside and day in inside else "quiet"


def _times(canvas: Canvas, picture: Picture, hours: Hours, day: date) -> None:
    """The free and the busy times of a day."""
    left, width = picture.left(day) + GUTTER, picture.day_width - GUTTER
    facts, styles = picture.facts, picture.styles
    for times, sign, part in (
        (facts.free, f"{FREE:<{width}}", "free"), (facts.busy, BUSY * width, "busy"),
    ):  # fmt: skip
        for start, end in times.get(day, ()):
            top = hours.line(start)
            for line in range(top, min(max(hours.line(end), top + 1), hours.height)):
                canvas.put(left, HEAD + line, sign, styles[part])


def _session(canvas: Canvas, picture: Picture, one: Shown, box: tuple[int, int]) -> None:
    left, width = picture.left(one.session.day), picture.day_width - GUTTER
    top, bottom = box
    chosen = one.session.id == picture.chosen
    texts = _texts(picture, one, width, bottom - top)
    sign = HERE if chosen else SIGN[one.stand].strip()
    part = "today" if chosen else "day" if sign else "quiet"
    for number in range(bottom - top):
        edge = EDGE if number else sign or BEGINS[effort_band(one.session.rpe)]
        canvas.put(left, top + number, edge, picture.styles[part])
        text = set_cell_size(texts[number] if number < len(texts) else "", width)
        canvas.put(left + GUTTER, top + number, text, picture.styles[session_part(picture, one)])


def session_part(picture: Picture, one: Shown) -> str:
    if picture.ghost is not None and one == picture.ghost.session:
        return "past"
    if one.session.id == picture.chosen:
        return "chosen"
    if one.stand in (Stand.MISSED, *NOT_HELD):
        return "out"
    part = "done" if one.stand is Stand.DONE else ""
    over = one.session.day < picture.today
    return part or ("past" if over else BANDS[effort_band(one.session.rpe)])


def _texts(picture: Picture, one: Shown, width: int, lines: int) -> list[str]:
    """The name, then where there is room what became of it and the hours."""
    names = picture.facts.names[one.session.id]
    texts = []
    if one.session.id == picture.chosen:
        if picture.asking:
            return [ASKING, *fitted(names, width, lines - 1)][:lines]
        sign = SIGN[one.stand].strip()
        names = marked(names, sign, width)
    hours = picture.facts.hours[one.session.id]
    hours = hours if width >= HOURS_WIDTH else hours.partition("-")[0]
    if lines == 1:
        together = f"{hours[:START]} {names[0]}"
        return [together] if cell_len(together) <= width else fitted(names, width, 1)
    texts = [*fitted(names, width, lines - 1), hours]
    if one.stand.value and len(one.stand.value) <= width:
        texts.append(one.stand.value)
    if width >= HOURS_WIDTH and len(texts) + 1 < lines:
        wet = picture.facts.wet.get(one.session.id, "")
        texts += ["", *sentences_in(wet, width, lines - len(texts) - 1)]
    return texts


def sentences_in(text: str, width: int, room: int) -> list[str]:
    """As many sentences from the start of a text as so many lines hold, else as many clauses."""
    for end, mark in ((". ", ""), (", ", "…")):
        told = text
        while told:
            lines = wrap(told, width, break_long_words=False)
            if len(lines) <= room:
                return lines
            cut = told.rstrip(".…").rfind(end)
            told = f"{told[: cut + 1].rstrip(', ')}{mark}" if cut > 0 else ""
    return []


def _ghost(canvas: Canvas, picture: Picture, hours: Hours, ghost: Ghost) -> None:
    width = picture.day_width - GUTTER
    day = f"{weekday_text(ghost.day)} {ghost.day.day}"
    said = wrap(f"{day} {ghost.minute // 60}:{ghost.minute % 60:02}", width)
    top = hours.line(ghost.minute)
    bottom = max(top + len(said), hours.line(ghost.minute + ghost.session.session.minutes))
    top = max(0, min(top, hours.height - len(said)))
    for place, line in enumerate(range(top, min(bottom, hours.height))):
        text = said[place] if place < len(said) else ""
        canvas.put(
            picture.left(ghost.day) + GUTTER, HEAD + line, f"{text:<{width}}",
            picture.styles["ghost"],
        )  # fmt: skip
