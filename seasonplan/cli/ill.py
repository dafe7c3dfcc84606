"""`seasonplan ill`: days of illness, into `year.toml`."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Annotated, Literal

import typer

from seasonplan.cli.injury_book import facts, say_next, write, year_of
from seasonplan.cli.options import Folder, Json, Plain, Today, a_day, day_meant, now_of
from seasonplan.cli.screen import Screen, write_json
from seasonplan.days import day_text

EXAMPLES = """Examples:

\b
  seasonplan ill my-year --from 2027-02-03 --to 2027-02-16
  seasonplan ill my-year --from 2027-02-03 --to 2027-02-05 --name "A cold\""""

First = Annotated[
    date | None,
    typer.Option("--from", help="The first day of it.", **a_day(past=True)),
]
Last = Annotated[
    str | None, typer.Option("--to", metavar="DAY", help="The last day of it.")
]  # a day, looked for from the first on
Name = Annotated[str, typer.Option(metavar="TEXT", help="What you call it.")]


def ill(
    folder: Folder = Path(),
    *,
    first: First = None,
    last: Last = None,
    name: Name = "Illness",
    today: Today = None,
    plain: Plain = False,
    as_json: Json = False,
) -> None:
    """Enter days of illness: days off, and a gentle return after longer ones."""
    from seasonplan.cli.injury_questions import day
    from seasonplan.days import Span
    from seasonplan.edits import AddEntry
    from seasonplan.explain import care
    from seasonplan.injury import illness_of, values_of
    from seasonplan.year import Absence

    screen = Screen.here(plain=plain)
    year = year_of(folder)
    now = now_of(year, today)
    first = first or day("First day of the illness", now, today=now, past=True)
    until = _until(last, first, folder=folder, today=now)
    entry = illness_of(name, days=Span.through(first, until), year=year)
    section: Literal["absence", "injury"] = "absence" if isinstance(entry, Absence) else "injury"
    write(folder, AddEntry(section=section, values=values_of(entry)))
    told = care.illness_text(entry)
    if as_json:
        write_json({"section": section, "entry": facts(entry), "texts": told})
        return
    screen.tell(told)
    say_next(screen, folder)


def _until(text: str | None, first: date, *, folder: Path, today: date) -> date:
    """The last day, from what was typed or by a question. Raises BadParameter."""
    from seasonplan.cli.injury_questions import day

    if text is None:
        question, usual = "Last day of it, as far as you can tell", max(first, today)
        return day(question, usual, today=today, begins=first, least=first)
    last = day_meant(text, folder=folder, today=today, begins=first, hint="--to")
    if last < first:
        raise typer.BadParameter(
            f"found {day_text(last)} before {day_text(first)}; "
            "wanted the last day on or after the first.",
            param_hint="--to",
        )
    return last
