"""The foot of a poster: what the signs mean, the goals with their days, the plan it shows."""

from __future__ import annotations

from collections.abc import Iterator

from seasonplan.days import count_text, dates_text, day_month_text
from seasonplan.explain.signs import SIGNS
from seasonplan.explain.tints import ACCENT, PAPER_INK, QUIET, ROCK, TINTS
from seasonplan.explain.words import number_text
from seasonplan.pictures.cells import MARGIN, sides
from seasonplan.pictures.fonts import broken, fitting, font
from seasonplan.pictures.marks import Align, Box, Mark, Words, area, outline
from seasonplan.pictures.motifs import CAPITALS, flag, letter, motif
from seasonplan.pictures.paper import PosterWish
from seasonplan.views import GoalView, YearView
from seasonplan.vocabulary import Kind

SMALL, STEP = 2.6, 4.2  # mm on A3: size of type, and from line to line
KEYS, GOALS = 0.34, 0.38  # shares of the width; the rest is of who is away
HIGHEST = 0.4  # of the paper


def height(view: YearView, wish: PosterWish, scale: float) -> float:
    """How high the foot is, by what it holds."""
    width, high = sides(wish.size, wish.rows)
    inner = width - 2 * MARGIN
    rest = _away_lines(view, (1 - KEYS - GOALS) * inner - 4 * scale, scale)
    lines = max(len(_goal_lines(view, GOALS * inner - 4 * scale, scale)), len(rest) + 1)
    wanted = max((lines + 1.6) * STEP * scale, key_height(view, scale))
    return min(wanted, HIGHEST * high)


def key_height(view: YearView, scale: float) -> float:
    """How high the key is alone."""
    return (max(len(list(_more(view))), len(_kinds(view))) + 1.6) * STEP * scale


def draw(view: YearView, room: Box, scale: float) -> Iterator[Mark]:
    """Key, goals, and days away, side by side."""
    keys, goals, gap = KEYS * room.width, GOALS * room.width, 4 * scale
    yield from key(view, Box(room.x, room.y, keys, room.height), scale)
    yield from _goals(view, Box(room.x + keys + gap, room.y, goals - gap, room.height), scale)
    left = room.x + keys + goals + gap
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


def key(view: YearView, room: Box, scale: float) -> Iterator[Mark]:
    """The kinds of blocks there are, and beside them the other signs."""
    yield _title("What the signs say", room, scale)
    step, half = STEP * scale, room.width / 2
    for n, kind in enumerate(_kinds(view)):
        swatch = Box(room.x, room.y + (n + 1.2) * step, 9 * scale, 3.4 * scale)
        yield area(swatch, TINTS[kind][0])
        yield from letter(kind, Box(swatch.x, swatch.y, 3.4 * scale, swatch.height))
        for at in (4.6, 6.4, 8.2):
            yield from motif(
                kind,
                Box(swatch.x + (at - 0.9) * scale, swatch.y, 1.8 * scale, swatch.height),
                scale,
            )
        yield _beside(swatch, SIGNS[kind].word, scale)
    for n, (what, text) in enumerate(_more(view)):
        left = room.x + (0.72 * half if view.blocks else 0)
        swatch = Box(left, room.y + (n + 1.2) * step, 9 * scale, 3.4 * scale)
        yield from _sign(what, swatch, scale)
        yield _beside(swatch, text, scale)


def _kinds(view: YearView) -> list[Kind]:
    """The kinds there are among the blocks, in the usual order."""
    used = {one.kind for one in view.blocks}
    return [kind for kind in Kind if kind in used]


def _more(view: YearView) -> Iterator[tuple[str, str]]:
    if view.rock:
        yield "rock", "rock, as thick as the chance of a good day"
    if any(one.planned for goal in view.goals for one in goal.stretches):
        yield "flag", "day on rock, for the goal so numbered"
    if any(one.climbing for one in view.away):
        yield "trip", "climbing trip"
    if any(not one.left and not one.climbing for one in view.away):
        yield "away", "away, no training"
    if any(one.left for one in view.away):
        yield "part", "away in part"
    if any(week.light and week.trained for week in view.weeks):
        yield "light", "light week: half as wide"


