"""Writes the year, its form or its load as a picture, as `seasonplan show --svg` does."""

from __future__ import annotations

from seasonplan.edits import EditRefused
from seasonplan.errors import BadInput
from seasonplan.pictures.asked import PICTURES, picture
from seasonplan.pictures.files import svg_file
from seasonplan.views import form_views
from seasonplan.workspace.desk import Desk
from seasonplan.workspace.store import write_output


def written(desk: Desk, *, what: str) -> str:
    """What to say of the picture that was written; injuries stay out of it.

    Raises EditRefused where there is nothing to draw, CannotWrite.
    """
    path = desk.folder / f"{what}.svg"
    drawn = picture(what, desk.view(), forms=lambda: form_views(desk.year, desk.standing))
    if drawn is None:
        raise EditRefused("There is no plan to draw that from.", "Press r to plan.")
    try:
        write_output(path, svg_file(drawn, path))
    except BadInput as error:
        fault = error.faults[0]
        raise EditRefused(f"No picture: {fault.found} at {path}.", fault.do) from None
    return f"{path}: {PICTURES[what]}. Open it in a browser."
