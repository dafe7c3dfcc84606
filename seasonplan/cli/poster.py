"""`seasonplan poster`: the year on paper, to hang on a wall and to write on."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from seasonplan.cli.options import Folder, Json, Plain, Today
from seasonplan.cli.screen import Screen, tell_old, write_json
from seasonplan.pictures.paper import Rows, Size

if TYPE_CHECKING:
    from seasonplan.testing.study import Study

EXAMPLES = """Examples:

\b
  seasonplan poster my-year                      writes my-year/poster.pdf, A3
  seasonplan poster my-year --size a4 --grey     for the printer at home
  seasonplan poster my-year --rows weeks         a row a week, with notes
  seasonplan poster my-year -o wall.svg          for a browser

A year of more than 13 months (54 weeks) takes two sheets. Injuries stay out
unless you ask with --injuries: a poster is read by whoever comes by.
Print it in its own size ("actual size", not "fit to page")."""

PaperSize = Annotated[Size, typer.Option("--size", help="Size of the paper.")]
Down = Annotated[Rows, typer.Option("--rows", help="What lies down the sheet.")]
Grey = Annotated[bool, typer.Option("--grey", help="In greys, for a black printer.")]
Out = Annotated[
    Path | None,
    typer.Option("--out", "-o", metavar="FILE", help="Where to write, .pdf or .svg.",
                 show_default="poster.pdf in FOLDER"),
]  # fmt: skip
Injuries = Annotated[bool, typer.Option("--injuries", help="Show injuries and returns, too.")]


def poster(
    folder: Folder = Path(),
    *,
    size: PaperSize = Size.A3,
    rows: Down = Rows.MONTHS,
    grey: Grey = False,
    out: Out = None,
    injuries: Injuries = False,
    today: Today = None,
    plain: Plain = False,
    as_json: Json = False,
) -> None:
    """Draw the year as a poster to hang up and write on."""
    from seasonplan.cli.log_book import opened
    from seasonplan.days import count_text
    from seasonplan.pictures.files import FILE, poster_files
    from seasonplan.pictures.paper import PosterWish
    from seasonplan.pictures.poster import poster as drawn
    from seasonplan.testing import study_of
    from seasonplan.workspace.store import write_output

    screen = Screen.here(plain=plain)
    book = opened(folder, today)
    desk = book.desk
    study: Study = study_of(desk.year, book.entries, day=book.today, blocks=desk.blocks)
    tell_old(screen, desk)
    view = desk.view(study=study, health=injuries)
    pictures = drawn(view, PosterWish(size=size, rows=rows, grey=grey))
    files = poster_files(pictures, out or folder / FILE)
    for path, content in files.items():
        write_output(path, content)
    if as_json:
        write_json({"files": [str(path) for path in files], "sheets": len(pictures)})
    else:
        for path in files:
            sheets = count_text(len(pictures) if len(files) == 1 else 1, "sheet")
            screen.say(f"{path}: {sheets} of {size.upper()}.")