def _sign(what: str, box: Box, scale: float) -> Iterator[Mark]:
    if what == "rock":
        for n, share in enumerate((0.25, 0.5, 0.75, 1.0)):
            high = share * 2.4 * scale
            wide = box.width / 4
            yield area(Box(box.x + n * wide, box.bottom - high, wide, high), ROCK)
    elif what == "flag":
        yield from flag(
            Box(box.x, box.y, 1.15 * box.height, box.height), "1", ACCENT, least=SMALL * scale
        )
    elif what in ("trip", "away", "part"):
        dash = (1.2 * scale, 0.8 * scale) if what == "part" else None
        ink = TINTS[Kind.TRIP if what == "trip" else Kind.ABSENCE][1]
        yield outline(box.within(0.3 * scale), ink, width=0.5 * scale, dash=dash)
    else:
        yield area(box.within(box.height / 4), TINTS[Kind.STRENGTH][0])


def _beside(swatch: Box, text: str, scale: float) -> Words:
    base = swatch.middle[1] + SMALL * scale * CAPITALS / 2
    return Words(swatch.right + 1.6 * scale, base, text, SMALL * scale, PAPER_INK)


# --- goals ----------------------------------------------------------------------------------

GoalLine = tuple[str, str, str]  # number, name, what is told
INDENT = 6.0  # mm on A3 that the flag of a goal takes


def _goal_lines(view: YearView, room: float, scale: float) -> list[GoalLine]:
    """Each goal with its whole name, in lines where that is long, and its days."""
    found: list[GoalLine] = []
    size, wide = SMALL * scale, room - INDENT * scale
    for number, goal in enumerate(view.goals, 1):
        about = _about(goal)
        needed = 1.15 * (font(bold=True).width(goal.name) + 0.6) + font(bold=False).width(about)
        if size * needed <= wide:
            found.append((str(number), goal.name, about))
        else:
            first, *more = broken(goal.name, wide, 1.15 * size, bold=True) or [""]
            found += [(str(number), first, ""), *(("", line, "") for line in more)]
            found.append(("", "", about))
        found += [("", "", text) for text in _days(goal)]
    return found


def _about(goal: GoalView) -> str:
    return f"{goal.grade}, {goal.place}"


def _days(goal: GoalView) -> Iterator[str]:
    if not goal.stretches:
        yield "no day for it in this year"
    for one in goal.stretches:
        planned = len(one.planned)
        told = f"{count_text(planned, 'day')} planned, {number_text(one.good_days)} good to expect"
        yield f"{dates_text(one.span)}: {told}" if planned else dates_text(one.span)


def _goals(view: YearView, room: Box, scale: float) -> Iterator[Mark]:
    yield _title("Goals", room, scale)
    size, left = SMALL * scale, room.x + INDENT * scale
    lines = _goal_lines(view, room.width, scale)
    held = _held(room, scale)
    if len(lines) > held:
        lines = [*lines[: held - 1], ("", "", "and more than there is room for here")]
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
    lines = _away_lines(view, room.width, scale)
    if lines:
        yield _title("Away and tests" if view.tests else "Away", room, scale)
    for n, (text, begins) in enumerate(lines[: _held(room, scale) - 1]):
        left = room.x if begins else room.x + 2 * scale
        shown = fitting(text, room.right - left, size)
        yield Words(left, _base(room, n, scale), shown, size, PAPER_INK)
    yield Words(room.right, room.bottom - 0.6 * scale, _plan(view), size, QUIET, align=Align.END)


def _plan(view: YearView) -> str:
    if view.plan_number is None or view.planned is None:
        return "no plan yet"
    day = f"{day_month_text(view.planned)} {view.planned.year}"
    return f"plan {view.plan_number} of {day}" + (", the year changed since" if view.stale else "")
