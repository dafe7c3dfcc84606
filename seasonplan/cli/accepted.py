"""The plan in force and the year it was made for: what a phone is shown, whatever is edited."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from seasonplan.cli.options import no_plan_yet
from seasonplan.ical.layers import USUAL, Layer

if TYPE_CHECKING:
    from seasonplan.plan import Plan
    from seasonplan.year import Year

LAYERS = ", ".join(layer.value for layer in Layer)
Without = Annotated[
    list[Layer] | None,
    typer.Option(metavar="LAYER", help=f"Leave this out, may be repeated: {LAYERS}."),
]
With = Annotated[
    list[Layer] | None,
    typer.Option("--with", metavar="LAYER", help="Show this too, may be repeated."),
]
Free = Annotated[bool, typer.Option("--free", help="Sessions leave you free, not busy.")]


def layers_of(also: list[Layer] | None, without: list[Layer] | None) -> frozenset[Layer]:
    return (USUAL | frozenset(also or ())) - frozenset(without or ())


def accepted(folder: Path) -> tuple[Year, Plan]:
    """Raises BadInput where there is no plan, or it cannot be read."""
    from seasonplan import store
    from seasonplan.edits import read

    on_disk = store.load_plan(folder)
    if on_disk is None:
        raise no_plan_yet(folder)
    text = on_disk.plan.current.year_text
    year = read(text) if text else store.load_year(folder).year
    return year, on_disk.plan


def marks(*paths: Path) -> tuple[object, ...]:
    """What changes when one of these files does; cheap enough for every request."""
    found: list[object] = []
    for path in paths:
        try:
            about = path.stat()
        except OSError:
            found.append(None)
        else:
            found.append((about.st_ino, about.st_size, about.st_mtime_ns))
    return tuple(found)
