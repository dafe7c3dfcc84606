"""Writes the year as a poster beside it, as `seasonplan poster` does."""

from __future__ import annotations

from seasonplan.edits import EditRefused
from seasonplan.errors import BadInput
from seasonplan.pictures.files import FILE, poster_files
from seasonplan.pictures.paper import PosterWish
from seasonplan.pictures.pdf import can_write
from seasonplan.pictures.poster import poster
from seasonplan.workspace.desk import Desk
from seasonplan.workspace.store import write_output


def written(desk: Desk) -> str:
    """What to say of the poster that was written; injuries stay out of it.

    SVG where what writes PDF is not installed. Raises EditRefused, CannotWrite.
    """
    path = desk.folder / FILE
    path = path if can_write() else path.with_suffix(".svg")
    try:
        files = poster_files(poster(desk.view(), PosterWish()), path)
    except BadInput as error:
        fault = error.faults[0]
        raise EditRefused(f"No poster: {fault.found}; wanted {fault.wanted}.", fault.do) from None
    for name, content in files.items():
        write_output(name, content)
    told = ", ".join(map(str, files))
    return f"{told}: your year as a poster, for paper of size A3."
