"""`seasonplan log show`: the diary read back, row by row or week by week."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from seasonplan.cli.options import Json, Plain, Today
from seasonplan.cli.screen import Screen, write_json

if TYPE_CHECKING:
    from seasonplan.cli.log_book import Book
    from seasonplan.diary import WeekDone

EMPTY = "The diary is empty so far."
UNBEGUN = "No week of the plan has begun yet. Without --weeks the rows are read."
Weeks = Annotated[bool, typer.Option("--weeks", help="Week by week: planned beside done.")]
Last = Annotated[int, typer.Option("--last", min=1, metavar="N", help="So many rows or weeks.")]


def show(
    ctx: typer.Context,
    *,
    weeks: Weeks = False,
    last: Last = 14,
    today: Today = None,
    plain: Plain = False,
    as_json: Json = False,
) -> None:
    """Read the diary: the last rows, or the weeks planned and done."""
    from seasonplan.cli.log_book import facts, opened
    from seasonplan.explain import care

    screen = Screen.here(plain=plain)
    book = opened(ctx.obj, today)
    weekly = _weeks(book)
    notices = [*care.silence(weekly), *book.notices()]
    rows = sorted(book.entries, key=lambda entry: entry.date)[-last:]
    if as_json:
        write_json(
            {
                "entries": [facts(entry) for entry in rows],
                "weeks": [_week_facts(week) for week in weekly[-last:]],
                "notices": notices,
            }
        )
        return
    told = _week_lines(weekly[-last:]) if weeks else _row_lines(book, last)
    screen.tell(told or [UNBEGUN if book.entries else EMPTY])
    screen.tell(notices, head="A word")


def _weeks(book: Book) -> tuple[WeekDone, ...]:
    from seasonplan.body.almanac import Almanac
    from seasonplan.diary import weekly

    return weekly(
        book.entries,
        recipes=book.desk.recipes,
        sessions=book.sessions,
        weeks=Almanac(book.desk.year).weeks(),
        today=book.today,
    )


def _row_lines(book: Book, last: int) -> list[str]:
    from seasonplan.explain.diary import entry_text

    rows = sorted(book.entries, key=lambda entry: entry.date)[-last:]
    return [entry_text(entry, book.desk.recipes) for entry in rows]


def _week_lines(weekly: tuple[WeekDone, ...]) -> list[str]:
    from seasonplan.explain.diary import week_text

    return [week_text(week) for week in weekly]


def _week_facts(week: WeekDone) -> dict[str, object]:
    from seasonplan.cli.machine import span_facts

    numbers = week.model_dump(mode="json", exclude={"span"})
    return {**span_facts(week.span), **numbers}
