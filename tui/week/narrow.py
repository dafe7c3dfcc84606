"""Draws a week day under day, where days have no room beside each other. Knows no keys."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from rich.cells import cell_len

from seasonplan.days import weekday_text
from tui.canvas import Canvas
from tui.week.draw import ASKING, BANDS, HERE, Picture, day_part, fitted, session_part
from tui.week.sessions import SIGN, Shown

INDENT = 7  # columns of a day's name


@dataclass(frozen=True, slots=True)
class Line:
    """One line of the list: the day's name where it begins, and a session or why there is none."""

    day: date
    head: str
    session: Shown | None = None


def list_lines(picture: Picture) -> list[Line]:
    """The lines that are in view: the chosen one always is."""
    lines: list[Line] = []
    for day in picture.facts.week.days():
        head = f"{'▼' if day == picture.today else ' '}{weekday_text(day)} {day.day:>2}"
        mine = [one for one in picture.facts.sessions if one.session.day == day]
        lines += [Line(day, "" if at else head, one) for at, one in enumerate(mine)]
        lines += [] if mine else [Line(day, head)]
    here = next(
        (n for n, line in enumerate(lines) if _is_chosen(picture, line)),
        next(n for n, line in enumerate(lines) if line.day == picture.day),
    )
    gone = max(0, min(here - picture.height // 2, len(lines) - picture.height))
    return lines[gone:]


def _is_chosen(picture: Picture, line: Line) -> bool:
    return line.session is not None and line.session.session.id == picture.chosen


def draw_list(picture: Picture) -> Canvas:
    """The sessions one under the other, each day named once."""
    canvas = Canvas(picture.width, picture.height, picture.styles["paper"])
    room = picture.width - INDENT
    for number, line in enumerate(list_lines(picture)):
        canvas.put(0, number, line.head, picture.styles[day_part(picture, line.day)])
        one = line.session
        if one is None:
            here = HERE if line.day == picture.day and picture.chosen is None else " "
            long, short = picture.facts.notes.get(line.day, ("", ""))
            note = long if cell_len(long) < room else short
            canvas.put(INDENT, number, f"{here}{note}", picture.styles["quiet"])
            continue
        chosen = _is_chosen(picture, line)
        lead = f"{HERE if chosen else ' '}{one.session.start:%H:%M} {SIGN[one.stand]}"
        asked = f"{ASKING} " if chosen and picture.asking else ""
        names = picture.facts.names[one.session.id]
        left = room - len(lead) - len(asked)
        name = fitted(names, left, 1)[0]
        became = f", {one.stand.value}" if one.stand.value else ""
        name += became if cell_len(name + became) <= left else ""
        part = session_part(picture, one)
        plain = "paper" if part in (*BANDS, "done") else "quiet" if part == "past" else part
        canvas.put(INDENT, number, f"{lead}{asked}{name}", picture.styles[plain])
    return canvas
