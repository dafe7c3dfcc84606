"""The year as a picture on the page, with what the layers show of it; no injury unless asked for.

SVG without script, style sheet or anything fetched: the type is left to the browser.
"""

from __future__ import annotations

from collections.abc import Sequence

from seasonplan.ical.layers import Layer
from seasonplan.pictures.strip import strip
from seasonplan.pictures.svg import svg
from seasonplan.plan import Block, Revision
from seasonplan.views import RockView, YearView, year_view
from seasonplan.vocabulary import Kind
from seasonplan.year import Window, Year

LAYER_OF = {
    Kind.REST: Layer.REST, Kind.TRIP: Layer.TRIPS, Kind.ABSENCE: Layer.ABSENCES,
    Kind.INJURED: Layer.INJURIES, Kind.RETURN: Layer.INJURIES,
}  # fmt: skip


def shown_blocks(blocks: Sequence[Block], layers: frozenset[Layer]) -> list[Block]:
    """The blocks that these layers show."""
    return [block for block in blocks if LAYER_OF.get(block.kind, Layer.BLOCKS) in layers]


def year_picture(year: Year, plan: Revision, *, layers: frozenset[Layer]) -> str:
    """The year as an SVG element, good inside a page and as a file."""
    return svg(strip(layered(year, plan, layers)), lettered=False)


def layered(year: Year, plan: Revision, layers: frozenset[Layer]) -> YearView:
    """The view of a year with what the layers show."""
    whole = year_view(year, plan, health=Layer.INJURIES in layers)
    kept = {block.id for block in shown_blocks(plan.blocks, layers)}
    return whole.model_copy(
        update={
            "blocks": tuple(one for one in whole.blocks if one.id in kept),
            "rock": tuple(one for one in whole.rock if _layer(one, year) in layers),
            "away": tuple(one for one in whole.away if LAYER_OF[one.kind] in layers),
            "weeks": whole.weeks if Layer.BLOCKS in layers else (),
            "goals": whole.goals if Layer.SESSIONS in layers else (),
        }
    )


def _layer(rock: RockView, year: Year) -> Layer:
    if rock.is_trip:
        return Layer.TRIPS
    return Layer.WINDOWS if isinstance(year.entry(rock.entry), Window) else Layer.SEASONS
