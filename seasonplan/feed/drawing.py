"""The pictures of the page: the year, form and load, each for a window and for a phone.

Drawn by `pictures` from the view of the year, as far as the layers let it be seen: no injury, no
trip, no session where that layer is not asked for.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from functools import partial
from typing import NamedTuple

from seasonplan.ical.layers import Layer
from seasonplan.pictures.form import form_picture
from seasonplan.pictures.load import load_picture
from seasonplan.pictures.marks import Picture
from seasonplan.pictures.screen import NARROW, WIDE, Screen
from seasonplan.pictures.strip import strip
from seasonplan.pictures.svg import on_page
from seasonplan.plan import Block, Revision
from seasonplan.views import GoalView, YearView, form_views, year_view
from seasonplan.vocabulary import Kind
from seasonplan.year import Year

LAYER_OF = {
    Kind.REST: Layer.REST, Kind.TRIP: Layer.TRIPS, Kind.ABSENCE: Layer.ABSENCES,
    Kind.INJURED: Layer.INJURIES, Kind.RETURN: Layer.INJURIES,
}  # fmt: skip
# What load and form tell of: they are drawn only where all of it may be seen
TRAINING = frozenset({Layer.SESSIONS, Layer.BLOCKS, Layer.REST, Layer.TRIPS, Layer.ABSENCES})


class Drawings(NamedTuple):
    """Pictures as parts of a page, wide and narrow; "" where a layer hides what they tell of."""

    year: str
    form: str
    load: str


def drawings(year: Year, plan: Revision, *, layers: frozenset[Layer]) -> Drawings:
    """All that the page draws of a plan."""
    view = seen(year, plan, layers=layers)
    forms = form_views(year, plan) if layers >= TRAINING else ()
    has_load = layers >= TRAINING and any(week.load for week in view.weeks)
    return Drawings(
        year=_both(partial(strip, view)),
        form=_both(partial(form_picture, forms, view.span)) if forms else "",
        load=_both(partial(load_picture, view)) if has_load else "",
    )


def shown_blocks(blocks: Sequence[Block], layers: frozenset[Layer]) -> list[Block]:
    """The blocks that these layers show."""
    return [block for block in blocks if _layer(block.kind) in layers]


def seen(year: Year, plan: Revision, *, layers: frozenset[Layer]) -> YearView:
    """The year as far as these layers show it."""
    whole = year_view(year, plan, health=Layer.INJURIES in layers)
    rock = {entry for entry, layer in _rock_layers(year) if layer in layers}
    return whole.with_fields(
        rock=tuple(one for one in whole.rock if one.entry in rock),
        away=tuple(one for one in whole.away if _layer(one.kind) in layers),
        blocks=tuple(one for one in whole.blocks if _layer(one.kind) in layers),
        weeks=whole.weeks if Layer.BLOCKS in layers else (),
        goals=tuple(_goal(one, rock) for one in whole.goals) if Layer.SESSIONS in layers else (),
    )


def _layer(kind: Kind) -> Layer:
    return LAYER_OF.get(kind, Layer.BLOCKS)


def _rock_layers(year: Year) -> Iterator[tuple[str, Layer]]:
    """What rock is entered as, by id."""
    yield from ((one.id, Layer.SEASONS) for one in year.seasons)
    yield from ((one.id, Layer.WINDOWS) for one in year.windows)
    yield from ((one.id, Layer.TRIPS) for one in year.trips)


def _goal(goal: GoalView, rock: set[str]) -> GoalView:
    """A goal with its days on rock that is shown."""
    stretches = tuple(one for one in goal.stretches if one.entry in rock)
    return GoalView(**dict(goal) | {"stretches": stretches})


def _both(drawn: Callable[[Screen], Picture]) -> str:
    """For a window and for a phone; the page shows the one or the other."""
    return "".join(on_page(drawn(screen), screen.name) for screen in (WIDE, NARROW))
