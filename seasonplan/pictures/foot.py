"""The foot of a poster: what the signs mean, the goals with their days, the plan it shows.

It is given the view of its sheet: of what is on the other one it tells nothing.
"""

from __future__ import annotations

from collections.abc import Iterator

from seasonplan.days import count_text, dates_text, day_month_text
from seasonplan.explain.tints import ACCENT, PAPER_INK, QUIET
from seasonplan.explain.words import number_text
from seasonplan.pictures import key
from seasonplan.pictures.cells import MARGIN, sides
from seasonplan.pictures.fonts import OTHER_TYPE, broken, fitting, font
from seasonplan.pictures.key import SMALL, STEP
from seasonplan.pictures.marks import Align, Box, Mark, Words
from seasonplan.pictures.motifs import flag
from seasonplan.pictures.paper import PosterWish, Rows
from seasonplan.views import GoalView, YearView

KEYS, GOALS = 0.34, 0.38  # shares of the width; the rest is of who is away
HIGHEST = {Rows.MONTHS: 0.4, Rows.WEEKS: 0.24}  # of the paper
MORE = "and more than there is room for here"


def height(view: YearView, wish: PosterWish, scale: float) -> float:
    """How high the foot is, by what it holds; low enough that days have room to write."""
    width, high = sides(wish.size, wish.rows)
    inner = width - 2 * MARGIN
    rest = _away_lines(view, (1 - KEYS - GOALS) * inner - 4 * scale, scale)
    lines = max(len(_goal_lines(view, GOALS * inner - 4 * scale, scale)), len(rest) + 1)
    lines = max(lines, len(key.others(view)), len(key.kinds(view)))
    return min((lines + 1.6) * STEP * scale, HIGHEST[wish.rows] * high)


def draw(view: YearView, room: Box, scale: float) -> Iterator[Mark]:
    """Key, goals, and days away, side by side."""
    keys, wide, gap = KEYS * room.width, GOALS * room.width, 4 * scale
    yield from _key(view, Box(room.x, room.y, keys, room.height), scale)
    yield from _goals(view, Box(room.x + keys + gap, room.y, wide - gap, room.height), scale)
    left = room.x + keys + wide + gap
    yield from _rest(view, Box(left, room.y, room.right - left, room.height), scale)


def _base(room: Box, number: int, scale: float) -> float:
    """Where the words of a line stand."""
    return room.y + ((number + 1.2) * STEP + 2.7) * scale


def _held(room: Box, scale: float) -> int:
    """How many lines there is room for under a heading."""
    return int(room.height / (STEP * scale) - 1.2)


def _title(text: str, room: Box, scale: float) -> Words:
    return Words(room.x, room.y + 3 * scale, text, 3.2 * scale, PAPER_INK, bold=True)


# --- key ------------------------------------------------------------------------------------


def _key(view: YearView, room: Box, scale: float) -> Iterator[Mark]:
    """The kinds of blocks there are, and beside them the other signs."""
    yield _title("What the signs say", room, scale)
    step, left = STEP * scale, room.x + (0.36 * room.width if view.blocks else 0)
    for x, signs in ((room.x, key.kinds(view)), (left, key.others(view))):
        for n, sign in enumerate(signs):
            yield from key.told(sign, x, room.y + (n + 1.2) * step, scale)


# --- goals ----------------------------------------------------------------------------------

GoalLine = tuple[str, str, str]  # number, name, what is told
INDENT = 6.0  # mm on A3 that the flag of a goal takes


def _goal_lines(
    view: YearView, room: float, scale: float, *, apart: bool = False
) -> list[GoalLine]:
    """Each goal with its whole name, in lines where that is long, and its days.

    `apart`: nothing stands beside a name, as another type may be wider.
    """
    found: list[GoalLine] = []
    size, wide = SMALL * scale, (room - INDENT * scale) / (OTHER_TYPE if apart else 1.0)
    for number, goal in enumerate(view.goals, 1):
        about = _about(goal)
        needed = 1.15 * (font(bold=True).width(goal.name) + 0.6) + font(bold=False).width(about)
        if size * needed <= wide and not apart:
            found.append((str(number), goal.name, about))
        else:
            first, *more = broken(goal.name, wide, 1.15 * size, bold=True) or [""]
            found += [(str(number), first, ""), *(("", line, "") for line in more)]
            found.append(("", "", about))
        found += [("", "", text) for text in _days(goal, view)]
    return found


