"""Some weeks of the year, a line for each: block, load, rock in condition, time away."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from textwrap import wrap

from seasonplan.cli.screen import Screen
from seasonplan.days import Span, month_text
from seasonplan.explain.signs import SIGNS
from seasonplan.explain.words import day_text
from seasonplan.views import BlockView, WeekView, YearView

BAR = 10
WIDE = 72
HEAD = 40  # columns before what is remarked on a week
EIGHTHS = " ▏▎▍▌▋▊▉"


def draw_weeks(screen: Screen, view: YearView, *, part: Span, today: date | None) -> None:
    """The calendar weeks that touch `part`, under a heading for each month."""
    month = ""
    for week in view.weeks:
        if not week.span.meet(part):
            continue
        if screen.plain:
            screen.say(_sentence(week, view, today=today))
            continue
        begins = f"{month_text(week.first)} {week.first.year}"
        if begins != month:
            month = begins
            screen.head(month)
        for line in _lines(screen, week, view, today=today):
            screen.draw(line)
    if not screen.plain:
        screen.draw()
        screen.say("Number: load, effort (0 to 10) x minutes. Bar: load against the fullest week.")


def _lines(screen: Screen, week: WeekView, view: YearView, *, today: date | None) -> Iterator[str]:
    inside = [block for block in view.blocks if block.span.meet(week.span)]
    remarks = ", ".join(screen.clean(text) for text in _remarks(week, view, today=today))
    bar = _bar(screen, week.share)
    head = f"{week.first.day:>2}  {_name(screen, inside[0] if inside else None)}"
    wide = screen.width >= WIDE and len(remarks) <= screen.width - HEAD
    yield f"{head}  {bar} {week.load:>5.0f}" + (f"  {remarks}" if wide and remarks else "")
    if remarks and not wide:
        yield from wrap(remarks, screen.width, initial_indent=" " * 6, subsequent_indent=" " * 6)
    for block in inside[1:]:
        yield f"{block.span.first.day:>2}  {_name(screen, block)}"


def _name(screen: Screen, block: BlockView | None) -> str:
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


def _remarks(week: WeekView, view: YearView, *, today: date | None) -> Iterator[str]:
    if today is not None and today in week.span:
        yield f"today {day_text(today)}"
    if week.light:
        yield "light"
    if week.lead_in:
        yield "lead-in"
    chance = max(map(view.chance, week.span.days()))
    if chance > 0:
        yield f"rock {100 * chance:.0f} %"
    for entry in view.away:
        if entry.span.meet(week.span):
            yield f"{SIGNS[entry.kind].word} {entry.name}"


def _sentence(week: WeekView, view: YearView, *, today: date | None) -> str:
    inside = [block for block in view.blocks if block.span.meet(week.span)]
    names = " then ".join(block.id for block in inside) or "nothing planned"
    facts = [names, f"load {week.load:.0f} ({100 * week.share:.0f} % of the fullest week)"]
    facts += _remarks(week, view, today=today)
    return f"Week of {day_text(week.first)}: {', '.join(facts)}."
