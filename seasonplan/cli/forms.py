"""Form on the way to each goal: a line for each month, and what to expect there."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, Any

from seasonplan.cli.screen import Screen
from seasonplan.days import Span, day_month_text
from seasonplan.explain.words import join, percent_text

if TYPE_CHECKING:
    from seasonplan.views import FormDay, GoalForm
    from seasonplan.workspace.desk import Desk

NO_MEASUREMENT = "What a model makes of the hours planned, no measurement: test yourself."
HEADS = ("", "change", "one in ten below", "one in ten above")
WIDTHS = (10, 8, 18, 18)


def forms_of(desk: Desk) -> tuple[GoalForm, ...]:
    """The curves of the year as it is planned; none without a plan."""
    from seasonplan.views import form_views

    return form_views(desk.year, desk.standing)


def draw_forms(screen: Screen, desk: Desk, *, part: Span) -> None:
    """Each curve on the first days of months in `part`; nothing where there is no goal or plan."""
    forms = forms_of(desk)
    if desk.plan and not forms:
        screen.narrate("No goal is entered, or no session planned: there is no form to tell.")
    for one in forms:
        days = _firsts(one, part)
        if screen.plain:
            screen.tell(_sentences(one, days), hang=0)
        else:
            screen.head(join(list(one.goals)))
            screen.say(f"{one.measure_told}; change since {day_month_text(desk.year.span.first)}")
            for line in _table(days):
                screen.draw(screen.clean(line))
            for there in one.there:
                screen.say(f"{join(list(there.goals))}: {there.sentence}", hang=2)
    if forms:
        screen.say(NO_MEASUREMENT)


def form_table(desk: Desk) -> list[dict[str, Any]]:
    """The same for programs, every morning."""
    return [one.model_dump(mode="json") for one in forms_of(desk)]


def _firsts(one: GoalForm, part: Span) -> list[FormDay]:
    return [day for day in one.days if day.day in part and day.day.day == 1]


def _table(days: Sequence[FormDay]) -> Iterator[str]:
    yield "".join(head.rjust(wide) for head, wide in zip(HEADS, WIDTHS, strict=True))
    for day in days:
        cells = (day_month_text(day.day), *_changes(day))
        yield "".join(cell.rjust(wide) for cell, wide in zip(cells, WIDTHS, strict=True))


def _changes(day: FormDay) -> tuple[str, ...]:
    change = day.change
    return tuple(percent_text(value) for value in (change.middle, change.low, change.high))


def _sentences(one: GoalForm, days: Sequence[FormDay]) -> Iterator[str]:
    names = join(list(one.goals))
    for day in days:
        middle, low, high = _changes(day)
        yield f"{names}, {one.measure} on {day_month_text(day.day)}: {middle} ({low} to {high})."
    for there in one.there:
        yield f"{join(list(there.goals))}: {there.sentence}."
