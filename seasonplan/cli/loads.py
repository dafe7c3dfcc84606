"""Load figures of weeks and blocks: a line for each, and what the columns mean."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from seasonplan.body.load import LoadFigures, span_figures
from seasonplan.cli.machine import load_facts
from seasonplan.cli.screen import Screen
from seasonplan.days import Span, calendar_weeks
from seasonplan.explain.agenda import NO_SESSIONS
from seasonplan.explain.words import day_text, span_text
from seasonplan.plan import Block

if TYPE_CHECKING:
    from seasonplan.workspace.desk import Desk

WIDE = 56
HEADS = ("load", "monotony", "strain", "7:28", "weighted")
WIDTHS = (7, 9, 8, 6, 9)
MEANINGS = (
    "Load: effort (0 to 10) x minutes of the sessions planned.",
    "Monotony: daily mean over its standard deviation (of a sample), rest days counted. "
    "Strain: load x monotony; compare it only between spans of one length (Foster 1998).",
    "7:28: mean load of the last 7 days over that of the last 28. Weighted: the same with "
    "exponential weights (Williams and others 2017). Both begin after 28 days; what came before "
    "the year is not in them.",
    "These describe load and how it changes. None of them tells the chance of an injury "
    "(Impellizzeri and others 2020).",
)

Rows = list[tuple[LoadFigures, Block | None]]


def draw_loads(screen: Screen, desk: Desk, *, part: Span) -> None:
    """The figures of the weeks and blocks that touch `part`; nothing where there is no plan."""
    if desk.plan is None:
        return
    if not desk.plan.current.sessions:
        screen.narrate(NO_SESSIONS)
    weeks, blocks = _weeks(desk, part), _blocks(desk, part)
    if screen.plain:
        for figures, block in [*weeks, *blocks]:
            screen.say(_sentence(figures, block))
    else:
        for head, rows in (("Weeks", weeks), ("Blocks", blocks)):
            screen.head(head)
            for line in _table(screen, rows):
                screen.draw(line)
        screen.draw()
    screen.tell(MEANINGS)


def load_table(desk: Desk, part: Span) -> dict[str, Any]:
    """The same for programs."""
    return {
        "weeks": [load_facts(figures) for figures, _ in _weeks(desk, part)],
        "blocks": [load_facts(figures, block) for figures, block in _blocks(desk, part)],
    }


def _weeks(desk: Desk, part: Span) -> Rows:
    daily = desk.daily_load
    weeks = calendar_weeks(desk.year.span, desk.year.climber.week_begins)
    return [(span_figures(daily, week), None) for week in weeks if week.meet(part)]


def _blocks(desk: Desk, part: Span) -> Rows:
    daily = desk.daily_load
    blocks = desk.standing.blocks if desk.standing else ()
    return [(span_figures(daily, b.span), b) for b in blocks if b.span.meet(part)]


def _table(screen: Screen, rows: Rows) -> Iterator[str]:
    wide = screen.width >= WIDE
    columns = (0, 1, 2, 3, 4) if wide else (0, 1, 3)
    name = 16 if wide else 14
    heads = "".join(HEADS[column].rjust(WIDTHS[column]) for column in columns)
    yield screen.paint(" " * name + heads, bold=True)
    for figures, block in rows:
        cells = _cells(figures)
        label = block.id if block else day_text(figures.span.first)[4:]
        text = "".join(cells[column].rjust(WIDTHS[column]) for column in columns)
        yield screen.clean(label[: name - 1].ljust(name) + text)


def _cells(figures: LoadFigures) -> tuple[str, ...]:
    return (
        f"{figures.total:.0f}",
        _number(figures.monotony, 2),
        _number(figures.strain, 0),
        _number(figures.change_rolling, 2),
        _number(figures.change_ewma, 2),
    )


def _number(value: float | None, places: int) -> str:
    return "-" if value is None else f"{value:.{places}f}"


def _sentence(figures: LoadFigures, block: Block | None) -> str:
    name = block.id if block else "Week"
    cells = _cells(figures)
    told = (f"{head} {cell}" for head, cell in zip(HEADS, cells, strict=True) if cell != "-")
    return f"{name}, {span_text(figures.span)}: {', '.join(told)}."
