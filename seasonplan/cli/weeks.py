"""Some weeks of the year, a line for each: block, load, rock in condition, time away."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from textwrap import wrap

from seasonplan.almanac import Almanac
from seasonplan.cli.listing import away_on
from seasonplan.cli.screen import Screen
from seasonplan.days import Span, calendar_weeks, month_text
from seasonplan.explain.signs import SIGNS
from seasonplan.explain.wall import fullest_week, week_load
from seasonplan.explain.words import day_text
from seasonplan.plan import Block
from seasonplan.year import Year

BAR = 10
WIDE = 72
EIGHTHS = " ▏▎▍▌▋▊▉"


def draw_weeks(
    screen: Screen, year: Year, blocks: Sequence[Block], *, part: Span, today: date | None
) -> None:
    """The calendar weeks that touch `part`, under a heading for each month."""
    full = fullest_week(year, blocks)
    month = ""
    for week in calendar_weeks(year.span, year.climber.week_begins):
        if not week.meet(part):
            continue
        if screen.plain:
            screen.say(_sentence(week, year, blocks, full=full, today=today))
            continue
        begins = f"{month_text(week.first)} {week.first.year}"
        if begins != month:
            month = begins
            screen.head(month)
        for line in _lines(screen, week, year, blocks, full=full, today=today):
            screen.draw(line)
    if not screen.plain:
        screen.draw()
        screen.say("Number: load, effort (0 to 10) x minutes. Bar: load against the fullest week.")


def _lines(
    screen: Screen,
    week: Span,
    year: Year,
    blocks: Sequence[Block],
    *,
    full: float,
    today: date | None,
) -> Iterator[str]:
    load = week_load(week, blocks)
    inside = [block for block in blocks if block.span.meet(week)]
    remarks = ", ".join(screen.clean(text) for text in _remarks(week, year, inside, today=today))
    bar = _bar(screen, load / full)
    head = f"{week.first.day:>2}  {_name(screen, inside[0] if inside else None)}"
    wide = screen.width >= WIDE
    yield f"{head}  {bar} {load:>5.0f}" + (f"  {remarks}" if wide and remarks else "")
    if remarks and not wide:
        yield from wrap(remarks, screen.width, initial_indent=" " * 6, subsequent_indent=" " * 6)
    for block in inside[1:]:
        yield f"{block.span.first.day:>2}  {_name(screen, block)}"


def _name(screen: Screen, block: Block | None) -> str:
    """Sign and id, padded."""
    if block is None:
        return " " * 16
    sign = SIGNS[block.kind]
    return screen.paint(f"{sign.mark(unicode=screen.unicode)} {block.id:<14}", sign.colour)


def _bar(screen: Screen, share: float) -> str:
    if not screen.unicode:
        return ("#" * round(share * BAR)).ljust(BAR, ".")
    whole, part = divmod(round(share * BAR * 8), 8)
    return ("█" * whole + (EIGHTHS[part] if part else "")).ljust(BAR, "·")


def _remarks(
    week: Span, year: Year, inside: Sequence[Block], *, today: date | None
) -> Iterator[str]:
    if today is not None and today in week:
        yield f"today {day_text(today)}"
    pieces = [piece for block in inside for piece in block.weeks if piece.span.meet(week)]
    if any(piece.deload for piece in pieces):
        yield "light"
    if any(piece.lead_in for piece in pieces):
        yield "lead-in"
    spells = Almanac(year).spells
    chance = max((spell.chance(day) for spell in spells for day in week.days()), default=0.0)
    if chance > 0:
        yield f"rock {100 * chance:.0f} %"
    for kind, name in away_on(year, week):
        yield f"{SIGNS[kind].word} {name}"


def _sentence(
    week: Span, year: Year, blocks: Sequence[Block], *, full: float, today: date | None
) -> str:
    inside = [block for block in blocks if block.span.meet(week)]
    load = week_load(week, blocks)
    names = " then ".join(block.id for block in inside) or "nothing planned"
    facts = [names, f"load {load:.0f} ({100 * load / full:.0f} % of the fullest week)"]
    facts += _remarks(week, year, inside, today=today)
    return f"Week of {day_text(week.first)}: {', '.join(facts)}."