def _about(goal: GoalView) -> str:
    return f"{goal.grade}, {goal.place}"


def _days(goal: GoalView, view: YearView) -> Iterator[str]:
    if not goal.stretches:
        yield "no day for it in this year"
    here = [one for one in goal.stretches if one.span.meet(view.span)]
    if goal.stretches and not here:
        yield "its days are on the other sheet"
    for one in here:
        planned = len(one.planned)
        told = f"{count_text(planned, 'day')} planned, {number_text(one.good_days)} good to expect"
        yield f"{dates_text(one.span)}: {told}" if planned else dates_text(one.span)


def goals_alone(
    view: YearView, x: float, y: float, width: float, scale: float
) -> tuple[list[Mark], float]:
    """The goals from `y` down with as much room as they need, for whatever type; where they end."""
    lines = len(_goal_lines(view, width, scale, apart=True))
    room = Box(x, y, width, (lines + 1.4) * STEP * scale)
    return list(_goals(view, room, scale, apart=True)), room.bottom


def away_alone(
    view: YearView, x: float, y: float, width: float, scale: float
) -> tuple[list[Mark], float]:
    """The days away in the same way."""
    lines = len(_away_lines(view, width / OTHER_TYPE, scale))
    room = Box(x, y, width / OTHER_TYPE, (lines + 1.4) * STEP * scale)
    return list(_away(view, room, scale)), room.bottom


def _goals(view: YearView, room: Box, scale: float, *, apart: bool = False) -> Iterator[Mark]:
    """The goals by number, with their days."""
    yield _title("Goals", room, scale)
    size, left = SMALL * scale, room.x + INDENT * scale
    lines = _goal_lines(view, room.width, scale, apart=apart)
    held = _held(room, scale)
    if len(lines) > held:
        lines = [*lines[: held - 1], ("", "", MORE)]
    for n, (number, name, told) in enumerate(lines):
        base = _base(room, n, scale)
        if number:
            box = Box(room.x, base - 2.9 * scale, 4 * scale, 3.5 * scale)
            yield from flag(box, number, ACCENT, least=SMALL * scale)
        if name:
            shown = fitting(name, room.right - left, 1.15 * size, bold=True)
            yield Words(left, base, shown, 1.15 * size, PAPER_INK, bold=True)
            after = left + 1.15 * size * (font(bold=True).width(shown) + 0.6)
            if told:
                yield Words(after, base, fitting(told, room.right - after, size), size, QUIET)
        else:
            yield Words(left, base, fitting(told, room.right - left, size), size, PAPER_INK)


# --- the rest -------------------------------------------------------------------------------


def _away_lines(view: YearView, room: float, scale: float) -> list[tuple[str, bool]]:
    """Trips, absences and tests with their days, in lines; whether each begins an entry."""
    told = [(one.first, f"{dates_text(one.span)}: {one.name}") for one in view.away]
    told += [(one.day, f"from {day_month_text(one.day)}: test {one.name}") for one in view.tests]
    entries = (broken(text, room, SMALL * scale) for _, text in sorted(told))
    return [(line, n == 0) for entry in entries for n, line in enumerate(entry)]


def _rest(view: YearView, room: Box, scale: float) -> Iterator[Mark]:
    size = SMALL * scale
    above = Box(room.x, room.y, room.width, room.height - STEP * scale)
    yield from _away(view, above, scale)
    yield Words(room.right, room.bottom - 0.6 * scale, _plan(view), size, QUIET, align=Align.END)


def _away(view: YearView, room: Box, scale: float) -> Iterator[Mark]:
    size, held = SMALL * scale, _held(room, scale)
    lines = _away_lines(view, room.width, scale)
    if lines:
        yield _title("Away and tests" if view.tests else "Away", room, scale)
    if len(lines) > held:
        lines = [*lines[: held - 1], (MORE, True)]
    for n, (text, begins) in enumerate(lines):
        left = room.x if begins else room.x + 2 * scale
        shown = fitting(text, room.right - left, size)
        yield Words(left, _base(room, n, scale), shown, size, PAPER_INK)


def _plan(view: YearView) -> str:
    if view.plan_number is None or view.planned is None:
        return "no plan yet"
    day = f"{day_month_text(view.planned)} {view.planned.year}"
    return f"plan {view.plan_number} of {day}" + (", the year changed since" if view.stale else "")
