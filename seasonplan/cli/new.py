"""`seasonplan new`: a year file to begin with, from a few answers or with everything explained."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from seasonplan.cli.exits import Exit
from seasonplan.cli.options import Folder, Json, Plain, Today
from seasonplan.cli.screen import Screen, write_json
from seasonplan.errors import CannotWrite

if TYPE_CHECKING:
    from seasonplan.year.fresh import Answers

EXAMPLES = """Examples:

\b
  seasonplan new my-year           answer a few questions
  seasonplan new my-year --blank   no questions, a file to fill in

A year.toml that is there already is never overwritten."""

Blank = Annotated[bool, typer.Option("--blank", help="Ask nothing; write a file to fill in.")]


def new(
    folder: Folder = Path(),
    *,
    blank: Blank = False,
    today: Today = None,
    plain: Plain = False,
    as_json: Json = False,
) -> None:
    """Begin a year with a few questions."""
    from seasonplan.workspace import clock
    from seasonplan.workspace.store import YEAR_FILE
    from seasonplan.year.fresh import usual_zone

    screen = Screen.here(plain=plain)
    path = folder / YEAR_FILE
    if path.exists():
        screen.narrate(
            f"{path}: found a year already; wanted a folder without one. "
            "Nothing was written: choose another folder, or edit the file."
        )
        raise typer.Exit(Exit.CHANGED_ON_DISK)
    zone = usual_zone()
    now = today or clock.today(zone)
    answers = _answers(screen, zone, now, blank=blank)
    _write(path, answers)
    if as_json:
        write_json({"file": str(path)})
    else:
        screen.say(f"{path} is written.")
    screen.narrate(_next(answers))


def _next(answers: Answers) -> str:
    """What to do with the year that was begun."""
    if answers.goal is None or answers.season is None:
        return (
            "Add what you train for and when its rock is good: in the file, in forms with "
            "`seasonplan open`, or with `seasonplan edit add goal` and `add season`, which tell "
            "what they take. Then run `seasonplan plan`."
        )
    return (
        "Now `seasonplan plan` makes the plan. Trips, time away and all else can be added before "
        "or after: in the file, or with `seasonplan edit`."
    )


def _answers(screen: Screen, zone: str, today: date, *, blank: bool) -> Answers:
    from seasonplan.cli.questions import asked
    from seasonplan.year.fresh import Answers, coming_monday

    first = coming_monday(today)
    return Answers(zone, first) if blank else asked(screen, zone, first, today=today)


def _write(path: Path, answers: Answers) -> None:
    from seasonplan.workspace.store import write
    from seasonplan.year.fresh import year_text
    from seasonplan.year.toml import read_year

    text = year_text(answers)
    read_year(text, file=str(path))
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise CannotWrite(str(path.parent), error.strerror or str(error)) from None
    write(path, text.encode(), based_on=None)
